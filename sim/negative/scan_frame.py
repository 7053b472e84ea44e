"""A scan's picture turned, straightened, cut out; or the many frames of a sheet. Densities above clear base, [row, col]."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.refusals import Refused

MOST_FRAMES = 48


@dataclass(frozen=True)
class Box:
    """A part of a picture as fractions of it."""

    left: float = 0.0
    top: float = 0.0
    right: float = 1.0
    bottom: float = 1.0

    def __post_init__(self) -> None:
        if not (0.0 <= self.left < self.right <= 1.0 and 0.0 <= self.top < self.bottom <= 1.0):
            raise Refused(f"a crop must be left, top, right, bottom inside the scan (0 to 1), got {self}")

    def of(self, picture: NDArray[Any]) -> NDArray[Any]:
        """Return that part of a picture, to the nearest pixel; never nothing."""
        rows, cols = picture.shape
        top, left = min(round(self.top * rows), rows - 1), min(round(self.left * cols), cols - 1)
        bottom, right = max(round(self.bottom * rows), top + 1), max(round(self.right * cols), left + 1)
        return picture[top:bottom, left:right]

    def within(self, outer: Box) -> Box:
        """Return a part of a part as fractions of the whole."""
        wide, high = outer.right - outer.left, outer.bottom - outer.top
        return Box(
            outer.left + self.left * wide, outer.top + self.top * high, outer.left + self.right * wide,
            outer.top + self.bottom * high,
        )  # fmt: skip


def turned(picture: NDArray[Any], turn: int, flipped: bool = False) -> NDArray[Any]:
    """Return a picture turned clockwise by 0, 90, 180 or 270 degrees, turned over from left to right first if asked."""
    if turn not in (0, 90, 180, 270):
        raise Refused(f"turn must be 0, 90, 180 or 270 degrees clockwise, got {turn}")
    return np.rot90(picture[:, ::-1] if flipped else picture, -(turn // 90))


def straightened(density: NDArray[Any], degrees: float) -> NDArray[Any]:
    """Return a scan turned clockwise by a few degrees about its middle; light is mixed between pixels, not density.

    The corners that come in from outside are as dense as a holder.
    """
    if not -15.0 <= degrees <= 15.0:
        raise Refused(f"straighten must be between -15 and 15 degrees, got {degrees:g}")
    if degrees == 0.0:
        return density
    from scipy.ndimage import affine_transform

    angle = np.radians(degrees)
    matrix = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    middle = (np.array(density.shape) - 1.0) / 2.0
    light = affine_transform(10.0**-density, matrix, middle - matrix @ middle, order=1, cval=1e-4, output=density.dtype)
    return np.asarray(-np.log10(np.maximum(light, 1e-4)), dtype=density.dtype)


def frames_of_sheet(columns: int, rows: int, whole: Box | None = None) -> tuple[Box, ...]:
    """Return the parts of a sheet of frames that stand in even columns and rows, row after row."""
    whole = whole or Box()
    if not 1 <= columns * rows <= MOST_FRAMES or columns < 1 or rows < 1:
        raise Refused(f"a sheet must hold 1 to {MOST_FRAMES} frames in columns and rows, got {columns} x {rows}")
    return tuple(
        Box(c / columns, r / rows, (c + 1) / columns, (r + 1) / rows).within(whole)
        for r in range(rows)
        for c in range(columns)
    )
