"""One sheet for each sleeve: the negative on a light table, a straight print, the best print, and its tone reproduction."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.negative.develop import develop
from sim.negative.negative import Negative
from sim.negative.sleeve import find_sleeve
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import make_print
from sim.printing.record import PrintingRecord
from sim.printing.setup import usual_setup
from sim.scoring.best_print import best_print, with_real_cards
from sim.scoring.reach import Goal, ReachOptions, reach
from sim.scoring.targets import aim_tones
from sim.viewing.lightness import screen_values, srgb_encoded
from sim.viewing.tone_reproduction import ToneReproduction, tone_reproduction
from sim.workshop.figures import INK, chart, hang, new_figure, png_of

STOCK = "glossy-fb-vc"


def on_light_table(negative: Negative) -> NDArray[np.uint8]:
    """Return a negative as it looks on a light table: transmitted light, a little of the rebate around it."""
    light = 10.0 ** -negative.diffuse_density().astype(np.float64)
    rim = round(0.03 * light.shape[1])
    framed = np.pad(light, rim, constant_values=10.0**-negative.base_density)
    return np.round(255.0 * srgb_encoded(0.96 * framed)).astype(np.uint8)


def in_words(record: PrintingRecord) -> str:
    """Return what was done, one line per exposure."""
    lines = []
    for exposure in record.exposures:
        cards = "; ".join(card.note for card in exposure.cards)
        lines.append(f"{exposure.filter.label()}, {exposure.time_s:.1f} s at f/{exposure.f_number:g}" + (f": {cards}" if cards else ""))
    return "\n".join(lines)


def sleeve_sheet_png(name: str) -> bytes:
    """Return the sheet of a sleeve as PNG."""
    sleeve, stock, lights = find_sleeve(name), find_stock(STOCK), LightCache()
    negative = develop(sleeve)
    base = usual_setup(negative, stock)
    goals = [Goal(target.place, target.density) for target in aim_tones(negative, Response(stock, base.development))]
    straight = reach(negative, base, stock, goals[:1], "one", ReachOptions(filters=("2",)), lights).record
    best = with_real_cards(negative, best_print(negative, base, stock, goals, lights))
    straight_print = make_print(negative, straight, stock, lights=lights)
    best_sheet = make_print(negative, best, stock, lights=lights)
    wide = negative.frame_mm[0] > negative.frame_mm[1]
    figure = new_figure(13.0, 10.6 if wide else 14.6)
    figure.text(0.035, 0.972, sleeve.title, color=INK, fontsize=15, va="top")
    figure.text(0.035, 0.945, sleeve.teaches, color=INK, fontsize=10, va="top", wrap=True)
    boxes = ((0.035, 0.51, 0.45, 0.385), (0.515, 0.51, 0.45, 0.385), (0.035, 0.055, 0.45, 0.385))
    hang(figure, boxes[0], on_light_table(negative), "On the light table")
    hang(figure, boxes[1], screen_values(straight_print.density), "Straight print, filter 2", in_words(straight))
    hang(figure, boxes[2], screen_values(best_sheet.density), "Best print", in_words(best))
    diagram = tone_reproduction(sleeve, negative, best, stock, best_sheet, lights)
    draw_tone_reproduction(figure, (0.56, 0.06, 0.40, 0.37), diagram)
    return png_of(figure, 100)


def draw_tone_reproduction(figure: Any, box: tuple[float, float, float, float], diagram: ToneReproduction) -> None:
    """Draw the four quadrants: scene (right, down), negative (left, down), paper (left, up), print (right, up)."""
    left, bottom, width, height = box
    half_w, half_h, gap = 0.47 * width, 0.47 * height, 0.06
    scene = [p.log_luminance for p in diagram.points]
    neg = [p.negative_density for p in diagram.points]
    exposure = [p.log_exposure for p in diagram.points]
    tones = [p.print_density for p in diagram.points]
    span = (min(scene) - 0.4, max(scene) + 0.4)
    neg_span = (0.0, max(neg) + 0.4)
    exp_span = (min(exposure) - 0.3, max(exposure) + 0.3)
    density_span = (0.0, 2.4)
    places = (
        ("print", (left + width * (0.5 + gap / 2), bottom + height * (0.5 + gap / 2)), span, density_span, scene, tones),
        ("paper", (left, bottom + height * (0.5 + gap / 2)), exp_span[::-1], density_span, exposure, tones),
        ("negative", (left, bottom), exp_span[::-1], neg_span[::-1], exposure, neg),
        ("film", (left + width * (0.5 + gap / 2), bottom), span, neg_span[::-1], scene, neg),
    )
    for title, (x, y), x_span, y_span, xs, ys in places:
        axes = chart(figure, (x, y, half_w, half_h), "", "")
        axes.set_xlim(*x_span)
        axes.set_ylim(*y_span)
        axes.plot(xs, ys, "o", color=INK, markersize=4, markerfacecolor="#2a2a2a")
        axes.text(0.04, 0.94, title, transform=axes.transAxes, color=INK, fontsize=9, va="top")
        _curve_of(axes, title, diagram)
        axes.set_xlabel({"film": "scene, log cd/m2", "negative": "log exposure on paper"}.get(title, ""), color=INK, fontsize=8)
        axes.set_ylabel({"paper": "print density", "negative": "negative density"}.get(title, ""), color=INK, fontsize=8)
    _name_points(figure, places[0][1], (half_w, half_h), diagram, span, density_span)


def _curve_of(axes: Any, title: str, diagram: ToneReproduction) -> None:
    if title == "film":
        axes.plot(diagram.film_log_luminance, diagram.film_density, color=INK, linewidth=1.1)
    if title == "paper":
        axes.plot(diagram.paper.log_exposure, diagram.paper.density, color=INK, linewidth=1.1)


def _name_points(
    figure: Any, corner: tuple[float, float], size: tuple[float, float], diagram: ToneReproduction,
    x_span: Sequence[float], y_span: Sequence[float],
) -> None:  # fmt: skip
    """Name the places in the print quadrant, beside their points."""
    for point in diagram.points:
        x = (point.log_luminance - x_span[0]) / (x_span[1] - x_span[0])
        y = (point.print_density - y_span[0]) / (y_span[1] - y_span[0])
        right = x < 0.6
        figure.text(
            corner[0] + size[0] * x + (0.006 if right else -0.006), corner[1] + size[1] * y, point.place, color=INK,
            fontsize=7.5, ha="left" if right else "right", va="center",
        )  # fmt: skip
