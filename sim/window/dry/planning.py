"""Putting exposures into the plan, changing and striking them, and working the plan off."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from sim.bench.paper_in_hand import PlannedExposure
from sim.window.kit.events import HANDLED, Outcome

if TYPE_CHECKING:
    from sim.window.dry.enlarger_screen import EnlargerScreen


class Planning:
    """The plan as the window changes it; the bench keeps it."""

    def __init__(self, screen: EnlargerScreen):
        self._screen = screen

    def add(self) -> Outcome:
        """Add an exposure with time, aperture, filter and fixed cards as they stand."""
        screen, paper = self._screen, self._screen.darkroom.paper
        now = screen.darkroom.desk.now
        cards = tuple(card.card() for card in screen.hands.fixed)
        one = PlannedExposure(now.time_s, now.f_number, now.filtration.name, cards)
        paper.set_plan((*self._waiting()[1], one))
        return HANDLED

    def _waiting(self) -> tuple[int, list[PlannedExposure]]:
        """Return the number of the first exposure still to come, and those to come: bars count what is done as well."""
        paper = self._screen.darkroom.paper
        numbers = sorted({bar.exposure for bar in paper.bars() if not bar.done})
        return (numbers[0], list(paper.plan[-len(numbers) :])) if numbers else (0, [])

    def change(self, exposure: int, seconds: float) -> Outcome:
        """Give a planned exposure another time; its cards keep their share of it."""
        first, plan = self._waiting()
        n = exposure - first
        if 0 <= n < len(plan):
            times = seconds / plan[n].time_s
            cards = tuple(
                replace(c, start_s=round(c.start_s * times, 3), stop_s=round(c.stop_s * times, 3)) for c in plan[n].cards
            )
            plan[n] = replace(plan[n], time_s=seconds, cards=cards)
            self._screen.darkroom.paper.set_plan(plan)
        return HANDLED

    def strike(self, exposure: int) -> Outcome:
        """Strike a planned exposure out."""
        first, plan = self._waiting()
        self._screen.darkroom.paper.set_plan([one for k, one in enumerate(plan) if k != exposure - first])
        return HANDLED

    def expose_next(self) -> Outcome:
        """Give the next exposure of the plan."""
        self._screen.darkroom.paper.expose_next_of_plan()
        self._screen.easel.forget()
        return HANDLED

    def expose_all(self) -> Outcome:
        """Give everything that is still planned."""
        self._screen.darkroom.paper.expose_plan()
        self._screen.easel.forget()
        return HANDLED
