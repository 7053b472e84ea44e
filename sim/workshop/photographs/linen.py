"""Cloth and paper: linen that has been let fall, lace, sheets of paper."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sim.workshop.photographs.form import Form, sheet
from sim.workshop.photographs.relief import F64, uneven_plane
from sim.workshop.photographs.scene import Point, Thing
from sim.workshop.photographs.surface import Bands, Cells, Cloudy, EachOne, Material, Pattern, Plus, Times, Value

Spot = tuple[float, float, float]  # x, y and radius of a foot


def linen(tone: float = 0.62, coarse_m: float = 0.0009, worn: float = 0.3) -> Material:
    """Plain-woven linen: threads over and under, each of its own thickness, slubs, some light through it, stains as `worn`."""
    over = Times(_thread(coarse_m, "x"), _thread(coarse_m, "y"))
    threads = Plus(Times(0.5, over), Plus(Times(0.25, _rib(coarse_m, "x")), Times(0.25, _rib(coarse_m, "y"))))
    along, across = (60.0, 1.0, 1.0), (1.0, 60.0, 1.0)
    slubs = Times(*(Cloudy(2.2 * coarse_m, 0.90, 1.10, detail=2, harsh=0.7, stretch=way) for way in (along, across)))
    stain = Cloudy(0.2, 1.0 - 0.6 * worn, 1.04, detail=4)
    body: Pattern = Times(Times(tone, slubs), Times(stain, Plus(1.0, Times(0.10, threads))))
    raised = Plus(Times(threads, 0.13 * coarse_m), Times(slubs, 0.00006))
    return Material(body, 0.9, 1.25, (raised, Cloudy(0.006, -0.00012, 0.00012)), lets_through=0.18)


def _thread(coarse_m: float, along: str) -> Pattern:
    return Bands(2 * coarse_m, -1.0, 1.0, along, warp=0.8, warp_size_m=0.03)


def _rib(coarse_m: float, along: str) -> Pattern:
    return Bands(coarse_m, -1.0, 1.0, along, warp=1.6, warp_size_m=0.03)


def lying_cloth(wide_m: float, deep_m: float, at: Point, edge_y_m: float, turn_deg: float, skin: Material, seed: int = 1,
        lift_m: float = 0.006, pressed: Sequence[Spot] = (), each_m: float = 0.0022) -> Thing:
    """A hemmed cloth laid on a table whose front edge is the line y = `edge_y_m`: it hangs over that edge in pleats.

    `at` is its middle on the table's top. `lift_m` is how high its folds stand; under the feet of what stands on it
    (`pressed`: x, y, radius in m) it lies flat. It keeps the creases of having been put away folded.
    """
    flat = sheet(wide_m, deep_m, int(deep_m / each_m), int(wide_m / each_m))
    a, bend = np.radians(turn_deg), 0.0035
    x = np.cos(a) * flat.points[:, 0] - np.sin(a) * flat.points[:, 1] + at[0]
    y = np.sin(a) * flat.points[:, 0] + np.cos(a) * flat.points[:, 1] + at[1]
    over = edge_y_m - y
    turn, hang = np.clip(over / bend, 0.0, np.pi / 2), np.maximum(over - bend * np.pi / 2, 0.0)
    high = _folds(x, y, over, at, lift_m, seed) + _finish(flat.points, wide_m, deep_m)
    for px, py, radius in pressed:
        high = high * (1.0 - np.exp(-((np.hypot(x - px, y - py) / (1.25 * radius)) ** 6)))
    high = 0.0014 + high
    drawn = x + 0.03 * hang * (at[0] - x)  # hanging cloth is drawn together by its pleats
    out = np.stack([drawn, np.where(over > 0, edge_y_m - (bend + high) * np.sin(turn), y),
        np.where(over > 0, at[2] - bend - hang + (bend + high) * np.cos(turn), at[2] + high)], -1)
    return Thing(flat.bent(out), skin)


def _folds(x: F64, y: F64, over: F64, at: Point, lift_m: float, seed: int) -> F64:
    """Height of the folds, m: a few sharp ones that run out on the table, pleats that open below its edge, a light rumple."""
    chance = np.random.Generator(np.random.PCG64(seed))
    bow = 0.010 * uneven_plane(x, y, 0.16, 2, seed)
    high = 0.12 * lift_m * (1.0 + uneven_plane(x, y, 0.11, 3, seed + 1)) + 0.0004 * uneven_plane(x, y, 0.035, 3, seed + 2)
    for _ in range(6):
        start = np.array([at[0] + chance.uniform(-0.3, 0.3), at[1] + chance.uniform(-0.2, 0.25)])
        way, long, wide = chance.normal(-np.pi / 2, 0.75), chance.uniform(0.18, 0.45), chance.uniform(0.006, 0.015)
        along = (x - start[0]) * np.cos(way) + (y - start[1]) * np.sin(way)
        aside = (y - start[1]) * np.cos(way) - (x - start[0]) * np.sin(way) + bow
        high += _ridge(aside, wide) * lift_m * chance.uniform(0.5, 1.2) * np.sin(np.pi * np.clip(along / long, 0, 1)) ** 1.3
    below, place = np.maximum(over, 0.0), at[0] - 0.6
    while place < at[0] + 0.6:
        wide, slant, tall = chance.uniform(0.010, 0.026), chance.normal(0, 0.10), chance.uniform(0.3, 1.3)
        open_m = np.clip((over - chance.uniform(-0.07, 0.05)) / 0.16, 0, 1.4) ** 1.5
        high += 2.4 * lift_m * tall * open_m * _ridge(x - place - slant * below + bow, wide * (0.6 + 3 * below))
        place += wide * chance.uniform(2.2, 5.5)
    return np.asarray(high)


def _ridge(aside: F64, wide: F64 | float) -> F64:
    """A fold's section: a crest of a few mm, flanks that run out hollow."""
    return np.asarray(np.exp(1.0 - np.sqrt(1.0 + (aside / (0.45 * wide)) ** 2)))


