"""A sensible way to set up: head and lens for the film, height to fill the sheet, the stock's own development."""

from __future__ import annotations

from dataclasses import replace

from sim.enlarger.equipment import find_lens, read_equipment
from sim.enlarger.filters import FilterSetting
from sim.enlarger.geometry import height_for_magnification_mm
from sim.enlarger.settings import EnlargerSettings
from sim.negative.negative import Negative
from sim.paper.development import Development
from sim.paper.stock import Stock
from sim.printing.record import Exposure, PrintingRecord, Sheet

SMALL_FORMAT_DIAGONAL_MM = 105.0
CONTACT_DIAGONAL_MM = 160.0
CONTACT_HEIGHT_MM = 900.0


def usual_head_and_lens(negative: Negative) -> tuple[str, str]:
    """Return head and lens that suit a format: the shortest lens that covers it (common practice)."""
    lenses = sorted(read_equipment()[1].values(), key=lambda lens: lens.focal_mm)
    fitting = [x for x in lenses if x.covers_diagonal_mm >= negative.diagonal_mm and x.flare_share < 0.02]
    head = "diffusion-small" if negative.diagonal_mm <= SMALL_FORMAT_DIAGONAL_MM else "diffusion-sheet"
    return head, (fitting or lenses)[0].name if fitting else "150-mm"


def upright(negative: Negative, width_mm: float, height_mm: float) -> tuple[float, float]:
    """Return the sheet's sides turned the way the frame stands."""
    wide = negative.frame_mm[0] > negative.frame_mm[1]
    return (max(width_mm, height_mm), min(width_mm, height_mm)) if wide else (
        min(width_mm, height_mm), max(width_mm, height_mm)
    )  # fmt: skip


def usual_setup(
    negative: Negative, stock: Stock, width_mm: float = 203.0, height_mm: float = 254.0, border_mm: float = 6.0,
    time_s: float = 10.0, f_number: float = 8.0, filtration: FilterSetting | None = None, contact: bool | None = None,
) -> PrintingRecord:  # fmt: skip
    """Return a record for a straight print with the whole frame as large as it fits inside the borders.

    Film too large for the gate is contact printed. Sheet sides are turned the way the frame stands.
    """
    head, lens = usual_head_and_lens(negative)
    focal_mm = find_lens(lens).focal_mm
    width_mm, height_mm = upright(negative, width_mm, height_mm)
    if contact is None:
        contact = negative.diagonal_mm > CONTACT_DIAGONAL_MM
    if contact:
        head, lens, column_mm = "diffusion-sheet", "150-mm", CONTACT_HEIGHT_MM
    else:
        fit = min((width_mm - 2 * border_mm) / negative.frame_mm[0], (height_mm - 2 * border_mm) / negative.frame_mm[1])
        column_mm = height_for_magnification_mm(focal_mm, max(fit, 1.0))
    settings = EnlargerSettings(head, lens, round(column_mm, 1), contact=contact)
    return PrintingRecord(
        negative=negative.name,
        sheet=Sheet(stock.name, width_mm, height_mm, 0.0 if contact else border_mm),
        enlarger=settings,
        exposures=(Exposure(time_s, f_number, filtration or FilterSetting("2")),),
        development=Development(stock.development.completion_time_s),
        negative_digest=negative.digest,
    )


def strip_of(record: PrintingRecord, centre_mm: tuple[float, float], upright_strip: bool = True) -> PrintingRecord:
    """Return the record on a quarter of its sheet, laid so that a point of the sheet lies under the strip's middle.

    The quarter is cut lengthwise: full height and a quarter of the width, or the other way round.
    """
    sheet = record.sheet
    width, height = (sheet.width_mm / 4, sheet.height_mm) if upright_strip else (sheet.width_mm, sheet.height_mm / 4)
    shift = (
        sheet.image_shift_mm[0] + sheet.width_mm / 2 - centre_mm[0],
        sheet.image_shift_mm[1] + sheet.height_mm / 2 - centre_mm[1],
    )
    piece = replace(
        sheet, width_mm=max(width, 20.0), height_mm=max(height, 20.0), border_mm=0.0, image_shift_mm=shift, kind="strip"
    )
    return replace(record, sheet=piece)
