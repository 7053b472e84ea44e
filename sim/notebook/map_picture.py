"""The picture of a printing map: the print, lightened, with its cards, their numbers, and the places to be read."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.settings import Bench
from sim.printing.cards import card_optics
from sim.printing.make_print import Print
from sim.printing.record import Card, Circling, PrintingRecord, Still, Sweeping
from sim.scoring.burn_stops import is_burn

if TYPE_CHECKING:
    from matplotlib.axes import Axes

INK = "black"  # on white: under a safelight colours are all one
MARK_PT = 9.0
Reading = tuple[str, str, float, float, float]  # mark, name, x mm, y mm, density


def draw_print(box: Axes, sheet: Print, mark_pt: float = MARK_PT) -> None:
    """Draw the print, lightened so that what is written on it can be read, with millimetres along its edges."""
    from sim.viewing.lightness import screen_values

    grid = sheet.grid
    light = 255.0 - 0.68 * (255.0 - screen_values(sheet.density).astype(np.float32))
    extent = (0.0, grid.width_mm, grid.height_mm, 0.0)
    box.imshow(light, cmap="gray", vmin=0, vmax=255, extent=extent, interpolation="antialiased", aspect="auto")
    box.set_xlim(0.0, grid.width_mm)
    box.set_ylim(grid.height_mm, 0.0)
    step = 50.0 if max(grid.width_mm, grid.height_mm) > 120 else 20.0
    box.set_xticks(np.arange(0.0, grid.width_mm + 0.1, step))
    box.set_yticks(np.arange(0.0, grid.height_mm + 0.1, step))
    box.tick_params(labelsize=mark_pt, colors=INK, length=2.5, width=0.5, pad=1.5)
    for spine in box.spines.values():
        spine.set_color(INK)
        spine.set_linewidth(0.6)


def _halo(width: float = 1.8) -> list[Any]:
    from matplotlib.patheffects import withStroke

    return [withStroke(linewidth=width, foreground="white")]


def draw_places(box: Axes, readings: Sequence[Reading], mark_pt: float = MARK_PT) -> None:
    for letter, _, x, y, _ in readings:
        box.plot([x], [y], marker="+", ms=6, mew=0.9, color=INK, path_effects=_halo(2.4))
        box.annotate(
            letter, (x, y), (4, 4), textcoords="offset points", fontsize=mark_pt, color=INK, path_effects=_halo()
        )  # fmt: skip


def draw_cards(
    box: Axes, record: PrintingRecord, bench: Bench, mark_pt: float = MARK_PT
) -> dict[tuple[int, int], str]:
    """Draw every card's shadow and way; return the marks of the cards that were drawn."""
    marks: dict[tuple[int, int], str] = {}
    for k, exposure in enumerate(record.exposures):
        own = exposure.cards if not exposure.step else ()  # cardboard over a strip is told in words
        for n, card in enumerate(own):
            letter = chr(ord("a") + n)
            mark = f"{k + 1}" if len(own) == 1 and is_burn(exposure, k) else f"{k + 1}{letter}"
            marks[(k, n)] = mark
            scale = card_optics(bench, exposure.f_number).shadow_scale(card.card_height_mm)
            x, y = _draw_card(box, card, scale, record.sheet.width_mm, record.sheet.height_mm)
            x = min(max(x, 0.03 * record.sheet.width_mm), 0.97 * record.sheet.width_mm)
            y = min(max(y, 0.03 * record.sheet.height_mm), 0.97 * record.sheet.height_mm)
            bubble = {"boxstyle": "circle,pad=0.22", "fc": "white", "ec": INK, "lw": 0.9}
            box.text(x, y, mark, fontsize=mark_pt, color=INK, ha="center", va="center", bbox=bubble, fontweight="bold")
    return marks


def _draw_card(box: Axes, card: Card, scale: float, width_mm: float, height_mm: float) -> tuple[float, float]:
    """Draw a card's shadow where it was held; return where its mark goes."""
    line: dict[str, Any] = {"color": INK, "lw": 1.2, "path_effects": _halo(2.6)}
    if card.lets_through == "inside":
        line["ls"] = (0, (4, 2))
    motion = card.motion
    if isinstance(motion, (Still, Circling, Sweeping)):
        cx, cy = motion.x_mm, motion.y_mm
    else:
        way = np.array(motion.points)[:, 1:]
        box.plot(way[:, 0], way[:, 1], color=INK, lw=0.5, alpha=0.7)
        cx, cy = (float(v) for v in way.mean(axis=0))
    if card.shape == "edge":
        return _draw_edge(box, card, cx, cy, line, width_mm, height_mm)
    shape = _shape_points(card) * scale
    box.plot(cx + shape[:, 0], cy + shape[:, 1], **line)
    if isinstance(motion, Circling) and motion.amplitude_mm > 0:
        for turn in np.linspace(0.0, 2.0 * np.pi, 5)[:-1]:
            dx, dy = motion.amplitude_mm * np.cos(turn), motion.amplitude_mm * np.sin(turn)
            box.plot(cx + dx + shape[:, 0], cy + dy + shape[:, 1], color=INK, lw=0.35, alpha=0.55)
    top = shape[shape[:, 1].argmin()]
    return cx + float(top[0]), cy + float(top[1])


def _shape_points(card: Card) -> NDArray[np.float64]:
    """Return a closed outline of a card around its centre, turned as it was held."""
    if card.shape == "outline":
        points = np.array([*card.outline, card.outline[0]], dtype=np.float64)
    elif card.shape == "bar":
        w, h = card.width_mm / 2, card.length_mm / 2
        points = np.array([(-w, -h), (w, -h), (w, h), (-w, h), (-w, -h)])
    else:
        turn = np.linspace(0.0, 2.0 * np.pi, 73)
        length = card.width_mm if card.shape == "disc" else card.length_mm
        points = np.column_stack([card.width_mm / 2 * np.cos(turn), length / 2 * np.sin(turn)])
    angle = np.radians(card.angle_deg)
    turned = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    return np.asarray(points @ turned)


def _draw_edge(
    box: Axes, card: Card, cx: float, cy: float, line: dict[str, Any], width_mm: float, height_mm: float
) -> tuple[float, float]:
    """Draw a straight edge across the sheet, with short strokes on the covered side."""
    angle = np.radians(card.angle_deg)
    nx, ny = np.cos(angle), np.sin(angle)
    reach = np.hypot(width_mm, height_mm)
    box.plot([cx - reach * ny, cx + reach * ny], [cy + reach * nx, cy - reach * nx], **line)
    for along in np.arange(-reach, reach, 8.0):
        x, y = cx - along * ny, cy + along * nx
        if 0 < x < width_mm and 0 < y < height_mm:
            box.plot([x, x + 3.0 * nx], [y, y + 3.0 * ny], color=INK, lw=0.6)
    return cx - 0.35 * width_mm * ny, cy + 0.35 * width_mm * nx
