"""How fine the picture of a print is drawn: so many pixels for every millimetre of paper, whatever the sheet's size."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sim.enlarger.easel import MAX_SHEET_PX
from sim.enlarger.settings import set_up
from sim.negative.negative import Negative
from sim.paper.stock import Stock
from sim.printing.make_print import Print, make_print
from sim.printing.record import PrintingRecord
from sim.printing.setup import usual_setup

ALIKE = 0.002  # of the pitch: a sheet so near is its own picture


@dataclass(frozen=True)
class Fineness:
    """Pixels per mm of print: as drawn, as wanted, and as many of the negative's own pixels as fall on a millimetre."""

    px_per_mm: float
    wanted: float
    native: float

    @property
    def cut(self) -> bool:
        """Tell whether memory sets the bound: MAX_SHEET_PX."""
        return self.px_per_mm < (1.0 - ALIKE) * self.wanted


def picture_fineness(negative: Negative, record: PrintingRecord, stock: Stock) -> Fineness:
    """Return how fine a print's picture is drawn: as fine as the negative's pixels are on a sheet of 203 x 254 mm.

    So a larger sheet is a larger picture. A contact print keeps the negative's own. A sheet that would pass MAX_SHEET_PX is
    drawn coarser.
    """
    native = negative.px_per_mm / set_up(record.enlarger, negative).print_scale
    usual = usual_setup(negative, stock, contact=False)
    wanted = native if record.enlarger.contact else negative.px_per_mm / set_up(usual.enlarger, negative).print_scale
    most = math.sqrt(MAX_SHEET_PX / (record.sheet.width_mm * record.sheet.height_mm))
    return Fineness(min(wanted, most), wanted, native)


def picture_of(
    negative: Negative, record: PrintingRecord, stock: Stock, sheet: Print, wet: bool = False
) -> tuple[Print, Fineness]:
    """Return a made sheet as it is drawn, and how fine that is; the sheet itself where its pixels are as fine already."""
    fineness = picture_fineness(negative, record, stock)
    if abs(fineness.px_per_mm / sheet.grid.px_per_mm - 1.0) <= ALIKE:
        return sheet, fineness
    return make_print(negative, record, stock, fineness.px_per_mm, wet), fineness
