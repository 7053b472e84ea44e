"""The focusing loupe: set down on the easel by hand, it shows the grain, and the grain says whether the picture is sharp."""

from __future__ import annotations

import math

import pygame
from pygame import Rect, Surface

from sim.refusals import Refused
from sim.window.kit.boxes import stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.kit.picture import grey_surface
from sim.window.kit.shading import cast, in_a_glass, smooth
from sim.window.standing.room import OneRoom
from sim.window.things.easel import Easel, OnTheEasel
from sim.window.things.easel_picture import crop_tint

GLASS, RIM, SIDE_MM = 176, 9, 12.0


class Loupe(OnTheEasel):
    """Touch it on its shelf and it stands on the easel; drag it to what must be sharp; touch it again and it is away."""

    def __init__(self, room: OneRoom, easel: Easel):
        super().__init__(room, easel, "loupe")
        self._crop: Surface | None = None

    def lay_out(self, shelf: Rect) -> None:
        """On its shelf, or where it was set down: the glass stands beside the spot it looks at when that is at the edge."""
        at = self.at_mm
        if at is None:
            self.rect = shelf
            return
        side = min(self.room.px(GLASS), self._easel.rect.w // 2, self._easel.rect.h // 2)
        self.rect = stood((side, side), "center", self._easel.plan.to_px(*at), self._easel.rect)

    def hit(self, pos: tuple[int, int]) -> bool:
        """Its glass is round."""
        if not self.down:
            return super().hit(pos)
        return math.dist(pos, self.rect.center) <= self.rect.w / 2

    def pressed(self) -> None:
        """Set it down in the middle, or put it away."""
        self.stand(None if self.down else self.in_the_middle())

    def update(self) -> bool:
        """Look through it again where something was moved; returns whether it shows something else."""
        at, darkroom = self.at_mm, self.room.darkroom
        lit = darkroom.easel.lit and not darkroom.paper.exposing and not darkroom.desk.now.opal_sheet
        px = self.rect.w - 2 * self.room.px(RIM)
        key = (at, darkroom.desk.now, lit, px)
        if key == self._key:
            return False
        self._key, self._crop = key, None
        if at is None or not lit or px < 16:
            return True
        try:
            crop = darkroom.easel.loupe(*at, side_mm=SIDE_MM, px=px)
            self._crop = grey_surface(crop.values, crop_tint(self._easel.picture.tint))
        except Refused:  # beside the picture there is nothing to be seen
            self._crop = None
        return True

    def draw(self, canvas: Canvas) -> None:
        """On its shelf a small magnifier; on the easel a round glass full of grain."""
        look, rect = canvas.look, self.rect
        if not self.down:
            canvas.surface.blit(
                look.keep(("loupe", rect.size), lambda: smooth(rect.size, lambda b, n: _small(b, look, n))), rect
            )
            if self.hot:
                pygame.draw.rect(canvas.surface, look.colour("soft"), rect, 1, border_radius=look.px(4))
            return
        cast(canvas.surface, look, rect, 14, 5)
        rim = look.px(RIM)
        canvas.surface.blit(
            look.keep(("loupe rim", rect.w), lambda: smooth(rect.size, lambda b, n: _rim(b, look, n, rim))), rect
        )
        if self._crop is not None:
            seen = in_a_glass(look, self._crop, self._crop.get_width())
            canvas.surface.blit(seen, seen.get_rect(center=rect.center))

    def draw_focus(self, canvas: Canvas) -> None:
        """A ring round the glass."""
        if not self.down:
            super().draw_focus(canvas)
            return
        pygame.draw.circle(
            canvas.surface, canvas.look.colour("focus"), self.rect.center, self.rect.w // 2 + canvas.look.px(3), 2
        )


def _rim(big: Surface, look: Look, n: int, rim: int) -> None:
    middle = big.get_width() // 2
    pygame.draw.circle(big, look.colour("edge"), (middle, middle), middle)
    pygame.draw.circle(big, look.colour("raised"), (middle, middle), middle - n)
    pygame.draw.circle(big, look.colour("shade"), (middle, middle), middle - (rim - 2) * n)


def _small(big: Surface, look: Look, n: int) -> None:
    wide, high = big.get_size()
    u, radius = look.px(1) * n, min(wide, high) // 4
    middle = (int(wide * 0.45), int(high * 0.42))
    pygame.draw.line(big, look.colour("edge"), middle, (int(wide * 0.86), int(high * 0.86)), 4 * u)
    pygame.draw.circle(big, look.colour("sunk"), middle, radius)
    pygame.draw.circle(big, look.colour("soft"), middle, radius, 2 * u)
