"""The reference scale beside the prints, and the tone under the densitometer laid against it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import numpy as np
import pygame
from pygame import Rect

from sim.viewing.lightness import screen_values
from sim.window.kit.canvas import Canvas

if TYPE_CHECKING:
    from sim.bench.wall import PointReading
    from sim.viewing.real_paper import RealTone


def grey_of(density: float, viewing_lux: float) -> tuple[int, int, int]:
    """Return the screen's grey of a density in this light."""
    level = int(screen_values(np.array([[density]], np.float32), viewing_lux)[0, 0])
    return level, level, level


def draw_scale(
    canvas: Canvas, rect: Rect, densities: Sequence[float], reading: PointReading | None, viewing_lux: float
) -> None:
    """Draw the scale as a row of patches with their densities; a tab of the measured tone points at the nearest step."""
    look, surface = canvas.look, canvas.surface
    tab, line = look.px(16), look.line_height("small")
    wide = rect.w / len(densities)
    patches = Rect(rect.x, rect.y + tab, rect.w, max(look.px(10), rect.h - tab - line - look.px(4)))
    every = 1 if wide >= look.width("0.00", "small") + look.px(6) else 2
    every = every if wide * every >= look.width("0.00", "small") + look.px(6) else 5
    for n, density in enumerate(densities):
        left, right = round(rect.x + n * wide), round(rect.x + (n + 1) * wide)
        pygame.draw.rect(surface, grey_of(density, viewing_lux), Rect(left, patches.y, right - left, patches.h))
        if n % every == 0:
            words = f"{density:.2f}"
            canvas.text(words, ((left + right) // 2, patches.bottom + look.px(3)), "small", "soft", "midtop")
    if reading is None:
        return
    n = reading.nearest_step - 1
    left, right = round(rect.x + n * wide), round(rect.x + (n + 1) * wide)
    chip = Rect(left, rect.y, right - left, tab)  # touching its step: a tone is judged against what it touches
    pygame.draw.rect(surface, grey_of(reading.density, viewing_lux), chip)
    frame = Rect(left, rect.y, right - left, tab + patches.h)
    pygame.draw.rect(surface, (0, 0, 0), frame.inflate(look.px(4), look.px(4)), look.px(2))
    pygame.draw.rect(surface, (255, 255, 255), frame.inflate(look.px(2), look.px(2)), look.px(1))


def draw_reading(
    canvas: Canvas, rect: Rect, reading: PointReading | None, sheet: int, t: Callable[..., str], wet: bool = False,
    real: RealTone | None = None,
) -> None:  # fmt: skip
    """Draw the densitometer's figures: density large, then lightness, the nearest step, and how far real paper may be off.

    It reads dry sheets only. ``real`` is the named place nearest in tone; None where that is not worked out.
    """
    look = canvas.look
    inner = canvas.panel(rect, t("Densitometer, on the dry sheet") if wet else t("Densitometer"), sunk=True)
    if reading is None:
        canvas.lines(t("Point at a print, or choose the wall and use the arrows."), inner, "small", "soft", shorten=True)
        return
    figure = canvas.text(f"{reading.density:.2f}", inner.topleft, "figure", "ink")
    left = figure.right + look.px(14)
    room = inner.right - left
    y = inner.y + look.px(1)
    for words in (t("L* {value}", value=f"{reading.lightness:.0f}"), t("sheet {number}", number=sheet)):
        canvas.text(words, (left, y), "small", "soft", room=room, shorten=True)
        y += look.line_height("small")
    words = t("nearest step {number}, {density}", number=reading.nearest_step, density=f"{reading.step_density:.2f}")
    y = max(y, figure.bottom) + look.px(2)
    canvas.text(words, (inner.x, y), "small", "ink", room=inner.w, shorten=True)
    if real is not None:
        y += look.line_height("small")
        canvas.text(real_words(real, t), (inner.x, y), "small", "soft", room=inner.w, shorten=True)


def real_words(real: RealTone, t: Callable[..., str]) -> str:
    """Return how far a tone may be off on a real sheet, as it comes and once a test strip has put the time right."""
    return t(
        "real paper ± {untested}, after a strip ± {strip}",
        untested=f"{real.untested:.2f}", strip=f"{real.after_a_strip:.2f}",
    )  # fmt: skip
