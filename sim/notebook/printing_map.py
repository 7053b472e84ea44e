"""The printing map: one page to take into a real darkroom, with the print, its cards, its times and its densities.

PNG or PDF, A4 upright. Everything on it comes from the record and the print made of it. Steps stand in the order of the
work; numbers in the picture are those of the steps.
"""

from __future__ import annotations

import io
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.enlarger.settings import set_up
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.negative.sleeve import find_sleeve
from sim.notebook.darkroom_page import CAUTIONS as page_cautions
from sim.notebook.map_picture import ACCENT, INK, SOFT, Reading, draw_cards, draw_places, draw_print
from sim.notebook.map_steps import Step, steps_of
from sim.notebook.own_seconds import own_seconds
from sim.notebook.set_up_words import map_lines
from sim.paper.stock import find_stock
from sim.printing.make_print import Print, make_print
from sim.printing.record import PrintingRecord
from sim.printing.strips import strip_in
from sim.refusals import Refused
from sim.viewing.densitometer import read_place, spot_density
from sim.viewing.plain_names import plain_name
from sim.writing import write_bytes

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

A4_MM = (210.0, 297.0)
PICTURE_MM = (14.0, 32.0, 112.0, 132.0)  # left, top, width, height of the frame the picture is fitted into
STEPS_BOTTOM_MM = 262.0
WIDTH_PER_POINT_MM = 0.192  # mean width of a letter per point of its size, DejaVu Sans
MOST_READINGS = 14
CAUTIONS = (
    f"Scales, heads and papers differ: make a strip for the first exposure, keep the others in proportion. {page_cautions}"
)


def write_map(record: PrintingRecord, out: Path) -> None:
    """Write the printing map of a record as .png or .pdf. Raises OutsideError or ValueError in words."""
    kind = out.suffix.lower().removeprefix(".")
    if kind not in ("png", "pdf"):
        raise Refused(f"a printing map must be a .png or .pdf file, got {out.name!r}")
    buffer = io.BytesIO()
    figure = map_of(record)
    more: dict[str, Any] = {"metadata": {"CreationDate": None}} if kind == "pdf" else {"dpi": 150}
    figure.savefig(buffer, format=kind, **more)
    write_bytes(out, buffer.getvalue())


def map_of(record: PrintingRecord) -> Figure:
    """Return the page as a figure. Raises OutsideError or ValueError for a record that cannot be printed."""
    from matplotlib.figure import Figure

    negative, stock = find_negative(record.negative), find_stock(record.sheet.paper)
    bench = set_up(record.enlarger, negative)
    sheet = make_print(negative, record, stock)
    figure = Figure(figsize=(A4_MM[0] / 25.4, A4_MM[1] / 25.4), facecolor="white")
    page = _axes(figure, 0.0, 0.0, *A4_MM)
    page.set_xlim(0.0, A4_MM[0])
    page.set_ylim(A4_MM[1], 0.0)
    page.axis("off")
    _heading(page, record, negative)
    box = _picture_box(figure, sheet)
    draw_print(box, sheet)
    readings = _readings(sheet, record, negative)
    draw_places(box, readings)
    marks = draw_cards(box, record, bench)
    own = [own_seconds(exposure, bench, stock) for exposure in record.exposures]
    column_mm = _readings_column(page, readings, _set_up_column(page, record, sheet) + 6.0)
    picture_mm = A4_MM[1] * (1.0 - box.get_position().y0) + 6.0
    _steps_table(page, steps_of(record, bench, marks, own), max(column_mm, picture_mm) + 9.0)
    _foot(page, record)
    return figure


def _axes(figure: Figure, left: float, top: float, width: float, height: float) -> Axes:
    """Return axes at a place of the page in mm from its top left corner."""
    page_w, page_h = A4_MM
    return figure.add_axes((left / page_w, 1.0 - (top + height) / page_h, width / page_w, height / page_h))


def _heading(page: Axes, record: PrintingRecord, negative: Negative) -> None:
    title = find_sleeve(record.negative).title
    page.text(14, 17, _clipped(title, 58), fontsize=17, color=INK, va="baseline", fontweight="bold")
    what = "Printing map of a strip" if record.sheet.kind == "strip" else "Printing map"
    stale = record.negative_digest and record.negative_digest != negative.digest
    page.text(14, 24, f"{what}  ·  negative {_clipped(plain_name(record.negative), 60)}", fontsize=9, color=SOFT)
    if stale:
        page.text(196, 24, "the negative has changed since this record was written", fontsize=8, color=ACCENT, ha="right")
    page.plot([14, 196], [27.5, 27.5], color=INK, lw=0.8)


