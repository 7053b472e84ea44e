"""Modelled figures: many rounded masses grown together, worked out once on a fine lattice near the skin only."""

from dataclasses import dataclass, field

import numpy as np

from sim.workshop.scenes.sdf import F32, Shape, Vector, normalise

COARSE = 6  # cells of the fine lattice to one of the coarse


@dataclass(frozen=True, eq=False)
class Modelled:
    """A solid from a lattice [ix, iy, iz, 4] of distance (m) and its three slopes, read between eight corners."""

    lattice: F32
    low: Vector
    cell_m: float
    _distance: F32 = field(init=False, repr=False)
    _slope: F32 = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_distance", np.ascontiguousarray(self.lattice[..., 0].reshape(-1, 1)))
        object.__setattr__(self, "_slope", np.ascontiguousarray(self.lattice[..., 1:].reshape(-1, 3)))

    def _read(self, p: F32, rows: F32) -> tuple[F32, F32]:
        """Values (N, k) and how far the points (3, N) lie outside the lattice (m)."""
        _, ny, nz, _ = self.lattice.shape
        q = (p - np.array(self.low, np.float32)[:, None]) / np.float32(self.cell_m)
        top = np.array(self.lattice.shape[:3], np.float32)[:, None] - np.float32(1.001)
        c = np.clip(q, 0, top)
        away = np.sqrt(((q - c) ** 2).sum(axis=0)) * np.float32(self.cell_m)
        i = c.astype(np.int32)
        f = (c - i).astype(np.float32)
        base = ((i[0] * ny + i[1]) * nz + i[2]).astype(np.int64)
        fx, fy, fz = f[0][:, None], f[1][:, None], f[2][:, None]
        edges = []
        for dx, dy in ((0, 0), (0, 1), (1, 0), (1, 1)):
            at = base + (dx * ny + dy) * nz
            a = rows.take(at, axis=0)
            edges.append(a + (rows.take(at + 1, axis=0) - a) * fz)
        near = edges[0] + (edges[1] - edges[0]) * fy
        far = edges[2] + (edges[3] - edges[2]) * fy
        return near + (far - near) * fx, away.astype(np.float32)

    def distance(self, p: F32) -> F32:
        value, away = self._read(p, self._distance)
        return np.asarray(value[:, 0] + away)

    def normal(self, p: F32) -> F32:
        """Outward normals (3, N) from the tabled slopes."""
        value, _ = self._read(p, self._slope)
        return normalise(np.ascontiguousarray(value.T))

    def box(self) -> tuple[F32, F32]:
        lo = np.array(self.low, np.float32)
        size = (np.array(self.lattice.shape[:3], np.float32) - 1) * np.float32(self.cell_m)
        pad = np.float32(2 * self.cell_m)
        return lo + pad, lo + size - pad


def model(shape: Shape, cell_m: float) -> Modelled:
    """Work a shape out on a lattice of cells `cell_m`: exactly near its skin, by its coarse lattice farther away."""
    from scipy.ndimage import zoom

    lo, hi = shape.box()
    lo = lo - np.float32(4 * cell_m)
    blocks = np.ceil((hi - lo + 8 * cell_m) / (COARSE * cell_m)).astype(int)
    axes = [lo[i] + np.arange(blocks[i] + 1, dtype=np.float32) * np.float32(COARSE * cell_m) for i in range(3)]
    corner = np.stack([m.ravel() for m in np.meshgrid(*axes, indexing="ij")])
    coarse = shape.distance(corner).reshape(blocks + 1)
    fine = zoom(coarse, (blocks * COARSE + 1) / (blocks + 1), order=1, grid_mode=False).astype(np.float32)
    near = np.nonzero(np.abs(fine.ravel()) < 1.1 * COARSE * cell_m)[0]
    for first in range(0, near.size, 65536):
        part = near[first : first + 65536]
        i = np.stack(np.unravel_index(part, fine.shape)).astype(np.float32)
        fine.ravel()[part] = shape.distance(lo[:, None] + i * np.float32(cell_m))
    slopes = np.gradient(fine, cell_m)
    return Modelled(
        np.stack([fine, *slopes], axis=3).astype(np.float32), (float(lo[0]), float(lo[1]), float(lo[2])), cell_m
    )
