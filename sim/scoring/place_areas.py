"""The area that a named place stands for, found from the picture: what a printer means by "the cheek", not a dot on it.

From the place outwards the smoothed negative is followed as long as its tone stays near, as far as the sleeve says the place
reaches (a part of it, for a feathered card fades out at its border). A few points spread evenly over that area stand for
it; the place's own spot is none of them, and nobody is told where they lie. The same picture always gives the same points.
"""

from __future__ import annotations

from weakref import WeakKeyDictionary

import numpy as np
from numpy.typing import NDArray

from sim.negative.negative import Negative, Place
from sim.quantities import FloatArray

BoolArray = NDArray[np.bool_]

POINTS = 12
RASTER = 200  # cells along the frame's longer side: about a millimetre of a usual print
SMOOTH_CELLS = 1.2  # grain and small texture are not edges
TONE_DENSITY = 0.16  # half a stop on the film: what differs more is another thing (assumption; a face's modelling stays)
AREA_SHARE = 0.6  # of what the sleeve says belongs to the place: beyond that a feathered card of its size fades out
USUAL_AREA = (0.25, 0.25)  # of the frame, where a sleeve says nothing: as large as a card is cut there
LEAST_RADIUS = 0.035  # of the frame's longer side: 9 mm of a 10-inch print; what is smaller stands for its surroundings
SPOT_SHARE = 0.008  # of the longer side: about the densitometer's spot
ROUNDS = 12

_found: WeakKeyDictionary[Negative, dict[Place, FloatArray]] = WeakKeyDictionary()
_rasters: WeakKeyDictionary[Negative, NDArray[np.float32]] = WeakKeyDictionary()


def area_points(negative: Negative, place: Place) -> FloatArray:
    """Return the points that stand for a place's area: x and y as fractions of the frame, [point, axis]; at most 12."""
    of_negative = _found.setdefault(negative, {})
    if place not in of_negative:
        of_negative[place] = _spread(negative, place)
    return of_negative[place]


def _spread(negative: Negative, place: Place) -> FloatArray:
    """Return a dozen middles of equal parts of the area, each moved to the nearest cell of it."""
    if negative not in _rasters:
        _rasters[negative] = _smoothed(negative)
    tone = _rasters[negative]
    rows, cols = tone.shape
    row, col = min(int(place.y * rows), rows - 1), min(int(place.x * cols), cols - 1)
    cells = np.argwhere(_area(tone, place, row, col)).astype(np.float64)
    at, _ = _middles(cells, np.array([row, col], dtype=np.float64))
    return np.stack([(at[:, 1] + 0.5) / cols, (at[:, 0] + 0.5) / rows], axis=-1)


def _smoothed(negative: Negative) -> NDArray[np.float32]:
    """Return the negative's density on a coarse raster, grain smoothed out."""
    from scipy.ndimage import gaussian_filter

    silver = negative.silver_density
    step = max(1, round(max(silver.shape) / RASTER))
    rows, cols = (max(side // step, 1) for side in silver.shape)
    cut = silver[: rows * step, : cols * step] if min(silver.shape) >= step else silver
    coarse = cut.reshape(rows, step, cols, step).mean(axis=(1, 3))
    return np.asarray(gaussian_filter(coarse, SMOOTH_CELLS), dtype=np.float32)


def _area(tone: NDArray[np.float32], place: Place, row: int, col: int) -> BoolArray:
    """Return the cells that belong to a place, its own spot left out [row, col]."""
    from scipy.ndimage import label

    rows, cols = tone.shape
    width, height = place.area or USUAL_AREA
    half_w, half_h = (max(0.5 * AREA_SHARE * share * side, 1.0) for share, side in ((width, cols), (height, rows)))
    longer = max(rows, cols)
    box = tuple(
        slice(max(at - reach, 0), at + reach + 1)
        for at, half in ((row, half_h), (col, half_w)) for reach in (int(max(half, LEAST_RADIUS * longer)) + 1,)
    )  # fmt: skip
    down, across = np.mgrid[:rows, :cols][:, *box]
    within = np.hypot((across - col) / half_w, (down - row) / half_h) <= 1.0
    distance = np.hypot(down - row, across - col)
    disc = distance <= LEAST_RADIUS * longer
    near = np.abs(tone[box] - tone[row, col]) <= TONE_DENSITY
    parts, _ = label(within & near)
    own = parts[row - box[0].start, col - box[1].start]
    area = (parts == own) & (parts > 0) & within
    if area.sum() < disc.sum():
        area |= disc
    outside = area & (distance > SPOT_SHARE * longer)
    found = np.zeros(tone.shape, dtype=np.bool_)
    found[box] = outside if outside.any() else area
    return found


def _middles(cells: FloatArray, centre: FloatArray) -> tuple[FloatArray, NDArray[np.intp]]:
    """Return at most a dozen cells in the middle of equal parts of an area, from rings around its centre (k-means)."""
    from scipy.spatial import cKDTree

    count = min(POINTS, len(cells))
    reach = np.abs(cells - centre).max(axis=0) + 0.5
    turn = np.arange(count) * np.pi * (3.0 - np.sqrt(5.0))  # a sunflower's seeds: even over a disc
    out = np.sqrt((np.arange(count) + 0.5) / count)[:, None]
    middles = centre + out * reach * np.stack([np.sin(turn), np.cos(turn)], axis=-1)
    middles = cells[cKDTree(cells).query(middles)[1]]
    for _ in range(ROUNDS):
        part = cKDTree(middles).query(cells)[1]
        size = np.bincount(part, minlength=count)
        sums = np.stack([np.bincount(part, cells[:, axis], count) for axis in (0, 1)], axis=-1)
        middles = np.where(size[:, None] > 0, sums / np.maximum(size, 1)[:, None], middles)
    nearest = np.unique(np.asarray(cKDTree(cells).query(middles)[1], dtype=np.intp))
    return cells[nearest], nearest
