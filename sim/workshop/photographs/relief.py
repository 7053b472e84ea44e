"""Unevenness that no maker wants and every hand leaves: smooth noise over points in space, the same for the same seed."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates

F64 = NDArray[np.float64]
_EDGE = 64  # the lattice repeats after so many lumps


@lru_cache(maxsize=1)
def _lattice() -> F64:
    return np.random.Generator(np.random.PCG64(20)).uniform(-1.0, 1.0, (_EDGE, _EDGE, _EDGE))


def _one_octave(points: F64, seed: int) -> F64:
    start = np.random.Generator(np.random.PCG64(seed)).uniform(0, _EDGE, 3)
    moved = points + start
    low = np.floor(moved)
    part = moved - low
    eased = low + part * part * (3.0 - 2.0 * part)  # so that lumps have no edges where lattice cells meet
    flat = np.moveaxis(eased, -1, 0).reshape(3, -1)
    return np.asarray(map_coordinates(_lattice(), flat, order=1, mode="grid-wrap").reshape(points.shape[:-1]))


def uneven(points: F64, size_m: float, octaves: int = 4, seed: int = 0, fade: float = 0.5) -> F64:
    """Return smooth noise of about -1..1 at points [..., 3] in m.

    `size_m` is the size of the largest lumps; each octave is half as large and `fade` times as strong.
    """
    scaled = np.asarray(points, np.float64) / size_m
    total, strength, most = np.zeros(scaled.shape[:-1]), 1.0, 0.0
    for octave in range(octaves):
        total += strength * _one_octave(scaled, 1000 * seed + octave)
        most += strength
        scaled, strength = scaled * 2.03, strength * fade
    return 1.6 * total / most


def uneven_plane(x: F64, y: F64, size_m: float, octaves: int = 4, seed: int = 0, fade: float = 0.5) -> F64:
    """The same over a plane: x and y in m."""
    x, y = np.broadcast_arrays(np.asarray(x, float), np.asarray(y, float))
    return uneven(np.stack([x, y, np.full(x.shape, 0.37 * size_m)], -1), size_m, octaves, seed, fade)
