"""The focusing loupe: set down on the easel by hand, it shows the grain, and the grain says whether the picture is sharp."""

from __future__ import annotations

import math

import numpy as np
import pygame
from numpy.typing import NDArray
from pygame import Rect, Surface

from sim.refusals import Refused
from sim.window.hands.drags import Drag
from sim.window.hands.thing import Gesture, Thing
from sim.window.kit.boxes import stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Pointer
from sim.window.kit.look import Look
from sim.window.kit.picture import grey_surface
from sim.window.kit.shading import cast, in_a_glass, smooth
from sim.window.standing.room import OneRoom
from sim.window.things.easel import Easel, OnTheEasel
from sim.window.things.easel_picture import crop_tint

GLASS, RIM, SIDE_MM = 176, 9, 5.0  # logical units; mm of the easel: near enough for grain to be seen
CLEARER = 1.8  # how much more of the contrast an eye at the glass sees, for nothing else is bright beside it (chosen by eye)
LIGHTEST_MEAN = 150.0  # screen value: a lighter piece under the glass is shown darker, or its lights were burnt out (by eye)
BLOCKS = 12  # across and down: where a loupe is set down by itself is looked for among so many


class Loupe(OnTheEasel):
    """Touch it on its shelf and it goes with the hand over the easel; a touch there sets it down, another puts it away.

    Set down, it can be dragged to what must be sharp.
    """

    def __init__(self, room: OneRoom, easel: Easel, focus: Thing):
        super().__init__(room, easel, "loupe")
        self._crop: Surface | None = None
        self._focus = focus
        self.in_hand = self._came = False  # it follows the hand until it is set down; and has come over the easel
        self.said = ""  # what the grain says

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

    def press(self, at: Pointer) -> Gesture | None:
        """In the hand it is set down; on its shelf it is taken, and follows the hand; else it is dragged, or put away."""
        if self.in_hand:
            self.in_hand = False
            return None
        taken = not self.down

        def touched() -> None:
            self.pressed()
            self.in_hand, self._came = taken, False

        return Drag(at, lambda dx, dy, now: self.carry(now.pos), lambda: None, touched)

    def pressed(self) -> None:
        """Set it down where the hand is, else where there is something to be seen; or put it away."""
        self.in_hand = False
        if self.down:
            self.stand(None)
            return
        hand = self.room.hand_at()
        over = self._easel.rect.collidepoint(hand)
        self.stand(self._easel.plan.to_mm(hand) if over else self.on_detail())

    def follow(self, pos: tuple[int, int]) -> None:
        """Go with the hand over the easel; where the hand leaves it again, it is left standing there."""
        if self.in_hand and self._easel.rect.collidepoint(pos):
            self.stand(self._easel.plan.to_mm(pos))
            self._came = True
        elif self._came:
            self.in_hand = self._came = False

    def turned(self, steps: int, fine: bool) -> bool:
        """The wheel under the glass turns the focus knob: one looks and turns."""
        return self.down and not self._focus.locked() and self._focus.by(steps, fine)

    def on_detail(self) -> tuple[float, float]:
        """Return where on the sheet the light changes most: there an eye sees best whether it is sharp."""
        now, darkroom = self.room.darkroom.desk.now, self.room.darkroom
        border, (wide, high) = now.border_mm, (now.sheet_width_mm, now.sheet_height_mm)
        if not darkroom.easel.lit:
            return self.in_the_middle()
        inner = (border, border, wide - 2 * border, high - 2 * border)
        levels = darkroom.easel.glance((BLOCKS * 16, BLOCKS * 16), inner).values.astype(np.float32)
        rows, cols = levels.shape[0] // BLOCKS, levels.shape[1] // BLOCKS
        blocks = levels[: rows * BLOCKS, : cols * BLOCKS].reshape(BLOCKS, rows, BLOCKS, cols)
        spread = np.abs(np.diff(blocks, axis=1)).mean(axis=(1, 3)) + np.abs(np.diff(blocks, axis=3)).mean(axis=(1, 3))
        spread[[0, -1], :] = spread[:, [0, -1]] = 0.0  # the frame's own edge is no detail
        row, col = np.unravel_index(int(spread.argmax()), spread.shape)
        return inner[0] + (float(col) + 0.5) / BLOCKS * inner[2], inner[1] + (float(row) + 0.5) / BLOCKS * inner[3]

    def update(self) -> bool:
        """Look through it again where something was moved; returns whether it shows something else."""
        at, darkroom = self.at_mm, self.room.darkroom
        lit = darkroom.easel.lit and not darkroom.paper.exposing and not darkroom.desk.now.opal_sheet
        px = self.rect.w - 2 * self.room.px(RIM)
        key = (at, darkroom.desk.now, lit, px)
        if key == self._key:
            return False
        self._key, self._crop, self.said = key, None, ""
        if at is None or not lit or px < 16:
            return True
        try:
            crop = darkroom.easel.loupe(*at, side_mm=SIDE_MM, px=px)
            self._crop = grey_surface(clearer(crop.values), crop_tint(self._easel.picture.tint))
            self.said = self.room.line("grain crisp" if darkroom.easel.grain_is_crisp(*at) else "grain soft")
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
        if self.said:
            plate = stood((look.width(self.said, "small") + look.px(14), look.line_height("small") + look.px(4)), "midtop",
                          (rect.centerx, rect.bottom + look.px(4)), self._easel.rect)  # fmt: skip
            canvas.plate(plate, "edge", radius=3)
            canvas.text(self.said, plate.center, "small", "ink", "center")

    def draw_focus(self, canvas: Canvas) -> None:
        """A ring round the glass."""
        if not self.down:
            super().draw_focus(canvas)
            return
        pygame.draw.circle(
            canvas.surface, canvas.look.colour("focus"), self.rect.center, self.rect.w // 2 + canvas.look.px(3), 2
        )


def clearer(levels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return what lies under the glass with the contrast that an eye at it sees, its mean tone kept up to ``LIGHTEST_MEAN``."""
    mean = float(levels.mean())
    return np.asarray(np.clip((levels - mean) * CLEARER + min(mean, LIGHTEST_MEAN), 0.0, 255.0)).astype(np.uint8)


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
