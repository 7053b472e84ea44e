"""The loupe: a small piece of the print, rendered finely enough to see sharpness and grain.

A whole sheet at the negative's own pixels cannot show sharpness; a crop at 20 px/mm can. The crop is made by make_print
like any sheet, only smaller and finer, from a negative whose grain has been carried on to the finer scale.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.easel import SheetGrid, sheet_grid
from sim.enlarger.fine_detail import FineDetail
from sim.enlarger.settings import Bench, set_up
from sim.negative.negative import Negative
from sim.paper.stock import Stock
from sim.printing.make_print import Print, make_print
from sim.printing.record import PrintingRecord

FloatArray = NDArray[np.float64]

LOUPE_PX_PER_MM = 20.0
SHARPNESS_LP_MM = 5.0  # about the limit of the naked eye at 25 cm


def loupe(
    negative: Negative, record: PrintingRecord, stock: Stock, x_mm: float, y_mm: float, side_mm: float = 20.0,
    px_per_mm: float = LOUPE_PX_PER_MM,
) -> Print:  # fmt: skip
    """Return a square crop of the print around a point of the sheet, at 20 px/mm or more."""
    sheet = record.sheet
    dx, dy = sheet.width_mm / 2 - x_mm, sheet.height_mm / 2 - y_mm
    to_corner = (side_mm / 2 - x_mm, side_mm / 2 - y_mm)
    shift = (sheet.image_shift_mm[0] + dx, sheet.image_shift_mm[1] + dy)
    crop = replace(sheet, width_mm=side_mm, height_mm=side_mm, border_mm=0.0, image_shift_mm=shift)
    exposures = tuple(
        replace(exposure, cards=tuple(card.placed(1.0, *to_corner) for card in exposure.cards))
        for exposure in record.exposures
    )
    return make_print(negative, replace(record, sheet=crop, exposures=exposures), stock, px_per_mm)


def sharpness_at(
    negative: Negative, record: PrintingRecord, x_mm: float, y_mm: float, frequency_lp_mm: float = SHARPNESS_LP_MM
) -> float:
    """Return the lens's contrast (0-1) at a frequency on the print, at a point of the sheet, by the formula.

    Diffraction in the colours of the first exposure, aberration and defocus at that point: focus error, popping and tilts
    included; the mean over detail across the radius and along it. Film and paper are left out.
    """
    from sim.enlarger.easel import film_coordinates
    from sim.enlarger.lens_image import image_shift_mm, pupil_towards

    bench = set_up(record.enlarger, negative)
    if bench.settings.contact:
        return 1.0
    exposure = record.exposures[0]
    grid = _patch_grid(negative, bench, record, x_mm, y_mm, 8.0, 2.0)
    at = film_coordinates(grid, bench)
    shift = np.broadcast_to(image_shift_mm(at, bench, exposure.time_s, negative.frame_mm), (grid.rows, grid.cols))
    off_axis_mm = -grid.shift_mm[0], -grid.shift_mm[1]
    pupil = pupil_towards(bench, exposure.f_number, off_axis_mm, FineDetail(exposure.filter))
    middle = float(shift[grid.rows // 2, grid.cols // 2])
    return float(abs(pupil.mean_transfer(np.array([frequency_lp_mm]), middle)[0]))


def _patch_grid(
    negative: Negative, bench: Bench, record: PrintingRecord, x_mm: float, y_mm: float, side_mm: float, px: float
) -> SheetGrid:
    sheet = record.sheet
    shift = (
        sheet.image_shift_mm[0] + sheet.width_mm / 2 - x_mm, sheet.image_shift_mm[1] + sheet.height_mm / 2 - y_mm
    )  # fmt: skip
    return sheet_grid(negative, bench, side_mm, side_mm, 0.0, shift, px)
