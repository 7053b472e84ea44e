"""Axes, curves and points on them, and labels that keep out of each other's way."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import pygame
from pygame import Rect

from sim.window.kit.boxes import stood
from sim.window.kit.canvas import Canvas

Pixel = tuple[float, float]
TURNS = (-45, 135, -135, 45, -22, 158, -158, 22, -68, 112, -112, 68)


@dataclass(frozen=True)
class Axes:
    """A plot's frame: which values lie at its left, right, bottom and top."""

    rect: Rect
    left: float
    right: float
    bottom: float
    top: float

    def at(self, x: float, y: float) -> Pixel:
        """Return the pixel of a pair of values."""
        across = (x - self.left) / (self.right - self.left)
        up = (y - self.bottom) / (self.top - self.bottom)
        return self.rect.x + across * self.rect.w, self.rect.bottom - up * self.rect.h


def round_step(span: float, most: int) -> float:
    """Return a step of 1, 2 or 5 times a power of ten that divides a span into at most so many parts."""
    raw = abs(span) / max(1, most)
    power = 10.0 ** math.floor(math.log10(raw))
    return next(step * power for step in (1.0, 2.0, 5.0, 10.0) if step * power >= raw * 0.999)


def multiples(one: float, other: float, step: float) -> list[float]:
    """Return the multiples of a step between two values, the ends included."""
    low, high = min(one, other), max(one, other)
    return [k * step for k in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1)]


def signed(value: float, digits: int) -> str:
    """Return a number with a true minus sign."""
    return f"{value:.{digits}f}".replace("-", "−")


