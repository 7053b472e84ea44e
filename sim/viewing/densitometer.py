"""The spot densitometer: what a round spot on a print or a negative reads."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.negative.negative import Negative, Place
from sim.printing.make_print import Print
from sim.refusals import Refused


def disc_mask(radius_px: float) -> NDArray[np.bool_]:
    """Return a round aperture of at least one pixel."""
    reach = max(0, int(np.floor(radius_px)))
    y, x = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    return np.asarray(x * x + y * y <= max(radius_px, 0.5) ** 2)


def spot_of(picture: NDArray[np.float32], row: int, col: int, radius_px: float) -> NDArray[np.float32]:
    """Return the pixels of a round spot, cut at the picture's edge. Raises ValueError when it lies outside."""
    mask = disc_mask(radius_px)
    reach = mask.shape[0] // 2
    rows, cols = picture.shape
    top, left = max(row - reach, 0), max(col - reach, 0)
    bottom, right = min(row + reach + 1, rows), min(col + reach + 1, cols)
    if top >= bottom or left >= right:
        raise Refused(f"the spot must lie on the picture of {rows} x {cols} px, got row {row}, column {col}")
    cut = mask[top - row + reach : bottom - row + reach, left - col + reach : right - col + reach]
    pixels = picture[top:bottom, left:right][cut]
    if pixels.size == 0:
        raise Refused(f"the spot must lie on the picture of {rows} x {cols} px, got row {row}, column {col}")
    return pixels


def mean_density(densities: NDArray[np.floating]) -> float:
    """Return the density of the mean light: an instrument averages light, not density."""
    return float(-np.log10(np.mean(10.0 ** -densities.astype(np.float64))))


def spot_density(sheet: Print, x_mm: float, y_mm: float, spot_mm: float = 3.0) -> float:
    """Return the reflection density of a round spot on a print (diffuse, 45/0 geometry in the trade)."""
    row, col = sheet.at(x_mm, y_mm)
    return mean_density(spot_of(sheet.density, row, col, 0.5 * spot_mm * sheet.grid.px_per_mm))


def read_place(sheet: Print, place: Place) -> float:
    """Return the density of a named place on a print, with the place's own spot (mm on the print)."""
    return spot_density(sheet, *sheet.place_mm(place), place.spot_mm)


def negative_density(negative: Negative, place: Place, spot_mm: float = 1.0) -> float:
    """Return the diffuse transmission density of a place on the negative, base and fog included."""
    rows, cols = negative.silver_density.shape
    row, col = round(place.y * rows - 0.5), round(place.x * cols - 0.5)
    row, col = min(max(row, 0), rows - 1), min(max(col, 0), cols - 1)
    silver = mean_density(spot_of(negative.silver_density, row, col, 0.5 * spot_mm * negative.px_per_mm))
    return silver + negative.base_density
