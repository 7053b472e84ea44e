"""Bricks, mortar, plaster and beaten floors."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from sim.workshop.photographs.form import Form, block, grid, sheet
from sim.workshop.photographs.relief import F64, uneven, uneven_plane
from sim.workshop.photographs.scene import Point, Thing
from sim.workshop.photographs.surface import Blend, Cells, Cloudy, EachOne, Hollows, InRoom, Material, Pattern, Times

BRICK_M = (0.225, 0.108, 0.068)
JOINT_M = 0.010


def brick_clay(tone: float = 0.26, soot: Pattern = 0.0, each: tuple[float, float] = (0.55, 1.35)) -> Material:
    """A stock brick: rough, pitted, every one fired a little differently, washed with what ran down the wall; soot 0..1."""
    body: Pattern = Times(Times(tone, EachOne(*each)), Cloudy(0.035, 0.7, 1.2, detail=4))
    body = Times(body, Cells(0.007, 0.6, 1.0, reach=0.25))
    body = Times(body, InRoom(Cloudy(0.5, 0.55, 1.35, detail=4, stretch=(1, 1, 2.2))))
    if soot != 0.0:
        body = Blend(body, 0.03, Times(soot, Cloudy(0.05, 0.6, 1.1)))
    relief = (Cloudy(0.03, -0.0016, 0.0016, detail=6, harsh=0.65), Cells(0.006, -0.0009, 0.0, reach=0.22))
    return Material(body, 0.95, 1.3, relief)


def mortar(tone: float = 0.34) -> Material:
    """Lime mortar, sandy and crumbling."""
    return Material(
        Times(tone, Cloudy(0.05, 0.6, 1.15, detail=4)), 0.95, 1.3, (Cloudy(0.006, -0.0015, 0.0015, detail=4, harsh=0.7),))


def plaster(tone: float = 0.6, worn: float = 0.5) -> Material:
    """A limewashed wall: the trowel's sweeps, a fine crack, and `worn` 0..1 how uneven the wash has become."""
    stains = Blend(1.0, Cloudy(0.9, 0.72, 1.14, detail=5, stretch=(1, 1, 1.6)), worn)
    fine = Times(Cloudy(0.02, 0.94, 1.05, detail=4, harsh=0.7), Cells(0.006, 0.86, 1.0, reach=0.14))
    thin = Times(Cloudy(0.10, 0.0, 1.0, detail=6, harsh=0.7, sharp=1.4), Cloudy(0.8, -0.7 * worn, 1.1 * worn))
    body: Pattern = Blend(Times(tone, Times(stains, fine)), 0.72 * tone, thin)
    crack = Cells(1.1, 1.0, 0.0, "crack", 0.0016, 1.0, warp=0.10)
    body = Times(body, Blend(1.0, 0.62, Times(crack, Cloudy(0.5, 0.0, worn, sharp=2.0))))
    swept = (Cloudy(0.30, -0.004, 0.004, detail=2), Cloudy(0.06, -0.0007, 0.0007, detail=3, stretch=(2.6, 2.6, 1)))
    return Material(body, 0.92, 1.3, (*swept, Cloudy(0.008, -0.0003, 0.0003, detail=5, harsh=0.7)))


def bricks(count: int = 8, size: tuple[float, float, float] = BRICK_M) -> list[Form]:
    """Some bricks, each worn and chipped in its own way, about their middles, long side along x."""
    made = []
    for k in range(count):
        form = block(*size, rounded_m=0.004, pieces=22).worn(0.0012, 0.03, seed=300 + k)
        corner = np.abs(form.points / (np.array(size) / 2)).min(1)
        edge = np.sort(np.abs(form.points / (np.array(size) / 2)), 1)[:, 1]
        chip = np.clip(uneven(form.points, 0.045, 3, 400 + k) - 0.25, 0, 1) * np.clip((edge - 0.75) / 0.25, 0, 1)
        made.append(form.bent(form.points * (1 - 0.10 * chip[:, None] * (0.6 + 0.4 * corner[:, None]))))
    return made


def broken(form: Form, chips: int, seed: int, deep_m: float = 0.017) -> Form:
    """A block from whose edges and corners pieces have come off: rough planes up to `deep_m` deep; value `broken` 1 on them."""
    chance = np.random.Generator(np.random.PCG64(seed))
    p, half = form.points.copy(), np.abs(form.points).max(0)
    p += 0.0015 * uneven(p, 0.03, 5, seed, fade=0.6)[:, None] * np.sign(p) * (np.abs(p) > 0.97 * half)
    bare = np.zeros(len(p))
    for k in range(chips):
        way = chance.choice([-1.0, 1.0], 3) * chance.uniform(0.25, 1.0, 3)
        spot = np.sign(way) * half
        if k % 3:  # off an edge instead of a corner
            axis = int(chance.choice(3, p=half / half.sum()))
            spot[axis] *= chance.uniform(-0.9, 0.9)
            way[axis] *= 0.2
        way /= np.linalg.norm(way)
        depth = deep_m * chance.uniform(0.15, 1.0) ** 2.2
        rough = 0.15 * deep_m * uneven(p, 3.0 * deep_m, 5, seed + 7 * k + 1, fade=0.62)
        along = (p - spot) @ way
        aside = ((p - spot) ** 2).sum(1) - along**2
        over = np.maximum(along + depth + rough - 9.0 * aside, 0.0)  # scooped, as burnt clay breaks
        p -= over[:, None] * way
        bare = np.maximum(bare, np.clip(over / 0.0015, 0, 1))
    return form.bent(p).with_value("broken", bare)


