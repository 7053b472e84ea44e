"""Out of doors at the pottery: bottle kiln, saggars, tiled roofs, a cart, stones and leaves, crates."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sim.workshop.photographs.form import Form, block, rod, sheet, smooth_line, together, turned, turning
from sim.workshop.photographs.masonry import BRICK_M, JOINT_M
from sim.workshop.photographs.relief import F64, uneven
from sim.workshop.photographs.scene import Many, Point, Thing, about
from sim.workshop.photographs.surface import Cells, Cloudy, EachOne, InRoom, Material, Times
from sim.workshop.photographs.thrown import thrown
from sim.workshop.photographs.timber import board, old_wood


def matrices(at: F64, turn: F64, lean: F64 | float = 0.0, roll: F64 | float = 0.0, size: F64 | float = 1.0) -> F64:
    """Matrices [n, 4, 4] of things at points [n, 3], turned, leant and rolled by degrees, made `size` times as large."""
    n = len(at)
    out = np.zeros((n, 4, 4))
    every = (np.broadcast_to(v, n) for v in (turn, lean, roll))
    for k, (a, b, c) in enumerate(zip(*every)):
        out[k, :3, :3] = turning(a, b, c)
    out[:, :3, :3] *= np.broadcast_to(size, n)[:, None, None]
    out[:, :3, 3], out[:, 3, 3] = at, 1.0
    return out


def bottle_kiln(at: Point, skin: Material, bed: Material, seed: int = 1, high_m: float = 11.0) -> list[Thing | Many]:
    """A bottle kiln, brick by brick: a wide belly drawn in to a chimney, held by iron bands."""
    outline = smooth_line(
        np.array([(3.0, 0.0), (3.05, 1.2), (2.85, 2.8), (2.05, 4.6), (1.25, 6.4), (0.95, 8.4), (0.92, 10.2), (1.05, 11.0)])
        * (1.0, high_m / 11.0), 20)
    inner = [(max(0.05, r - 0.047), h) for r, h in outline[::4]]
    core = turned([(0.0, 0.0), *inner, (0.7, high_m), (0.68, high_m - 1.0), (0.0, high_m - 1.0)], 0.01, 240)
    iron = Material(Times(0.05, InRoom(Cloudy(0.3, 0.4, 1.6, detail=4))), 0.7, 1.5)
    things: list[Thing | Many] = [Many(block(*BRICK_M, 0.006, 3), skin, _laid_round(outline, high_m, at, seed)),
        Thing(core, bed, at)]
    for r, h in ((3.05, 1.72), (2.86, 2.76), (2.33, 4.0), (1.28, 6.3), (0.95, 9.4)):
        band = ((r - 0.02, h - 0.05), (r + 0.066, h - 0.05), (r + 0.066, h + 0.05), (r - 0.02, h + 0.05))
        things.append(Thing(turned(band, 0.004, 120), iron, at))
    return things


def _laid_round(outline: F64, high_m: float, at: Point, seed: int) -> F64:
    """Where every brick of a round wall lies: in rings that bulge and sag; some are lost, many about the mouth."""
    chance = np.random.Generator(np.random.PCG64(seed))
    places, turns, leans = [], [], []
    rise = BRICK_M[2] + JOINT_M
    for row in range(int(high_m / rise)):
        z = (row + 0.5) * rise
        radius = float(np.interp(z, outline[:, 1], outline[:, 0]))
        slope = float(np.interp(z + 0.1, outline[:, 1], outline[:, 0]) - radius) / 0.1
        count = int(2 * np.pi * radius / (BRICK_M[0] + JOINT_M))
        a = 2 * np.pi * (np.arange(count) + 0.5 * (row % 2) + chance.random() + chance.normal(0, 0.03, count)) / count
        a = a[chance.random(count) > (0.35 if row > high_m / rise - 4 else 0.006)]
        spot = np.stack([radius * np.cos(a), radius * np.sin(a), 0 * a + z], -1)
        bulge = 0.07 * uneven(spot, 1.6, 3, seed) + 0.008 * chance.standard_normal(len(a))
        sag = 0.05 * uneven(spot * (1, 1, 0.2), 2.0, 2, seed + 1)
        places.append(spot * (1 + bulge / radius)[:, None] ** np.array([1, 1, 0]) + sag[:, None] * np.array([0, 0, 1]))
        turns.append(np.degrees(a) + 90 + chance.normal(0, 1.2, len(a)))
        leans.append(np.degrees(np.arctan(slope)) + chance.normal(0, 1.0, len(a)))
    return matrices(np.concatenate(places) + np.asarray(at), np.concatenate(turns), np.concatenate(leans))


def saggar(wide_m: float, high_m: float, seed: int) -> Form:
    """A box of rough fireclay that pots were fired in, about the upright axis: thick, out of true, its rim knocked off."""
    r = wide_m / 2
    outline = ((0.95 * r, 0.0), (r, 0.025), (0.99 * r, 0.5 * high_m), (1.01 * r, high_m - 0.02), (0.98 * r, high_m))
    form = thrown(outline, 0.032, seed, 0.0016, 0.03, 320, 26).worn(0.004, 0.10, seed)
    p = form.points.copy()
    knocked = np.clip(uneven(p * (1, 1, 0.2), 0.16, 3, seed + 3) - 0.28, 0, 1) * np.clip((p[:, 2] / high_m - 0.72) / 0.28, 0, 1)
    p[:, 2] -= 0.24 * high_m * knocked
    return form.bent(p)


def saggar_stack(x: float, y: float, z: float, sizes: Sequence[tuple[float, float]], skin: Material, seed: int) -> list[Thing]:
    """Saggars on one another, none quite over the last; pads of clay between them."""
    chance = np.random.Generator(np.random.PCG64(seed))
    things = []
    for k, (wide, high) in enumerate(sizes):
        place = (x + chance.normal(0, 0.014), y + chance.normal(0, 0.014), z)
        lean, roll = chance.normal(0, 0.5, 2)
        things.append(Thing(saggar(wide, high, seed + 11 * k), skin, place, chance.uniform(0, 360), lean, roll))
        for a in chance.uniform(0, 6.28, 9):
            pad = (place[0] + 0.47 * wide * np.cos(a), place[1] + 0.47 * wide * np.sin(a), z + high + 0.004)
            if k < len(sizes) - 1:
                things.append(Thing(block(0.06, 0.035, 0.022, 0.01, 6), skin, pad, float(np.degrees(a)) + 90))
        z += high + 0.013
    return things


def tiled_roof(left: Point, right: Point, rise_m: float, run_m: float, skin: Material, seed: int = 1) -> list[Many]:
    """A roof slope of clay tiles from its eaves (two points) up and away to the ridge; tiles slip and lean a little."""
    chance = np.random.Generator(np.random.PCG64(seed))
    a, b = np.array(left), np.array(right)
    along = (b - a) / np.linalg.norm(b - a)
    back = np.array([-along[1], along[0], 0.0])
    slope, long = np.degrees(np.arctan2(rise_m, run_m)), float(np.hypot(rise_m, run_m))
    up = (back * run_m + np.array([0, 0, rise_m])) / long
    wide, step = 0.17, 0.11
    rows, cols = int(long / step), int(np.linalg.norm(b - a) / wide)
    r, c = np.mgrid[:rows, :cols]
    sag = -0.05 * np.sin(np.pi * (c + 0.5) / cols) * (r / rows)
    at = (a + ((c + 0.5 * (r % 2))[..., None] * wide + chance.normal(0, 0.004, r.shape)[..., None]) * along
        + (r * step)[..., None] * up)
    at = at + np.stack([0 * sag, 0 * sag, sag + 0.006 + chance.normal(0, 0.002, r.shape)], -1)
    tile = block(wide - 0.006, 0.26, 0.013, 0.004, 6)
    n, turn = r.size, np.degrees(np.arctan2(along[1], along[0]))
    lean = slope - 3.0 + chance.normal(0, 0.8, n)
    return [Many(tile, skin, matrices(at.reshape(-1, 3), turn + chance.normal(0, 1.0, n), lean, chance.normal(0, 0.8, n)))]


def roof_tile(tone: float = 0.16) -> Material:
    """Old clay tiles: each fired differently, lichen and moss on some."""
    body = Times(Times(tone, EachOne(0.55, 1.5)), Times(Cloudy(0.04, 0.7, 1.25), Cells(0.05, 1.7, 1.0, reach=0.22)))
    return Material(body, 0.85, 1.4, (Cloudy(0.01, -0.0012, 0.0012),))


def cart_wheel(radius_m: float = 0.42, spokes: int = 12) -> Form:
    """A spoked wheel about the upright axis: hub, spokes, felloe and iron tyre."""
    r = radius_m
    rim = turned(((0.86 * r, -0.028), (r, -0.028), (r, 0.028), (0.86 * r, 0.028), (0.86 * r, -0.0279)), 0.004)
    hub = turned(((0, -0.11), (0.055, -0.11), (0.085, 0), (0.055, 0.11), (0, 0.11)), 0.012, 40)
    out = [np.array([np.cos(a), np.sin(a), 0.0]) for a in 2 * np.pi * np.arange(spokes) / spokes]
    return together([rim, hub, *(rod([0.06 * d, 0.45 * r * d, 0.88 * r * d], [0.021, 0.018, 0.016], 8) for d in out)])


def hand_cart(at: Point, turn_deg: float, wood_skin: Material) -> list[Thing]:
    """A two-wheeled hand cart resting on its shafts."""
    put = about(at, turn_deg)
    wheel, things = cart_wheel(), []
    for side in (-1, 1):
        things.append(Thing(wheel, wood_skin, put(0.0, side * 0.52, 0.42), turn_deg=turn_deg, lean_deg=90 + 2 * side))
        shaft = rod([(-0.75, 0, 0.02), (0.4, 0, 0.0), (1.55, 0, -0.16)], [0.03, 0.03, 0.02], 10)
        things.append(Thing(shaft, wood_skin, put(0, side * 0.36, 0.52), turn_deg, roll_deg=8))
        things.append(Thing(board(1.35, 0.26, 0.024, 3), wood_skin, put(-0.05, side * 0.40, 0.70), turn_deg, 90 - 6 * side, 8))
    for k in range(5):
        floor = board(1.35, 0.145, 0.024, 5 + k)
        things.append(Thing(floor, wood_skin, put(-0.05, -0.30 + 0.15 * k, 0.57), turn_deg, roll_deg=8))
    things.append(Thing(board(0.8, 0.26, 0.024, 9), wood_skin, put(-0.73, 0, 0.78), turn_deg=turn_deg + 90, lean_deg=82))
    return things


def pebbles() -> list[Form]:
    """Some rounded stones, 1 m long, to be made small: no two alike."""
    made = []
    for k in range(6):
        round_it = [(0.5 * np.cos(a), 0.5 * np.sin(a)) for a in np.linspace(-1.3, 1.3, 9)]
        ball = turned([(0.0, -0.5), *round_it, (0.0, 0.5)], 0.1, 40)
        lump = ball.points * (1.0, 0.65 + 0.06 * k, 0.55 - 0.03 * (k % 3))
        made.append(ball.bent(lump * (1 + 0.30 * uneven(lump, 0.7, 3, 60 + k)[:, None])))
    return made


def fallen_leaf(curl: float, seed: int) -> Form:
    """A dead leaf 1 m long, to be made small: pointed, folded along its rib, its edges rolled up and eaten."""
    flat = sheet(1.0, 1.0, 17, 25)
    x, v = flat.points[:, 0], 2 * flat.points[:, 1]
    half = 0.33 * np.clip(1 - (2 * np.abs(x)) ** 2.2, 0, 1) ** 0.8 * (1 + 0.25 * uneven(flat.points, 0.25, 2, seed))
    up = curl * (v**2 * half + 0.5 * x**2) + 0.10 * np.abs(v) * half + 0.05 * uneven(flat.points, 0.3, 2, seed + 1)
    return flat.bent(np.stack([x, v * half * (1 - 0.3 * curl * v**2), up], -1))


def crate(wide_m: float, deep_m: float, high_m: float, at: Point, turn_deg: float, skin: Material, seed: int = 1, slats: int = 4
) -> list[Thing]:
    """An open crate of slats nailed to corner posts; `at` is the middle of its foot."""
    chance, put, each = np.random.Generator(np.random.PCG64(seed)), about(at, turn_deg), high_m / slats
    things = [Thing(board(wide_m, deep_m, 0.012, seed), skin, put(0, 0, 0.006), turn_deg=turn_deg)]
    for k in range(4 * slats):
        side, z, across = 1 - k % 4 // 2 * 2, each * (k // 4 + 0.5), k % 2
        place = put(side * (wide_m / 2 - 0.007), 0, z) if across else put(0, side * deep_m / 2, z)
        slat = board(deep_m - 0.014 if across else wide_m, each - 0.022, 0.013, int(chance.integers(99)), 0.0015)
        things.append(Thing(slat, skin, place, turn_deg + 90 * across + chance.normal(0, 0.4), 90, chance.normal(0, 0.4)))
    post = block(high_m, 0.026, 0.026, 0.002, 6)
    spots = [put(x * (wide_m / 2 - 0.028), y * (deep_m / 2 - 0.02), high_m / 2) for x in (-1, 1) for y in (-1, 1)]
    return things + [Thing(post, skin, spot, turn_deg, roll_deg=90) for spot in spots]


def plank_wall(left: Point, long_m: float, high_m: float, turn_deg: float = 0.0, skin: Material | None = None, seed: int = 1
) -> list[Thing]:
    """A wall of upright planks from its left foot; planks gape and differ."""
    chance = np.random.Generator(np.random.PCG64(seed))
    skin = skin or old_wood(0.16)
    c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    things, x = [], 0.0
    while x < long_m:
        wide = float(chance.uniform(0.13, 0.21))
        place = (left[0] + c * (x + wide / 2) - s * chance.normal(0, 0.004), left[1] + s * (x + wide / 2),
            left[2] + high_m / 2 + chance.normal(0, 0.012))
        things.append(Thing(_upright(high_m, wide - 0.005, int(chance.integers(999))), skin, place, turn_deg=turn_deg,
                roll_deg=chance.normal(0, 0.3)))
        x += wide
    return things


def _upright(high_m: float, wide_m: float, seed: int) -> Form:
    """A plank standing on end, its face to -y; its grain still runs along its own x."""
    lying = board(high_m, wide_m, 0.024, seed)
    p = lying.points
    return lying.bent(np.stack([p[:, 1], -p[:, 2], p[:, 0]], -1))
