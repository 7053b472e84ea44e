"""The lens ring, seen from below as one turns it in the dark: engraved marks, a click at every third of a stop."""

from __future__ import annotations

import math

import pygame
from pygame import Rect

from sim.window.hands.thing import Gesture
from sim.window.kit.boxes import stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Pointer
from sim.window.kit.look import Look
from sim.window.kit.shading import mixed
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import Knob

CLICK = 0.17  # of the half-circle's angle, between two clicks
LAST_ANGLE = 1.15  # radians from the index: further round the barrel nothing is seen


def mark_of(title: str) -> tuple[str, int]:
    """Return the engraved mark of ``f/8 + 1/3`` and its thirds: 8 and 1."""
    mark, _, third = title.removeprefix("f/").partition(" + ")
    return mark, int(third[0]) if third else 0


class LensRing(Knob):
    """Turned by its clicks: to the left the lens closes. Every click is heard and felt as a step."""

    control, cursor = "f_number", "across"

    def __init__(self, room: OneRoom):
        super().__init__(room, "aperture")
        self._touched: int | None = None  # px, where a hand touched it

    def _marks(self) -> tuple[list[float], list[str], int]:
        found = self.room.control("f_number")
        values = [float(value) for value in found.choices]
        now = float(found.value)
        here = min(range(len(values)), key=lambda n: abs(values[n] - now))
        return values, [self.room.words.text(title) for title in found.choice_titles], here

    def now(self) -> str:
        """The aperture in words."""
        _, titles, here = self._marks()
        return titles[here]

    def _to(self, index: int) -> None:
        values, _, here = self._marks()
        index = max(0, min(len(values) - 1, index))
        if index != here:
            self.set(values[index])
            self.room.sounds.play("tick")

    def press(self, at: Pointer) -> Gesture | None:
        """Turn it with the hand, or touch an engraved mark: it turns there."""
        self._touched = at.pos[0]
        here, step = self._marks()[2], max(4, round(self._x(CLICK) - self._x(0.0)))

        def turn(dx: int, dy: int) -> None:
            self._touched = None  # it was turned: Enter later on means no place of the hand
            self._to(here - round(dx / step))

        return self.dragged(at, turn)

    def pressed(self) -> None:
        """A mere touch: the nearest whole stop comes under the index."""
        at, self._touched = self._touched, None
        _, titles, here = self._marks()
        whole = [n for n in range(len(titles)) if abs(n - here) * CLICK <= LAST_ANGLE and not mark_of(titles[n])[1]]
        if at is not None and whole:
            self._to(min(whole, key=lambda n: abs(self._x((n - here) * CLICK) - at)))

    def turned(self, steps: int, fine: bool) -> bool:
        """The wheel turns by clicks."""
        self._to(self._marks()[2] - steps)
        return True

    def nudged(self, right: int, down: int, fine: bool) -> bool:
        """Arrows turn by clicks."""
        self._to(self._marks()[2] + right - down)
        return True

    def _x(self, angle: float) -> float:
        return self.rect.centerx + math.sin(angle) * self.rect.w / 2 / math.sin(LAST_ANGLE + 0.2)

    def draw(self, canvas: Canvas) -> None:
        """The barrel with its engraving, the milled grip, and the index."""
        look, rect = canvas.look, self.rect
        canvas.surface.blit(look.keep(("ring", rect.size), lambda: _barrel(look, rect.size)), rect)
        _, titles, here = self._marks()
        self._engrave(canvas, titles, here)
        for n in range(-44, 45):
            angle = n * CLICK / 3 - (here * CLICK) % (CLICK / 3)
            if abs(angle) <= LAST_ANGLE:
                x = round(self._x(angle))
                canvas.line((x, rect.y + rect.h * 64 // 100), (x, rect.bottom - look.px(3)), "shade", 1.5)
        x, wing = rect.centerx, look.px(6)
        pygame.draw.polygon(
            canvas.surface, look.colour("lamp"), [(x - wing, rect.y), (x + wing, rect.y), (x, rect.y + wing + 1)]
        )
        edge = "soft" if self.hot else "faint"
        pygame.draw.rect(canvas.surface, look.colour(edge), rect, 1, border_radius=look.px(6))

    def _engrave(self, canvas: Canvas, titles: list[str], here: int) -> None:
        look, rect = canvas.look, self.rect
        y, taken = rect.y + rect.h * 38 // 100, Rect(0, 0, 0, 0)
        for n in sorted(range(len(titles)), key=lambda n: abs(n - here)):
            angle = (n - here) * CLICK
            if abs(angle) > LAST_ANGLE:
                continue
            mark, thirds = mark_of(titles[n])
            x = round(self._x(angle))
            words = (f"f/{mark}" + ("", " ⅓", " ⅔")[thirds] if n == here else mark) if n == here or not thirds else ""
            size = "strong" if n == here else "small"
            plate = stood((look.width(words, size) + look.px(6), look.line_height(size)), "center", (x, y))
            if words and rect.contains(plate) and (n == here or not plate.colliderect(taken)):
                canvas.text(words, (x, y), size, "ink" if n == here else "soft", "center")
                taken = plate if n == here else taken
            elif abs(angle) < LAST_ANGLE and not plate.colliderect(taken):
                canvas.line((x, y - look.px(2)), (x, y + look.px(3)), "faint")


def _barrel(look: Look, size: tuple[int, int]) -> pygame.Surface:
    """A cylinder lit from above its middle: bright in the centre, dark towards its edges."""
    picture = pygame.Surface(size, pygame.SRCALPHA)
    split = size[1] * 62 // 100
    for x in range(size[0]):
        across = (x + 0.5) / size[0] * 2 - 1
        share = math.sqrt(max(0.0, 1 - (across * 0.97) ** 2))
        pygame.draw.line(picture, mixed(look.colour("sunk"), look.colour("raised"), share), (x, 0), (x, split))
        pygame.draw.line(picture, mixed(look.colour("sunk"), look.colour("edge"), share), (x, split), (x, size[1]))
    mask = pygame.Surface(size, pygame.SRCALPHA)
    pygame.draw.rect(mask, (255, 255, 255, 255), mask.get_rect(), border_radius=look.px(6))
    picture.blit(mask, (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
    return picture
