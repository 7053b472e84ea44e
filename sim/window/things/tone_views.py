"""The whole way of a print's tones from scene to print, in four quadrants."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pygame
from pygame import Rect

from sim.window.kit.axes import Axes, Pixel, curve_boxes, draw_curve, draw_dashed, draw_grid, draw_point, free_places
from sim.window.kit.canvas import Canvas

if TYPE_CHECKING:
    from sim.viewing.tone_reproduction import ToneReproduction

Words = Callable[..., str]


def _range(values: Sequence[float], least: float, margin: float = 0.15) -> tuple[float, float]:
    low, high = min(values), max(values)
    middle, half = (low + high) / 2, max(least / 2, (high - low) / 2 + margin)
    return middle - half, middle + half


@dataclass(frozen=True)
class Quadrants:
    """Four frames round one crossing: negative (lower right), light (lower left), paper (upper left), print (upper right)."""

    negative: Axes
    light: Axes
    paper: Axes
    print: Axes

    def way(self, log_luminance: float, negative: float, log_exposure: float, density: float) -> list[Pixel]:
        """Return the four corners of one tone's way through the frames."""
        return [
            self.negative.at(log_luminance, negative), self.light.at(log_exposure, negative),
            self.paper.at(log_exposure, density), self.print.at(log_luminance, density),
        ]  # fmt: skip


def quadrants(rect: Rect, gap: int, chain: ToneReproduction) -> Quadrants:
    """Return the four frames for a print's tones."""
    scene = _range([p.log_luminance for p in chain.points], 1.5)
    exposure = _range([p.log_exposure for p in chain.points], 1.2, 0.25)
    deepest = max(1.2, max(p.negative_density for p in chain.points) + 0.15)
    blackest = max(2.2, max(max(chain.paper.density), max(p.print_density for p in chain.points)) + 0.1)
    wide, high = (rect.w - gap) // 2, (rect.h - gap) // 2
    left, right = rect.x, rect.x + wide + gap
    low, top = rect.y + high + gap, rect.y
    return Quadrants(
        negative=Axes(Rect(right, low, wide, high), *scene, deepest, 0.0),
        light=Axes(Rect(left, low, wide, high), exposure[1], exposure[0], deepest, 0.0),
        paper=Axes(Rect(left, top, wide, high), exposure[1], exposure[0], blackest, 0.0),
        print=Axes(Rect(right, top, wide, high), *scene, blackest, 0.0),
    )


def draw_tone_chain(canvas: Canvas, rect: Rect, chain: ToneReproduction, chosen: str, t: Words) -> None:
    """Draw the four quadrants, every tone numbered in each, and the whole way of the chosen one as a dashed line."""
    look = canvas.look
    side, foot = look.px(40), look.px(42)
    body = Rect(rect.x + side, rect.y + foot, rect.w - 2 * side, rect.h - 2 * foot)
    four = quadrants(body, look.px(8), chain)
    draw_grid(canvas, four.paper, "left top", 5, 6)
    draw_grid(canvas, four.print, "right top", 5, 6)
    draw_grid(canvas, four.light, "left bottom", 5, 6)
    draw_grid(canvas, four.negative, "right bottom", 5, 6)
    printed = chain.paper.log_exposure.tolist(), chain.paper.density.tolist()
    filmed = chain.film_log_luminance.tolist(), chain.film_density.tolist()
    draw_curve(canvas, four.paper, *printed, 1.6)
    draw_curve(canvas, four.negative, *filmed, 1.6)
    for point in chain.points:
        if point.place == chosen:
            way = four.way(point.log_luminance, point.negative_density, point.log_exposure, point.print_density)
            for one, other in zip(way, [*way[1:], way[0]]):
                draw_dashed(canvas, one, other)
    _titles(canvas, rect, four, t)
    along = look.px(7)
    film = curve_boxes(four.negative, *filmed, along)
    paper = curve_boxes(four.paper, *printed, along)
    for corner, (axes, taken) in enumerate(((four.negative, film), (four.light, []), (four.paper, paper), (four.print, []))):
        _numbered(canvas, axes, chain, corner, four, chosen, taken)


def _numbered(
    canvas: Canvas, axes: Axes, chain: ToneReproduction, corner: int, four: Quadrants, chosen: str, taken: list[Rect]
) -> None:
    look = canvas.look
    pixels = [four.way(p.log_luminance, p.negative_density, p.log_exposure, p.print_density)[corner] for p in chain.points]
    sizes = [(look.width(str(n + 1), "small") + 2, look.line_height("small")) for n in range(len(pixels))]
    title = Rect(axes.rect.x, axes.rect.y, axes.rect.w, look.line_height("small") + look.px(8))
    places = free_places(pixels, sizes, axes.rect.inflate(-4, -4), look.px(11), [title, *taken])
    for n, (point, pixel, place) in enumerate(zip(chain.points, pixels, places, strict=True)):
        picked = point.place == chosen
        gap = abs(place.centerx - pixel[0]) + abs(place.centery - pixel[1])
        if gap > look.px(34):
            pygame.draw.aaline(canvas.surface, look.colour("faint"), pixel, place.center)
        draw_point(canvas, pixel, picked)
        canvas.text(str(n + 1), place.center, "small", "ink" if picked else "soft", "center")


def _titles(canvas: Canvas, rect: Rect, four: Quadrants, t: Words) -> None:
    """Name each frame inside its upper edge, and each axis where its numbers stand."""
    look = canvas.look
    for axes, words in (
        (four.paper, t("Paper")), (four.print, t("Print against scene")), (four.light, t("Light through the negative")),
        (four.negative, t("Negative")),
    ):  # fmt: skip
        at = (axes.rect.x + look.px(8), axes.rect.y + look.px(5))
        wide = min(look.width(words, "small"), axes.rect.w - look.px(16))
        plate = Rect(at, (wide, look.line_height("small"))).inflate(look.px(6), 0)
        pygame.draw.rect(canvas.surface, look.colour("sunk"), plate)
        canvas.text(words, at, "small", "ink", room=axes.rect.w - look.px(16), shorten=True)
    y = rect.y + look.px(1)
    half = four.paper.rect.w - look.px(4)
    canvas.text(t("log exposure on the paper"), (four.paper.rect.x, y), "small", "soft", room=half, shorten=True)
    canvas.text(t("log luminance of the scene"), (four.print.rect.right, y), "small", "soft", "topright", half, shorten=True)
    y = rect.bottom - look.px(1)
    canvas.text(
        t("Up: print density. Down: negative density."), (rect.centerx, y), "small", "soft", "midbottom", rect.w, shorten=True
    )
