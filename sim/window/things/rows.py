"""Rows on a sheet laid over the room: a name, what it stands at, and hands that change it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pygame import Rect

from sim.window.hands.drags import Drag
from sim.window.hands.thing import Gesture
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key, Pointer
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import DIGITS, Plate, TypedNumber

ARROW = 24  # logical units at either side of a value


class Row(TypedNumber):
    """One line. ``turn`` gets steps forward or back; ``write`` takes a typed number where there is one."""

    def __init__(
        self, room: OneRoom, id: str, title: str, read: Callable[[], str], turn: Callable[[int, bool], None],
        write: Callable[[float], None] | None = None, why: Callable[[], str] = lambda: "",
    ):  # fmt: skip
        super().__init__(room, id)
        self._title, self._read, self._turn, self._write, self._why = title, read, turn, write, why

    def name(self) -> str:
        """Its title."""
        return self._title

    def about(self) -> str:
        """Rows are worked alike."""
        return self.room.line("row typed" if self._write else "row turned")

    def now(self) -> str:
        """What it stands at."""
        return self._read()

    def locked(self) -> str:
        """Why it cannot be changed."""
        return self._why()

    def _guarded_turn(self, steps: int, fine: bool) -> None:
        if self.locked():
            self.room.say_words(f"{self._title}: {self.locked()}", warn=True)
        else:
            self._turn(steps, fine)

    def pressed(self) -> None:
        """Write a number where that is possible, else go on to the next choice."""
        if self._write is not None and not self.locked():
            self.typed = ""
        else:
            self._guarded_turn(1, False)

    def press(self, at: Pointer) -> Gesture | None:
        """A touch at its left half goes back where there is nothing to write."""
        def touch() -> None:
            edge = self.room.px(30)
            if at.pos[0] >= self.rect.right - edge:
                self._guarded_turn(1, False)
            elif self._value_x() <= at.pos[0] < self._value_x() + edge:
                self._guarded_turn(-1, False)
            else:
                self.pressed()

        return Drag(at, lambda dx, dy, now: None, lambda: None, touch)

    def _value_x(self) -> int:
        """Return where the value's half begins."""
        return self.rect.x + self.rect.w * 42 // 100

    def turned(self, steps: int, fine: bool) -> bool:
        """The wheel changes it."""
        self._guarded_turn(steps, fine)
        return True

    def nudged(self, right: int, down: int, fine: bool) -> bool:
        """Left and right change it; up and down are left to the focus."""
        if right:
            self._guarded_turn(right, fine)
        return bool(right)

    def key(self, key: Key) -> bool:
        """Digits write where that is possible."""
        begins = self.typed is None and self._write is not None and bool(key.text) and key.text in DIGITS
        if begins and not self.locked():
            self.typed = ""
        return super().key(key)

    def lines(self, wide: int) -> int:
        """Return how many lines title and value take at a width."""
        look = self.room.look
        values = look.wrapped(self._read(), wide - wide * 42 // 100 - 2 * look.px(ARROW), "small")
        titles = look.wrapped(self._title, wide * 42 // 100 - look.px(24), "small")
        return max(len(values), len(titles))

    def draw(self, canvas: Canvas) -> None:
        """Title at the left, value between two arrows at the right."""
        look, rect = canvas.look, self.rect
        if self.hot or self.typed is not None:
            canvas.plate(rect, "", "raised", 4)
        x, left, arrow = rect.x + look.px(8), self._value_x(), look.px(ARROW)
        if self.locked():
            canvas.mark("lock", (x + look.px(5), rect.centery), look.px(13), "soft")
        x += look.px(16) if self.locked() else 0
        canvas.block(self._title, Rect(x, rect.y, left - x, rect.h), "small", "soft", left=True)
        words = f"{self.typed}▏" if self.typed is not None else self._read()
        canvas.block(words, Rect(left + arrow, rect.y, rect.right - left - 2 * arrow, rect.h), "small", "ink")
        for sign, cx in (("‹", left + arrow // 2), ("›", rect.right - arrow // 2)):
            canvas.text(sign, (cx, rect.centery), "body", "soft" if not self.locked() else "faint", "center")


def choice(
    room: OneRoom, id: str, read: Callable[[], str], turn: Callable[[int], None], write: Callable[[float], None] | None = None
) -> Row:
    """Return a row that goes on by whole steps, under the name its line gives it."""
    return Row(room, id, room.line(id), read, lambda steps, fine: turn(steps), write)


def stacked(rows: Sequence[Row], area: Rect, least: int) -> int:
    """Lay rows below each other, each as high as its lines, with room to the ``least`` height; return where they end.

    They move closer where they are too many, and share the area evenly where even their lines are too many.
    """
    look, px = rows[0].room.look, rows[0].room.px
    one, lines = look.line_height("small"), [row.lines(area.w) for row in rows]
    over = min(least - one, (area.h - one * sum(lines)) // len(rows))
    each = [one * n + over for n in lines] if over >= px(1) else [min(least, area.h // len(rows))] * len(rows)
    y = area.y
    for row, high in zip(rows, each):
        row.rect = Rect(area.x, y, area.w, high - px(1))
        y += high
    return y


def along_the_foot(plates: Sequence[Plate], area: Rect, gap: int) -> int:
    """Stand plates beside each other at the lower right of an area, the first at the right; return how high they are."""
    right, tallest = area.right, 0
    for plate in plates:
        wide, high = plate.wanted()
        plate.rect = Rect(right - wide, area.bottom - high, wide, high)
        right, tallest = right - wide - gap, max(tallest, high)
    return tallest
