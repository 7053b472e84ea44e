"""A lens ring seen from the front: engraved stops pass under a fixed index mark, a knurled grip below turns it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pygame
from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Change, Control
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, Pointer
from sim.window.kit.look import Look

STOP_ANGLE = math.radians(24.0)  # between two engraved stops
LAST_ANGLE = math.radians(74.0)  # what is turned further away is not seen


class Ring(Control):
    """One of a row of stops, dragged sideways, stepped with the wheel or the arrows."""

    def __init__(
        self, id: str, label: str, stops: Sequence[tuple[str, str]], value: str = "",
        change: Change | None = None, unit: str = "", help_key: str = "",
    ):  # fmt: skip
        super().__init__(id, label, help_key)
        self.stops = list(stops)
        self.value = value or (stops[0][0] if stops else "")
        self.unit = unit
        self.change = change
        self._from: tuple[int, int] | None = None  # pointer x and stop at the start of a drag

    def wanted(self, look: Look) -> tuple[int, int]:
        """Label, engraved band and grip."""
        return look.px(150), look.line_height("small") + look.px(4 + 62)

    @property
    def index(self) -> int:
        """Which stop stands under the index mark."""
        return next((n for n, (key, _) in enumerate(self.stops) if key == self.value), 0)

    def spoken(self) -> str:
        """The engraved words under the index mark."""
        words = self.stops[self.index][1] if self.stops else ""
        return f"{words} {self.unit}".strip()

    def turn_to(self, index: int) -> Outcome:
        """Bring a stop under the index mark."""
        if self.locked:
            return self.refused()
        if not self.stops:
            return HANDLED
        key = self.stops[max(0, min(len(self.stops) - 1, index))][0]
        if key == self.value:
            return HANDLED
        self.value = key
        return (self.change(key) if self.change else None) or HANDLED

    def _band(self, look: Look) -> Rect:
        used = look.line_height("small") + look.px(4)
        return Rect(self.rect.x, self.rect.y + used, self.rect.w, max(1, self.rect.h - used))

    def _x(self, angle: float, look: Look) -> int:
        band = self._band(look)
        return band.centerx + round(math.sin(angle) * band.w / 2 / math.sin(LAST_ANGLE + 0.16))

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """Dragged like the ring itself: to the left brings higher stops. A press on an engraved stop goes there."""
        if event.kind == "wheel":
            return self.turn_to(self.index + event.steps)
        if event.kind == "down" and event.button == 1:
            self._from = (event.pos[0], self.index)
            return HANDLED
        if event.kind == "move" and self._from and 1 in event.buttons:
            step = max(1, self._x(STOP_ANGLE, look) - self._x(0.0, look))
            return self.turn_to(self._from[1] + round((self._from[0] - event.pos[0]) / step))
        if event.kind == "up" and self._from:
            start, self._from = self._from, None
            if abs(event.pos[0] - start[0]) < look.px(4) and self._band(look).collidepoint(event.pos):
                return self.turn_to(self._nearest(event.pos[0], look))
            return HANDLED
        return UNUSED

    def _nearest(self, x: int, look: Look) -> int:
        seen = [n for n in range(len(self.stops)) if abs(n - self.index) * STOP_ANGLE <= LAST_ANGLE]
        return min(seen, key=lambda n: abs(self._x((n - self.index) * STOP_ANGLE, look) - x), default=self.index)

    def key(self, event: Key) -> Outcome:
        """Left and right, down and up turn by a stop; home and end to the ends."""
        if not event.down or event.control or event.alt:
            return UNUSED
        if event.name in ("home", "end"):
            return self.turn_to(0 if event.name == "home" else len(self.stops) - 1)
        steps = {"left": -1, "down": -1, "right": 1, "up": 1}.get(event.name)
        return UNUSED if steps is None else self.turn_to(self.index + steps)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the barrel, the engraved stops that are turned towards us, the grip and the index mark."""
        look = canvas.look
        self.draw_label(canvas, self.rect, self.spoken())
        band = self._band(look)
        barrel = look.keep(("barrel", band.size), lambda: _barrel(look, band.size))
        canvas.surface.blit(barrel, band)
        self._draw_stops(canvas, band)
        grip_top = band.y + look.px(36)
        for n in range(-40, 41):
            angle = n * STOP_ANGLE / 6 - (self.index * STOP_ANGLE) % (STOP_ANGLE / 6)
            if abs(angle) <= LAST_ANGLE + 0.1:
                x = self._x(angle, look)
                canvas.line((x, grip_top + look.px(3)), (x, band.bottom - look.px(4)), "shade", 2)
        x, y, wing = band.centerx, band.y, look.px(6)
        pygame.draw.polygon(
            canvas.surface, look.colour("lamp"), [(x - wing, y), (x + wing, y), (x, y + wing + look.px(1))]
        )
        edge = "soft" if self.hot else "faint"
        pygame.draw.rect(canvas.surface, look.colour(edge), band, 1, border_radius=look.px(6))
        if focused:
            canvas.focus_ring(band)

    def _draw_stops(self, canvas: Canvas, band: Rect) -> None:
        look = canvas.look
        taken: list[Rect] = []
        order = sorted(range(len(self.stops)), key=lambda n: abs(n - self.index))
        for n in order:
            angle = (n - self.index) * STOP_ANGLE
            if abs(angle) > LAST_ANGLE:
                continue
            here = n == self.index
            words, size = self.stops[n][1], "strong" if here else "small"
            rect = Rect(0, 0, look.width(words, size), look.line_height(size))
            rect.center = (self._x(angle, look), band.y + look.px(21))
            free = band.contains(rect.inflate(look.px(6), 0)) and rect.inflate(look.px(8), 0).collidelist(taken) < 0
            if here or free:
                taken.append(
                    canvas.text(words, rect.center, size, "ink" if here else "soft", "center", band.w, shorten=True)
                )
            else:
                canvas.mark("dot", rect.center, look.px(8), "faint")


def _barrel(look: Look, size: tuple[int, int]) -> pygame.Surface:
    """A cylinder lit from above the middle: bright in the centre, dark towards its edges."""
    picture = pygame.Surface(size, pygame.SRCALPHA)
    low, high, grip = look.colour("sunk"), look.colour("raised"), look.colour("edge")
    top = look.px(36)
    for x in range(size[0]):
        across = (x + 0.5) / size[0] * 2 - 1
        share = math.sqrt(max(0.0, 1 - (across * 0.97) ** 2))
        upper = [round(a + (b - a) * share) for a, b in zip(low, high)]
        lower = [round(a + (b - a) * share) for a, b in zip(low, grip)]
        pygame.draw.line(picture, upper, (x, 0), (x, top))
        pygame.draw.line(picture, lower, (x, top), (x, size[1]))
    mask = pygame.Surface(size, pygame.SRCALPHA)
    pygame.draw.rect(mask, (255, 255, 255, 255), mask.get_rect(), border_radius=look.px(6))
    picture.blit(mask, (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
    return picture
