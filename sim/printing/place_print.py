"""The one prediction of a tone at a place: make_print on a small piece of the sheet around it.

The piece has the whole sheet's pixels, lens, blades, cards and stray light. Its light is cut out of a projection with as much
around it as the lens can smear into it; what a lens throws in from further away is reckoned coarsely. Exact: every sum,
table and curve, for they are make_print's own. Not to the last bit: the codes of light and fall-off have finer steps on a
piece than on the sheet, a card's edge is drawn on a raster that begins elsewhere, and far light has coarse cells: 0.0001 in
density on usual negatives, 0.0003 in a small dense patch that clear film surrounds.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.easel import SheetGrid
from sim.enlarger.filters import FilterSetting
from sim.enlarger.illuminance import eye_share
from sim.negative.negative import Negative, Place
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache, laid_out
from sim.printing.make_print import make_print, place_on_sheet
from sim.printing.record import PrintingRecord
from sim.printing.spot import spot_pixels
from sim.quantities import FloatArray
from sim.refusals import Refused

IntArray = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Points:
    """Pixels of a sheet, in groups: one group for each place. ``starts`` are the groups' first indices.

    ``weights`` say how much of each pixel lies under its place's spot.
    """

    rows: IntArray
    cols: IntArray
    starts: IntArray
    weights: FloatArray

    def means(self, densities: FloatArray) -> FloatArray:
        """Return the density of the mean light of each group, as a densitometer reads."""
        return np.asarray(-np.log10(self.averages(10.0**-densities)))

    def averages(self, values: FloatArray) -> FloatArray:
        """Return the mean of each group, its pixels weighed."""
        total = np.add.reduceat(values * self.weights, self.starts, axis=-1)
        return np.asarray(total / np.add.reduceat(self.weights, self.starts))

    def group(self, index: int) -> slice:
        """Return the pixels of a group."""
        return slice(int(self.starts[index]), int(np.append(self.starts, len(self.rows))[index + 1]))

    def only(self, index: int) -> Points:
        """Return the pixels of one group alone."""
        mine = self.group(index)
        return Points(self.rows[mine], self.cols[mine], np.zeros(1, dtype=self.starts.dtype), self.weights[mine])

    def spread(self, values: FloatArray) -> FloatArray:
        """Return one value for each group as one for each pixel (the inverse of averages where they are even)."""
        return np.repeat(values, np.diff(np.append(self.starts, len(self.rows))), axis=-1)

    def spans(self) -> tuple[slice, ...]:
        """Return the pixels of each group; of single pixels (a ring around a place) all together."""
        if len(self.rows) < 2 * len(self.starts):
            return (slice(0, len(self.rows)),)
        return tuple(self.group(index) for index in range(len(self.starts)))

    def boxes(self) -> tuple[tuple[slice, slice], ...]:
        """Return the rows and columns of the smallest piece around each span."""
        sides = [[(int(at[span].min()), int(at[span].max()) + 1) for at in (self.rows, self.cols)] for span in self.spans()]
        return tuple((slice(*rows), slice(*cols)) for rows, cols in sides)


def spot_points(negative: Negative, record: PrintingRecord, grid: SheetGrid, places: tuple[Place, ...]) -> Points:
    """Return the pixels under the densitometer's spot at every place. Raises Refused for a place off the sheet."""
    spots = []
    for place in places:
        row, col = grid.pixel_of(*place_on_sheet(negative, record, place))
        spots.append(spot_pixels((grid.rows, grid.cols), row, col, 0.5 * place.spot_mm * grid.px_per_mm))
        if spots[-1].rows.size == 0:
            raise Refused(f"place {place.name!r} does not lie on the sheet")
    rows, cols, weights = (np.concatenate(part) for part in zip(*((s.rows, s.cols, s.weights) for s in spots), strict=True))
    starts = np.cumsum([0, *(spot.rows.size for spot in spots[:-1])])
    return Points(rows, cols, starts, weights)


@dataclass(frozen=True, eq=False)
class PlacePrint:
    """A record printed only where it is read. ``px_per_mm`` is the sheet's fineness (default: the negative's own pixels)."""

    negative: Negative
    record: PrintingRecord
    stock: Stock
    lights: LightCache
    px_per_mm: float | None = None

    @cached_property
    def grid(self) -> SheetGrid:
        """The whole sheet's grid."""
        return laid_out(self.negative, self.record, self.px_per_mm)[1]

    def densities(self, points: Points) -> FloatArray:
        """Return the print's density at every pixel."""
        out = np.empty(len(points.rows))
        for span, (rows, cols) in zip(points.spans(), points.boxes(), strict=True):
            printed = make_print(
                self.negative, self.record, self.stock, self.px_per_mm, lights=self.lights, piece=(rows, cols)
            )  # fmt: skip
            out[span] = printed.density[points.rows[span] - rows.start, points.cols[span] - cols.start]
        return out

    def readings(self, *places: Place) -> FloatArray:
        """Return what a densitometer reads at places. Raises Refused for one off the sheet."""
        points = spot_points(self.negative, self.record, self.grid, places)
        return points.means(self.densities(points))


def illuminance_lux(
    negative: Negative, record: PrintingRecord, place: Place, lights: LightCache, filtration: FilterSetting
) -> float:
    """Return the light at a place of the first exposure through a filter, cards left out, as the eye weighs it.

    Raises Refused when the place does not lie on the open part of the sheet.
    """
    bench, grid = laid_out(negative, record)
    points = spot_points(negative, record, grid, (place,))
    ((rows, cols),) = points.boxes()
    exposure, piece = record.exposures[0], grid.piece(rows, cols)
    light = lights.get(negative, bench, piece, exposure.f_number, exposure.time_s)
    at = points.rows - rows.start, points.cols - cols.start
    if not (light.relative[at] > 0.0).any():
        raise Refused(f"place {place.name!r} does not lie on the open part of the sheet")
    share = eye_share(light.lamp_per_lux, filtration)
    passed = light.neutral_light.passed if light.is_neutral else light.transmitted * light.relative
    return float(light.illuminance_lux * share * np.average(passed[at], weights=points.weights))