def _clipped(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


def _picture_box(figure: Figure, sheet: Print) -> Axes:
    left, top, wide, high = PICTURE_MM
    scale = min(wide / sheet.grid.width_mm, high / sheet.grid.height_mm)
    across, down = sheet.grid.width_mm * scale, sheet.grid.height_mm * scale
    return _axes(figure, left + 4.0 if across > wide - 8.0 else left + (wide - across) / 2, top, across, down)


def _readings(sheet: Print, record: PrintingRecord, negative: Negative) -> list[Reading]:
    """Return the places to be read: letter or number, name, x mm, y mm, density."""
    strip = strip_in(record)
    if strip is not None:
        return [
            (str(s.number), f"{s.time_s:.1f} s", s.x_mm, s.y_mm, spot_density(sheet, s.x_mm, s.y_mm)) for s in strip.steps
        ]
    on = [place for place in negative.places if sheet.grid.is_open(*sheet.place_mm(place))]
    out = [(plain_name(place.name), *sheet.place_mm(place), read_place(sheet, place)) for place in on]
    return [(chr(ord("a") + k), *reading) for k, reading in enumerate(out[:MOST_READINGS])]


def _set_up_column(page: Axes, record: PrintingRecord, sheet: Print) -> float:
    """Write how everything stands, at the right of the picture; return where it ends."""
    image_mm = f"{sheet.frame_mm[2]:.0f} × {sheet.frame_mm[3]:.0f} mm"
    lines = [(title, f"{image_mm}, {text}" if title == "Image" else text) for title, text in map_lines(record)]
    return _column(page, "Set-up", 34.0, lines)


def _column(page: Axes, title: str, top: float, lines: Sequence[tuple[str, str]]) -> float:
    """Write a heading and labelled lines in the right-hand column; return where it ends."""
    page.text(136, top, title, fontsize=10, color=INK, fontweight="bold")
    y = top + 5.6
    for label, text in lines:
        page.text(136, y, label, fontsize=7, color=SOFT)
        for part in textwrap.wrap(text, 34) or [""]:
            page.text(152, y, part, fontsize=7.4, color=INK)
            y += 3.7
        y += 0.9
    return y


def _readings_column(page: Axes, readings: Sequence[Reading], top: float) -> float:
    page.text(136, top, "Read on the dry print", fontsize=10, color=INK, fontweight="bold")
    page.text(196, top, "density", fontsize=7, color=SOFT, ha="right")
    for k, (mark, name, _, _, density) in enumerate(readings):
        y = top + 5.6 + 4.1 * k
        page.text(136, y, mark, fontsize=7.4, color=INK, fontweight="bold")
        page.text(141, y, _clipped(name, 34), fontsize=7.4, color=INK)
        page.text(196, y, f"{density:.2f}", fontsize=7.4, color=INK, ha="right")
    if not readings:
        page.text(136, top + 5.6, "no named place lies on this piece", fontsize=7.4, color=SOFT)
    return top + 5.6 + 4.1 * max(len(readings) - 1, 0)


def _steps_table(page: Axes, steps: Sequence[Step], top: float) -> None:
    """Write the steps in columns; small enough for all to fit, and what does not fit is said."""
    page.text(14, top, "Steps, in this order", fontsize=10, color=INK, fontweight="bold")
    columns = ((14.0, "step", "left"), (34.0, "seconds", "right"), (47.0, "stops", "right"), (52.0, "aperture", "left"),
               (72.0, "filter", "left"), (91.0, "what is done", "left"))  # fmt: skip
    for x, name, side in columns:
        page.text(x, top + 5.2, name, fontsize=6.5, color=SOFT, ha=side)
    page.plot([14, 196], [top + 6.6, top + 6.6], color=SOFT, lw=0.5)
    room = STEPS_BOTTOM_MM - top - 9.0
    size, wrapped = _fitting(steps, room)
    pitch, y = size / 1.85, top + 6.6 + size / 1.85
    for k, (step, lines) in enumerate(wrapped):
        if y + (len(lines) - 1) * pitch > STEPS_BOTTOM_MM:
            page.text(91, y, f"and {len(steps) - k} lines more: see the record", fontsize=size, color=ACCENT)
            return
        cells = (step.mark, step.seconds, step.stops, step.lens, step.filter)
        for (x, name, side), text in zip(columns, cells):
            bold = "bold" if name in ("step", "seconds") and step.lens else "normal"
            page.text(x, y, text, fontsize=size, color=INK, ha=side, fontweight=bold)
        for part in lines:
            page.text(91, y, part, fontsize=size, color=INK)
            y += pitch
        y += 0.25 * pitch


def _fitting(steps: Sequence[Step], room_mm: float) -> tuple[float, list[tuple[Step, list[str]]]]:
    """Return the largest type, 8 points or less, in which all steps fit, and their lines in it."""
    size = 8.0
    while True:
        letters = int(105.0 / (WIDTH_PER_POINT_MM * size))
        wrapped = [(step, textwrap.wrap(step.words, letters) or [""]) for step in steps]
        need = (sum(len(lines) for _, lines in wrapped) + 0.25 * len(steps)) * size / 1.85
        if need <= room_mm or size <= 5.0:
            return size, wrapped
        size -= 0.25


def _foot(page: Axes, record: PrintingRecord) -> None:
    page.plot([14, 196], [267, 267], color=INK, lw=0.8)
    lines = textwrap.wrap(CAUTIONS, 138)
    for k, line in enumerate(lines):
        page.text(14, 271.5 + 3.6 * k, line, fontsize=6.8, color=SOFT)
    total = sum(e.time_s for e in record.exposures)
    y = 271.5 + 3.6 * len(lines) + 1.5
    scale = "Scale at the picture's edge in mm of the sheet. Outlines are shadows on the paper; broken: a hole."
    page.text(14, y, scale, fontsize=6.8, color=SOFT)
    page.text(196, y, f"{total:.1f} s of light in all", fontsize=6.8, color=SOFT, ha="right")
    if record.note:
        page.text(14, y + 3.6, f"Note: {_clipped(record.note, 130)}", fontsize=6.8, color=INK)
