"""A round spot on a picture: the share of every pixel that lies under it, and the density of their mean light.

The spot is centred where it is asked for, between pixels too: a place that moves by a part of a pixel from one sheet to
the next reads the same piece of the picture.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.quantities import FloatArray
from sim.refusals import Refused

IntArray = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Spot:
    """The pixels under a densitometer's head, and how much of each: 1 inside, less at the rim."""

    rows: IntArray
    cols: IntArray
    weights: FloatArray

    def mean(self, picture: NDArray[np.floating]) -> float:
        """Return the mean of a picture of light under the spot."""
        return float(self.weights @ picture[self.rows, self.cols].astype(np.float64) / self.weights.sum())

    def density(self, densities: NDArray[np.floating]) -> float:
        """Return the density of the mean light: an instrument averages light, not density."""
        passed = 10.0 ** -densities[self.rows, self.cols].astype(np.float64)
        return float(-np.log10(self.weights @ passed / self.weights.sum()))


def spot_pixels(shape: tuple[int, int], row: float, col: float, radius_px: float) -> Spot:
    """Return a round spot on a picture of so many rows and columns, cut at its edge (it may hold no pixel).

    Row and column count pixel centres and may lie between them; the rim takes of a pixel what lies inside the radius,
    to within a few hundredths of a pixel (straight instead of round). A head is never smaller than a pixel.
    """
    radius = max(radius_px, 0.5)
    reach = int(np.ceil(radius + 0.5))
    middle_row, middle_col = round(row), round(col)
    rows, cols = np.mgrid[middle_row - reach : middle_row + reach + 1, middle_col - reach : middle_col + reach + 1]
    weights = np.clip(radius + 0.5 - np.hypot(rows - row, cols - col), 0.0, 1.0)
    on = (weights > 0.0) & (rows >= 0) & (rows < shape[0]) & (cols >= 0) & (cols < shape[1])
    return Spot(rows[on].astype(np.intp), cols[on].astype(np.intp), weights[on])


def spot_on(shape: tuple[int, ...], row: float, col: float, radius_px: float) -> Spot:
    """Return a round spot that lies at least partly on a picture. Raises Refused when it lies outside."""
    rows, cols = shape[:2]
    spot = spot_pixels((rows, cols), row, col, radius_px)
    if spot.rows.size == 0:
        raise Refused(f"the spot must lie on the picture of {rows} x {cols} px, got row {row:.1f}, column {col:.1f}")
    return spot
