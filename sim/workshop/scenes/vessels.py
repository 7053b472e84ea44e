"""Pots as surfaces of revolution: a profile with wall, lip and foot, turned once into an exact distance table in (r, y)."""

from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from sim.workshop.scenes.forms import Profile
from sim.workshop.scenes.sdf import F32, Capsule, Joined, Shape, Vector, smooth_max

if TYPE_CHECKING:
    from scipy.spatial import cKDTree


@dataclass(frozen=True, eq=False)
class Vessel:
    """A thrown pot: tables over radius and height (metres) of distance and its two slopes, and its out-of-roundness.

    `oval` is the relative difference of the two diameters: a hand-thrown pot is never quite round (0.004-0.012, chosen).
    """

    table: F32  # [nr, ny, 3]: distance m, slope by r, slope by y
    cell_m: float
    bottom_m: float
    height_m: float
    radius_m: float
    oval: float = 0.006
    _flat: F32 = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_flat", np.ascontiguousarray(self.table.reshape(-1, 3)))

    def _read(self, p: F32, columns: slice) -> tuple[F32, F32, F32, F32]:
        nr, ny, _ = self.table.shape
        square = p[0] * p[0] + p[2] * p[2]
        r = np.sqrt(square)
        r = r * (1 + np.float32(self.oval) * (p[0] * p[0] - p[2] * p[2]) / np.maximum(square, np.float32(1e-8)))
        fr = r / np.float32(self.cell_m)
        fy = (p[1] - np.float32(self.bottom_m)) / np.float32(self.cell_m)
        cr, cy = np.clip(fr, 0, nr - 1.001), np.clip(fy, 0, ny - 1.001)
        away = np.hypot(fr - cr, fy - cy) * np.float32(self.cell_m)
        ir, iy = cr.astype(np.int64), cy.astype(np.int64)
        wr, wy = (cr - ir).astype(np.float32), (cy - iy).astype(np.float32)
        base = ir * ny + iy
        flat = self._flat[:, columns]
        a, b = flat.take(base, axis=0), flat.take(base + 1, axis=0)
        c, d = flat.take(base + ny, axis=0), flat.take(base + ny + 1, axis=0)
        wr, wy = wr[:, None], wy[:, None]
        low = a + (b - a) * wy
        value = low + ((c + (d - c) * wy) - low) * wr
        return value, away, r, p[1]

    def distance(self, p: F32) -> F32:
        value, away, _, _ = self._read(p, slice(0, 1))
        d = value[:, 0]
        # Outside the table: the pot lies within it, so the true distance is at least this hypotenuse (convexity).
        return np.asarray(np.where(away > 0, np.sqrt(away * away + np.maximum(d, 0) ** 2), d))

    def normal(self, p: F32) -> F32:
        """Outward normals (3, N), from the tabled slopes (smooth across cells, so glazes show no facets)."""
        value, _, r, _ = self._read(p, slice(1, 3))
        turn = value[:, 0] / np.maximum(r, np.float32(1e-6))
        out = np.stack([p[0] * turn, value[:, 1], p[2] * turn])
        return np.asarray(out / np.maximum(np.sqrt((out * out).sum(axis=0)), np.float32(1e-9)))

    def box(self) -> tuple[F32, F32]:
        r = self.radius_m * (1 + 2 * self.oval) + 0.001
        return (np.array([-r, -0.001, -r], np.float32), np.array([r, self.height_m + 0.001, r], np.float32))


def _dense(profile: Profile, count: int = 700) -> tuple[F32, F32]:
    """A smooth curve through the control points (r, y), cubic in chord length."""
    from scipy.interpolate import CubicSpline

    points = np.array(profile, np.float64)
    step = np.sqrt((np.diff(points, axis=0) ** 2).sum(axis=1)) ** 0.75
    at = np.concatenate([[0], np.cumsum(step)])
    curve = CubicSpline(at, points, bc_type="natural")(np.linspace(0, at[-1], count))
    return np.maximum(curve[:, 0], 0).astype(np.float32), curve[:, 1].astype(np.float32)


def profile_distance(r: F32, y: F32, grid_r: F32, grid_y: F32) -> F32:
    """Signed distance (len(grid_r), len(grid_y)) to the closed outline r(y) completed by the axis; negative inside."""
    from scipy.spatial import cKDTree

    # Points every 0.1 mm on the outline: the nearest of them is within 2e-8 m of the true distance at 0.2 mm and beyond.
    gap = np.hypot(np.diff(r), np.diff(y))
    at = np.concatenate([[0], np.cumsum(gap)])
    fine = np.linspace(0, at[-1], int(at[-1] / 1e-4) + 2)
    cloud = np.stack([np.interp(fine, at, r), np.interp(fine, at, y)], axis=1)
    tree = cKDTree(cloud)
    rr, yy = np.meshgrid(grid_r, grid_y, indexing="ij")
    distance = _far(tree, rr, yy)
    near = np.nonzero(distance < 0.008)
    distance[near] = tree.query(np.stack([rr[near], yy[near]], axis=1))[0]
    inside = np.zeros(rr.shape, bool)
    steps = zip(r[:-1], y[:-1], np.diff(r), np.diff(y), strict=True)
    low, high = np.minimum(y[:-1], y[1:]), np.maximum(y[:-1], y[1:])
    first, last = np.searchsorted(grid_y, low), np.searchsorted(grid_y, high)
    for (r0, y0, dr, dy), a, b in zip(steps, first, last, strict=True):
        if b > a:
            inside[:, a:b] ^= grid_r[:, None] < r0 + (grid_y[None, a:b] - y0) * (dr / dy)
    return np.where(inside, -distance, distance).astype(np.float32)


