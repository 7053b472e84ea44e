"""A sensible way to set up: head and lens for the film, height to fill the sheet, the stock's own development."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sim.enlarger.equipment import find_lens, read_equipment
from sim.enlarger.filters import FilterSetting
from sim.enlarger.geometry import height_for_magnification_mm
from sim.enlarger.settings import EnlargerSettings
from sim.negative.negative import Negative, Place
from sim.paper.development import Development
from sim.paper.stock import Stock
from sim.printing.make_print import frame_on_sheet, place_on_sheet
from sim.printing.record import Exposure, PrintingRecord, Sheet

SMALL_FORMAT_DIAGONAL_MM = 105.0
CONTACT_DIAGONAL_MM = 160.0
CONTACT_HEIGHT_MM = 900.0
LEAST_STRIP_MM = 20.0


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


@dataclass(frozen=True)
class StripPiece:
    """A record on a strip of paper inside the picture, and the point of the strip (mm) that shows the place asked for."""

    record: PrintingRecord
    at_mm: tuple[float, float]


def strip_size_mm(sheet: Sheet, picture_mm: tuple[float, float], upright_strip: bool) -> tuple[float, float]:
    """Return a strip's sides: a quarter sheet cut lengthwise, and no longer or wider than the picture it is laid in."""
    quarter = (sheet.width_mm / 4, sheet.height_mm) if upright_strip else (sheet.width_mm, sheet.height_mm / 4)
    width, height = (max(min(side, most), LEAST_STRIP_MM) for side, most in zip(quarter, picture_mm))
    return round(width, 2), round(height, 2)


def picture_on_sheet(negative: Negative, record: PrintingRecord) -> tuple[float, float, float, float]:
    """Return what the sheet shows of the picture: left, top, width, height in mm; blades and the sheet's edge cut it."""
    left, top, width, height = frame_on_sheet(negative, record)
    sheet, border = record.sheet, record.sheet.border_mm
    x0, y0 = max(left, border), max(top, border)
    x1, y1 = min(left + width, sheet.width_mm - border), min(top + height, sheet.height_mm - border)
    return x0, y0, max(x1 - x0, 0.0), max(y1 - y0, 0.0)


def strip_on(
    negative: Negative, record: PrintingRecord, x: float = 0.5, y: float = 0.5, upright_strip: bool = False
) -> StripPiece:
    """Return the record on a strip laid across a place of the negative (fractions of the frame), inside the picture.

    The place lies under the strip's middle unless the strip would then hang out of the picture.
    """
    sheet = record.sheet
    left, top, across, down = picture_on_sheet(negative, record)
    place = place_on_sheet(negative, record, Place("there", x, y))
    width, height = strip_size_mm(sheet, (across, down), upright_strip)
    middle = (_within(place[0], left, across, width), _within(place[1], top, down, height))
    corner = middle[0] - width / 2, middle[1] - height / 2
    shift = tuple(s + side / 2 - m for s, side, m in zip(sheet.image_shift_mm, (sheet.width_mm, sheet.height_mm), middle))
    piece = replace(
        sheet, width_mm=width, height_mm=height, border_mm=0.0, image_shift_mm=(shift[0], shift[1]), kind="strip"
    )
    return StripPiece(replace(record, sheet=piece), (place[0] - corner[0], place[1] - corner[1]))


def _within(wanted: float, start: float, length: float, side: float) -> float:
    """Return where a piece's middle comes nearest to a point with the piece inside a span (in its middle if too long)."""
    if side >= length:
        return start + length / 2
    return min(max(wanted, start + side / 2), start + length - side / 2)
