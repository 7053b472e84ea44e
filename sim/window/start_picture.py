"""The picture at the door: an enlarger under a safelight, in the room's own colours."""

from __future__ import annotations

import pygame
from pygame import Rect

from sim.window.kit.look import Look
from sim.window.theme import Colour

Share = tuple[float, float]


class _Board:
    """A drawing board: places are shares of its width and height."""

    def __init__(self, size: tuple[int, int], look: Look):
        self.w, self.h = size
        self.look = look
        self.surface = glow(size, look.colour("sunk"), look.colour("glow"), (0.72, 0.12))

    def at(self, x: float, y: float) -> tuple[int, int]:
        return int(self.w * x), int(self.h * y)

    def box(self, x: float, y: float, w: float, h: float, colour: str, radius: int = 0) -> Rect:
        rect = Rect(self.at(x, y), self.at(w, h))
        pygame.draw.rect(self.surface, self.look.colour(colour), rect, border_radius=radius)
        return rect

    def shape(self, colour: str, *points: Share) -> None:
        pygame.draw.polygon(self.surface, self.look.colour(colour), [self.at(*p) for p in points])

    def line(self, colour: str, start: Share, end: Share, width: int = 3) -> None:
        pygame.draw.line(self.surface, self.look.colour(colour), self.at(*start), self.at(*end), width)


def draw_room(size: tuple[int, int], look: Look) -> pygame.Surface:
    """Return the picture: drawn twice too large and brought down, so that slanting edges are smooth."""
    board = _Board((max(2, size[0]) * 2, max(2, size[1]) * 2), look)
    _cone(board)
    _table(board)
    _enlarger(board)
    _lamp(board)
    _line_of_prints(board)
    _trays(board)
    return pygame.transform.smoothscale(board.surface, (max(1, size[0]), max(1, size[1])))


def _cone(b: _Board) -> None:
    light = pygame.Surface((b.w, b.h), pygame.SRCALPHA)
    for n in range(12):  # brighter towards its axis
        spread = 1.0 - n / 14
        left, right = 0.39 - 0.165 * spread, 0.39 + 0.165 * spread
        points = [
            b.at(0.39 - 0.015 * spread, 0.475),
            b.at(0.39 + 0.015 * spread, 0.475),
            b.at(right, 0.783),
            b.at(left, 0.783),
        ]
        layer = pygame.Surface((b.w, b.h), pygame.SRCALPHA)
        pygame.draw.polygon(layer, (*b.look.colour("paper"), 7), points)
        light.blit(layer, (0, 0))
    b.surface.blit(light, (0, 0))


def _table(b: _Board) -> None:
    b.box(0.0, 0.80, 1.0, 0.20, "panel")
    b.line("edge", (0.0, 0.80), (1.0, 0.80), 4)
    b.box(0.17, 0.785, 0.44, 0.015, "raised", 6)
    b.box(0.225, 0.779, 0.33, 0.008, "paper")


def _enlarger(b: _Board) -> None:
    b.box(0.255, 0.12, 0.022, 0.665, "raised")
    for n in range(24):
        y, long = 0.16 + n * 0.025, n % 4 == 0
        b.line("soft" if long else "edge", (0.279, y), (0.289 if long else 0.285, y))
    b.box(0.245, 0.285, 0.075, 0.06, "edge", 10)
    b.shape("raised", (0.335, 0.15), (0.445, 0.15), (0.465, 0.30), (0.315, 0.30))
    b.shape("edge", (0.335, 0.15), (0.348, 0.15), (0.333, 0.30), (0.315, 0.30))
    b.box(0.30, 0.30, 0.18, 0.022, "edge", 6)
    for n in range(5):
        b.box(0.338 + n * 0.004, 0.327 + n * 0.021, 0.104 - n * 0.008, 0.015, "raised", 6)
    b.box(0.36, 0.435, 0.06, 0.04, "edge", 8)
    b.line("soft", (0.362, 0.455), (0.418, 0.455), 2)


def _lamp(b: _Board) -> None:
    b.line("edge", (0.72, 0.0), (0.72, 0.10), 6)
    b.shape("raised", (0.66, 0.13), (0.78, 0.13), (0.755, 0.085), (0.685, 0.085))
    flame = Rect(b.at(0.66, 0.12), b.at(0.12, 0.02))
    pygame.draw.ellipse(b.surface, b.look.colour("lamp"), flame)


def _line_of_prints(b: _Board) -> None:
    points = [b.at(0.60 + 0.36 * n / 24, 0.32 + 0.02 * (1 - (n / 12 - 1) ** 2)) for n in range(25)]
    pygame.draw.lines(b.surface, b.look.colour("edge"), False, points, 4)
    for x, drop in ((0.63, 0.329), (0.74, 0.340), (0.85, 0.334)):
        sheet = b.box(x, drop, 0.085, 0.15, "paper", 2)
        picture = sheet.inflate(-b.w // 80, -b.w // 80)
        pygame.draw.rect(b.surface, b.look.colour("edge"), picture)
        shelf = Rect(picture.x, picture.y + picture.h * 6 // 10, picture.w, picture.h // 30 + 2)
        pygame.draw.rect(b.surface, b.look.colour("raised"), shelf)
        jar = Rect(0, 0, picture.w // 3, picture.h // 3)
        jar.midbottom = (picture.centerx, shelf.top)
        pygame.draw.rect(b.surface, b.look.colour("soft"), jar, border_radius=jar.w // 3)
        b.box(x + 0.037, drop - 0.012, 0.011, 0.025, "faint", 4)


def _trays(b: _Board) -> None:
    for n, x in enumerate((0.62, 0.745, 0.87)):
        b.shape("raised", (x - 0.008, 0.86), (x + 0.108, 0.86), (x + 0.098, 0.93), (x + 0.002, 0.93))
        b.line("soft" if n == 0 else "edge", (x - 0.008, 0.86), (x + 0.108, 0.86), 4)


def glow(size: tuple[int, int], dark: Colour, bright: Colour, at: Share) -> pygame.Surface:
    """Return a pool of light on a dark wall, from a small picture enlarged softly."""
    small = pygame.Surface((48, 32))
    for y in range(32):
        for x in range(48):
            away = ((x / 47 - at[0]) ** 2 + ((y / 31 - at[1]) * 0.8) ** 2) ** 0.5
            share = max(0.0, 1.0 - away / 0.95) ** 2
            small.set_at((x, y), tuple(round(a + (b - a) * share) for a, b in zip(dark, bright)))
    return pygame.transform.smoothscale(small, size)
