"""The set-up of a record in words: what a list of changes says of each control, and what the printing map writes down."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sim.enlarger.equipment import find_head, find_lens
from sim.enlarger.geometry import magnification_at_height
from sim.paper.stock import find_stock
from sim.printing.record import PrintingRecord
from sim.viewing.plain_names import plain_name


def magnification(record: PrintingRecord) -> float:
    """Return print size over negative size (1 in the contact frame)."""
    if record.enlarger.contact:
        return 1.0
    return magnification_at_height(find_lens(record.enlarger.lens).focal_mm, record.enlarger.height_mm)


@dataclass(frozen=True)
class SetUpLine:
    """One line about the set-up: the controls (of the table) it speaks of, its name and text in a list of changes.

    ``title`` is its label on the printing map, where a line without one does not stand; ``on_map`` its text there if that
    is another one, empty when there is nothing to be written down.
    """

    name: str
    controls: tuple[str, ...]
    text: Callable[[PrintingRecord], str]
    title: str = ""
    on_map: Callable[[PrintingRecord], str] | None = None


def _shift_on_map(record: PrintingRecord) -> str:
    shift = record.sheet.image_shift_mm
    return "{:+.0f} mm across, {:+.0f} mm down".format(*shift) if any(shift) else ""


def _piece_on_map(record: PrintingRecord) -> str:
    piece = record.sheet
    return f"{piece.kind}, {piece.width_mm:.0f} × {piece.height_mm:.0f} mm"


def _focus_on_map(record: PrintingRecord) -> str:
    offset_mm = record.enlarger.focus_offset_mm
    return f"off by {offset_mm:+.2f} mm" if offset_mm else ""


def _bath(record: PrintingRecord) -> str:
    bath = record.development
    used = f", after {bath.sheets_before:g} sheets" if bath.sheets_before else ""
    used += f", {bath.strength:g} times the usual strength" if bath.strength != 1.0 else ""
    used += f", {bath.bath_l:g} l" if bath.bath_l != 1.0 else ""
    used += f", {bath.age_h:g} h in the tray" if bath.age_h else ""
    return f"{bath.time_s:.0f} s at {bath.temperature_c:g} °C{used}"


def _yes(value: bool) -> str:
    return "yes" if value else "no"


SET_UP_LINES = (
    SetUpLine("negative", ("negative",), lambda r: plain_name(r.negative)),
    SetUpLine("paper", ("paper",), lambda r: find_stock(r.sheet.paper).title, "Paper"),
    SetUpLine("head", ("head",), lambda r: r.enlarger.head, "Head", lambda r: find_head(r.enlarger.head).title),
    SetUpLine("lamp voltage", ("lamp_voltage_share",), lambda r: f"{r.enlarger.lamp_voltage_share:.0%}"),
    SetUpLine("lens", ("lens",), lambda r: r.enlarger.lens, "Lens", lambda r: find_lens(r.enlarger.lens).title),
    SetUpLine("contact frame", ("contact",), lambda r: _yes(r.enlarger.contact)),
    SetUpLine("size", ("height_mm", "lens", "contact"), lambda r: f"{magnification(r):.2f} times", "Image",
              lambda r: "in contact" if r.enlarger.contact else f"{magnification(r):.2f}×"),
    SetUpLine("focus", ("focus_offset_mm",), lambda r: f"{r.enlarger.focus_offset_mm:+.2f} mm", "Focus", _focus_on_map),
    SetUpLine("carrier", ("carrier",), lambda r: r.enlarger.carrier, "Carrier",
              lambda r: r.enlarger.carrier + (", wrong side up" if r.enlarger.flipped else "")),
    SetUpLine("focused", ("focused",), lambda r: r.enlarger.focused),
    SetUpLine("negative wrong side up", ("flipped",), lambda r: _yes(r.enlarger.flipped)),
    SetUpLine("carrier tilt", ("negative_tilt_deg",), lambda r: f"{r.enlarger.negative_tilt_deg:g}°"),
    SetUpLine("easel tilt", ("easel_tilt_deg",), lambda r: f"{r.enlarger.easel_tilt_deg:g}°"),
    SetUpLine(
        "piece", ("sheet", "piece"), lambda r: f"{r.sheet.kind} {r.sheet.width_mm:.0f} × {r.sheet.height_mm:.0f} mm",
        "Piece", _piece_on_map,
    ),
    SetUpLine(
        "image on the sheet", ("image_shift_x_mm", "image_shift_y_mm"),
        lambda r: "shifted {:.0f}, {:.0f} mm".format(*r.sheet.image_shift_mm), "Shifted", _shift_on_map,
    ),
    SetUpLine(
        "border", ("border_mm",), lambda r: f"{r.sheet.border_mm:g} mm", "Border",
        lambda r: f"{r.sheet.border_mm:g} mm" if r.sheet.border_mm else "none",
    ),
    SetUpLine(
        "developer", ("development_time_s", "temperature_c", "sheets_before", "strength", "bath_l", "age_h"), _bath, "Developer"
    ),
    SetUpLine("reciprocity failure", ("reciprocity",), lambda r: _yes(r.reciprocity)),
    SetUpLine("safelight", ("safelight_time_s",), lambda r: f"{r.safelight.time_s:g} s" if r.safelight else "none"),
    SetUpLine("number of exposures", ("exposures",), lambda r: str(len(r.exposures))),
)  # fmt: skip
COLUMN_ON_MAP = SetUpLine(
    "column", ("height_mm",), lambda r: f"{r.enlarger.height_mm:.0f} mm, negative to paper", "Column"
)  # fmt: skip
MAP_ORDER = ("Paper", "Piece", "Border", "Image", "Shifted", "Head", "Lens", "Column", "Carrier", "Developer", "Focus")


def map_lines(record: PrintingRecord) -> list[tuple[str, str]]:
    """Return labels and texts of the set-up as the printing map writes it down, in its order."""
    titled = {line.title: line for line in (*SET_UP_LINES, COLUMN_ON_MAP) if line.title}
    shown = [(title, (titled[title].on_map or titled[title].text)(record)) for title in MAP_ORDER]
    return [(title, text) for title, text in shown if text]
