"""How the easel is worked: with pointer, wheel and arrows, always on the thing that is in hand.

In hand is, in this order: the card from the rack; the strip, until it has light on it; otherwise the probe.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Control
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, Pointer
from sim.window.kit.look import Look

if TYPE_CHECKING:
    from sim.window.dry.easel_part import EaselPart

STEP_MM, FAR_STEP_MM = 2.0, 10.0
WHEEL_HEIGHT_MM, WHEEL_TURN_DEG = 10.0, 15.0
ARROWS = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}


class EaselBoard(Control):
    """The easel as something to work on."""

    def __init__(self, part: EaselPart, label: str):
        super().__init__("easel", label)
        self._part = part
        self._grip: tuple[float, float] | None = None

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """Move what is in hand; the right button lays the card back or holds the metered light as the reference."""
        part, screen = self._part, self._part.screen
        at = part.plan.to_mm(event.pos)
        if event.kind == "wheel":
            return screen.lift(event.steps * WHEEL_HEIGHT_MM) if not event.shift else screen.turn(event.steps * WHEEL_TURN_DEG)
        if event.kind == "down" and event.button == 3:
            return screen.put_back_card() if screen.hands.held else screen.hold_reference()
        if screen.hands.held is not None:
            screen.hold_card_at(*at)
            return HANDLED
        if event.kind == "down" and event.button == 1:
            self._grip = screen.grip_of_strip(at)
        if self._grip is not None and event.kind in ("move", "up"):
            screen.wish_place(at[0] + self._grip[0], at[1] + self._grip[1])
            if event.kind == "up":
                self._grip = None
                return screen.apply_place()
            return HANDLED
        if event.kind in ("down", "move"):
            part.probe_mm = at
        return HANDLED

    def key(self, event: Key) -> Outcome:
        """Arrows move what is in hand by 2 mm, with Shift by 10."""
        if event.name not in ARROWS or not event.down or event.control or event.alt:
            return UNUSED
        step = FAR_STEP_MM if event.shift else STEP_MM
        dx, dy = ARROWS[event.name]
        return self._part.screen.nudge(dx * step, dy * step)

    def spoken(self) -> str:
        """What the probe reads."""
        return ", ".join(self._part.reading)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the easel and everything over it."""
        self._part.draw_board(canvas)
        if focused:
            canvas.focus_ring(self.rect)
