"""The reference scale below the prints, and the tone under the densitometer laid against it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import numpy as np
import pygame
from pygame import Rect

from sim.viewing.lightness import screen_values
from sim.window.kit.canvas import Canvas
from sim.window.theme import Colour

if TYPE_CHECKING:
    from sim.bench.wall import PointReading


def grey_of(density: float, viewing_lux: float, tint: Colour = (255, 255, 255)) -> Colour:
    """Return the screen's grey of a density in this light; ``tint`` is what the room's light leaves of white."""
    level = int(screen_values(np.array([[density]], np.float32), viewing_lux)[0, 0])
    red, green, blue = (level * share // 255 for share in tint)
    return red, green, blue


def draw_scale(
    canvas: Canvas, rect: Rect, densities: Sequence[float], reading: PointReading | None, viewing_lux: float,
    number: Callable[[float, int], str], tint: Colour = (255, 255, 255),
) -> None:  # fmt: skip
    """Draw the scale as a row of patches with their densities; a tab of the measured tone points at the nearest step."""
    look, surface = canvas.look, canvas.surface
    tab, line = look.px(16), look.line_height("small")
    wide = rect.w / len(densities)
    patches = Rect(rect.x, rect.y + tab, rect.w, max(look.px(10), rect.h - tab - line - look.px(4)))
    every = 1 if wide >= look.width("0.00", "small") + look.px(6) else 2
    every = every if wide * every >= look.width("0.00", "small") + look.px(6) else 5
    for n, density in enumerate(densities):
        left, right = round(rect.x + n * wide), round(rect.x + (n + 1) * wide)
        pygame.draw.rect(surface, grey_of(density, viewing_lux, tint), Rect(left, patches.y, right - left, patches.h))
        if n % every == 0:
            words = number(density, 2)
            canvas.text(words, ((left + right) // 2, patches.bottom + look.px(3)), "small", "soft", "midtop")
    if reading is None:
        return
    n = reading.nearest_step - 1
    left, right = round(rect.x + n * wide), round(rect.x + (n + 1) * wide)
    chip = Rect(left, rect.y, right - left, tab)  # touching its step: a tone is judged against what it touches
    pygame.draw.rect(surface, grey_of(reading.density, viewing_lux, tint), chip)
    frame = Rect(left, rect.y, right - left, tab + patches.h)
    pygame.draw.rect(surface, (0, 0, 0), frame.inflate(look.px(4), look.px(4)), look.px(2))
    pygame.draw.rect(surface, tint, frame.inflate(look.px(2), look.px(2)), look.px(1))
