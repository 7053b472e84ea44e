"""Cloth and paper: linen that has been let fall, lace, wrapping paper, string."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs.form import Form, block, grid, rod, sheet, together
from sim.workshop.photographs.relief import F64, uneven_plane
from sim.workshop.photographs.scene import Point, Thing
from sim.workshop.photographs.surface import Bands, Cells, Cloudy, EachOne, Material, Pattern, Plus, Times, Value


def linen(tone: float = 0.62, coarse_m: float = 0.0011, worn: float = 0.3) -> Material:
    """Plain-woven linen: threads of uneven thickness, some light through it, stains as `worn`."""
    warp = Bands(coarse_m, 0.0, 1.0, "x", warp=1.2, warp_size_m=0.02)
    weft = Bands(coarse_m, 0.0, 1.0, "y", warp=1.2, warp_size_m=0.02)
    threads = Plus(warp, weft)
    slubs = Plus(Cloudy(0.004, 0.93, 1.04, stretch=(14, 1, 1)), Cloudy(0.004, -0.04, 0.04, stretch=(1, 14, 1)))
    stain = Cloudy(0.2, 1.0 - 0.6 * worn, 1.04, detail=4)
    body: Pattern = Times(Times(tone, slubs), Times(stain, Plus(0.86, Times(0.08, threads))))
    return Material(body, 0.9, 1.3, (Times(threads, 0.22 * coarse_m),), lets_through=0.22)


def lying_cloth(wide_m: float, deep_m: float, at: Point, edge_y_m: float, turn_deg: float, skin: Material, seed: int = 1,
        lift_m: float = 0.010) -> Thing:
    """A cloth laid on a table whose front edge is the line y = `edge_y_m`: it lies in soft folds and hangs over the edge.

    `at` is its middle on the table's top. Folds are ridges that die away along their length; over the edge they fall straight.
    """
    each = 0.004
    flat = sheet(wide_m, deep_m, int(deep_m / each), int(wide_m / each))
    a = np.radians(turn_deg)
    x = np.cos(a) * flat.points[:, 0] - np.sin(a) * flat.points[:, 1] + at[0]
    y = np.sin(a) * flat.points[:, 0] + np.cos(a) * flat.points[:, 1] + at[1]
    over, bend = edge_y_m - y, 0.012
    arc = bend * np.pi / 2
    hang = np.maximum(over - arc, 0.0)
    turn = np.clip(over / bend, 0.0, np.pi / 2)
    folds = _folds(x, y, np.maximum(over, 0.0), lift_m, seed)
    drawn = 1.0 - 0.05 * np.clip(hang / 0.3, 0, 1)  # hanging cloth is drawn together by its folds
    middle = at[0]
    out = np.stack(
        [middle + (x - middle) * drawn, np.where(over > 0, edge_y_m - bend * np.sin(turn) - folds * np.sin(turn), y),
            np.where(over > 0, at[2] - bend * (1 - np.cos(turn)) - hang + folds * np.cos(turn), at[2] + folds)],
        -1)
    hem = _hem(flat.points, wide_m, deep_m)
    thing = Form(out, flat.quads, rest=flat.points).with_value("hem", hem)
    return Thing(thing, skin)


def _folds(x: F64, y: F64, over: F64, lift_m: float, seed: int) -> F64:
    """Height of the folds: creases from having been folded away, soft waves, and pleats that open as it hangs."""
    lies = 1 - np.clip(over / 0.02, 0, 1)
    wave = uneven_plane(x, y, 0.30, 3, seed) + 0.05
    soft = 0.5 * (wave + np.sqrt(wave**2 + 0.04)) * lift_m  # it lies flat between waves, without an edge
    ridge = np.exp(-((uneven_plane(1.0 * x + 0.35 * y, y - 0.3 * x, 0.22, 2, seed + 9) / 0.16) ** 2)) * lift_m
    crease = sum(0.0009 * np.exp(-(((x - c + 0.003 * np.sin(9 * y)) / 0.0022) ** 2)) for c in (-0.31, 0.04, 0.37))
    rumple = 0.0007 * uneven_plane(x, y, 0.07, 4, seed + 5)
    swing = x / 0.052 + 2.2 * uneven_plane(x, 0 * y, 0.22, 2, seed + 3) + 0.6 * uneven_plane(x, over, 0.3, 2, seed + 4)
    pleat = (np.clip(over / 0.22, 0, 1) ** 1.3 * 2.2 * lift_m * (0.35 + 0.65 * (1 - np.abs(np.sin(swing)) ** 0.8))
        * (0.7 + 0.5 * uneven_plane(x, 0 * y, 0.4, 1, seed + 6)))
    return np.asarray(0.0012 + soft * lies + ridge * (0.3 + 0.7 * lies) + crease + rumple + pleat)


def _hem(points: F64, wide_m: float, deep_m: float) -> F64:
    from_edge = np.minimum(wide_m / 2 - np.abs(points[:, 0]), deep_m / 2 - np.abs(points[:, 1]))
    return np.asarray((from_edge < 0.012).astype(float))


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
        relief += (Cells(0.03, 0.0, crumple_m, "crack", 0.5), Cells(0.011, 0.0, 0.3 * crumple_m, "crack", 0.5))
    return Material(
        Times(tone, Times(EachOne(0.93, 1.03), Cloudy(0.06, 0.95, 1.02))), 0.75, 1.4, relief, lets_through=lets_through)


def parcel(
    wide_m: float, deep_m: float, high_m: float, at: Point, turn_deg: float, skin: Material, string: Material, seed: int = 1
) -> list[Thing]:
    """A box wrapped in paper and tied crosswise with string; `at` is the middle of its foot."""
    form = block(wide_m, deep_m, high_m, 0.006, 60)
    dent = 0.004 * uneven_plane(
        form.points[:, 0] + form.points[:, 2], form.points[:, 1] + 0.7 * form.points[:, 2], 0.09, 4, seed)
    fold = 0.0015 * (np.abs(form.points[:, 1] + 0.2 * form.points[:, 0]) < 0.004)
    form = form.bent(form.points * (1 + (dent + fold)[:, None] * np.array([1.0, 1.0, 0.6]) / max(wide_m, 0.1)))
    x, y, z = at
    middle = (x, y, z + high_m / 2)
    w, d, h = wide_m / 2 + 0.0015, deep_m / 2 + 0.0015, high_m / 2 + 0.0015
    off = 0.06 * wide_m * np.sin(seed)
    loops: list[list[Point]] = [[(off, -d, -h), (off, d, -h), (off, d, h), (off, -d, h), (off, -d, -h)],
        [(-w, 0, -h), (w, 0, -h), (w, 0, h), (-w, 0, h), (-w, 0, -h)]]
    knot = [(off - 0.012, 0.006, h), (off, 0, h + 0.004), (off + 0.03, 0.02, h + 0.003), (off + 0.05, 0.012, h + 0.001)]
    ties = together([rod(loop, 0.0014, 6) for loop in loops] + [rod(knot, 0.0014, 6, 6)])
    return [Thing(form, skin, middle, turn_deg), Thing(ties, string, middle, turn_deg)]


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
    """A sheet that wants to roll up again along x: it lies on its middle and lifts at both ends."""
    flat = sheet(wide_m, deep_m, rows, rows)
    p = flat.points.copy()
    radius = wide_m**2 / (8 * max(curl_m, 1e-6))
    angle = p[:, 0] / radius
    return Form(np.stack([radius * np.sin(angle), p[:, 1], radius * (1 - np.cos(angle))], -1), grid(rows, rows), rest=p)
