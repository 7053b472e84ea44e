"""A fresh box of paper for a new evening: which paper, how many sheets, how many minutes the evening has."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pygame import Rect

from sim.bench.turning_a_control import papers
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import Plate
from sim.window.things.rows import choice, stacked

MOST_SHEETS, LEAST_MINUTES, MOST_MINUTES, MINUTES_STEP = 100, 15, 600, 15


class FreshBox(Overlay):
    """Three rows; ``begin`` gets paper, sheets and minutes."""

    share = (0.62, 0.6)

    def __init__(self, room: OneRoom, begin: Callable[[str, int, float], None]):
        super().__init__(room, room.name("fresh box"), "close")
        self._papers = list(papers().items())
        names = [name for name, _ in self._papers]
        self._paper, self.sheets, self.minutes = names.index("glossy-rc-vc"), 20, 180
        self.listed = self.rows = [
            choice(room, "box paper", lambda: room.said(self._papers[self._paper][1]), self._turn_paper),
            choice(room, "box sheets", lambda: f"{self.sheets}", lambda n: self._count(self.sheets + n), self._count),
            choice(room, "box minutes", self._minutes_said, lambda n: self._last(self.minutes + n * MINUTES_STEP), self._last),
        ]
        self.begin = Plate(room, "new evening", lambda: begin(names[self._paper], self.sheets, float(self.minutes)))

    def _minutes_said(self) -> str:
        return f"{self.minutes} min"

    def _turn_paper(self, steps: int) -> None:
        self._paper = (self._paper + steps) % len(self._papers)

    def _count(self, sheets: float) -> None:
        self.sheets = round(min(MOST_SHEETS, max(1, sheets)))

    def _last(self, minutes: float) -> None:
        self.minutes = round(min(MOST_MINUTES, max(LEAST_MINUTES, minutes)))

    def plates(self) -> Sequence[Plate]:
        """Begin, or leave it."""
        return self.begin, self.done

    def lay_out(self, area: Rect) -> None:
        """Rows below each other."""
        super().lay_out(area)
        stacked(self.rows, self.above_the_foot(10, 6), self.room.look.line_height() + self.room.px(12))
