"""Words that may be longer than their room: the wheel or the arrows go on in them, and a mark says that more is there."""

from __future__ import annotations

from collections.abc import Sequence

from pygame import Rect

from sim.window.hands.thing import Cursor
from sim.window.kit.canvas import Canvas
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import InRoom

Paragraph = tuple[str, str, str]  # words, size, colour


class ScrolledWords(InRoom):
    """Paragraphs below each other."""

    cursor: Cursor = "arrow"

    def __init__(self, room: OneRoom, id: str):
        super().__init__(room, id)
        self._first = 0
        self._said: Sequence[Paragraph] = ()
        self._lines: list[Paragraph] = []
        self._key: object = None

    def say(self, paragraphs: Sequence[Paragraph]) -> None:
        """Show other words, from their beginning."""
        if list(paragraphs) != list(self._said):
            self._said, self._first, self._key = tuple(paragraphs), 0, None
            self.lay_out(self.rect)

    def lay_out(self, rect: Rect) -> None:
        """Wrap the words into a rectangle."""
        self.rect, look = rect, self.room.look
        if self._key == (rect.w, look):
            return
        self._key, self._lines = (rect.w, look), []
        for words, size, colour in self._said:
            indent = "   " if words.startswith(" ") else ""
            room = rect.w - look.width(indent, size)
            self._lines += [(indent + line, size, colour) for line in look.wrapped(words.strip(), room, size)]

    def _shown(self) -> list[Paragraph]:
        """Return the lines that fit, from the first in view on."""
        look, room, out = self.room.look, self.rect.h, []
        for line in self._lines[self._first :]:
            room -= look.line_height(line[1])
            if room < 0:
                break
            out.append(line)
        return out

    @property
    def more(self) -> bool:
        """Whether there is more below."""
        return self._first + len(self._shown()) < len(self._lines)

    def _on(self, lines: int) -> bool:
        if lines > 0 and not self.more:
            return False
        before, self._first = self._first, max(0, min(len(self._lines) - 1, self._first + lines))
        return self._first != before

    def turned(self, steps: int, fine: bool) -> bool:
        """The wheel goes on in the words."""
        self._on(-3 * steps)
        return True

    def nudged(self, right: int, down: int, fine: bool) -> bool:
        """Up and down go on in the words."""
        return self._on(down)

    def draw(self, canvas: Canvas) -> None:
        """The lines in view; a mark where there are more."""
        look, y = canvas.look, self.rect.y
        for words, size, colour in self._shown():
            canvas.text(words, (self.rect.x, y), size, colour)
            y += look.line_height(size)
        if self.more:
            at = (self.rect.right - look.px(8), self.rect.bottom - look.px(8))
            canvas.text("↓", at, "strong", "ink", "center")