def _finish(p: F64, wide_m: float, deep_m: float) -> F64:
    """What stands up from the cloth, m: creases of having been folded in six, the doubled hem, its stitches, the edge."""
    put_away = ((0, -0.17 * wide_m, 1.0), (0, 0.16 * wide_m, -0.7), (1, 0.02 * deep_m, 0.8), (1, -0.3 * deep_m, -0.6))
    crease = sum(side * 0.0012 * _ridge(p[:, axis] - where, 0.004) for axis, where, side in put_away)
    inside = np.minimum(wide_m / 2 - np.abs(p[:, 0]), deep_m / 2 - np.abs(p[:, 1]))
    hem = 0.0007 * np.clip((0.013 - inside) / 0.002, 0, 1) - 0.0005 * np.exp(-(((inside - 0.010) / 0.0016) ** 2))
    return np.asarray(crease + hem - 0.0018 * np.clip(1 - inside / 0.002, 0, 1) ** 2)


def lace(radius_m: float, rings: int = 5, seed: int = 2) -> Form:
    """A round of lace, flat, about the ground: `thread` is 1 where there is thread and 0 in the holes."""
    n = int(2 * radius_m / 0.0011)
    flat = sheet(2.1 * radius_m, 2.1 * radius_m, n, n)
    r, angle = (np.hypot(flat.points[:, 0], flat.points[:, 1]) / radius_m, np.arctan2(flat.points[:, 1], flat.points[:, 0]))
    thread = np.zeros_like(r)
    for k in range(rings):
        inner, outer = k / rings, (k + 1) / rings
        here = (r >= inner) & (r < outer)
        share = (r - inner) / (outer - inner)
        petals = 8 * (k + 1) if k else 8
        petal = np.abs(np.sin(petals * angle / 2 + k * 0.4)) ** 0.8 * np.sin(np.pi * np.clip(share, 0, 1)) ** 0.7
        net = np.maximum(np.abs(np.sin(2.2 * petals * angle)), np.abs(np.sin(np.pi * 5 * share))) > 0.90
        band = (share < 0.10) | (share > 0.95)
        solid = (petal > 0.60) & (petal < 0.97) if k % 2 == 0 else (petal < 0.42)
        thread = np.where(here & (solid | band | net), 1.0, thread)
    scallop = 1.0 + 0.035 * np.abs(np.sin(20 * angle))
    thread = np.where((r >= 1.0) & (r < scallop) & ((r > scallop - 0.018) | (np.sin(80 * angle) > 0.3)), 1.0, thread)
    return flat.with_value("thread", thread)


def lace_thread() -> Material:
    """White cotton thread, holes between."""
    return Material(
        0.86, 0.9, 1.3, (Cells(0.0012, 0.0, 0.0004),), lets_through=0.3, holes=Plus(1.0, Times(Value("thread"), -1.0)))


def paper(tone: float = 0.7, crumple_m: float = 0.0, lets_through: float = 0.12) -> Material:
    """Paper: matt, a little through; crumpled if it has been."""
    relief: tuple[Pattern, ...] = (Cloudy(0.0025, -0.00003, 0.00003, detail=2),)
    if crumple_m:
        relief += (Cells(0.07, 0.0, crumple_m, "crack", 0.5, stretch=(1, 1, 1.6), warp=0.2),)
    return Material(
        Times(tone, Times(EachOne(0.93, 1.03), Cloudy(0.06, 0.95, 1.02))), 0.75, 1.4, relief, lets_through=lets_through)


def ream(wide_m: float, deep_m: float, sheets: int, at: Point, turn_deg: float, skin: Material, seed: int = 1,
        step_m: float = 0.0006) -> list[Thing]:
    """A loose pile of paper, every sheet a little off; corners lift."""
    chance = np.random.Generator(np.random.PCG64(seed))
    things = []
    for k in range(sheets):
        flat = sheet(wide_m, deep_m, 24, 24)
        p = flat.points.copy()
        curl = np.clip((p[:, 0] / wide_m + p[:, 1] / deep_m - 0.55) / 0.45, 0, 1) ** 2
        p[:, 2] += curl * (0.004 + 0.02 * chance.random() * k / sheets) + 0.0004 * uneven_plane(
            p[:, 0], p[:, 1], 0.1, 2, seed + k)
        place = (at[0] + chance.normal(0, 0.004), at[1] + chance.normal(0, 0.004), at[2] + step_m * (k + 1))
        things.append(Thing(flat.bent(p), skin, place, turn_deg=turn_deg + chance.normal(0, 2.0)))
    return things


def curled_sheet(wide_m: float, deep_m: float, curl_m: float, rows: int = 60) -> Form:
    """A sheet that wants to roll up again along x: it lies on its middle and lifts at both ends, more at one corner."""
    flat = sheet(wide_m, deep_m, rows, rows)
    p = flat.points
    across = p[:, 1] / deep_m
    lifts = curl_m * (2 * np.abs(p[:, 0]) / wide_m) ** 2.6 * (0.55 + 0.9 * across * np.sign(p[:, 0]))
    lifts += 0.06 * curl_m * (1 + uneven_plane(p[:, 0], p[:, 1], 0.12, 2, 3))
    return flat.bent(np.stack([p[:, 0] * (1 - 0.4 * curl_m / wide_m * (2 * p[:, 0] / wide_m) ** 2), p[:, 1], lifts], -1))
