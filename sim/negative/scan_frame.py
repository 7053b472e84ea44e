"""The frame in a scan: turned, straightened, found between holder and rebate, cut out; or many frames of one sheet.

All work on densities above the clear base, [row, col]. A holder passes no light and lies beyond every density of film; the
rebate is clear film, even and thin. What is neither is picture.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from sim.refusals import Refused

HOLDER_DENSITY = 2.6  # above base: denser than a picture is over a whole row, lighter than a holder
REBATE_DENSITY = 0.06  # above base: clear film, and what a scanner's noise makes of it
LEAST_PICTURE = 0.12  # share of a line inside the holder that must be picture
INSET = 0.004  # of each side: the soft edge of the gate is left out
LOOKED_AT_PX = 500  # the frame is looked for on about so many points a side
LEAST_FRAME = 0.2  # of a side: less is no frame that was found
MOST_FRAMES = 48
Turn = Literal[0, 90, 180, 270]


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


def frame_in(density: NDArray[Any]) -> Box | None:
    """Return where the picture lies inside holder and rebate; None where neither is seen or nothing is left of it."""
    step = max(1, min(density.shape) // LOOKED_AT_PX)
    seen = density[::step, ::step]
    film = seen < HOLDER_DENSITY
    picture = film & (seen > REBATE_DENSITY)
    rows, cols = slice(0, seen.shape[0]), slice(0, seen.shape[1])
    for _ in range(3):  # what a line holds is counted inside the frame found so far
        rows = _lines(picture[:, cols], film[:, cols], 1)
        cols = _lines(picture[rows], film[rows], 0)
    box = (cols.start / seen.shape[1], rows.start / seen.shape[0], cols.stop / seen.shape[1], rows.stop / seen.shape[0])
    wide, high = box[2] - box[0], box[3] - box[1]
    if wide < LEAST_FRAME or high < LEAST_FRAME or (wide > 0.995 and high > 0.995):
        return None
    return Box(box[0] + INSET * wide, box[1] + INSET * high, box[2] - INSET * wide, box[3] - INSET * high)


def _lines(picture: NDArray[np.bool_], film: NDArray[np.bool_], axis: int) -> slice:
    """Return from the first line to the last that holds picture, and enough film to be no holder."""
    there = film.mean(axis=axis)
    holds = (picture.sum(axis=axis) > LEAST_PICTURE * np.maximum(film.sum(axis=axis), 1)) & (there > 0.4 * there.max())
    found = np.flatnonzero(holds)
    return slice(int(found[0]), int(found[-1]) + 1) if len(found) else slice(0, len(holds))


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
