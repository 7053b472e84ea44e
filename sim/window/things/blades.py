"""The easel's blades: taken by their inner edges they make the white border wider or narrower, all four alike."""

from __future__ import annotations

from pygame import Rect

from sim.window.hands.thing import Cursor, Gesture
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Pointer
from sim.window.standing.room import OneRoom
from sim.window.things.easel import Easel
from sim.window.things.in_room import Knob

GRIP = 6
STEP_MM, FINE_MM = 1.0, 0.5


class Blades(Knob):
    """Drag an inner edge."""

    control = "border_mm"

    def __init__(self, room: OneRoom, easel: Easel):
        super().__init__(room, "blades")
        self._easel = easel

    def lay_out(self) -> None:
        """Lie along the opening."""
        plan, border = self._easel.plan, self.room.darkroom.desk.now.border_mm
        wide, high = plan.sheet_mm
        self.rect = plan.rect_px(border, border, wide - 2 * border, high - 2 * border)

    def hit(self, pos: tuple[int, int]) -> bool:
        """Only the edges are touched; a card or a strip in the hand comes first."""
        grip = self.room.px(GRIP)
        if self.room.standing.card is not None or self._easel.cutting is not None:
            return False
        outside = self.rect.inflate(2 * grip, 2 * grip).collidepoint(pos)
        return bool(outside and not self.rect.inflate(-2 * grip, -2 * grip).collidepoint(pos))

    def cursor_at(self, pos: tuple[int, int]) -> Cursor:
        """Across at the upright edges, up and down at the others."""
        across = min(abs(pos[0] - self.rect.x), abs(pos[0] - self.rect.right))
        down = min(abs(pos[1] - self.rect.y), abs(pos[1] - self.rect.bottom))
        return "across" if across < down else "updown"

    def now(self) -> str:
        """How wide the border is."""
        return f"{self.room.number(self.room.darkroom.desk.now.border_mm)} mm"

    def _to(self, mm: float) -> None:
        found = self.room.control("border_mm")
        self.set(round(min(found.high or 50.0, max(found.low or 0.0, mm)) * 2) / 2)

    def press(self, at: Pointer) -> Gesture | None:
        """Drag towards the middle for a wider border."""
        stood, scale = self.room.darkroom.desk.now.border_mm, self._easel.plan.px_per_mm
        x, y = at.pos
        ways = {abs(x - self.rect.x): (1, 0), abs(x - self.rect.right): (-1, 0),
                abs(y - self.rect.y): (0, 1), abs(y - self.rect.bottom): (0, -1)}  # fmt: skip
        way = ways[min(ways)]
        return self.dragged(at, lambda dx, dy: self._to(stood + (dx * way[0] + dy * way[1]) / scale))

    def by(self, steps: int, fine: bool) -> bool:
        """Wider, or narrower."""
        self._to(self.room.darkroom.desk.now.border_mm + steps * (FINE_MM if fine else STEP_MM))
        return True

    def draw(self, canvas: Canvas) -> None:
        """They are drawn with the easel; a hand at their edge brightens it."""
        if self.hot:
            import pygame

            pygame.draw.rect(canvas.surface, canvas.look.colour("lamp"), Rect(self.rect), max(1, canvas.look.px(1.5)))
