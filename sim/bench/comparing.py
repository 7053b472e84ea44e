"""Two prints of one negative laid over each other: where the second is darker, by how much, and whether it is seen."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.printing.make_print import Print
from sim.refusals import Refused
from sim.viewing.lightness import lightness

FloatArray = NDArray[np.float64]

FULL_DIFFERENCE = 0.5  # densities that a difference picture shows as white or black
VISIBLE_LIGHTNESS = 1.0  # differences of L* near 1 are just seen side by side
DIFFERENCE_PX_PER_MM = 1.5  # grain is averaged out before prints are compared


@dataclass(frozen=True, eq=False)
class PrintDifference:
    """How one print differs from another: a picture (128 the same, darker where the second is darker), and numbers.

    ``mean`` and ``largest`` are in density, + where the second is darker; ``share_visible`` of the picture differs by
    more than one step of L*. ``words`` says what was done differently.
    """

    picture: NDArray[np.uint8]
    mean: float
    largest: float
    share_visible: float
    words: tuple[str, ...]


def compare(first: Print, second: Print, size_px: tuple[int, int], words: tuple[str, ...]) -> PrintDifference:
    """Compare two prints of one negative at the picture's points. Raises Refused when they share no part of it."""
    one, two = _coarse(first, first), _coarse(second, first)
    off = two - one
    inside = np.isfinite(off)
    if not inside.any():
        raise Refused("the two pieces show no part of the picture in common")
    seen = np.abs(lightness(two[inside]) - lightness(one[inside])) > VISIBLE_LIGHTNESS
    values = np.where(inside, 128.0 - 127.0 * np.clip(np.nan_to_num(off) / FULL_DIFFERENCE, -1.0, 1.0), 128.0)
    known = off[inside]
    largest = float(known[np.abs(known).argmax()])
    picture = fitted(np.round(values).astype(np.uint8), size_px)
    return PrintDifference(picture, float(known.mean()), largest, float(seen.mean()), words)


def fitted(values: NDArray[np.uint8], size_px: tuple[int, int]) -> NDArray[np.uint8]:
    """Return a picture made to fit inside a size, averaged where it gets smaller."""
    from PIL import Image

    rows, cols = values.shape
    scale = min(size_px[0] / cols, size_px[1] / rows)
    size = (max(1, round(cols * scale)), max(1, round(rows * scale)))
    way = Image.Resampling.BOX if scale < 1.0 else Image.Resampling.BILINEAR
    return np.asarray(Image.fromarray(values).resize(size, way))


def _coarse(sheet: Print, onto: Print) -> FloatArray:
    """Return a print's densities, grain averaged out, at the picture's points of another print; NaN off the paper."""
    from scipy.ndimage import uniform_filter

    reach = max(1, round(sheet.grid.px_per_mm / DIFFERENCE_PX_PER_MM))
    smooth = uniform_filter(sheet.density, reach, mode="nearest")
    width, height = onto.frame_mm[2:]
    across, down = max(2, round(width * DIFFERENCE_PX_PER_MM)), max(2, round(height * DIFFERENCE_PX_PER_MM))
    x, y = (np.arange(across) + 0.5) / across, (np.arange(down) + 0.5) / down
    on_onto = _points(onto, x, y)
    points = _points(sheet, x, y)
    out = smooth[np.ix_(np.clip(points[1], 0, smooth.shape[0] - 1), np.clip(points[0], 0, smooth.shape[1] - 1))]
    outside_x = ~_open(sheet, points[0], 1) | ~_open(onto, on_onto[0], 1)
    outside_y = ~_open(sheet, points[1], 0) | ~_open(onto, on_onto[1], 0)
    result = out.astype(np.float64)
    result[outside_y, :] = np.nan
    result[:, outside_x] = np.nan
    return result


def _points(sheet: Print, x: FloatArray, y: FloatArray) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return columns and rows on a print of fractions of the frame."""
    left, top, width, height = sheet.frame_mm
    row, col = sheet.grid.pixel_of(left + x * width, top + y * height)
    return np.rint(col).astype(np.intp), np.rint(row).astype(np.intp)


def _open(sheet: Print, index: NDArray[np.intp], axis: int) -> NDArray[np.bool_]:
    window = sheet.grid.open_window()[axis]
    return (index >= window.start) & (index < window.stop)
