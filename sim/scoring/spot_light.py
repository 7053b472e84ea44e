"""The light on the few pieces of a sheet where something is read, projected as the whole sheet would be.

A sheet has a million points and a densitometer reads some hundreds of them. Each spot is projected with so much around
it as the lens can smear into it; the pixels, the film below them and the lens are those of the whole sheet.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.easel import SheetGrid, film_coordinates
from sim.enlarger.easel_light import CODES, EaselLight
from sim.enlarger.filters import FilterSetting
from sim.enlarger.focus import blur_disc_mm
from sim.enlarger.geometry import working_f_number
from sim.enlarger.lens_image import image_shift_mm
from sim.enlarger.settings import Bench, checked_aperture
from sim.negative.negative import Negative
from sim.printing.exposure import LightCache
from sim.printing.record import Exposure

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

SNAP_PX = 16  # pieces begin and end on such steps, so that slightly different points share one projection
MARGIN_MM = 6.0  # beyond the blur disc: diffraction spreads its last thousandths of the light that far
WORTH_IT = 0.5  # of the sheet: pieces that cover more are no cheaper than the sheet


@dataclass(frozen=True, eq=False)
class SpotLight:
    """A piece's light with its points: film codes and fall-off times easel window (0 under the blades)."""

    light: EaselLight
    codes: IntArray
    relative: FloatArray
    at: tuple[IntArray, IntArray]

    def neutral(self) -> FloatArray:
        """Return the share of the open gate's light that comes through neutral film at every point."""
        neutral = self.light.neutral_light
        codes = neutral.codes[self.at].astype(np.float64)
        passed = np.where(codes == CODES, 0.0, 10.0 ** -(neutral.low + neutral.step * codes))
        return np.asarray(np.where(self.relative > 0.0, passed, 0.0))

    def stained(self, weightings: FloatArray, filtration: FilterSetting) -> tuple[FloatArray, ...]:
        """Return blue (and green) light per second at every point behind stained film."""
        return tuple(table[self.codes] * self.relative for table in self.light.stained_tables(weightings, filtration))


def spot_lights(
    negative: Negative, bench: Bench, grid: SheetGrid, exposure: Exposure, pixels: tuple[IntArray, IntArray],
    spans: tuple[slice, ...], lights: LightCache,
) -> tuple[SpotLight, ...]:  # fmt: skip
    """Return the light at pixels (rows, columns) of a sheet's grid, span by span."""
    boxes = _boxes(negative, bench, grid, exposure, pixels, spans)
    area = sum((r.stop - r.start) * (c.stop - c.start) for r, c in boxes)
    if area > WORTH_IT * grid.rows * grid.cols:
        boxes, spans = [(slice(0, grid.rows), slice(0, grid.cols))], (slice(0, len(pixels[0])),)
    open_rows, open_cols = grid.open_window()
    found = []
    for (rows, cols), span in zip(boxes, spans, strict=True):
        whole = (rows.stop, cols.stop) == (grid.rows, grid.cols) and rows.start == cols.start == 0
        piece = grid if whole else grid.piece(rows, cols)
        light = lights.get(negative, bench, piece, exposure.f_number, exposure.time_s)
        row, col = pixels[0][span], pixels[1][span]
        uncovered = (row >= open_rows.start) & (row < open_rows.stop) & (col >= open_cols.start) & (col < open_cols.stop)
        at = row - rows.start, col - cols.start
        found.append(SpotLight(light, light.film.codes[at].astype(np.intp), light.relative[at] * uncovered, at))
    return tuple(found)


def _boxes(
    negative: Negative, bench: Bench, grid: SheetGrid, exposure: Exposure, pixels: tuple[IntArray, IntArray],
    spans: tuple[slice, ...],
) -> list[tuple[slice, slice]]:  # fmt: skip
    """Return rows and columns of the piece that each span needs."""
    margin = int(np.ceil((MARGIN_MM + _smear_mm(negative, bench, grid, exposure)) * grid.px_per_mm))
    boxes = []
    for span in spans:
        sides = []
        for at, most in zip(pixels, (grid.rows, grid.cols), strict=True):
            low, high = int(at[span].min()) - margin, int(at[span].max()) + 1 + margin
            start = max(SNAP_PX * (low // SNAP_PX), 0)
            sides.append(slice(start, min(-SNAP_PX * (-high // SNAP_PX), most)))
        boxes.append((sides[0], sides[1]))
    return boxes


def _smear_mm(negative: Negative, bench: Bench, grid: SheetGrid, exposure: Exposure) -> float:
    """Return the widest blur disc anywhere on the sheet."""
    if bench.settings.contact:
        return 0.0
    coarse = replace(grid, rows=9, cols=9, px_per_mm=8.0 / max(grid.width_mm, grid.height_mm))
    shift = image_shift_mm(film_coordinates(coarse, bench), bench, exposure.time_s, negative.frame_mm)
    working_f = working_f_number(checked_aperture(bench.lens, exposure.f_number), bench.magnification)
    return blur_disc_mm(float(np.abs(shift).max()), working_f)
