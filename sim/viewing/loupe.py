"""The loupe: a small piece of a print, or of the picture on the easel, fine enough to see sharpness and grain.

A whole sheet at the negative's own pixels cannot show sharpness; a crop at 20 px/mm can. It is a piece of the sheet like
any other, made by make_print, only finer: the picture drawn between the negative's pixels, with the film's grain at its own
size. A grain focuser is the loupe at high power on the easel: there grain is seen in the air, before any paper.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.easel import SheetGrid, film_coordinates, sheet_grid
from sim.enlarger.easel_light import project
from sim.enlarger.fine_detail import FineDetail
from sim.enlarger.lens_image import image_shift_mm, pupil_towards, widest_blur_mm
from sim.enlarger.settings import Bench, set_up
from sim.negative.negative import Negative
from sim.paper.stock import Stock
from sim.printing.exposure import laid_out
from sim.printing.make_print import Print, make_print
from sim.printing.record import PrintingRecord
from sim.quantities import Float32Array
from sim.refusals import Refused
from sim.viewing.lightness import srgb_encoded

LOUPE_PX_PER_MM = 20.0
SHARPNESS_LP_MM = 5.0  # about the limit of the naked eye at 25 cm


def loupe(
    negative: Negative, record: PrintingRecord, stock: Stock, x_mm: float, y_mm: float, side_mm: float = 20.0,
    px_per_mm: float = LOUPE_PX_PER_MM,
) -> Print:  # fmt: skip
    """Return a square of the print around a point of the sheet (mm from its corner), at 20 px/mm or more.

    What lies beyond the paper's edge is cut off; blades and cards are where they were. Raises Refused beside the sheet.
    """
    sheet = record.sheet
    if not (0.0 <= x_mm <= sheet.width_mm and 0.0 <= y_mm <= sheet.height_mm):
        raise Refused(
            f"the loupe must stand on the sheet of {sheet.width_mm:g} x {sheet.height_mm:g} mm, got {x_mm:g}, {y_mm:g}"
        )
    grid = laid_out(negative, record, px_per_mm, magnified=True)[1]
    (row, col), count = grid.pixel_of(x_mm, y_mm), round(side_mm * px_per_mm)
    piece = _around(row, count, grid.rows), _around(col, count, grid.cols)
    return make_print(negative, record, stock, px_per_mm, piece=piece, magnified=True)


def _around(middle: float, count: int, most: int) -> slice:
    """Return so many pixels around a middle, cut at both ends of the sheet."""
    first = round(middle - (count - 1) / 2)
    return slice(min(max(first, 0), most - 1), min(max(first + count, 1), most))


def on_easel(
    negative: Negative, record: PrintingRecord, x_mm: float, y_mm: float, side_mm: float, px: int
) -> Float32Array:
    """Return the share of light that film and lens pass to a square of the easel, [row, col] of so many pixels a side.

    The picture in the air as a loupe or grain focuser shows it: first exposure's aperture, filter and warmth, cards and
    paper left out. ``x_mm`` and ``y_mm`` are from the sheet's corner and may lie beside it.
    """
    bench, exposure, pitch = set_up(record.enlarger, negative), record.exposures[0], px / side_mm
    grid = replace(_patch_grid(negative, bench, record, x_mm, y_mm, side_mm, pitch), magnified=True)
    smear = int(np.ceil(min(widest_blur_mm(negative, bench, grid, exposure.f_number, exposure.time_s), side_mm) * pitch))
    wider = replace(
        grid, width_mm=(px + 2 * smear) / pitch, height_mm=(px + 2 * smear) / pitch, rows=px + 2 * smear, cols=px + 2 * smear
    )
    fine = FineDetail(exposure.filter)
    light = project(negative, bench, wider, exposure.f_number, exposure.time_s, fine=fine).transmitted
    return np.ascontiguousarray(light[smear : smear + px, smear : smear + px])


def seen_in_air(light: Float32Array) -> NDArray[np.uint8]:
    """Return screen values of a picture in the air: an eye at the eyepiece gets used to its lightest parts."""
    bright = max(float(np.percentile(light, 98.0)), 1e-4)
    return np.round(255.0 * srgb_encoded(0.85 / bright * light.astype(np.float64))).astype(np.uint8)


def sharpness_at(
    negative: Negative, record: PrintingRecord, x_mm: float, y_mm: float, frequency_lp_mm: float = SHARPNESS_LP_MM
) -> float:
    """Return the lens's contrast (0-1) at a frequency on the print, at a point of the sheet, by the formula.

    Diffraction in the colours of the first exposure, aberration and defocus at that point: focus error, popping and tilts
    included; the mean over detail across the radius and along it. Film and paper are left out.
    """
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
