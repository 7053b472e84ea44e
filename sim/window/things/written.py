"""Words that are written by hand: a name, a folder, a sentence of one's own. A touch or Enter begins, Enter ends."""

from __future__ import annotations

from collections.abc import Callable

from pygame import Rect

from sim.refusals import Refusal
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import InRoom


class Written(InRoom):
    """A ruled line to write on. ``keep`` gets the words when the writing ends."""

    cursor = "write"

    def __init__(self, room: OneRoom, id: str, words: str, keep: Callable[[str], None], most: int = 200):
        super().__init__(room, id)
        self.words, self._keep, self._most = words, keep, most

    def now(self) -> str:
        """What stands there."""
        return self.words if self.typed is None else self.typed

    def pressed(self) -> None:
        """Begin to write, after what stands there."""
        self.typed = self.now()

    def left(self) -> None:
        """What was written is kept."""
        self._take()

    def key(self, key: Key) -> bool:
        """Letters are written, the space bar too; Enter keeps them, Escape leaves all as it was."""
        if self.typed is None or key.control or key.alt:
            return False
        letter = key.text or (" " if key.name == "space" else "")
        if key.name == "return":
            self._take()
        elif key.name == "escape":
            self.typed = None
        elif key.name == "backspace":
            self.typed = self.typed[:-1]
        elif letter and letter.isprintable():
            self.typed = (self.typed + letter)[: self._most]
        else:
            return key.name != "tab"
        return True

    def _take(self) -> None:
        typed, self.typed = self.typed, None
        if typed is None or typed.strip() == self.words:
            return
        before, self.words = self.words, typed.strip()
        try:
            self._keep(self.words)
        except Refusal:  # what was written stays on the line, and can be kept later
            self.words, self.typed = before, typed
            raise

    def high(self) -> int:
        """Return the height it asks for: its name, and the line."""
        return 2 * self.room.look.line_height("small") + self.room.px(10)

    def draw(self, canvas: Canvas) -> None:
        """Its name in small letters, the words on the line; the end of long words stays in sight."""
        look, rect, writing = canvas.look, self.rect, self.typed is not None
        line = look.line_height("small")
        canvas.text(self.name(), rect.topleft, "small", "soft", room=rect.w, shorten=True)
        field = Rect(rect.x, rect.y + line + look.px(2), rect.w, line + look.px(8))
        canvas.plate(field, "lamp" if writing else "edge", radius=4, hot=self.hot and not writing)
        words = f"{self.typed}▏" if writing else self.words
        room = field.w - look.px(12)
        while words and look.width(words, "small") > room:
            words = words[1:]
        canvas.text(words, (field.x + look.px(6), field.centery), "small", "ink", "midleft", room)
