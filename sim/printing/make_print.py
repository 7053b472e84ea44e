"""make_print: the one way from a negative and a printing record to a print.

Window, command line, strips, solver and marking all come here; there is no second formula, not even for a preview.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.easel import SheetGrid
from sim.enlarger.settings import set_up
from sim.negative.negative import Negative, Place
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache, PaperExposure, expose
from sim.printing.record import PrintingRecord
from sim.printing.spot import Spot, spot_on
from sim.printing.tone_tables import densities_of

Float32Array = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Print:
    """A finished sheet: reflection density, float32 [row, col], dry unless ``wet``.

    ``frame_mm`` is where the negative's frame lies on the sheet: left, top, width, height.
    """

    density: Float32Array
    grid: SheetGrid
    frame_mm: tuple[float, float, float, float]
    base_plus_fog: float
    black: float
    wet: bool = False

    def at(self, x_mm: float, y_mm: float) -> tuple[int, int]:
        """Return the row and column of a point on the sheet (may lie outside it)."""
        row, col = self.grid.pixel_of(x_mm, y_mm)
        return round(row), round(col)

    def spot(self, x_mm: float, y_mm: float, spot_mm: float) -> Spot:
        """Return the pixels under a round spot of the sheet. Raises Refused when it lies outside."""
        return spot_on(self.density.shape, *self.grid.pixel_of(x_mm, y_mm), 0.5 * spot_mm * self.grid.px_per_mm)

    def place_mm(self, place: Place) -> tuple[float, float]:
        """Return where a named place of the negative lies on the sheet."""
        left, top, width, height = self.frame_mm
        return left + place.x * width, top + place.y * height


def develop_sheet(exposure: PaperExposure, stock: Stock, development: Development, wet: bool = False) -> Float32Array:
    """Return the reflection density of an exposed sheet after development, [row, col]."""
    return densities_of(exposure, Response(stock, development, wet))


def make_print(
    negative: Negative, record: PrintingRecord, stock: Stock, px_per_mm: float | None = None, wet: bool = False,
    lights: LightCache | None = None, piece: tuple[slice, slice] | None = None,
) -> Print:  # fmt: skip
    """Return the print of a record, or of a piece of its sheet (rows, columns): the sheet's own pixels, lens and blades.

    ``px_per_mm`` sets the fineness of the sheet (default: the negative's own pixels). ``lights`` may be kept between
    calls to save projections. Raises SettingsRefused or ValueError for what cannot be done, in words.
    """
    exposure = expose(negative, record, stock, px_per_mm, lights, piece)
    density = develop_sheet(exposure, stock, record.development, wet)
    response = Response(stock, record.development, wet)
    (x, y, *size), (left, top) = frame_on_sheet(negative, record), exposure.grid.corner_mm
    frame_mm = (x - left, y - top, size[0], size[1])
    return Print(density, exposure.grid, frame_mm, response.base_plus_fog, response.black, wet)


def frame_on_sheet(negative: Negative, record: PrintingRecord) -> tuple[float, float, float, float]:
    """Return where the negative's frame lies on the sheet: left, top, width, height in mm."""
    scale = set_up(record.enlarger, negative).print_scale
    width, height = (side * scale for side in negative.frame_mm)
    shift_x, shift_y = record.sheet.image_shift_mm
    left = record.sheet.width_mm / 2 + shift_x - width / 2
    top = record.sheet.height_mm / 2 + shift_y - height / 2
    return left, top, width, height
