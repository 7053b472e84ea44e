"""The sheet on the easel as a grid of points, and where each of them lies in the projected negative.

Lengths are mm on the easel; the sheet's top left corner is the origin, x to the right, y down.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.settings import Bench
from sim.negative.negative import Negative

FloatArray = NDArray[np.float64]
Down = TypeVar("Down", float, FloatArray)
Across = TypeVar("Across", float, FloatArray)

MAX_SHEET_PX = 20_000_000  # chosen: under 2 GB of working memory in make_print


@dataclass(frozen=True)
class SheetGrid:
    """Points of a sheet: ``shift_mm`` is where the image's centre lies against the sheet's centre.

    A piece of a larger sheet knows that sheet, by which the lens is judged, and its own first row and column on it.
    """

    width_mm: float
    height_mm: float
    border_mm: float
    px_per_mm: float
    rows: int
    cols: int
    shift_mm: tuple[float, float] = (0.0, 0.0)
    whole: SheetGrid | None = None
    first_px: tuple[int, int] = (0, 0)

    @property
    def x_mm(self) -> FloatArray:
        """Pixel centres across the sheet."""
        return np.asarray(self.mm_of(0.0, np.arange(self.cols, dtype=np.float64))[0])

    @property
    def y_mm(self) -> FloatArray:
        """Pixel centres down the sheet."""
        return np.asarray(self.mm_of(np.arange(self.rows, dtype=np.float64), 0.0)[1])

    def pixel_of(self, x_mm: Across, y_mm: Down) -> tuple[Down, Across]:
        """Return row and column of points in mm from the corner, in parts of a pixel (may lie off the sheet)."""
        col = (x_mm - self.width_mm / 2) * self.px_per_mm + (self.cols - 1) / 2
        return (y_mm - self.height_mm / 2) * self.px_per_mm + (self.rows - 1) / 2, col

    def mm_of(self, row: Down, col: Across) -> tuple[Across, Down]:
        """Return x and y in mm from the corner of rows and columns: the inverse of ``pixel_of``."""
        x_mm = self.width_mm / 2 + (col - (self.cols - 1) / 2) / self.px_per_mm
        return x_mm, self.height_mm / 2 + (row - (self.rows - 1) / 2) / self.px_per_mm

    @property
    def image_centre_mm(self) -> tuple[float, float]:
        """Where the optical axis meets the sheet."""
        return self.width_mm / 2 + self.shift_mm[0], self.height_mm / 2 + self.shift_mm[1]

    @property
    def corner_mm(self) -> tuple[float, float]:
        """Where the corner lies on the whole sheet."""
        if self.whole is None:
            return 0.0, 0.0
        row, col = self.first_px
        return self.whole.mm_of(row - 0.5, col - 0.5)

    def moved(self, dx_mm: float, dy_mm: float) -> SheetGrid:
        """Return the paper moved under a fixed image."""
        shift = (self.shift_mm[0] - dx_mm, self.shift_mm[1] - dy_mm)
        return replace(self, shift_mm=shift, whole=self.whole and self.whole.moved(dx_mm, dy_mm))

    def piece(self, rows: slice, cols: slice) -> SheetGrid:
        """Return the same pixels between two rows and two columns (the end left out), blades where the sheet has them."""
        (top, bottom), (left, right) = (rows.start, rows.stop), (cols.start, cols.stop)
        down = (top + bottom - 1) / 2 - (self.rows - 1) / 2
        across = (left + right - 1) / 2 - (self.cols - 1) / 2
        pitch = self.px_per_mm
        return SheetGrid(
            (right - left) / pitch, (bottom - top) / pitch, self.border_mm, pitch, bottom - top, right - left,
            (self.shift_mm[0] - across / pitch, self.shift_mm[1] - down / pitch), self.whole or self,
            (self.first_px[0] + top, self.first_px[1] + left),
        )  # fmt: skip

    def open_window(self) -> tuple[slice, slice]:
        """Return the rows and columns that the easel blades leave uncovered."""
        if self.whole is not None:
            open_rows, open_cols = self.whole.open_window()
            return _within(open_rows, self.first_px[0], self.rows), _within(open_cols, self.first_px[1], self.cols)
        x, y = self.x_mm, self.y_mm
        inside_x = (x > self.border_mm) & (x < self.width_mm - self.border_mm)
        inside_y = (y > self.border_mm) & (y < self.height_mm - self.border_mm)

        def span(inside: NDArray[np.bool_]) -> slice:
            index = np.flatnonzero(inside)
            return slice(int(index[0]), int(index[-1]) + 1) if index.size else slice(0, 0)

        return span(inside_y), span(inside_x)


def _within(span: slice, first: int, count: int) -> slice:
    """Return what of a span lies within so many pixels from the first, counted from there."""
    return slice(min(max(span.start - first, 0), count), min(max(span.stop - first, 0), count))


def sheet_grid(
    negative: Negative, bench: Bench, width_mm: float, height_mm: float, border_mm: float,
    shift_mm: tuple[float, float], px_per_mm: float | None = None,
) -> SheetGrid:  # fmt: skip
    """Return the grid of a sheet. Without ``px_per_mm`` it takes the negative's own pixels, enlarged.

    Rows and columns get the parity of the negative's, so that an unshifted image falls on the grid exactly. A sheet that
    would take more than MAX_SHEET_PX that way (a small image on a large sheet) is made coarser instead.
    """
    native = negative.px_per_mm / bench.print_scale
    fits = width_mm * height_mm * native**2 <= MAX_SHEET_PX
    pitch = px_per_mm or (native if fits else float(np.sqrt(MAX_SHEET_PX / (width_mm * height_mm))))
    rows, cols = (max(8, round(side * pitch)) for side in (height_mm, width_mm))
    if px_per_mm is None and fits:
        rows += (rows - negative.silver_density.shape[0]) % 2
        cols += (cols - negative.silver_density.shape[1]) % 2
    return SheetGrid(width_mm, height_mm, border_mm, pitch, rows, cols, shift_mm)


@dataclass(frozen=True, eq=False)
class FilmCoordinates:
    """Where each point of the sheet looks in the negative: mm from the frame's centre.

    ``x`` is [1, col] and ``y`` [row, 1] when nothing is tilted, else both are [row, col]. ``easel_x`` and ``easel_y`` are
    mm on the easel from the axis; where it is tilted, ``tilt_light`` is what that makes of the light [1, col] and
    ``flat_x``, ``flat_y`` where the same beams would meet the easel laid flat.
    """

    x: FloatArray
    y: FloatArray
    easel_x: FloatArray
    easel_y: FloatArray
    tilt_light: FloatArray | None = None
    flat_x: FloatArray | None = None
    flat_y: FloatArray | None = None

    @property
    def is_straight(self) -> bool:
        """Tell whether rows and columns can be treated apart."""
        return self.x.shape[0] == 1

    @property
    def on_flat_easel(self) -> tuple[FloatArray, FloatArray]:
        """Where the beams would meet an easel that is not tilted, mm from the axis: by it the field angle is told."""
        if self.flat_x is None or self.flat_y is None:
            return self.easel_x, self.easel_y
        return self.flat_x, self.flat_y


def film_coordinates(grid: SheetGrid, bench: Bench) -> FilmCoordinates:
    """Return where each point of the sheet looks in the negative, tilts included.

    Tilts turn about the vertical through the axis: the easel's right side rises, the negative's right side goes towards
    the lens. Source: central projection through the lens; the image stretches where the paper is further away. Light: the
    pupil seen under the field angle a, at its distance d below the lens and under the paper's own slope, gives
    ``cos**4(a) (v/d)**3 cos(tilt)`` of the flat easel's axis (photometric law of distance, two cosines). A tilted negative
    changes none of that: its evenly lit gate looks alike from all sides.
    """
    centre_x, centre_y = grid.image_centre_mm
    x = (grid.x_mm - centre_x)[None, :]
    y = (grid.y_mm - centre_y)[:, None]
    settings, scale = bench.settings, bench.print_scale
    if settings.contact or (settings.easel_tilt_deg == 0.0 and settings.negative_tilt_deg == 0.0):
        return FilmCoordinates(x / scale, y / scale, x, y)
    v = bench.lens_to_paper_mm
    easel, stage = np.radians(settings.easel_tilt_deg), np.radians(settings.negative_tilt_deg)
    nearer = v / (v - x * np.sin(easel))
    plane_x, plane_y = x * np.cos(easel) * nearer, y * nearer
    u = v / bench.magnification
    film_x = plane_x * u / (v * np.cos(stage) + plane_x * np.sin(stage))
    film_y = plane_y * (u - film_x * np.sin(stage)) / v
    light = None if easel == 0.0 else nearer**3 * np.cos(easel)
    return FilmCoordinates(np.broadcast_to(film_x, film_y.shape), film_y, x, y, light, plane_x, plane_y)


def sampled(picture: NDArray[np.float32], px_per_mm: float, at: FilmCoordinates, outside: float) -> NDArray[np.float32]:
    """Return a film picture at the sheet's points by linear interpolation; ``outside`` beyond the frame."""
    rows, cols = picture.shape
    col = at.x * px_per_mm + (cols - 1) / 2
    row = at.y * px_per_mm + (rows - 1) / 2
    if not at.is_straight:
        from scipy.ndimage import map_coordinates

        inside = (np.abs(col - (cols - 1) / 2) <= cols / 2) & (np.abs(row - (rows - 1) / 2) <= rows / 2)
        out = map_coordinates(picture, [row, np.broadcast_to(col, row.shape)], order=1, mode="nearest")
        return np.where(inside, out, np.float32(outside)).astype(np.float32)
    tall = _along(picture, row[:, 0], 0, outside)
    return _along(tall, col[0], 1, outside)


def _along(picture: NDArray[np.float32], position: FloatArray, axis: int, outside: float) -> NDArray[np.float32]:
    """Return a picture resampled along one axis."""
    size = picture.shape[axis]
    inside = (position >= -0.5 - 1e-6) & (position <= size - 0.5 + 1e-6)
    clipped = np.clip(position, 0, size - 1)
    low = np.minimum(np.floor(clipped + 1e-6), size - 1).astype(np.intp)
    part = np.maximum(clipped - low, 0.0).astype(np.float32)
    out = picture.take(low, axis=axis)
    if part.max() > 1e-4:
        high = picture.take(np.minimum(low + 1, size - 1), axis=axis)
        weight = part[:, None] if axis == 0 else part[None, :]
        out = out + (high - out) * weight
    if not inside.all():
        if axis == 0:
            out[~inside] = outside
        else:
            out[:, ~inside] = outside
    return out
