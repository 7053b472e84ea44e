"""Prints on the wall: all at one scale, under one light, on one grey."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pygame
from pygame import Rect

from sim.viewing.lightness import screen_values
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.theme import Colour, relative_luminance

WALL_DENSITY = 0.85  # a matt grey surround, about a seventh of the light: within what ISO 3664 asks of a surround
MOST_PINNED = 4


def wall_grey(viewing_lux: float) -> Colour:
    """Return the wall's grey on the screen: paint of one density, seen in the same light as the prints."""
    import numpy as np

    level = int(screen_values(np.array([[WALL_DENSITY]], np.float32), viewing_lux)[0, 0])
    return level, level, level


@dataclass(frozen=True)
class Hung:
    """Where one print hangs: its number, its rectangle, and its size in mm."""

    number: int
    rect: Rect
    size_mm: tuple[float, float]


def hang(rect: Rect, prints: Sequence[tuple[int, float, float]], gap: int, foot: int) -> tuple[list[Hung], float]:
    """Return where prints (number, width mm, height mm) hang, side by side or in two rows, and their common pixels per mm.

    ``foot`` is the room under each for its caption.
    """
    best: tuple[float, int] = (0.0, 1)
    for per_row in range(1, len(prints) + 1):
        scale = _scale(rect, prints, per_row, gap, foot)
        if scale > best[0]:
            best = (scale, per_row)
    scale, per_row = best
    hung: list[Hung] = []
    lines = [prints[k : k + per_row] for k in range(0, len(prints), per_row)]
    heights = [max(h for _, _, h in line) * scale + foot for line in lines]
    y = rect.y + (rect.h - sum(heights) - gap * (len(lines) - 1)) / 2
    for line, height in zip(lines, heights, strict=True):
        wide = sum(w for _, w, _ in line) * scale + gap * (len(line) - 1)
        x = rect.x + (rect.w - wide) / 2
        for number, w, h in line:
            top = y + (height - foot - h * scale) / 2
            hung.append(Hung(number, Rect(round(x), round(top), round(w * scale), round(h * scale)), (w, h)))
            x += w * scale + gap
        y += height + gap
    return hung, scale


def _scale(rect: Rect, prints: Sequence[tuple[int, float, float]], per_row: int, gap: int, foot: int) -> float:
    lines = [prints[k : k + per_row] for k in range(0, len(prints), per_row)]
    tall = sum(max(h for _, _, h in line) for line in lines)
    high = (rect.h - len(lines) * foot - gap * (len(lines) - 1)) / tall
    wide = min((rect.w - gap * (len(line) - 1)) / sum(w for _, w, _ in line) for line in lines)
    return max(0.0, min(high, wide))


def draw_hung(canvas: Canvas, hung: Hung, picture: pygame.Surface, pinned: bool = True) -> None:
    """Draw one print: a soft shadow, the sheet, and the pin that holds it."""
    look, surface = canvas.look, canvas.surface
    shadow = look.keep(("shadow", hung.rect.size), lambda: _shadow(look, hung.rect.size))
    surface.blit(shadow, hung.rect.move(-look.px(8), -look.px(6)))
    surface.blit(picture, hung.rect)
    if pinned:
        at = (hung.rect.centerx, hung.rect.y + look.px(2))
        pygame.draw.circle(surface, look.colour("shade"), (at[0] + 1, at[1] + look.px(2)), look.px(4))
        pygame.draw.circle(surface, look.colour("soft"), at, look.px(4))
        pygame.draw.circle(surface, look.colour("ink"), (at[0] - look.px(1), at[1] - look.px(1)), look.px(2))


def _shadow(look: Look, size: tuple[int, int]) -> pygame.Surface:
    wide, high = size[0] + 2 * look.px(8), size[1] + 2 * look.px(8)
    shadow = pygame.Surface((wide, high), pygame.SRCALPHA)
    for n in range(8):
        inner = Rect(0, 0, wide - 2 * n * look.px(1), high - 2 * n * look.px(1))
        inner.center = (wide // 2, high // 2)
        layer = pygame.Surface((wide, high), pygame.SRCALPHA)
        pygame.draw.rect(layer, (0, 0, 0, 9), inner, border_radius=look.px(6))
        shadow.blit(layer, (0, 0))
    return shadow


def ink_on(ground: Colour) -> Colour:
    """Return black or white, whichever reads better on a grey."""
    return (0, 0, 0) if relative_luminance(ground) > 0.18 else (255, 255, 255)


def draw_head(canvas: Canvas, at: tuple[int, int], radius: int) -> None:
    """Draw the densitometer's aperture: two rings, dark and light, so that it shows on any tone, and four sight lines."""
    look, surface = canvas.look, canvas.surface
    radius = max(radius, look.px(4))
    pygame.draw.circle(surface, (0, 0, 0), at, radius + look.px(3), look.px(2))
    pygame.draw.circle(surface, (255, 255, 255), at, radius + look.px(1), look.px(1))
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        one = (at[0] + dx * (radius + look.px(3)), at[1] + dy * (radius + look.px(3)))
        other = (at[0] + dx * (radius + look.px(11)), at[1] + dy * (radius + look.px(11)))
        pygame.draw.line(surface, (0, 0, 0), one, other, look.px(3))
        pygame.draw.line(surface, (255, 255, 255), one, other, look.px(1))
