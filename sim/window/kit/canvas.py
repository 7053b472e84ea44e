"""The surface a frame is drawn on. It remembers which words were drawn where and what can be clicked, nothing else."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import pygame
from pygame import Rect

from sim.window.kit.look import Look
from sim.window.theme import Colour


@dataclass(frozen=True)
class Label:
    """Words as they stand in the frame: where, whether they had to be cut, in which layer."""

    words: str
    rect: Rect
    shortened: bool
    layer: str
    may_shorten: bool = False


class Canvas:
    """What a place draws on."""

    def __init__(self, surface: pygame.Surface, look: Look):
        self.surface = surface
        self.look = look
        self.labels: list[Label] = []
        self.hits: list[tuple[str, Rect]] = []
        self.layer = "place"

    def hit(self, name: str, rect: Rect) -> None:
        """Say that something can be clicked here."""
        self.hits.append((name, rect.clip(self.surface.get_rect())))

    def text(
        self, words: str, at: tuple[int, int], size: str = "body", colour: str = "ink", anchor: str = "topleft",
        room: int | None = None, shorten: bool = False,
    ) -> Rect:  # fmt: skip
        """Draw one line; with ``room`` and ``shorten`` it is cut with an ellipsis. Returns where it stands."""
        shown = words
        if room is not None and shorten:
            shown = self.look.shortened(words, room, size)
        picture = self.look.text(shown, size, self.look.colour(colour))
        rect = picture.get_rect(**{anchor: at})
        self.surface.blit(picture, rect)
        too_wide = room is not None and rect.w > room
        self.labels.append(Label(shown, rect, shown != words or too_wide, self.layer, shorten))
        return rect

    def lines(self, words: str, rect: Rect, size: str = "body", colour: str = "ink", shorten: bool = False) -> Rect:
        """Draw words wrapped into a rectangle; returns what they fill. ``shorten`` allows an ellipsis at the end."""
        height = self.look.line_height(size)
        lines = self.look.wrapped(words, rect.w, size)
        most = max(1, rect.h // height)
        cut = len(lines) > most
        if cut:
            lines = lines[:most]
            lines[-1] = self.look.shortened(lines[-1] + " …", rect.w, size)
        y = rect.y
        for line in lines:
            if line:
                picture = self.look.text(line, size, self.look.colour(colour))
                self.surface.blit(picture, (rect.x, y))
                self.labels.append(Label(line, picture.get_rect(topleft=(rect.x, y)), cut, self.layer, shorten))
            y += height
        return Rect(rect.x, rect.y, rect.w, y - rect.y)

    def block(self, words: str, rect: Rect, size: str = "small", colour: str = "ink", left: bool = False) -> Rect:
        """Draw words wrapped into a rectangle, in the middle of it or at its left; what it does not hold is shortened."""
        high, lines = self.look.line_height(size), self.look.wrapped(words, rect.w, size)
        most = max(1, (rect.h + 1) // high)
        cut = len(lines) > most
        if cut:
            lines = [*lines[: most - 1], self.look.shortened(" ".join(lines[most - 1 :]), rect.w, size)]
        y = rect.centery - len(lines) * high // 2
        for line in lines:
            at, anchor = ((rect.x, y), "topleft") if left else ((rect.centerx, y), "midtop")
            self.text(line, at, size, colour, anchor)
            self.labels[-1] = replace(self.labels[-1], shortened=cut, may_shorten=True)
            y += high
        return Rect(rect.x, y - len(lines) * high, rect.w, len(lines) * high)

    def plate(self, rect: Rect, edge: str = "edge", fill: str = "sunk", radius: float = 5, hot: bool = False) -> None:
        """Draw a plate to read or to touch: filled, with an edge that a hand over it brightens; ``edge`` "": none."""
        look = self.look
        pygame.draw.rect(self.surface, look.colour(fill), rect, border_radius=look.px(radius))
        if edge or hot:
            pygame.draw.rect(self.surface, look.colour("soft" if hot else edge), rect, 1, border_radius=look.px(radius))

    def line(self, start: tuple[int, int], end: tuple[int, int], colour: str = "edge", width: float = 1.0) -> None:
        """Draw a line."""
        pygame.draw.line(self.surface, self.look.colour(colour), start, end, max(1, self.look.px(width)))

    def lamp(self, centre: tuple[int, int], radius: int, on: bool) -> None:
        """Draw a lamp: filled and glowing when on, a hollow ring when off, so that shape tells as well as light."""
        picture = self.look.keep(("lamp", radius, on), lambda: _lamp(self.look, radius, on))
        self.surface.blit(picture, picture.get_rect(center=centre))

    def mark(self, kind: str, centre: tuple[int, int], size: int, colour: str = "ink") -> None:
        """Draw a small sign: tick cross lock warn dot ring arrow pin."""
        key = ("mark", kind, size, colour)
        picture = self.look.keep(key, lambda: _mark(kind, size, self.look.colour(colour)))
        self.surface.blit(picture, picture.get_rect(center=centre))

    def focus_ring(self, rect: Rect) -> None:
        """Draw the ring that shows where the keyboard is: a light line outside a dark one."""
        gap, radius = self.look.px(3), self.look.px(7)
        outer = rect.inflate(2 * gap, 2 * gap)
        pygame.draw.rect(self.surface, self.look.colour("shade"), outer.inflate(2, 2), 1, border_radius=radius)
        pygame.draw.rect(self.surface, self.look.colour("focus"), outer, max(2, self.look.px(2)), border_radius=radius)


def _lamp(look: Look, radius: int, on: bool) -> pygame.Surface:
    """Drawn four times too large and brought down, so that a small disc is round."""
    side = radius * 4 * 4
    big = pygame.Surface((side, side), pygame.SRCALPHA)
    middle, r = (side // 2, side // 2), radius * 4
    if on:
        lamp = look.colour("lamp")
        for step in range(10):
            pygame.draw.circle(big, (*lamp, 7), middle, int(r * (2.0 - step * 0.1)))
        pygame.draw.circle(big, look.colour("shade"), middle, int(r * 1.12))
        pygame.draw.circle(big, lamp, middle, r)
    else:
        pygame.draw.circle(big, look.colour("shade"), middle, int(r * 1.12))
        pygame.draw.circle(big, look.colour("lamp-off"), middle, r)
        pygame.draw.circle(big, look.colour("soft"), middle, r, max(2, r // 4))
    return pygame.transform.smoothscale(big, (side // 4, side // 4))


def _mark(kind: str, size: int, colour: Colour) -> pygame.Surface:
    s = size * 4
    big = pygame.Surface((s, s), pygame.SRCALPHA)
    wide = max(2, s // 8)

    def at(x: float, y: float) -> tuple[int, int]:
        return int(x * s), int(y * s)

    def path(*points: tuple[float, float]) -> None:
        for one, other in pairwise(points):
            pygame.draw.line(big, colour, at(*one), at(*other), wide)
            pygame.draw.circle(big, colour, at(*other), wide // 2)
        pygame.draw.circle(big, colour, at(*points[0]), wide // 2)

    if kind == "tick":
        path((0.15, 0.55), (0.4, 0.8), (0.85, 0.2))
    elif kind == "cross":
        path((0.2, 0.2), (0.8, 0.8))
        path((0.8, 0.2), (0.2, 0.8))
    elif kind == "lock":
        pygame.draw.rect(big, colour, (at(0.2, 0.45), at(0.6, 0.45)), border_radius=wide // 2)
        pygame.draw.arc(big, colour, (at(0.3, 0.12), at(0.4, 0.62)), 0, 3.1416, wide)
    elif kind == "warn":
        path((0.5, 0.12), (0.93, 0.88), (0.07, 0.88), (0.5, 0.12))
        pygame.draw.line(big, colour, at(0.5, 0.4), at(0.5, 0.62), wide)
        pygame.draw.circle(big, colour, at(0.5, 0.76), wide // 2)
    elif kind == "arrow":
        path((0.15, 0.5), (0.85, 0.5))
        path((0.55, 0.2), (0.85, 0.5), (0.55, 0.8))
    elif kind == "pin":
        pygame.draw.circle(big, colour, at(0.5, 0.3), int(0.24 * s))
        path((0.5, 0.5), (0.5, 0.92))
    elif kind == "ring":
        pygame.draw.circle(big, colour, at(0.5, 0.5), int(0.34 * s), wide)
    else:
        pygame.draw.circle(big, colour, at(0.5, 0.5), int(0.28 * s))
    return pygame.transform.smoothscale(big, (size, size))
