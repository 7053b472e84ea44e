"""Shapes put together from masses, as a modeller does: each mass is worked into what is there with a fillet, or cut out of it.

A shape is a function from points [..., 3] in m to their distance from its skin, below 0 within.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from scipy.ndimage import map_coordinates

from sim.workshop.photographs.form import Form
from sim.workshop.photographs.relief import F64

Shape = Callable[[F64], F64]
Spot = tuple[float, float, float]


def egg(middle: Spot, half: Spot) -> Shape:
    """An egg with three half axes (distance good near the skin)."""

    def distance(p: F64) -> F64:
        q = (p - np.array(middle)) / np.array(half)
        far, steep = np.linalg.norm(q, axis=-1), np.linalg.norm(q / np.array(half), axis=-1)
        return np.asarray(far * (far - 1.0) / np.maximum(steep, 1e-9))

    return distance


def sausage(start: Spot, end: Spot, thick_start: float, thick_end: float) -> Shape:
    """A rod from one ball to another of other size."""
    a, b = np.array(start), np.array(end)
    along = b - a

    def distance(p: F64) -> F64:
        share = np.clip((p - a) @ along / max(float(along @ along), 1e-12), 0, 1)
        return np.asarray(
            np.linalg.norm(p - a - share[..., None] * along, axis=-1) - (thick_start + share * (thick_end - thick_start))
        )

    return distance


def join(first: F64, second: F64, fillet: float) -> F64:
    """Two masses worked together with a fillet, m."""
    share = np.clip(0.5 + 0.5 * (second - first) / fillet, 0, 1)
    return np.asarray(second + (first - second) * share - fillet * share * (1 - share))


def cut(first: F64, second: F64, fillet: float) -> F64:
    """The second mass taken out of the first."""
    return -join(-first, second, fillet)


def grown(p: F64, d: F64, masses: Sequence[tuple[Shape, float]]) -> F64:
    """Masses put on one after another."""
    for shape, fillet in masses:
        d = join(d, shape(p), fillet)
    return d


def hollowed(p: F64, d: F64, masses: Sequence[tuple[Shape, float]]) -> F64:
    """Masses cut out one after another."""
    for shape, fillet in masses:
        d = cut(d, shape(p), fillet)
    return d


def pellets(p: F64, size_m: float, seed: int) -> F64:
    """Height 0..1 of pellets of clay pressed on side by side, each a flat dome, creases where they meet."""
    lattice = np.random.Generator(np.random.PCG64(seed)).uniform(0.1, 0.9, (16, 16, 16, 3))
    cell = np.floor(p / size_m).astype(int)
    nearest = np.full(p.shape[:-1], 9.0)
    for step in np.ndindex(3, 3, 3):
        at = cell + np.array(step) - 1
        middle = at + lattice[at[..., 0] % 16, at[..., 1] % 16, at[..., 2] % 16]
        nearest = np.minimum(nearest, ((p / size_m - middle) ** 2).sum(-1))
    return np.asarray(1.0 - np.minimum(nearest, 1.0))


def skin_of(shape: Shape, low: Spot, high: Spot, cell_m: float) -> Form:
    """The skin of a shape within a box, found on a net of cells (marching cubes)."""
    from skimage.measure import marching_cubes  # only `generate` needs it; comes with the extra "scenes"

    coarse = 3  # first a coarse look, then every point near the skin again
    axes = [np.arange(a, b, cell_m) for a, b in zip(low, high)]
    rough = [axis[::coarse] for axis in axes]
    about = shape(np.stack(np.meshgrid(*rough, indexing="ij"), -1))
    index = np.stack(np.meshgrid(*[np.arange(len(axis)) / coarse for axis in axes], indexing="ij"))
    values = map_coordinates(about, index.reshape(3, -1), order=1, mode="nearest").reshape(index.shape[1:])
    near = np.abs(values) < 2.0 * coarse * cell_m
    where = np.argwhere(near)
    values[near] = shape(np.stack([axis[k] for axis, k in zip(axes, where.T)], -1))
    points, faces, _, _ = marching_cubes(values.astype(np.float32), 0.0, spacing=(cell_m,) * 3)
    return Form(points.astype(float) + np.array(low), triangles=faces[:, ::-1].astype(np.int32))