def spalled_bricks(count: int, seed: int = 900) -> list[Form]:
    """Bricks to be seen close, after many firings: edges gone, corners off, from some a flake of the face."""
    made = []
    for k in range(count):
        form = broken(block(*BRICK_M, rounded_m=0.005, pieces=110), 14, seed + 31 * k)
        p = form.points
        flake = np.clip(6.0 * (uneven(p, 0.11, 5, seed + 31 * k + 5, fade=0.5) - 0.2), 0, 1)
        outer = np.abs(p) > np.array(BRICK_M) / 2 - 0.006
        p = p - 0.0045 * (flake * (1 + 0.5 * uneven(p, 0.012, 3, k)))[:, None] * np.sign(p) * outer
        made.append(form.bent(p).with_value("broken", np.maximum(form.values["broken"], 0.8 * flake)))
    return made


def wedge(form: Form, narrower: float = 0.42) -> Form:
    """A brick rubbed to a wedge for an arch: its flat sides run together towards +y."""
    return form.bent(form.points * np.stack([np.ones(len(form.points)), np.ones(len(form.points)),
        1 - narrower * form.points[:, 1] / BRICK_M[1]], 1))


def wall_of_bricks(wide_m: float, high_m: float, forms: Sequence[Form], material: Material,
        opening: Callable[[float], float] = lambda _: 0.0, at: Point = (0, 0, 0), seed: int = 5,
        rough: float = 1.0) -> list[Thing]:
    """A wall in running bond about `at` (foot of its middle), facing -y; every fourth course lies with its heads out.

    `opening` gives half the width left free at a height, m; bricks beside it are cut to fit. `rough`: how carelessly they
    are laid, 1 as usual.
    """
    chance = np.random.Generator(np.random.PCG64(seed))
    high, things = BRICK_M[2] + JOINT_M, []
    for row in range(int(high_m / high)):
        heads = row % 4 == 3
        long = BRICK_M[1] if heads else BRICK_M[0]
        z = (row + 0.5) * high
        free = max(opening(z), opening(z - high / 2), opening(z + high / 2))
        start = -wide_m / 2 - 0.5 * long * (row % 2)
        for k in range(int(wide_m / (long + JOINT_M)) + 2):
            left = start + k * (long + JOINT_M) + chance.normal(0, 0.004)
            for piece in _beside(left, left + long + chance.normal(0, 0.004), free):
                things.append(_laid(forms[int(chance.integers(len(forms)))], material, piece, z, heads, at, chance, rough))
    return things


def _beside(left: float, right: float, free: float) -> list[tuple[float, float]]:
    """What is left of a brick beside an opening of that half width."""
    if free <= 0:
        return [(left, right)]
    pieces = [(left, min(right, -free)), (max(left, free), right)]
    return [(a, b) for a, b in pieces if b - a > 0.03]


def _laid(form: Form, material: Material, piece: tuple[float, float], z: float, heads: bool, at: Point,
        chance: np.random.Generator, rough: float) -> Thing:
    long = BRICK_M[1] if heads else BRICK_M[0]
    share = (piece[1] - piece[0]) / long
    if share < 0.98:
        form = form.bent(form.points * ((1.0, share, 1.0) if heads else (share, 1.0, 1.0)))
    turn, roll = rough * chance.normal(0, 0.7, 2)
    back = (BRICK_M[0] - BRICK_M[1]) / 2 if heads else 0.0
    x = (piece[0] + piece[1]) / 2
    z += 0.007 * float(uneven_plane(np.array([x]), np.array([0.3 * z]), 0.7, 2, 41)[0]) + chance.normal(0, 0.0012)
    place = (at[0] + x, at[1] - rough * abs(chance.normal(0, 0.004)) + back, at[2] + z)
    flip = 180.0 if chance.random() < 0.5 else 0.0
    return Thing(form, material, place, turn_deg=turn + flip + (90 if heads else 0), roll_deg=roll)


