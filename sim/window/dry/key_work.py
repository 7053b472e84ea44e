"""What each key of the dry side does: the twin of everything the pointer does."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from sim.window.kit.events import HANDLED, UNUSED, Outcome

HAND_STEP_MM = 2.0
HELD_S, HELD_MM_S = 0.25, 60.0  # an arrow held longer than this moves on evenly, as a hand does
ARROWS = {"hand-left": (-1.0, 0.0), "hand-right": (1.0, 0.0), "hand-up": (0.0, -1.0), "hand-down": (0.0, 1.0)}
HEAD_STEP_MM = 5.0
PAGE_ORDER = ("paper", "strip", "cards", "plan")


class KeyWork:
    """Part of the enlarger's screen: actions by their names."""

    darkroom: Any
    arrows_held: dict[str, float]

    def act(self, action: str) -> Outcome:
        """Do what a key asks for."""
        if action.startswith("tool-"):
            return self.pick_up(int(action[5:]) - 1)
        if action in ARROWS:
            dx, dy = ARROWS[action]
            self.arrows_held[action] = 0.0
            return self.nudge(dx * HAND_STEP_MM, dy * HAND_STEP_MM)
        found = self._work().get(action)
        return (found() or HANDLED) if found else UNUSED

    def released(self, action: str) -> Outcome:
        """An arrow was let go."""
        self.arrows_held.pop(action, None)
        return HANDLED

    def move_on(self, dt_s: float) -> None:
        """Move what is in hand as long as arrows are held."""
        for action, held_s in list(self.arrows_held.items()):
            self.arrows_held[action] = held_s + dt_s
            if held_s + dt_s > HELD_S:
                dx, dy = ARROWS[action]
                self.nudge(dx * HELD_MM_S * dt_s, dy * HELD_MM_S * dt_s)

    def _work(self) -> dict[str, Callable[[], Outcome | None]]:
        return {**self._light_work(), **self._paper_work(), **self._hand_work(), **self._board_work()}

    def _light_work(self) -> dict[str, Callable[[], Outcome | None]]:
        desk, enlarger, lens = self.darkroom.desk, self.enlarger, self.lens
        return {
            "focus-light": lambda: desk.set("focus_light", not desk.now.focus_light),
            "red-filter": lambda: desk.set("red_filter", not desk.now.red_filter),
            "loupe": lambda: enlarger.set_loupe(not self.easel.loupe_on),
            "sharp": desk.focus,
            "hold": self.hold_reference,
            "keep-tone": self.keep_tone,
            "head-up": lambda: enlarger.raise_head(HEAD_STEP_MM),
            "head-down": lambda: enlarger.raise_head(-HEAD_STEP_MM),
            "lens-open": lambda: lens.turn_aperture(-1),
            "lens-close": lambda: lens.turn_aperture(1),
            "softer": lambda: lens.turn_filter(-1),
            "harder": lambda: lens.turn_filter(1),
            "shorter": lambda: self.timer.turn(-1),
            "longer": lambda: self.timer.turn(1),
            "undo": lambda: self._back(desk.undo),
            "redo": lambda: self._back(desk.redo),
        }

    def _back(self, step: Callable[[], bool]) -> Outcome:
        step()
        return HANDLED

    def _paper_work(self) -> dict[str, Callable[[], Outcome | None]]:
        return {
            "expose": self.foot_switch,
            "take-sheet": lambda: self.take("sheet"),
            "take-strip": lambda: self.take("strip"),
            "turn-strip": self.darkroom.paper.turn,
            "cover-step": self.strip.cover_next,
            "lay-strip": self.strip.in_one_go,
            "plan-add": self.plan.add,
            "plan-next": self.plan.expose_next,
            "develop": self.develop,
        }

    def _hand_work(self) -> dict[str, Callable[[], Outcome | None]]:
        return {
            "put-back-card": self.put_back_card,
            "card-higher": lambda: self.lift(10.0),
            "card-lower": lambda: self.lift(-10.0),
            "card-turn": lambda: self.turn(15.0),
            "fix-card": self.fix_card,
        }

    def _board_work(self) -> dict[str, Callable[[], Outcome | None]]:
        return {
            "numbers": lambda: self.open("numbers"),
            "negatives": lambda: self.open("negatives"),
            "set-up": lambda: self.open("set-up"),
            "next-page": self._next_page,
        }

    def _next_page(self) -> None:
        here = PAGE_ORDER.index(self.pages.open)
        self.pages.turn_to(PAGE_ORDER[(here + 1) % len(PAGE_ORDER)])
