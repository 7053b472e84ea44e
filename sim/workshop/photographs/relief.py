"""Unevenness that no maker wants and every hand leaves: smooth noise over points in space, the same for the same seed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

F64 = NDArray[np.float64]
_MIX = np.array([0x9E3779B1, 0x85EBCA77, 0xC2B2AE3D], np.uint64)


def _lattice(cells: NDArray[np.int64], seed: int) -> F64:
    """A value -1..1 for every corner of the lattice, hashed from its three whole numbers."""
    mixed = (cells.astype(np.uint64) * _MIX).sum(-1) + np.uint64(seed) * np.uint64(0x27D4EB2F)
    for shift, factor in ((15, 0x2C1B3C6D), (12, 0x297A2D39), (15, 1)):
        mixed = ((mixed & np.uint64(0xFFFFFFFF)) ^ ((mixed & np.uint64(0xFFFFFFFF)) >> np.uint64(shift))) * np.uint64(factor)
    return (mixed & np.uint64(0xFFFFFF)).astype(np.float64) / 0x7FFFFF - 1.0


def _one_octave(points: F64, seed: int) -> F64:
    low = np.floor(points)
    part = points - low
    part = part * part * part * (part * (part * 6.0 - 15.0) + 10.0)
    cells = low.astype(np.int64)
    total = np.zeros(points.shape[:-1])
    for corner in range(8):
        step = np.array([corner & 1, corner >> 1 & 1, corner >> 2 & 1])
        share = np.where(step == 1, part, 1.0 - part).prod(-1)
        total += share * _lattice(cells + step, seed)
    return total


def uneven(points: F64, size_m: float, octaves: int = 4, seed: int = 0, fade: float = 0.5) -> F64:
    """Return smooth noise of about -1..1 at points [..., 3] in m.

    `size_m` is the size of the largest lumps; each octave is half as large and `fade` times as strong.
    """
    scaled = np.asarray(points, np.float64) / size_m
    total, strength, most = np.zeros(scaled.shape[:-1]), 1.0, 0.0
    for octave in range(octaves):
        total += strength * _one_octave(scaled + 17.3 * octave, seed + octave)
        most += strength
        scaled, strength = scaled * 2.03, strength * fade
    return 1.6 * total / most


def uneven_plane(x: F64, y: F64, size_m: float, octaves: int = 4, seed: int = 0, fade: float = 0.5) -> F64:
    """The same over a plane: x and y in m."""
    return uneven(np.stack([x, y, np.full_like(x, 0.37 * size_m)], -1), size_m, octaves, seed, fade)
