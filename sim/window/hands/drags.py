"""Ways of dragging: a thing that follows the hand by numbers, and gestures made of plain functions."""

from __future__ import annotations

from collections.abc import Callable

from sim.window.kit.events import Pointer

LEAST_PX = 4  # a hand that moved less has only touched


class Drag:
    """A gesture from three functions: ``moved`` gets the way since the touch, ``done`` keeps it, ``touched`` is a mere tap."""

    def __init__(
        self, start: Pointer, moved: Callable[[int, int, Pointer], None], done: Callable[[], None],
        touched: Callable[[], None] | None = None, back: Callable[[], None] | None = None,
    ):  # fmt: skip
        self._start, self._moved, self._done = start.pos, moved, done
        self._touched, self._back = touched, back
        self.under_way = False
        self.at = start.pos  # where the hand is

    def move(self, at: Pointer) -> None:
        """Follow the hand, once it has moved at all."""
        self.at = at.pos
        dx, dy = at.pos[0] - self._start[0], at.pos[1] - self._start[1]
        if self.under_way or max(abs(dx), abs(dy)) >= LEAST_PX:
            self.under_way = True
            self._moved(dx, dy, at)

    def drop(self, at: Pointer) -> None:
        """Keep what was done; a hand that did not move has tapped."""
        if self.under_way:
            self.move(at)
            self._done()
        elif self._touched is not None:
            self._touched()

    def cancel(self) -> None:
        """Go back to where it was."""
        if self.under_way and self._back is not None:
            self._back()
