"""A round spot on a picture: its pixels, and the density of their mean light, as a densitometer's head takes it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.refusals import Refused


def disc_mask(radius_px: float) -> NDArray[np.bool_]:
    """Return a round aperture of at least one pixel."""
    reach = max(0, int(np.floor(radius_px)))
    y, x = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    return np.asarray(x * x + y * y <= max(radius_px, 0.5) ** 2)


def spot_pixels(shape: tuple[int, int], row: int, col: int, radius_px: float) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return rows and columns of a spot on a picture of so many rows and columns, cut at its edge (may be none)."""
    mask = disc_mask(radius_px)
    down, across = np.nonzero(mask)
    rows, cols = down + row - mask.shape[0] // 2, across + col - mask.shape[1] // 2
    on = (rows >= 0) & (rows < shape[0]) & (cols >= 0) & (cols < shape[1])
    return rows[on], cols[on]


def spot_of(picture: NDArray[np.float32], row: int, col: int, radius_px: float) -> NDArray[np.float32]:
    """Return the pixels of a round spot, cut at the picture's edge. Raises ValueError when it lies outside."""
    rows, cols = picture.shape
    at = spot_pixels((rows, cols), row, col, radius_px)
    if at[0].size == 0:
        raise Refused(f"the spot must lie on the picture of {rows} x {cols} px, got row {row}, column {col}")
    return picture[at]


def mean_density(densities: NDArray[np.floating]) -> float:
    """Return the density of the mean light: an instrument averages light, not density."""
    return float(-np.log10(np.mean(10.0 ** -densities.astype(np.float64))))
