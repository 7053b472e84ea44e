"""The negative as a loupe finds it projected: the picture between its pixels, and its grain at its own size.

A negative's pixels hold the picture and the mean of the grain within each of them. Under a loupe both are seen finer: the
grain is taken off, the picture drawn smoothly through its densities, and grain of the film's own clumps laid on again, as
fine as the loupe shows. It lies fast on the easel around the axis: a loupe that is moved finds the same clumps again.
"""

from __future__ import annotations

import numpy as np

from sim.enlarger.easel import FilmCoordinates, SheetGrid
from sim.enlarger.settings import Bench
from sim.negative.callier import Scattering
from sim.negative.negative import Negative
from sim.quantities import Float32Array, FloatArray

AROUND_PX = 8  # of the negative, beyond what is seen: a curve forgets its end by a factor of 3.7 a pixel


def film_under_loupe(
    negative: Negative, bench: Bench, grid: SheetGrid, at: FilmCoordinates, scattering: Scattering
) -> Float32Array:
    """Return what film passes at every point of a small fine grid [row, col], 0 beyond the frame; base left out."""
    silver = picture_between_pixels(negative, at, bench.settings.flipped)
    if negative.rms_granularity > 0.0:
        silver = _with_grain(silver, negative, 1.0 / (bench.print_scale * grid.px_per_mm), grid, bench.settings.flipped)
    if scattering.shows:
        diffuse = np.linspace(-0.5, 6.0, 4097)
        shown = np.where(diffuse > 0.0, scattering.printing_density(np.maximum(diffuse, 0.0)), diffuse)
        silver = np.interp(silver, diffuse, shown).astype(np.float32)
    light = np.exp(silver * np.float32(-np.log(10.0)))
    half_w, half_h = (side / 2 for side in negative.frame_mm)
    return np.where((np.abs(at.x) <= half_w) & (np.abs(at.y) <= half_h), light, np.float32(0.0))


def _with_grain(silver: Float32Array, negative: Negative, pitch_mm: float, grid: SheetGrid, flipped: bool) -> Float32Array:
    """Return densities with grain; that of a negative turned over is turned over with it."""
    top, left = first_node(grid, flipped)
    if not flipped:
        return negative.grain.laid_on(silver, pitch_mm, (top, left))
    return negative.grain.laid_on(silver[:, ::-1], pitch_mm, (top, left))[:, ::-1]


def first_node(grid: SheetGrid, flipped: bool = False) -> tuple[int, int]:
    """Return the first row and column of a grid among nodes of its own pitch that begin at the axis.

    Of film turned over they are counted from its other side.
    """
    centre_x, centre_y = grid.image_centre_mm
    across = centre_x - float(grid.x_mm[-1]) if flipped else float(grid.x_mm[0]) - centre_x
    return _nearest((float(grid.y_mm[0]) - centre_y) * grid.px_per_mm), _nearest(across * grid.px_per_mm)


def _nearest(position: float) -> int:
    return int(np.floor(position + 0.5 - 1e-6))  # halves always to the same side, whatever the last bits


def picture_between_pixels(negative: Negative, at: FilmCoordinates, flipped: bool) -> Float32Array:
    """Return net silver density without grain at points of the film, mm from the frame's middle as the carrier holds it.

    Cubic splines through the pixels' densities: they keep 0.78 of the contrast of a wave of 2.4 pixels, where straight lines
    between pixels keep 0.55 (textbook interpolation).
    """
    shape, pitch = negative.silver_density.shape, negative.px_per_mm
    row = at.y * pitch + (shape[0] - 1) / 2
    col = at.x * pitch + (shape[1] - 1) / 2
    if flipped:
        col = shape[1] - 1 - col
    rows, cols = _patch(row, shape[0]), _patch(col, shape[1])
    patch = np.ascontiguousarray(negative.silver_density[rows, cols])
    if negative.grain_key is not None and negative.rms_granularity > 0.0:
        patch = negative.grain.taken_off(patch, 1.0 / pitch, (rows.start, cols.start))
    return _drawn_smoothly(patch, row - rows.start, col - cols.start, at.stretch is None)


def _patch(position: FloatArray, count: int) -> slice:
    """Return the pixels that are needed for positions along one side of the negative."""
    first = int(np.floor(float(position.min()))) - AROUND_PX
    last = int(np.ceil(float(position.max()))) + AROUND_PX
    first = min(max(first, 0), count - 1)
    return slice(first, max(min(last + 1, count), first + 1))


def _drawn_smoothly(patch: Float32Array, row: FloatArray, col: FloatArray, straight: bool) -> Float32Array:
    from scipy.ndimage import map_coordinates, spline_filter

    if min(patch.shape) < 2:
        return np.full(np.broadcast_shapes(row.shape, col.shape), patch.mean(), dtype=np.float32)
    weights = spline_filter(patch, order=3, output=np.float32, mode="mirror")
    if straight:
        return _along(_along(weights, row[:, 0], 0), col[0], 1)
    where = np.broadcast_arrays(row, col)
    drawn = map_coordinates(weights, where, output=np.float32, order=3, mode="mirror", prefilter=False)
    return np.asarray(drawn, dtype=np.float32)


def _along(weights: Float32Array, position: FloatArray, axis: int) -> Float32Array:
    """Return a spline of given weights at positions along one axis; beyond the ends its mirror image."""
    size = weights.shape[axis]
    low = np.floor(np.clip(position, -1.0, float(size))).astype(np.intp)
    part = np.clip(position - low, 0.0, 1.0)
    shares = (
        (1 - part) ** 3 / 6, (4 - 6 * part**2 + 3 * part**3) / 6, (1 + 3 * part + 3 * part**2 - 3 * part**3) / 6,
        part**3 / 6,
    )  # fmt: skip
    out: Float32Array | None = None
    for k, share in enumerate(shares):
        index = np.abs(low + (k - 1))
        index = np.clip(np.where(index > size - 1, 2 * (size - 1) - index, index), 0, size - 1)
        column = share.astype(np.float32)
        taken = weights.take(index, axis=axis) * (column[:, None] if axis == 0 else column[None, :])
        out = taken if out is None else out + taken
    assert out is not None
    return out