def arch_of_bricks(
    half_m: float, spring_m: float, at: Point, forms: list[Form], material: Material, rings: int = 1, seed: int = 6
) -> list[Thing]:
    """Rings of bricks on end over an opening, about `at` (foot of its middle), facing -y; they spring at a height."""
    chance = np.random.Generator(np.random.PCG64(seed))
    things = []
    for ring in range(rings):
        radius = half_m + (BRICK_M[1] / 2 + JOINT_M * 0.4) + ring * (BRICK_M[1] + JOINT_M)
        count = int(np.pi * radius / (BRICK_M[2] + 0.012))
        for k in range(count):
            angle = np.pi * (k + 0.5) / count
            place = (at[0] + radius * np.cos(angle), at[1] - abs(chance.normal(0, 0.003)),
                at[2] + spring_m + radius * np.sin(angle))
            # the brick lies with its length into the wall, its height along the ring
            form = forms[int(chance.integers(len(forms)))]
            things.append(Thing(form, material, place, turn_deg=90 + chance.normal(0, 0.6),
                    lean_deg=float(-np.degrees(angle)) + chance.normal(0, 0.8)))
    return things


def beaten_floor(wide_m: float, deep_m: float, seed: int = 9, fine_m: float = 0.02, lumps_m: float = 0.012) -> Form:
    """An earth floor trodden flat: worn hollows and small lumps, about the middle."""
    rows, cols = max(2, int(deep_m / fine_m)), max(2, int(wide_m / fine_m))
    flat = sheet(wide_m, deep_m, rows, cols)
    p = flat.points.copy()
    p[:, 2] += lumps_m * uneven_plane(p[:, 0], p[:, 1], 0.6, 5, seed)
    return flat.bent(p)


def floor_under(x: float, y: float, middle: tuple[float, float], lumps_m: float = 0.012, seed: int = 9) -> float:
    """How high a beaten floor about `middle` is under a thing, so that it stands and does not hover."""
    around = np.linspace(0, 2 * np.pi, 8)
    near = uneven_plane(x - middle[0] + 0.04 * np.cos(around), y - middle[1] + 0.04 * np.sin(around), 0.6, 5, seed)
    return float(lumps_m * near.mean())


def earth_floor(tone: float = 0.16) -> Material:
    """Trodden earth with ash, clay dust and grit."""
    body = Times(tone, Times(Cloudy(0.25, 0.6, 1.35, detail=5), Cells(0.012, 0.7, 1.0, reach=0.35)))
    grit = (Cloudy(0.03, -0.003, 0.003, detail=5, harsh=0.62), Cells(0.009, 0.0016, 0.0, reach=0.4))
    return Material(
        Blend(body, 1.9 * tone, Times(0.6, Cloudy(0.08, 0.0, 1.0, detail=5, harsh=0.7, sharp=2.5))), 0.93, 1.3, grit)


def flagstones(tone: float = 0.25) -> Material:
    """Worn stone slabs: joints full of dust, a dull shine where feet go."""
    joint = Cells(0.42, 0.0, 1.0, "crack", 0.018, 0.55)
    body = Times(tone, Times(Cloudy(0.3, 0.65, 1.25, detail=5), Blend(0.45, 1.0, joint)))
    relief = (Times(joint, 0.008), Cloudy(0.05, -0.0018, 0.0018, detail=5, harsh=0.6))
    return Material(Times(body, Blend(1.0, 0.7, Hollows(0.05))), Cloudy(0.2, 0.45, 0.85), 1.45, relief)


def bed_with_opening(line: F64, middle: tuple[float, float], reach_m: float, rough_m: float = 0.003) -> Form:
    """The plane of the joints behind bricks, x and z, facing -y: from the edge of an opening (`line` [n, 2]) outwards."""
    from_middle = line - np.asarray(middle)
    outer = np.asarray(middle) + reach_m * from_middle / np.linalg.norm(from_middle, axis=1, keepdims=True)
    flat = line + (outer - line) * np.linspace(0, 1, 140)[:, None, None] ** 1.5
    points = np.stack([flat[..., 0], np.zeros(flat.shape[:2]), flat[..., 1]], -1)
    from_edge = np.clip(np.linalg.norm(flat - line, axis=-1) / 0.05, 0, 1)  # the arris itself is drawn true
    points[..., 1] += from_edge * rough_m * uneven(points, 0.07, 4, 77)
    return Form(points.reshape(-1, 3), grid(*points.shape[:2]))


def lining(line: F64, deep_m: float, seed: int = 5, joint_m: float = 0.007) -> Form:
    """The thickness of a wall round an opening (`line` [n, 2] in x and z), from y = 0 to `deep_m`; value `into` 0 to 1.

    `joint_m` depth of the joints of bricks on edge, 0 where it is plastered.
    """
    along = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    deep = np.linspace(0, deep_m, 40)
    points = np.stack(np.broadcast_arrays(line[None, :, 0], deep[:, None], line[None, :, 1]), -1)
    middle = np.array([*line.mean(0)])[[0, 0, 1]] * (1, 0, 1)
    away = (points - middle) * (1, 0, 1)
    away /= np.linalg.norm(away, axis=-1, keepdims=True)
    joint = np.abs((along / 0.079) % 1 - 0.5) > 0.44
    rough = 0.004 * np.minimum(1, deep[:, None] / 0.04) * uneven(points, 0.06, 4, seed)
    points = points + away * (joint_m * joint + rough)[..., None]
    form = Form(points.reshape(-1, 3), grid(*points.shape[:2]))
    return form.with_value("into", np.repeat(deep / deep_m, len(line)))
