"""One sheet for each sleeve: the negative on a light table, a straight print, the best print, and its tone reproduction."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.negative.develop import develop
from sim.negative.negative import Negative
from sim.negative.sleeve import find_sleeve
from sim.notebook.control_words import filter_words
from sim.notebook.record_words import purpose
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import make_print
from sim.printing.record import PrintingRecord
from sim.printing.setup import CONTACT_DIAGONAL_MM, usual_setup
from sim.scoring.best_print_of_a_negative import best_print, with_real_cards
from sim.scoring.burn_stops import burn_of
from sim.scoring.reach import ReachOptions, reach
from sim.scoring.target_tones import aim_tones
from sim.viewing.lightness import screen_values, srgb_encoded
from sim.viewing.tone_reproduction import ToneReproduction, tone_reproduction
from sim.workshop.figures import INK, LINE, chart, hang, new_figure, png_of

STOCK = "glossy-fb-vc"


def _sheet_mm(negative: Negative) -> tuple[float, float]:
    """Return the sheet: 8x10 in, or one that shows the rebate of film too large to enlarge."""
    if negative.diagonal_mm <= CONTACT_DIAGONAL_MM:
        return 203.0, 254.0
    rim = 2.0 * (negative.rebate_mm + 8.0)
    return negative.frame_mm[0] + rim, negative.frame_mm[1] + rim


def on_light_table(negative: Negative) -> NDArray[np.uint8]:
    """Return a negative as it looks on a light table: transmitted light, a little of the rebate around it."""
    light = 10.0 ** -negative.diffuse_density().astype(np.float64)
    rim = round(0.03 * light.shape[1])
    framed = np.pad(light, rim, constant_values=10.0**-negative.base_density)
    return np.round(255.0 * srgb_encoded(0.96 * framed)).astype(np.uint8)


def in_words(record: PrintingRecord) -> str:
    """Return what was done, one line per exposure."""
    lines = []
    for index, exposure in enumerate(record.exposures):
        burn = burn_of(record.exposures, index)
        cards = "; ".join(purpose(card, exposure, burn) for card in exposure.cards)
        line = f"{filter_words(exposure.filter)}, {exposure.time_s:.1f} s at f/{exposure.f_number:g}"
        lines.append(f"{line}: {cards}" if cards else line)
    return "\n".join(lines)


def sleeve_sheet_png(name: str) -> bytes:
    """Return the sheet of a sleeve as PNG."""
    sleeve, stock, lights = find_sleeve(name), find_stock(STOCK), LightCache()
    negative = develop(sleeve)
    base = usual_setup(negative, stock, *_sheet_mm(negative))
    goals = aim_tones(negative, Response(stock, base.development))
    straight = reach(negative, base, stock, goals[:1], "one", ReachOptions(filters=("2",)), lights).record
    best = with_real_cards(negative, best_print(negative, base, stock, goals, lights))
    straight_print = make_print(negative, straight, stock, lights=lights)
    best_sheet = make_print(negative, best, stock, lights=lights)
    figure, boxes = _wall(negative)
    height_in = figure.get_figheight()
    figure.text(0.03, 1.0 - 0.22 / height_in, sleeve.title, color=INK, fontsize=15, va="top")
    teaches = textwrap.fill(sleeve.teaches, int(11.5 * figure.get_figwidth()))
    figure.text(0.03, 1.0 - 0.56 / height_in, teaches, color=INK, fontsize=10.5, va="top", linespacing=1.3)
    hang(figure, boxes[0], on_light_table(negative), "On the light table")
    hang(figure, boxes[1], screen_values(straight_print.density), "Straight print, filter 2", in_words(straight))
    hang(figure, boxes[2], screen_values(best_sheet.density), "Best print for its aim tones", in_words(best))
    diagram = tone_reproduction(sleeve, negative, best, stock, best_sheet, lights)
    draw_tone_reproduction(figure, boxes[3], diagram)
    return png_of(figure, 100)


Box = tuple[float, float, float, float]


def _wall(negative: Negative) -> tuple[Any, tuple[Box, Box, Box, Box]]:
    """Return an empty wall and four places on it: all in a row for upright frames, two by two for wide ones."""
    if negative.frame_mm[0] > negative.frame_mm[1]:
        figure = new_figure(13.6, 12.6)
        low, high, size = 0.075, 0.525, (0.455, 0.375)
        return figure, ((0.03, high, *size), (0.515, high, *size), (0.03, low, *size), (0.56, low + 0.01, 0.41, 0.35))
    figure = new_figure(18.4, 7.4)
    size = (0.225, 0.68)
    return figure, ((0.03, 0.13, *size), (0.265, 0.13, *size), (0.50, 0.13, *size), (0.765, 0.19, 0.22, 0.58))


def draw_tone_reproduction(figure: Any, box: tuple[float, float, float, float], diagram: ToneReproduction) -> None:
    """Draw the four quadrants: scene (right, down), negative (left, down), paper (left, up), print (right, up)."""
    left, bottom, width, height = box
    half_w, half_h = 0.47 * width, 0.47 * height
    right, top = left + width - half_w, bottom + height - half_h
    scene = [p.log_luminance for p in diagram.points]
    neg = [p.negative_density for p in diagram.points]
    exposure = [p.log_exposure for p in diagram.points]
    tones = [p.print_density for p in diagram.points]
    span = (min(scene) - 0.4, max(scene) + 0.4)
    exp_span = (max(exposure) + 0.3, min(exposure) - 0.3)
    quadrants = (
        ("print", (right, top), span, (0.0, 2.4), scene, tones),
        ("paper", (left, top), exp_span, (0.0, 2.4), exposure, tones),
        ("negative", (left, bottom), exp_span, (max(neg) + 0.4, 0.0), exposure, neg),
        ("film", (right, bottom), span, (max(neg) + 0.4, 0.0), scene, neg),
    )
    for title, (x, y), x_span, y_span, xs, ys in quadrants:
        axes = chart(figure, (x, y, half_w, half_h), "", "")
        axes.set_xlim(*x_span)
        axes.set_ylim(*y_span)
        axes.locator_params(nbins=4)
        axes.tick_params(labelbottom=y == bottom, labelleft=x == left)
        axes.plot(xs, ys, "o", color=LINE, markersize=4.5, zorder=3)
        axes.text(0.0, 1.015, title, transform=axes.transAxes, color=INK, fontsize=8.5, va="bottom", style="italic")
        _curve_of(axes, title, diagram)
        words = {"film": ("scene, log cd/m²", ""), "paper": ("", "print density")}
        words["negative"] = ("relative log exposure on the paper", "negative density")
        axes.set_xlabel(words.get(title, ("", ""))[0], color=INK, fontsize=9)
        axes.set_ylabel(words.get(title, ("", ""))[1], color=INK, fontsize=9)
    figure.text(left, bottom + height + 0.035, "Tone reproduction", color=INK, fontsize=11, va="bottom")
    _name_points(figure, (right, top), (half_w, half_h), diagram, span, (0.0, 2.4))


def _curve_of(axes: Any, title: str, diagram: ToneReproduction) -> None:
    if title == "film":
        axes.plot(diagram.film_log_luminance, diagram.film_density, color=LINE, linewidth=1.1)
    if title == "paper":
        axes.plot(diagram.paper.log_exposure, diagram.paper.density, color=LINE, linewidth=1.1)


def _name_points(
    figure: Any, corner: tuple[float, float], size: tuple[float, float], diagram: ToneReproduction,
    x_span: Sequence[float], y_span: Sequence[float],
) -> None:  # fmt: skip
    """Name the places in the print quadrant beside their points, names kept apart from one another."""
    places = []
    for point in diagram.points:
        x = (point.log_luminance - x_span[0]) / (x_span[1] - x_span[0])
        places.append((x < 0.6, (point.print_density - y_span[0]) / (y_span[1] - y_span[0]), x, point.place))
    least = 0.11 / (size[1] * figure.get_figheight())  # 8 pt text, in shares of the quadrant's height
    for right in (True, False):
        last = -1.0
        for _, y, x, name in sorted(item for item in places if item[0] == right):
            last = max(y, last + least)
            figure.text(
                corner[0] + size[0] * x + (0.004 if right else -0.004), corner[1] + size[1] * last, name, color=LINE,
                fontsize=7.5, ha="left" if right else "right", va="center",
            )  # fmt: skip
