"""Out of doors at the pottery: bottle kiln, tiled roofs, a cart, cobbles, crates."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs.form import Form, block, grid, rod, smooth_line, together, turned, turning
from sim.workshop.photographs.masonry import BRICK_M, JOINT_M
from sim.workshop.photographs.relief import F64, uneven
from sim.workshop.photographs.scene import Many, Point, Thing, about
from sim.workshop.photographs.surface import Cells, Cloudy, EachOne, Material, Times
from sim.workshop.photographs.timber import board, old_wood


def matrices(at: F64, turn: F64, lean: F64 | float = 0.0, roll: F64 | float = 0.0) -> F64:
    """Matrices [n, 4, 4] of things at points [n, 3], turned, leant and rolled by degrees."""
    n = len(at)
    out = np.zeros((n, 4, 4))
    every = (np.broadcast_to(v, n) for v in (turn, lean, roll))
    for k, (a, b, c) in enumerate(zip(*every)):
        out[k, :3, :3] = turning(a, b, c)
    out[:, :3, 3], out[:, 3, 3] = at, 1.0
    return out


def bottle_kiln(at: Point, skin: Material, bed: Material, seed: int = 1, door_deg: float = -100.0, high_m: float = 11.0
) -> list[Thing | Many]:
    """A bottle kiln, brick by brick: a wide belly drawn in to a chimney; a doorway left open at a bearing."""
    outline = smooth_line(
        np.array([(2.9, 0.0), (3.05, 1.2), (2.85, 2.8), (2.05, 4.6), (1.25, 6.4), (0.95, 8.4), (0.92, 10.2), (1.05, 11.0)])
        * (1.0, high_m / 11.0), 20)
    iron, door, (x, y, z) = Material(0.06, 0.6, 1.5), np.radians(door_deg), at
    inner = [(max(0.05, r - 0.045), h) for r, h in outline[::4]]
    core = turned([(0.0, 0.0), *inner, (0.7, high_m), (0.68, high_m - 1.0), (0.0, high_m - 1.0)], 0.01, 120)
    things: list[Thing | Many] = [
        Many(block(*BRICK_M, 0.006, 3), skin, _laid_round(outline, high_m, at, door_deg, seed)), Thing(core, bed, at),
        Thing(block(1.15, 0.5, 1.95, 0.01, 4), Material(0.012),
            (x + 2.85 * np.cos(door), y + 2.85 * np.sin(door), z + 0.97), door_deg + 90)]
    for r, h in ((3.05, 1.2), (2.86, 2.76), (1.28, 6.3)):
        band = ((r - 0.02, h - 0.04), (r + 0.062, h - 0.04), (r + 0.062, h + 0.04), (r - 0.02, h + 0.04))
        things.append(Thing(turned(band, 0.004, 120), iron, at))
    return things


def _laid_round(outline: F64, high_m: float, at: Point, door_deg: float, seed: int) -> F64:
    """Where every brick of a round wall lies: in rings, the doorway left open."""
    chance = np.random.Generator(np.random.PCG64(seed))
    places, turns, leans = [], [], []
    rise = BRICK_M[2] + JOINT_M
    for row in range(int(high_m / rise)):
        z = (row + 0.5) * rise
        radius = float(np.interp(z, outline[:, 1], outline[:, 0]))
        slope = float(np.interp(z + 0.1, outline[:, 1], outline[:, 0]) - radius) / 0.1
        count = int(2 * np.pi * radius / (BRICK_M[0] + JOINT_M))
        for k in range(count):
            a = 2 * np.pi * (k + 0.5 * (row % 2) + chance.normal(0, 0.02)) / count
            off = (np.degrees(a) - door_deg + 180) % 360 - 180
            if z < 1.95 and abs(off) * radius < 29 + 14 * (z < 1.5):
                continue
            places.append((radius * np.cos(a), radius * np.sin(a), z))
            turns.append(np.degrees(a) + 90 + chance.normal(0, 0.6))
            leans.append(np.degrees(np.arctan(slope)) + chance.normal(0, 0.5))
    return matrices(np.array(places) + np.asarray(at), np.array(turns), np.array(leans))


def tiled_roof(left: Point, right: Point, rise_m: float, run_m: float, skin: Material, seed: int = 1) -> list[Many]:
    """A roof slope of clay tiles from its eaves (two points) up and away to the ridge; tiles slip and lean a little."""
    chance = np.random.Generator(np.random.PCG64(seed))
    a, b = np.array(left), np.array(right)
    along = (b - a) / np.linalg.norm(b - a)
    back = np.array([-along[1], along[0], 0.0])
    slope = np.degrees(np.arctan2(rise_m, run_m))
    long = float(np.hypot(rise_m, run_m))
    up = (back * run_m + np.array([0, 0, rise_m])) / long
    wide, step = 0.17, 0.11
    rows, cols = int(long / step), int(np.linalg.norm(b - a) / wide)
    r, c = np.mgrid[:rows, :cols]
    sag = -0.05 * np.sin(np.pi * (c + 0.5) / cols) * (r / rows)
    at = (a + ((c + 0.5 * (r % 2))[..., None] * wide + chance.normal(0, 0.004, r.shape)[..., None]) * along
        + (r * step)[..., None] * up)
    at = at + np.stack([0 * sag, 0 * sag, sag + 0.006 + chance.normal(0, 0.002, r.shape)], -1)
    tile = block(wide - 0.006, 0.26, 0.013, 0.004, 6)
    n = r.size
    turn = np.degrees(np.arctan2(along[1], along[0]))
    lean = slope - 3.0 + chance.normal(0, 0.8, n)
    return [Many(tile, skin, matrices(at.reshape(-1, 3), turn + chance.normal(0, 1.0, n), lean, chance.normal(0, 0.8, n)))]


def roof_tile(tone: float = 0.16) -> Material:
    """Old clay tiles: each fired differently, lichen and moss on some."""
    spots = Cells(0.05, 1.7, 1.0, reach=0.22)
    return Material(Times(Times(tone, EachOne(0.55, 1.5)), Times(Cloudy(0.04, 0.7, 1.25), spots)), 0.85, 1.4,
        (Cloudy(0.01, -0.0012, 0.0012),))


def cart_wheel(radius_m: float = 0.42, spokes: int = 12) -> Form:
    """A spoked wheel about the upright axis: hub, spokes, felloe and iron tyre."""
    r = radius_m
    rim = turned(((0.86 * r, -0.028), (r, -0.028), (r, 0.028), (0.86 * r, 0.028), (0.86 * r, -0.0279)), 0.004)
    hub = turned(((0, -0.11), (0.055, -0.11), (0.085, 0), (0.055, 0.11), (0, 0.11)), 0.012, 40)
    parts = [rim, hub]
    for k in range(spokes):
        a = 2 * np.pi * k / spokes
        d = np.array([np.cos(a), np.sin(a), 0.0])
        parts.append(rod([0.06 * d, 0.45 * r * d, 0.88 * r * d], [0.021, 0.018, 0.016], 8))
    return together(parts)


def hand_cart(at: Point, turn_deg: float, wood_skin: Material) -> list[Thing]:
    """A two-wheeled hand cart resting on its shafts."""
    put = about(at, turn_deg)
    wheel, things = cart_wheel(), []
    for side in (-1, 1):
        things.append(Thing(wheel, wood_skin, put(0.0, side * 0.52, 0.42), turn_deg=turn_deg, lean_deg=90 + 2 * side))
        things.append(Thing(rod([(-0.75, 0, 0.02), (0.4, 0, 0.0), (1.55, 0, -0.16)], [0.03, 0.03, 0.02], 10), wood_skin,
                put(0, side * 0.36, 0.52), turn_deg=turn_deg, roll_deg=8))
        things.append(Thing(board(1.35, 0.26, 0.024, 3), wood_skin, put(-0.05, side * 0.40, 0.70), turn_deg=turn_deg,
                lean_deg=90 - 6 * side, roll_deg=8))
    for k in range(5):
        things.append(
            Thing(board(1.35, 0.145, 0.024, 5 + k), wood_skin, put(-0.05, -0.30 + 0.15 * k, 0.57), turn_deg=turn_deg,
                roll_deg=8))
    things.append(Thing(board(0.8, 0.26, 0.024, 9), wood_skin, put(-0.73, 0, 0.78), turn_deg=turn_deg + 90, lean_deg=82))
    return things


def cobbles(wide_m: float, deep_m: float, seed: int = 3, each_m: float = 0.12) -> Form:
    """Setts in rows: rounded stones, some sunk, about the middle; finely netted."""
    fine = 0.016
    y, x = np.meshgrid(np.arange(-deep_m / 2, deep_m / 2, fine), np.arange(-wide_m / 2, wide_m / 2, fine), indexing="ij")
    wander = 0.02 * uneven(np.stack([x, y, 0 * x], -1), 0.7, 2, seed)
    row = np.floor((y + wander) / each_m)
    shift_by = 0.5 * (row % 2) + 0.3 * np.sin(7.3 * row)
    long = each_m * 1.35
    u = ((x + wander) / long + shift_by) % 1.0 - 0.5
    v = ((y + wander) / each_m) % 1.0 - 0.5
    stone = np.floor((x + wander) / long + shift_by) * 57.0 + row * 131.0
    sunk = 0.012 * np.sin(stone * 12.9898) + 0.010 * np.sin(stone * 4.1)
    dome = np.clip(1 - np.abs(2 * u) ** 5, 0, 1) * np.clip(1 - np.abs(2 * v) ** 5, 0, 1)
    z = 0.030 * np.sqrt(dome) - 0.030 + sunk * dome + 0.004 * uneven(np.stack([x, y, 0 * x], -1), 0.05, 3, seed + 2)
    z += 0.05 * uneven(np.stack([x, y, 0 * x], -1), 2.4, 2, seed + 5)
    return Form(np.stack([x, y, z], -1).reshape(-1, 3), grid(*x.shape)).with_value(
        "stone", (0.5 + 0.5 * np.sin(stone * 3.3)).ravel())


def crate(
    wide_m: float, deep_m: float, high_m: float, at: Point, turn_deg: float, skin: Material, seed: int = 1, slats: int = 4
) -> list[Thing]:
    """An open crate of slats nailed to corner posts; `at` is the middle of its foot."""
    chance = np.random.Generator(np.random.PCG64(seed))
    put = about(at, turn_deg)
    things = [Thing(board(wide_m, deep_m, 0.012, seed), skin, put(0, 0, 0.006), turn_deg=turn_deg)]
    each = high_m / slats
    for k in range(slats):
        z = each * (k + 0.5)
        for side in (-1, 1):
            wobble, seeds = chance.normal(0, 0.003, 2), chance.integers(0, 99, 2)
            slat = board(wide_m, each - 0.022, 0.013, int(seeds[0]), 0.0015)
            turn, roll = turn_deg + chance.normal(0, 0.3), chance.normal(0, 0.3)
            things.append(Thing(slat, skin, put(wobble[0], side * deep_m / 2, z), turn, 90, roll))
            end = board(deep_m - 0.014, each - 0.022, 0.013, int(seeds[1]), 0.0015)
            things.append(Thing(end, skin, put(side * (wide_m / 2 - 0.007), wobble[1], z), turn_deg + 90, 90))
    post = block(high_m, 0.026, 0.026, 0.002, 6)
    for sx in (-1, 1):
        for sy in (-1, 1):
            place = put(sx * (wide_m / 2 - 0.028), sy * (deep_m / 2 - 0.02), high_m / 2)
            things.append(Thing(post, skin, place, turn_deg, roll_deg=90))
    return things


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
