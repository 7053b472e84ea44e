"""The sheet on the easel as a grid of points, and where each of them lies in the projected negative.

Lengths are mm on the easel; the sheet's top left corner is the origin, x to the right, y down.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from sim.bands import bands
from sim.enlarger.settings import Bench
from sim.negative.negative import Negative
from sim.quantities import FloatArray

Down = TypeVar("Down", float, FloatArray)
Across = TypeVar("Across", float, FloatArray)

MAX_SHEET_PX = 20_000_000  # chosen: under 2 GB of working memory in make_print


@dataclass(frozen=True)
class SheetGrid:
    """Points of a sheet: ``shift_mm`` is where the image's centre lies against the sheet's centre.

    A piece of a larger sheet knows that sheet, by which the lens is judged, and its own first row and column on it. One that
    is ``magnified`` is seen through a loupe: with the film's grain at its own size, the lens judged by the piece's middle.
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
    magnified: bool = False

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
            (self.first_px[0] + top, self.first_px[1] + left), self.magnified,
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

    def is_open(self, x_mm: float, y_mm: float) -> bool:
        """Tell whether a point lies on the paper where no easel blade covers it."""
        rows, cols = self.open_window()
        row, col = self.pixel_of(x_mm, y_mm)
        return rows.start <= round(row) < rows.stop and cols.start <= round(col) < cols.stop


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

    ``x`` is [1, col] and ``y`` [row, 1] when nothing is tilted. Tilts turn about the vertical, so that a column stays a
    column of the film, seen at ``stretch`` [1, col] times ``down`` [row, 1]. ``easel_x`` and ``easel_y`` are mm on the
    easel from the axis; where it is tilted, ``tilt_light`` is what that makes of the light [1, col], and the same beams
    would meet the easel laid flat at ``flat_x`` [1, col] and ``flat_stretch`` [1, col] times ``easel_y``.
    """

    x: FloatArray
    down: FloatArray
    easel_x: FloatArray
    easel_y: FloatArray
    stretch: FloatArray | None = None
    tilt_light: FloatArray | None = None
    flat_x: FloatArray | None = None
    flat_stretch: FloatArray | None = None

    @property
    def y(self) -> FloatArray:
        """How far down the negative each point looks, mm: [row, 1], or [row, col] when something is tilted."""
        return self.down if self.stretch is None else self.down * self.stretch

    @property
    def pitch_mm(self) -> float:
        """How far apart neighbouring points look in the negative, mm, at the least; 0 for a single point."""
        stretch = 1.0 if self.stretch is None else float(self.stretch.min())
        sides = (self.x[0], self.down[:, 0] * stretch)
        return float(min((np.diff(side).min() for side in sides if len(side) > 1), default=0.0))

    @property
    def on_flat_easel(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Where the beams would meet an easel that is not tilted, mm from the axis: by it the field angle is told.

        x [1, col], y [row, 1] and what y must be multiplied with [1, col].
        """
        if self.flat_x is None or self.flat_stretch is None:
            return self.easel_x, self.easel_y, np.ones((1, 1))
        return self.flat_x, self.easel_y, self.flat_stretch


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
    if not bench.is_tilted:
        return FilmCoordinates(x / scale, y / scale, x, y)
    film_x, stretch, plane_x, nearer = _through_tilts(x, bench)
    light = None if settings.easel_tilt_deg == 0.0 else nearer**3 * np.cos(np.radians(settings.easel_tilt_deg))
    return FilmCoordinates(film_x, y, x, y, stretch, light, plane_x, nearer)


def _through_tilts(x: FloatArray, bench: Bench) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Return where points x mm right of the axis look across the film, by what y is to be multiplied there, where the same
    beams meet a flat easel, and how much nearer the lens the paper lies."""
    v, settings = bench.lens_to_paper_mm, bench.settings
    easel, stage = np.radians(settings.easel_tilt_deg), np.radians(settings.negative_tilt_deg)
    nearer = v / (v - x * np.sin(easel))
    plane_x = x * np.cos(easel) * nearer
    u = v / bench.magnification
    film_x = plane_x * u / (v * np.cos(stage) + plane_x * np.sin(stage))
    return film_x, nearer * (u - film_x * np.sin(stage)) / v, plane_x, nearer


def on_film_mm(x_mm: FloatArray, y_mm: FloatArray, bench: Bench) -> tuple[FloatArray, FloatArray]:
    """Return which points of the film fall on points of the easel, mm from the axis: the inverse of ``on_paper_mm``."""
    settings, scale = bench.settings, bench.print_scale
    if not bench.is_tilted:
        film_x, film_y = x_mm / scale, y_mm / scale
    else:
        film_x, stretch, _, _ = _through_tilts(x_mm, bench)
        film_y = y_mm * stretch
    return (-film_x if settings.flipped else film_x), film_y


def on_paper_mm(x_mm: float, y_mm: float, bench: Bench) -> tuple[float, float]:
    """Return where a point of the film falls on the easel, mm from the axis: the inverse of ``film_coordinates``.

    ``x_mm`` and ``y_mm`` are from the frame's middle as the film is looked at; film turned over in the carrier is mirrored.
    """
    settings, scale = bench.settings, bench.print_scale
    x_mm = -x_mm if settings.flipped else x_mm
    if not bench.is_tilted:
        return x_mm * scale, y_mm * scale
    v = bench.lens_to_paper_mm
    easel, stage = np.radians(settings.easel_tilt_deg), np.radians(settings.negative_tilt_deg)
    nearer = v / (v / bench.magnification - x_mm * np.sin(stage))
    plane_x, plane_y = x_mm * np.cos(stage) * nearer, y_mm * nearer
    x = plane_x * v / (v * np.cos(easel) + plane_x * np.sin(easel))
    return float(x), float(plane_y * (v - x * np.sin(easel)) / v)


def seen_of(shape: tuple[int, ...], px_per_mm: float, at: FilmCoordinates) -> tuple[slice, slice]:
    """Return the rows and columns of a film picture that a sheet's points see, one pixel at least."""
    stretch = (1.0,) if at.stretch is None else (float(at.stretch.min()), float(at.stretch.max()))
    ends = ([d * by for d in (at.down.min(), at.down.max()) for by in stretch], (at.x.min(), at.x.max()))
    spans = []
    for count, positions in zip(shape, ends, strict=True):
        low, high = (end(positions) * px_per_mm + (count - 1) / 2 for end in (min, max))
        start = min(max(int(np.floor(low)) - 1, 0), count - 1)
        spans.append(slice(start, max(min(int(np.ceil(high)) + 2, count), start + 1)))
    return spans[0], spans[1]


