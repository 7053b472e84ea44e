"""make_print: the one way from a negative and a printing record to a print.

Window, command line, strips, solver and marking all come here; there is no second formula, not even for a preview.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.enlarger.easel import SheetGrid, on_paper_mm
from sim.enlarger.settings import Bench, set_up
from sim.negative.negative import Negative, Place
from sim.paper.response import Response
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache, expose
from sim.printing.record import PrintingRecord
from sim.printing.spot import Spot, spot_on
from sim.printing.tone_tables import densities_of
from sim.quantities import Float32Array, FloatArray


@dataclass(frozen=True, eq=False)
class Print:
    """A finished sheet: reflection density, float32 [row, col], dry unless ``wet``.

    ``frame_mm`` is where the negative's frame lies on the sheet: left, top, width, height; ``bench`` what it was projected
    with: a negative turned over or an easel tilted moves what is in the picture, and places with it.
    """

    density: Float32Array
    grid: SheetGrid
    frame_mm: tuple[float, float, float, float]
    base_plus_fog: float
    black: float
    wet: bool = False
    bench: Bench | None = None

    def at(self, x_mm: float, y_mm: float) -> tuple[int, int]:
        """Return the row and column of a point on the sheet (may lie outside it)."""
        row, col = self.grid.pixel_of(x_mm, y_mm)
        return round(row), round(col)

    def spot(self, x_mm: float, y_mm: float, spot_mm: float) -> Spot:
        """Return the pixels under a round spot of the sheet. Raises Refused when it lies outside."""
        return spot_on(self.density.shape, *self.grid.pixel_of(x_mm, y_mm), 0.5 * spot_mm * self.grid.px_per_mm)

    def place_mm(self, place: Place) -> tuple[float, float]:
        """Return where a named place of the negative falls on the sheet: a place is a thing in the picture."""
        return _fallen(place.x, place.y, self.frame_mm, self.bench)


def make_print(
    negative: Negative, record: PrintingRecord, stock: Stock, px_per_mm: float | None = None, wet: bool = False,
    lights: LightCache | None = None, piece: tuple[slice, slice] | None = None, magnified: bool = False,
) -> Print:  # fmt: skip
    """Return the print of a record, or of a piece of its sheet (rows, columns): the sheet's own pixels, lens and blades.

    ``px_per_mm`` sets the fineness of the sheet (default: the negative's own pixels). ``lights`` may be kept between
    calls to save projections; ``magnified`` shows grain at its own size, as a loupe does.
    Raises Refused for what cannot be done, in words.
    """
    exposure = expose(negative, record, stock, px_per_mm, lights, piece, magnified)
    response = Response(stock, record.development, wet)
    density = densities_of(exposure, response)
    (x, y, *size), (left, top) = frame_on_sheet(negative, record), exposure.grid.corner_mm
    frame_mm, bench = (x - left, y - top, size[0], size[1]), set_up(record.enlarger, negative)
    return Print(density, exposure.grid, frame_mm, response.base_plus_fog, response.black, wet, bench)


def place_on_sheet(negative: Negative, record: PrintingRecord, place: Place) -> tuple[float, float]:
    """Return where a place of the negative falls on the sheet, mm from its corner; tilts and a turned negative count."""
    return _fallen(place.x, place.y, frame_on_sheet(negative, record), set_up(record.enlarger, negative))


def points_on_sheet(negative: Negative, record: PrintingRecord, points: FloatArray) -> FloatArray:
    """Return where points of the frame (fractions of it, [point, axis]) fall on the sheet, mm from its corner."""
    frame_mm, bench = frame_on_sheet(negative, record), set_up(record.enlarger, negative)
    return np.array([_fallen(float(x), float(y), frame_mm, bench) for x, y in points])


def _fallen(x: float, y: float, frame_mm: tuple[float, float, float, float], bench: Bench | None) -> tuple[float, float]:
    left, top, width, height = frame_mm
    if bench is None or bench.projects_straight:
        return left + x * width, top + y * height
    scale = bench.print_scale
    x, y = on_paper_mm((x - 0.5) * width / scale, (y - 0.5) * height / scale, bench)
    return left + width / 2 + x, top + height / 2 + y


def frame_on_sheet(negative: Negative, record: PrintingRecord) -> tuple[float, float, float, float]:
    """Return where the negative's frame lies on the sheet: left, top, width, height in mm."""
    scale = set_up(record.enlarger, negative).print_scale
    width, height = (side * scale for side in negative.frame_mm)
    shift_x, shift_y = record.sheet.image_shift_mm
    left = record.sheet.width_mm / 2 + shift_x - width / 2
    top = record.sheet.height_mm / 2 + shift_y - height / 2
    return left, top, width, height
