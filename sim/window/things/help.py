"""Help: what one does where one stands, and every key of it. Escape or a touch closes it."""

from __future__ import annotations

from collections.abc import Sequence

from pygame import Rect

from sim.window.kit.boxes import columns, cut_bottom
from sim.window.kit.canvas import Canvas
from sim.window.standing.keys import KEY_WORDS, ROOM_KEY_WORDS, shown_keys
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import Plate
from sim.window.things.rows import along_the_foot


class HelpSheet(Overlay):
    """What is to be done here at the left, the keys at the right."""

    share = (0.9, 0.94)

    def __init__(self, room: OneRoom, place: str):
        super().__init__(room, room.name("help " + place))
        self._words = room.about("help " + place)
        t = room.words.text
        lines = [(where, line) for where in (place, "room") for line in (KEY_WORDS.get(where, ROOM_KEY_WORDS))]
        self._keys = [(shown_keys(where, keys, room.keys, room.words), t(words)) for where, (keys, words) in lines]
        self.more = Plate(room, "more keys", self._page)
        self._first, self._per_page = 0, 99

    def _page(self) -> None:
        self._first += self._per_page
        if self._first >= len(self._keys):
            self._first = 0

    def plates(self) -> Sequence[Plate]:
        """More keys, where not all have room."""
        return self.more, self.done

    def lay_out(self, area: Rect) -> None:
        """Words at the left, keys at the right, as many as there is room for."""
        super().lay_out(area)
        px, each = self.room.px, self.room.look.line_height("small") + self.room.px(3)
        high = self.done.wanted()[1]
        self._text, self._list = columns(cut_bottom(self.inner, high, px(8))[1], [32, 66], px(20))
        self._per_page = max(1, self._list.h // each)
        more = len(self._keys) > self._per_page
        along_the_foot((self.done, self.more) if more else (self.done,), self.inner, px(10))
        self.more.rect = self.more.rect if more else Rect(0, 0, 0, 0)

    def draw(self, canvas: Canvas) -> None:
        """The sheet."""
        super().draw(canvas)
        look = canvas.look
        size = "body" if len(look.wrapped(self._words, self._text.w)) * look.line_height() <= self._text.h else "small"
        canvas.lines(self._words, self._text, size, "ink")
        each = look.line_height("small") + look.px(3)
        shown = self._keys[self._first : self._first + self._per_page]
        wide = max((look.width(keys, "small") for keys, _ in shown), default=0) + look.px(14)
        for n, (keys, words) in enumerate(shown):
            y = self._list.y + n * each
            canvas.text(keys, (self._list.x, y), "small", "ink")
            canvas.text(words, (self._list.x + wide, y), "small", "soft", room=self._list.w - wide, shorten=True)
