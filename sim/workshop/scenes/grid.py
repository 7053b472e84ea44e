"""The light grid: distances to the nearest thing and the light each skin sends back, for rays that wander about."""

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from sim.workshop.scenes.sdf import F32

HIT_VOXELS = 0.55
START_VOXELS = 1.3


@dataclass(frozen=True, eq=False)
class LightGrid:
    """Voxels [ix, iy, iz] flattened: `distance` in voxels, `radiance` in cd/m2 near skins; `even` on a coarse grid.

    `even` (cells, 4) holds mean luminance and three times its first moment, the control for reflected light.
    """

    lo: F32
    voxel_m: float
    shape: tuple[int, int, int]
    distance: F32
    radiance: F32
    reflectance: F32
    even: F32
    even_lo: F32
    even_m: float
    even_shape: tuple[int, int, int]
    quiet: F32 = field(init=False, repr=False)

    def __post_init__(self) -> None:
        # A place (voxels) far from everything, where look-ups for finished rays do no harm.
        at = int(np.argmax(self.distance))
        object.__setattr__(self, "quiet", np.array(np.unravel_index(at, self.shape), np.float32) + np.float32(0.5))

    @property
    def size_m(self) -> F32:
        return np.array(self.shape, np.float32) * np.float32(self.voxel_m)

    def exit_m(self, o: F32, d: F32) -> tuple[F32, F32]:
        """Distances (N,) along rays at which they enter and leave the grid (one voxel inside its skin); in > out = missed."""
        margin = np.float32(1.01 * self.voxel_m)
        lo = (self.lo + margin)[:, None]
        hi = (self.lo + self.size_m - margin)[:, None]
        return box_span(o, d, lo, hi)

    def cell_of(self, p: F32) -> npt.NDArray[np.int64]:
        """Flat voxel index of points (3, N) inside the grid (clipped)."""
        q = ((p - self.lo[:, None]) / np.float32(self.voxel_m)).astype(np.int64)
        for axis in range(3):
            np.clip(q[axis], 0, self.shape[axis] - 1, out=q[axis])
        return np.asarray((q[0] * self.shape[1] + q[1]) * self.shape[2] + q[2])

    def march(self, o: F32, d: F32, limit_m: F32, shake: F32) -> F32:
        """Distance (N,) in metres to the first skin along rays (3, N), inf where none before `limit_m` or the grid's end.

        `shake` (3, N) in -0.5..0.5 voxel moves each ray's look-ups: nearest-voxel reading then averages to trilinear.
        """
        near, far = self.exit_m(o, d)
        near = np.maximum(near, 0)
        far = np.minimum(far, limit_m)
        out = np.full(o.shape[1], np.inf, np.float32)
        live = np.nonzero(near < far)[0]
        inv = np.float32(1 / self.voxel_m)
        q = ((o[:, live] - self.lo[:, None]) * inv + shake[:, live]).astype(np.float32)
        step = d[:, live]
        t, end = near[live] * inv, far[live] * inv
        _, ny, nz = self.shape
        for _ in range(160):
            if live.size == 0:
                break
            ix = (q[0] + step[0] * t).astype(np.int32)
            iy = (q[1] + step[1] * t).astype(np.int32)
            iz = (q[2] + step[2] * t).astype(np.int32)
            ix *= ny
            ix += iy
            ix *= nz
            ix += iz
            gap = self.distance.take(ix, mode="clip")
            hit = gap < HIT_VOXELS
            if hit.any():
                out[live[hit]] = t[hit] * np.float32(self.voxel_m)
            t += np.maximum(gap * np.float32(0.95), np.float32(0.5))
            keep = ~hit & (t < end)
            kept = int(np.count_nonzero(keep))
            if kept < 0.75 * live.size or kept == 0:
                live, t, end = live[keep], t[keep], end[keep]
                q, step = q[:, keep], step[:, keep]
            else:
                self._park(~keep, q, step, t, end)
        return out

    def _park(self, dead: npt.NDArray[np.bool_], q: F32, step: F32, t: F32, end: F32) -> None:
        """Few rays have finished, packing would cost more: put them, in place, where further look-ups cannot matter."""
        if dead.any():
            t[dead] = 0
            end[dead] = -1
            q[:, dead] = self.quiet[:, None]
            step[:, dead] = 0

    def even_light(self, p: F32) -> F32:
        """Mean luminance and moment (4, N) at points, trilinear in the coarse grid."""
        q = (p - self.even_lo[:, None]) / np.float32(self.even_m) - np.float32(0.5)
        _, ny, nz = self.even_shape
        low, part = [], []
        for axis in range(3):
            c = np.clip(q[axis], 0, self.even_shape[axis] - 1.001)
            i = c.astype(np.int64)
            low.append(i)
            part.append((c - i).astype(np.float32))
        rows: F32 | None = None
        for corner in range(8):
            bx, by, bz = corner >> 2, (corner >> 1) & 1, corner & 1
            w = (part[0] if bx else 1 - part[0]) * (part[1] if by else 1 - part[1]) * (part[2] if bz else 1 - part[2])
            cell = ((low[0] + bx) * ny + low[1] + by) * nz + low[2] + bz
            add = self.even.take(cell, axis=0) * w[:, None]
            rows = add if rows is None else rows + add
        assert rows is not None
        return np.ascontiguousarray(rows.T)


def box_span(o: F32, d: F32, lo: F32, hi: F32) -> tuple[F32, F32]:
    """Distances (N,) along rays at which they enter and leave a box (corners (3, 1)); enter > leave means missed."""
    safe = np.where(np.abs(d) < 1e-9, np.float32(1e-9), d)
    a, b = (lo - o) / safe, (hi - o) / safe
    near, far = np.minimum(a, b), np.maximum(a, b)
    return np.maximum(np.maximum(near[0], near[1]), near[2]), np.minimum(np.minimum(far[0], far[1]), far[2])
