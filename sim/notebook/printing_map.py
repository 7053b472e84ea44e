"""The printing map: what to take into a real darkroom, with the print, its cards, its times and its densities.

PNG or PDF, A4 or Letter, black on white. Everything on it comes from the record and the print made of it. The picture and the
steps, which are read under the safelight, come first, in type for it; numbers in the picture are those of the steps. What is
read on the dry print stands after them. What does not fit goes on overleaf.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from sim.enlarger.settings import set_up
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.negative.sleeve import find_sleeve
from sim.notebook.darkroom_page import FOOT_PT, MARGIN_MM, READABLE_PT, DarkroomPage, page_kind, save_page
from sim.notebook.map_picture import MARK_PT, Reading, draw_cards, draw_places, draw_print
from sim.notebook.map_steps import Step, steps_of
from sim.notebook.own_seconds import own_seconds, since_then
from sim.notebook.safelight_words import safelight_words
from sim.notebook.set_up_words import map_lines
from sim.paper.stock import find_stock
from sim.printing.make_print import Print, make_print
from sim.printing.record import PrintingRecord
from sim.printing.strips import strip_in
from sim.viewing.densitometer import read_place, spot_density
from sim.viewing.plain_names import plain_name
from sim.words_page import page_said

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

PICTURE_MM = (96.0, 104.0)  # width and height of the frame the picture is fitted into
EDGE_MM = 10.0  # beside and under it, for the scale in mm
MOST_READINGS = 14
COLUMNS_MM = (0.0, 27.0, 42.0, 46.0, 65.0, 84.0)  # of the steps, from the margin: see _steps
CAUTIONS = "Scales, heads and papers differ: make a strip for the first exposure, keep the others in proportion."
HOW_DRAWN = "Scale at the picture's edge in mm of the sheet. Outlines are shadows on the paper; broken: a hole."

OF_TODAY = (
    "Picture and readings are of your enlarger as it is known today, at those seconds: not of the print that was made then."
)


def write_map(record: PrintingRecord, out: Path, size: str = "a4", large: bool = False) -> tuple[Path, ...]:
    """Write the printing map of a record as .png or .pdf. Raises OutsideError or Refused in words."""
    page_kind(out, "a printing map")
    return save_page(map_pages(record, size, large), out)


def map_pages(record: PrintingRecord, size: str = "a4", large: bool = False) -> tuple[Figure, ...]:
    """Return the pages as figures. Raises OutsideError or Refused for a record that cannot be printed."""
    negative, stock = find_negative(record.negative), find_stock(record.sheet.paper)
    bench = set_up(record.enlarger, negative)
    sheet = make_print(negative, record, stock)
    page = _begun(record, negative, size, large)
    top, (box, down) = page.y, _picture_box(page, sheet)
    mark_pt = MARK_PT * page.larger
    draw_print(box, sheet, mark_pt)
    readings = _readings(sheet, record, negative)
    draw_places(box, readings, mark_pt)
    marks = draw_cards(box, record, bench, mark_pt)
    then = since_then(record)
    own = [None if then else own_seconds(exposure, bench, stock) for exposure in record.exposures]
    page.y = max(_set_up_column(page, record, sheet), top + down + EDGE_MM) + 4.0
    _steps(page, steps_of(record, bench, marks, own), large)
    page.write(f"{sum(e.time_s for e in record.exposures):.1f} s of light in all.")
    if then:
        page.write(f"{then} {OF_TODAY}", size_pt=FOOT_PT + 0.5)  # read beforehand, in white light
    if record.note:
        page.write(f"Note: {_clipped(record.note, 300)}")
    _readings_table(page, readings)
    return page.finish()


def _begun(record: PrintingRecord, negative: Negative, size: str, large: bool) -> DarkroomPage:
    what = "Printing map of a strip" if record.sheet.kind == "strip" else "Printing map"
    under = f"{what}, negative {_clipped(plain_name(record.negative), 60)}"
    if record.negative_digest and record.negative_digest != negative.digest:
        under += "; the negative has changed since this record was written"
    return DarkroomPage(size, _clipped(find_sleeve(record.negative).title, 58), under, large, f"{HOW_DRAWN} {CAUTIONS}")


def _clipped(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


def _picture_box(page: DarkroomPage, sheet: Print) -> tuple[Axes, float]:
    """Return axes for the picture, as large as it fits, and how high they are."""
    wide, high = PICTURE_MM
    scale = min((wide - EDGE_MM) / sheet.grid.width_mm, high / sheet.grid.height_mm)
    across, down = sheet.grid.width_mm * scale, sheet.grid.height_mm * scale
    return page.axes(MARGIN_MM + EDGE_MM + (wide - EDGE_MM - across) / 2, page.y, across, down), down


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


def _set_up_column(page: DarkroomPage, record: PrintingRecord, sheet: Print) -> float:
    """Write how everything stands, at the right of the picture; return where it ends."""
    image_mm = f"{sheet.frame_mm[2]:.0f} × {sheet.frame_mm[3]:.0f} mm"
    lines = [(title, f"{image_mm}, {text}" if title == "Image" else text) for title, text in map_lines(record)]
    coin = safelight_words(record)
    if coin is not None:
        lines.append(("Safelight", f"TOO LONG: {coin[0]}" if coin[1] else coin[0]))
    left, size_pt = MARGIN_MM + PICTURE_MM[0] + 6.0, FOOT_PT + 0.5
    y, pitch, letters = page.y + 3.0, page.pitch(size_pt), page.letters(size_pt, page.right - left)
    for label, text in lines:
        for part in textwrap.wrap(page_said(f"{label}: {text}"), letters, subsequent_indent="  "):
            page.text(left, y, part, size_pt)
            y += pitch
        y += 0.15 * pitch
    return y


def _readings_table(page: DarkroomPage, readings: Sequence[Reading]) -> None:
    """Write what is to be read on the dry print, in white light."""
    page.keep(4.0 * page.pitch(READABLE_PT))
    page.write("Read on the dry print", size_pt=13.0, bold=True)
    if not readings:
        page.write("No named place lies on this piece.")
        return
    pitch, size_pt, across = page.pitch(10.0), 10.0, _columns_of(page, len(readings))
    column = (page.right - MARGIN_MM) / across
    for k in range(0, len(readings), across):
        page.keep(pitch)
        for n, (mark, name, _, _, density) in enumerate(readings[k : k + across]):
            left = MARGIN_MM + n * column
            page.text(left, page.y + 0.75 * pitch, mark, size_pt, bold=True)
            letters = page.letters(size_pt, column - 26.0 * page.larger)
            page.text(left + 6.0 * page.larger, page.y + 0.75 * pitch, _clipped(page_said(name), letters), size_pt)
            page.text(left + column - 6.0, page.y + 0.75 * pitch, page_said(f"{density:.2f}"), size_pt, side="right")
        page.y += pitch


def _columns_of(page: DarkroomPage, count: int) -> int:
    """Return two columns of readings, or three where two would leave their last lines for a page of their own."""
    return 2 if page.larger > 1.0 or page.y + page.pitch(10.0) * -(-count // 2) <= page.bottom else 3


def _steps(page: DarkroomPage, steps: Sequence[Step], large: bool) -> None:
    """Write the steps in columns, what is done beside them; in large type below them."""
    page.write("Steps, in this order", size_pt=13.0, bold=True)
    at = [MARGIN_MM + (page.larger * mm) for mm in COLUMNS_MM]
    sides = ("left", "right", "right", "left", "left")
    _heads(page, at, sides, large)
    pitch = page.pitch(READABLE_PT)
    beside = MARGIN_MM + 8.0 * page.larger if large else at[5]
    for step in steps:
        lines = textwrap.wrap(page_said(step.words), page.letters(READABLE_PT, page.right - beside)) or [""]
        if page.keep(pitch * (len(lines) + large)):
            _heads(page, at, sides, large)
        cells = (step.mark, step.seconds, step.stops, step.lens, step.filter)
        for k, (x, side, text) in enumerate(zip(at, sides, cells)):
            page.text(x, page.y + 0.75 * pitch, page_said(text), bold=k < 2 and bool(step.lens), side=side)
        page.y += pitch if large else 0.0
        for line in lines:
            page.text(beside, page.y + 0.75 * pitch, line)
            page.y += pitch
        page.y += 0.25 * pitch


def _heads(page: DarkroomPage, at: Sequence[float], sides: Sequence[str], large: bool) -> None:
    names = ("step", "seconds", "stops", "aperture", "filter", *(() if large else ("what is done",)))
    for x, name, side in zip(at, names, (*sides, "left")):
        page.text(x, page.y + 2.0, page_said(name), FOOT_PT, side=side)
    page.page.plot([MARGIN_MM, page.right], [page.y + 3.2] * 2, color="black", lw=0.5)
    page.y += 4.5
