"""What packers use: paper that keeps every crease, cord of two strands, straw that lies where it fell."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.interpolate import LinearNDInterpolator
from scipy.ndimage import map_coordinates

from sim.workshop.photographs.form import Form, Path, block, grid, outward, rod, sheet, smooth_line, together, turned
from sim.workshop.photographs.relief import F64, uneven_plane
from sim.workshop.photographs.scene import Point, Thing
from sim.workshop.photographs.surface import Cells, Cloudy, EachOne, Material, Times


def creased(u: F64, v: F64, size_m: float, seed: int, octaves: int = 3) -> F64:
    """Height, m, of a sheet that was crushed and opened: flat facets between sharp creases, each octave half as large.

    `u` and `v` are places on the sheet in m. Slopes are about 1: scale it to how hard the sheet was crushed.
    """
    chance, each = np.random.Generator(np.random.PCG64(seed)), size_m / 28  # laid out on a fine net, then read from it
    low = np.array([u.min(), v.min()]) - 2 * each
    rows, cols = (np.ceil((np.array([u.max(), v.max()]) - low) / each) + 3).astype(int)
    net = np.stack(np.meshgrid(np.arange(rows), np.arange(cols), indexing="ij"), -1) * each
    high, far = np.zeros((rows, cols)), net[-1, -1] + size_m
    for k in range(octaves):
        size = size_m / 2.1**k
        many = int(np.prod((far + size_m) / size)) + 12
        ends = [(-size_m, -size_m), far, (-size_m, far[1]), (far[0], -size_m)]
        corners = np.concatenate([chance.uniform((-size_m, -size_m), far, (many, 2)), ends])
        high += size * LinearNDInterpolator(corners, chance.uniform(-0.5, 0.5, len(corners)))(net)
    at = (np.stack([u.ravel(), v.ravel()]) - low[:, None]) / each
    return np.asarray(map_coordinates(high, at, order=1).reshape(u.shape))


def wrapping(tone: float = 0.6, lets_through: float = 0.2) -> Material:
    """Soft wrapping paper: matt, specked with fibres, light comes through it."""
    fibre = Cloudy(0.0012, 0.93, 1.05, detail=3, harsh=0.7, stretch=(3, 1, 1))
    body = Times(Times(tone, EachOne(0.95, 1.03)), Times(Times(fibre, Cloudy(0.05, 0.95, 1.03)),
        Cells(0.006, 0.72, 1.0, reach=0.07)))
    return Material(body, 0.8, 1.4, (Cloudy(0.0016, -0.00002, 0.00002, detail=3),), lets_through=lets_through)


def opened_sheet(wide_m: float, wall: F64, lean: Callable[[F64], F64], seed: int = 1) -> Form:
    """A square sheet about the upright axis in which a pot stands: flat under its foot, risen round it, its corners fallen out.

    `wall` the pot's outline [n, 2] (radius, height, m), which the paper stays outside of; `lean` how steeply it rises at a
    bearing (radians), 0 where it lies flat.
    """
    n = int(wide_m / 0.0016)
    flat = sheet(wide_m, wide_m, n, n)
    x, y = flat.points[:, 0], flat.points[:, 1]
    r, angle = np.hypot(x, y), np.arctan2(y, x)
    steep, foot = lean(angle), float(wall[0, 0])
    over = np.maximum(r - 1.15 * foot, 0.0)
    fold = creased(0.16 * np.cos(angle) + 0.06 * r, 0.16 * np.sin(angle) + 0.06 * r, 0.05, seed, 2)  # runs out from the foot
    crest = 0.080 + 0.025 * np.sin(2 * angle + seed)
    up = steep * crest * (1 - np.exp(-over / crest * 1.4)) * np.exp(-((over / 0.19) ** 4) * 0.7)
    up += np.clip(over / 0.06, 0, 1) * (1.1 * steep + 0.15) * fold
    up += 0.24 * np.clip(over / 0.03, 0.15, 1) * creased(x, y, 0.062, seed + 1, 4)
    up = np.maximum(up, 0.0012 + 0.25 * np.abs(up))  # the table holds it
    reach = r * (1 - 0.16 * np.clip(steep, 0, 1) * np.clip(over / 0.1, 0, 1))
    under = np.interp(reach, wall[:, 0], wall[:, 1], right=9.0) - 0.002
    up = np.where(reach < foot, 0.0008, np.minimum(up, np.maximum(under, 0.0008)))
    return flat.bent(np.stack([reach * np.cos(angle), reach * np.sin(angle), up], -1))


def tied_bag(wall: F64, sheet_m: float, seed: int = 1) -> tuple[Form, F64]:
    """A pot wrapped in a square sheet drawn together over it; and the neck (radius, height) where it is tied.

    `wall` the pot's outline [n, 2] from its foot to its widest or to its lip; what is over goes up, is tied, and falls open.
    """
    r0, top = wall[:, 0].max(), wall[-1, 1]
    neck = np.array([0.17 * r0, top + 0.74 * r0])
    shoulder = np.array([(1.0, 0.15), (0.80, 0.45), (0.45, 0.65)]) * r0 + np.array([0.004, top])
    frill = neck + np.array([(0.0, 0.0), (0.10, 0.22), (0.42, 0.55), (1.0, 0.75), (1.7, 0.70)]) * r0
    under = [(0.0, 0.001), (0.75 * wall[0, 0], 0.001)]
    line = smooth_line(np.concatenate([under, wall + np.array([0.004, 0.0]), shoulder, frill]), 12)
    along = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    s_neck = float(along[np.linalg.norm(line - neck, axis=1).argmin()])
    angle = np.linspace(0, 2 * np.pi + 0.3, 560)
    corner = np.abs((angle / (np.pi / 2) + 0.3 * seed) % 1 - 0.5) * 2  # 1 where the sheet's corners are
    ends = s_neck + (sheet_m / 2 - s_neck) * (0.7 + 0.6 * corner**2)
    share, a = np.meshgrid(np.linspace(0, 1, 220), angle, indexing="ij")
    s = share * ends[None, :]
    r, z = np.interp(s, along, line[:, 0]), np.interp(s, along, line[:, 1])
    slack = np.clip(1 - r / r0, 0, 0.85)  # the paper's girth stays the same: what is too much stands in pleats
    u, v = r0 * np.cos(a), r0 * np.sin(a)
    pleat = creased(u + 0.10 * s, v - 0.08 * s, 0.33 * r0, seed, 2) * (0.25 + 2.2 * slack) * np.clip(r / (0.35 * r0), 0.3, 1)
    pleat *= np.clip((z - 0.004) / 0.02, 0, 1) * np.where(np.abs(s - s_neck) < 0.008, 0.45, 1.0)
    crush = 0.12 * creased(a * r0, s, 0.05, seed + 1) * np.clip(z / 0.015, 0, 1)
    lap = 0.0035 * np.clip(1 - (a / (2 * np.pi)) - 0.25 * s / s_neck, 0, 1)  # one edge lies over the other
    r = np.maximum(r + pleat + crush + lap, 0.0006)
    droop = 0.6 * np.clip(s - s_neck - 0.03, 0, 1) * (corner[None, :] ** 2) * 0.6
    points = np.stack([r * np.cos(a), r * np.sin(a), np.maximum(z - droop + 0.3 * crush, 0.0006)], -1)
    return Form(points.reshape(-1, 3), grid(*a.shape)), neck


def cord(path: Path, radius_m: float = 0.0013, steps: int = 0) -> Form:
    """Cord of two strands twisted about each other along a path of points."""
    line = smooth_line(np.asarray(path, float), steps) if steps else np.asarray(path, float)
    along = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    s = np.arange(0, along[-1], 1.1 * radius_m)
    line = np.stack([np.interp(s, along, line[:, k]) for k in range(3)], -1)
    ahead = np.gradient(line, axis=0)
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    side = np.cross(ahead, [0.13, 0.21, 0.97])
    side /= np.maximum(np.linalg.norm(side, axis=1, keepdims=True), 1e-9)
    up, turn = np.cross(ahead, side), s / (7.5 * radius_m) * 2 * np.pi
    off = 0.5 * radius_m * (np.cos(turn)[:, None] * side + np.sin(turn)[:, None] * up)
    thick = 0.62 * radius_m * (1 + 0.15 * uneven_plane(s, 0 * s, 0.006, 2, 5))
    return together([rod(line + off, thick, 6), rod(line - off, thick, 6)])


def ball_of_cord(radius_m: float, cord_m: float = 0.0013) -> Form:
    """A ball wound by hand: turn beside turn, then across them, a last few loose."""
    turns = 110
    a = np.linspace(0, 2 * np.pi * turns, turns * 44)
    tilt = np.radians(np.interp(a / a[-1], [0, 0.3, 0.34, 0.66, 0.7, 1], [58, 62, 84, 88, 38, 44]))
    node = 1.02 * a * (2.1 * cord_m / radius_m) / (2 * np.pi) + np.interp(a / a[-1], [0, 0.32, 0.68, 1], [0, 1.5, 3.6, 4.4])
    r = radius_m * (0.93 + 0.06 * a / a[-1] + 0.012 * uneven_plane(a, 0 * a, 9.0, 2, 3))
    x, y = np.cos(a), np.sin(a) * np.cos(tilt)
    wound = [x * np.cos(node) - y * np.sin(node), x * np.sin(node) + y * np.cos(node), np.sin(a) * np.sin(tilt)]
    inside = [(0.93 * radius_m * np.cos(b), 0.93 * radius_m * np.sin(b)) for b in np.linspace(-np.pi / 2, np.pi / 2, 30)]
    return together([cord(r[:, None] * np.stack(wound, -1), cord_m), turned(inside)])


def strewn(at: F64, long_m: tuple[float, float], floor: Callable[[F64, F64], F64], seed: int = 1) -> Form:
    """Straw dropped stalk by stalk at x, y `at` [n, 2]: each comes to rest on the two points that bear its middle.

    `floor` height of what lies there already, m; above 1 nothing may lie. Stalks that would stand steeply roll away.
    """
    chance, cell = np.random.Generator(np.random.PCG64(seed)), 0.004
    low = at.min(0) - long_m[1]
    wide, deep = (np.ceil((at.max(0) + long_m[1] - low) / cell)).astype(int)
    gx, gy = np.meshgrid(low[0] + cell * np.arange(wide), low[1] + cell * np.arange(deep), indexing="ij")
    high, share, stalks = floor(gx, gy), np.linspace(-1, 1, 18), []
    for middle in at:
        leaf, way = chance.random() < 0.22, chance.uniform(0, 2 * np.pi)
        half, thick = chance.uniform(*long_m) / 2, chance.uniform(0.0009, 0.0019)
        turn = way + chance.normal(0, 0.9 if leaf else 0.22) * share + (np.abs(share - 0.3) < 0.7) * chance.normal(0, 0.1)
        flat = np.cumsum(half / 9 * np.stack([np.cos(turn), np.sin(turn)], -1), 0)
        flat += middle - flat.mean(0)
        i, j = np.clip(((flat - low) / cell).astype(int), 0, (wide - 1, deep - 1)).T
        bears = high[i, j] + (0.4 if leaf else 1.0) * thick
        a, b = np.meshgrid(np.arange(9), np.arange(9, 18), indexing="ij")
        slope = (bears[b] - bears[a]) / (b - a)
        best = np.unravel_index((bears[a] + slope * (8.5 - a)).argmax(), a.shape)
        if abs(slope[best]) * 9 / half > 0.45 or bears.max() > 1.0:
            continue
        rest = bears[a[best]] + slope[best] * (np.arange(18) - a[best])
        past = np.clip(np.maximum(a[best] - np.arange(18), np.arange(18) - b[best]), 0, 18) * half / 9
        rest = np.maximum(rest - 1.8 * past**2, bears)
        high[i, j] = np.maximum(high[i, j], rest + 0.8 * thick)
        node = np.exp(-(((share - chance.uniform(-0.8, 0.8)) / 0.05) ** 2))
        radii = thick * (1 - 0.25 * (share + 1) / 2) * (1 + 0.25 * node)
        stalks.append(rod(np.column_stack([flat, rest]), 1.5 * radii if leaf else radii, 7, 2, flat=0.14 if leaf else 0.8))
    return together(stalks)


def parcel(wide_m: float, deep_m: float, high_m: float, at: Point, turn_deg: float, skin: Material, string: Material, seed: int
) -> list[Thing]:
    """A box in wrapping paper, its ends folded in under two flaps, tied crosswise with cord that bites; `at` is under it."""
    w, d, h = wide_m / 2, deep_m / 2, high_m / 2
    off, e = 0.12 * wide_m * np.sin(seed), 0.0018
    body = block(wide_m, deep_m, high_m, 0.004, 120)
    x, y, z = body.points.T
    ends = (np.abs(x) > w - 0.002) & (np.abs(y) < d - 0.7 * (h - np.abs(z)) + 0.02 * (z < 0))  # the flaps
    folded = 0.0013 * ends + 0.0012 * (ends & (z > -0.35 * h)) + 0.0014 * ((z > h - 0.002) & (y < 0.3 * d + 0.05 * x))
    slack = 0.0025 * (1 - (np.abs(x) / w) ** 4) * (2 - (y / d) ** 4 - (z / h) ** 4)
    bite = 0.0032 * (np.exp(-np.abs(x - off) / 0.012) + np.exp(-np.abs(y) / 0.012))
    crease = 0.10 * creased(x + 0.7 * z, y + 0.6 * z, 0.07, seed)
    wrapped = body.bent(body.points + outward(body) * (folded + slack - bite + crease)[:, None])
    ties = [[(off, -d, -h), (off, d, -h), (off, d, h + e), (off, -d - e, h + e), (off, -d - e, -h)],
        [(-w - e, 0, -h), (w + e, 0, -h), (w + e, 0, h + e), (-w - e, 0, h + e), (-w - e, 0, -h)]]
    bow = np.array([(0, 0, 3), (30, 20, 11), (52, 4, 4), (28, -12, 5), (0, 0, 3), (40, -28, 2)]) / 1000  # and its ends
    ties += [smooth_line(bow * (k, 1, 1) + np.array([off, 0, h]), 8).tolist() for k in (-0.9, 1.1)]
    middle = (at[0], at[1], at[2] + h)
    tied = together([cord(np.array(tie), 0.0016) for tie in ties])
    return [Thing(wrapped, skin, middle, turn_deg), Thing(tied, string, middle, turn_deg)]