def draw_grid(canvas: Canvas, axes: Axes, numbers: str = "left bottom", most_x: int = 8, most_y: int = 8) -> None:
    """Draw the frame, the grid and the numbers at the sides named in ``numbers`` (left, right, bottom, top)."""
    look, surface, rect = canvas.look, canvas.surface, axes.rect
    pygame.draw.rect(surface, look.colour("sunk"), rect)
    step_x, step_y = round_step(axes.right - axes.left, most_x), round_step(axes.top - axes.bottom, most_y)
    line = tuple((2 * a + b) // 3 for a, b in zip(look.colour("sunk"), look.colour("faint"), strict=True))
    for value in multiples(axes.left, axes.right, step_x):
        x = round(axes.at(value, axes.bottom)[0])
        pygame.draw.line(surface, line, (x, rect.y), (x, rect.bottom))
        words = signed(value, 0 if step_x >= 1 else 1)
        beyond = look.width(words, "small") // 2 - look.px(6)  # so near a corner it would lie over a number of that side
        if ("left" in numbers and x - rect.x < beyond) or ("right" in numbers and rect.right - x < beyond):
            continue
        if "bottom" in numbers:
            canvas.text(words, (x, rect.bottom + look.px(4)), "small", "soft", "midtop")
        if "top" in numbers:
            canvas.text(words, (x, rect.y - look.px(4)), "small", "soft", "midbottom")
    for value in multiples(axes.bottom, axes.top, step_y):
        y = round(axes.at(axes.left, value)[1])
        pygame.draw.line(surface, line, (rect.x, y), (rect.right, y))
        words = signed(value, 0 if step_y >= 1 else 1)
        if "left" in numbers:
            canvas.text(words, (rect.x - look.px(6), y), "small", "soft", "midright")
        if "right" in numbers:
            canvas.text(words, (rect.right + look.px(6), y), "small", "soft", "midleft")
    pygame.draw.rect(surface, look.colour("faint"), rect, 1)


def draw_curve(canvas: Canvas, axes: Axes, xs: Sequence[float], ys: Sequence[float], width: float = 2.0) -> None:
    """Draw a smooth line through pairs of values, cut off at the frame."""
    points = [axes.at(float(x), float(y)) for x, y in zip(xs, ys, strict=True)]
    surface, ink = canvas.surface, canvas.look.colour("ink")
    clip = surface.get_clip()
    surface.set_clip(axes.rect.clip(clip))
    half = canvas.look.px(width) / 2
    for one, other in itertools.pairwise(points):
        long = math.hypot(other[0] - one[0], other[1] - one[1])
        if long < 1e-6:
            continue
        nx, ny = -(other[1] - one[1]) / long * half, (other[0] - one[0]) / long * half
        quad = [
            (one[0] + nx, one[1] + ny), (other[0] + nx, other[1] + ny),
            (other[0] - nx, other[1] - ny), (one[0] - nx, one[1] - ny),
        ]  # fmt: skip
        pygame.draw.polygon(surface, ink, quad)
        pygame.draw.aalines(surface, ink, True, quad)
    surface.set_clip(clip)


def curve_boxes(axes: Axes, xs: Sequence[float], ys: Sequence[float], side: int) -> list[Rect]:
    """Return small squares along a curve, for labels to keep clear of."""
    boxes = []
    for x, y in zip(xs, ys, strict=True):
        pixel = axes.at(float(x), float(y))
        if axes.rect.collidepoint(pixel):
            box = stood((side, side), "center", (round(pixel[0]), round(pixel[1])))
            boxes.append(box)
    return boxes


def draw_dashed(canvas: Canvas, one: Pixel, other: Pixel, colour: str = "ink") -> None:
    """Draw a dashed straight line."""
    look = canvas.look
    long = math.hypot(other[0] - one[0], other[1] - one[1])
    dash = look.px(6)
    for k in range(int(long / dash) + 1):
        if k % 2 == 0:
            a, b = k * dash / max(long, 1e-6), min(1.0, (k + 1) * dash / max(long, 1e-6))
            ends = [(one[0] + (other[0] - one[0]) * s, one[1] + (other[1] - one[1]) * s) for s in (a, b)]
            pygame.draw.line(canvas.surface, look.colour(colour), ends[0], ends[1], look.px(1))


def draw_point(canvas: Canvas, at: Pixel, chosen: bool) -> None:
    """Draw a point: a disc with a dark rim, ringed when it is the chosen one."""
    look = canvas.look
    place = (round(at[0]), round(at[1]))
    pygame.draw.circle(canvas.surface, look.colour("shade"), place, look.px(5))
    pygame.draw.circle(canvas.surface, look.colour("ink"), place, look.px(4))
    if chosen:
        pygame.draw.circle(canvas.surface, look.colour("focus"), place, look.px(9), look.px(2))


def free_places(
    points: Sequence[Pixel], sizes: Sequence[tuple[int, int]], room: Rect, away: int, taken: Sequence[Rect] = ()
) -> list[Rect]:
    """Return a rectangle near each point that overlaps no other, no point, and stays in the room where it can."""
    dots = [Rect(0, 0, away, away) for _ in points]
    for dot, point in zip(dots, points, strict=True):
        dot.center = (round(point[0]), round(point[1]))
    placed: list[Rect] = []
    for point, size in zip(points, sizes, strict=True):
        placed.append(_free(point, size, room, away, [*taken, *placed, *dots]))
    return placed


def _free(point: Pixel, size: tuple[int, int], room: Rect, away: int, taken: Sequence[Rect]) -> Rect:
    """Walk round the point in growing rings until a place is free."""
    tried = Rect((0, 0), size)
    for ring in range(1, 40):
        for turn in TURNS:  # slanting places first: level and upright ones lie on the lines drawn from point to point
            angle = math.radians(turn)
            reach = away * (0.6 + 0.5 * ring)
            tried.center = (
                round(point[0] + math.cos(angle) * (reach + size[0] / 2)),
                round(point[1] + math.sin(angle) * (reach + size[1] / 2)),
            )
            if room.contains(tried) and tried.collidelist(list(taken)) < 0:
                return tried.copy()
    tried.center = (round(point[0]), round(point[1]))
    return tried.clamp(room)