def sampled(
    picture: NDArray[np.float32], px_per_mm: float, at: FilmCoordinates, outside: float,
    first_px: tuple[int, int] = (0, 0), whole: tuple[float, ...] = (),
) -> NDArray[np.float32]:  # fmt: skip
    """Return a film picture at the sheet's points by linear interpolation; ``outside`` beyond the frame.

    ``picture`` may be what is ``seen_of`` a picture of the shape ``whole``, from its pixel ``first_px`` on; the last row and
    column of ``whole`` may be parts of pixels. Maybe a view.
    """
    rows, cols = whole or picture.shape
    col = at.x[0] * px_per_mm + (cols - 1) / 2
    row = at.down[:, 0] * px_per_mm
    if at.stretch is not None:
        within = _inside(col, cols)
        tall = np.full((len(picture), len(col)), np.float32(outside))
        tall[:, within] = along(picture, col[within], 1, cols, first_px[1])
        return _stretched(tall, row, at.stretch[0], outside, rows, first_px[0])
    row = row + (rows - 1) / 2
    down, across = _inside(row, rows), _inside(col, cols)
    seen = along(along(picture, row[down], 0, rows, first_px[0]), col[across], 1, cols, first_px[1])
    if seen.shape == (len(row), len(col)):
        return seen
    out = np.full((len(row), len(col)), np.float32(outside))
    out[down, across] = seen
    return out


def _inside(position: FloatArray, size: float) -> slice:
    """Return which of some rising positions lie on a picture's ``size`` pixels."""
    return slice(int(np.searchsorted(position, -0.5 - 1e-6)), int(np.searchsorted(position, size - 0.5 + 1e-6, "right")))


def along(picture: NDArray[np.float32], position: FloatArray, axis: int, size: float, first: int) -> NDArray[np.float32]:
    """Return a picture resampled along one axis; where pixels fall on pixels, the pixels themselves (a view).

    ``position`` counts the ``size`` pixels of the whole, of which the picture holds those from ``first`` on.
    """
    clipped = np.clip(position, 0, size - 1)
    low = np.minimum(np.floor(clipped + 1e-6), size - 1).astype(np.intp)
    part = np.maximum(clipped - low, 0.0).astype(np.float32)
    low = np.clip(low - first, 0, picture.shape[axis] - 1)
    between = part.max(initial=0.0) > 1e-4
    if not between and len(low) and np.array_equal(low, np.arange(low[0], low[0] + len(low))):
        span = slice(int(low[0]), int(low[0]) + len(low))
        return picture[span] if axis == 0 else picture[:, span]
    picture = np.ascontiguousarray(picture)
    out = picture.take(low, axis=axis)
    if between:
        high = picture.take(np.minimum(low + 1, picture.shape[axis] - 1), axis=axis)
        high -= out
        high *= part[:, None] if axis == 0 else part[None, :]
        out += high
    return out


def _stretched(
    picture: NDArray[np.float32], row: FloatArray, stretch: FloatArray, outside: float, size: float, first: int
) -> NDArray[np.float32]:
    """Return a picture whose columns are each resampled at ``row`` times that column's stretch from its middle, in pixels.

    The whole has ``size`` rows, of which the picture holds those from ``first`` on.
    """
    held, cols = picture.shape
    last, middle = np.float32(size - 1), np.float32((size - 1) / 2)
    flat, beside = np.ascontiguousarray(picture).ravel(), np.arange(cols, dtype=np.intp)[None, :]
    down, wide = row.astype(np.float32)[:, None], stretch.astype(np.float32)[None, :]
    out = np.empty((len(row), cols), dtype=np.float32)
    for band in bands(out.shape):
        position = down[band] * wide
        beyond = np.abs(position) > np.float32(0.5 * size)
        position += middle
        np.clip(position, 0.0, last, out=position)
        whole = np.floor(position)
        position -= whole
        low = whole.astype(np.intp)
        low -= first
        np.clip(low, 0, held - 1, out=low)
        above = flat.take(low * cols + beside)
        low += 1
        np.minimum(low, held - 1, out=low)
        position *= flat.take(low * cols + beside) - above
        position += above
        position[beyond] = outside
        out[band] = position
    return out