def _far(tree: "cKDTree", rr: F32, yy: F32) -> F32:
    """Distances on every fourth row and column, the rest between them (good to 0.3 mm where nothing is near)."""
    from scipy.interpolate import RegularGridInterpolator

    rows = np.unique(np.append(np.arange(0, rr.shape[0], 4), rr.shape[0] - 1))
    cols = np.unique(np.append(np.arange(0, rr.shape[1], 4), rr.shape[1] - 1))
    spots = np.stack([rr[np.ix_(rows, cols)].ravel(), yy[np.ix_(rows, cols)].ravel()], axis=1)
    few = np.asarray(tree.query(spots)[0])
    between = RegularGridInterpolator((rr[rows, 0], yy[0, cols]), few.reshape(rows.size, cols.size))
    return np.asarray(between((rr, yy)), np.float32)


@lru_cache(maxsize=96)
def throw(
    profile: Profile, wall_m: float = 0.0055, floor_m: float = 0.008, *, solid: bool = False, ring_m: float = 9e-5,
    ring_pitch_m: float = 0.0075, oval: float = 0.006, cell_m: float = 9e-4,
) -> Vessel:  # fmt: skip
    """Throw a pot from its outer profile, given from the middle of the foot outward and up to the lip, (r, y) in metres.

    `wall_m` is the wall near the lip (it thickens to 1.6 times at the foot); `solid` leaves it without a hollow (lids,
    knobs). The same pot asked for again is the same object (a memo of a pure function).

    `ring_m` is the height of the throwing rings: above 0.3 mm outlines look jagged. Returns the tabled Vessel.
    """
    r, y = _dense(profile)
    height = float(profile[-1][1])
    ring = ring_m * np.sin(2 * np.pi * y / ring_pitch_m + 2.2 * np.sin(y * 61) + 1.3 * np.sin(y * 23))
    r = np.maximum(r + ring * np.clip((y - 0.008) / 0.02, 0, 1) * (r > 0.01), 0).astype(np.float32)
    pad = 0.012
    grid_r = np.arange(0, float(r.max()) * 1.46 + pad, cell_m, dtype=np.float32)
    grid_y = np.arange(-pad, height + pad, cell_m, dtype=np.float32)
    # Close the outline: the mouth is carried straight up past the table, then in to the axis.
    top = np.float32(height + 3 * pad)
    outline_r = np.concatenate([r, [r[-1], 0]]).astype(np.float32)
    outline_y = np.concatenate([y, [top, top]]).astype(np.float32)
    body = profile_distance(outline_r, outline_y, grid_r, grid_y)
    above = np.broadcast_to(grid_y[None, :] - np.float32(height), body.shape)
    if solid:
        d = smooth_max(body, above, 0.002)
    else:
        low = np.clip(1 - grid_y / height, 0, 1)[None, :]
        hollow = body + np.float32(wall_m) * (1 + np.float32(0.6) * low * low)
        hollow = smooth_max(hollow, np.float32(floor_m) - np.broadcast_to(grid_y[None, :], body.shape), 0.012)
        d = smooth_max(smooth_max(body, above, wall_m * 0.6), -hollow, wall_m * 0.75)
    slope_r, slope_y = np.gradient(d, cell_m)
    table = np.stack([d, slope_r, slope_y], axis=2).astype(np.float32)
    return Vessel(table, cell_m, -pad, height, float(r.max()), oval)


def strap(points: tuple[Vector, ...], radius_m: float) -> tuple[Shape, ...]:
    """A pulled handle: round sticks through the points, thicker at its two roots."""
    count = len(points) - 1
    radius = [radius_m * (1 + 0.5 * abs(2 * i / count - 1) ** 2) for i in range(count + 1)]
    return tuple(Capsule(points[i], points[i + 1], radius[i], radius[i + 1]) for i in range(count))


def with_handle(pot: Vessel, low_m: float, high_m: float, out_m: float, radius_m: float = 0.007) -> Joined:
    """A jug: the pot with a strap handle on its +x side between two heights, standing out by `out_m`."""
    at = np.linspace(0, 1, 9)
    wall = [_wall_radius(pot, low_m), _wall_radius(pot, high_m)]
    points = []
    for s in at:
        bulge = np.sin(np.pi * s) ** 0.7
        base = wall[0] + (wall[1] - wall[0]) * s - 0.002
        points.append((float(base + out_m * bulge), float(low_m + (high_m - low_m) * s + 0.25 * out_m * bulge), 0.0))
    return Joined((pot, Joined(strap(tuple(points), radius_m), 0.0)), 0.009)


def _wall_radius(pot: Vessel, y_m: float) -> float:
    """Outer radius of the pot at a height, from its table."""
    column = pot.table[:, round((y_m - pot.bottom_m) / pot.cell_m), 0]
    inside = np.nonzero(column < 0)[0]
    return float(inside[-1] * pot.cell_m) if inside.size else 0.0
