"""Boards and what is made of them."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import surface as s
from sim.workshop.photographs.form import Form, block, grid
from sim.workshop.photographs.relief import uneven
from sim.workshop.photographs.scene import Point, Thing


def wood(tone: float = 0.28, worn: float = 0.5, along: str = "x", gloss: float = 0.55) -> s.Material:
    """A planed board with growth rings, fibres, a knot here and there, stains and clay dust as `worn` 0..1."""
    far = {"x": (9.0, 1.0, 1.0), "y": (1.0, 9.0, 1.0), "z": (1.0, 1.0, 9.0)}[along]
    fine = {"x": (40.0, 1.0, 1.0), "y": (1.0, 40.0, 1.0), "z": (1.0, 1.0, 40.0)}[along]
    across = {"x": "y", "y": "x", "z": "x"}[along]
    wander = s.Cloudy(0.09, 0.0, 0.09, detail=2, stretch=far)
    level = s.Plus(s.Station(across), s.Plus(s.Station("z" if along != "z" else "y"), wander))
    rings = s.Rings(level, 0.011, 0.72, 1.12)
    fibre = s.Cloudy(0.0022, 0.8, 1.15, detail=4, stretch=fine)
    stain = s.Blend(1.0, s.Cloudy(0.16, 0.45, 1.25, detail=4, warp=0.8), worn)
    tone_here: s.Pattern = s.Times(s.Times(s.Times(tone, s.EachOne(0.75, 1.15)), s.Times(rings, fibre)), stain)
    splash = s.Cloudy(0.035, 0.0, 1.0, detail=5, harsh=0.7, sharp=3.0)
    tone_here = s.Blend(tone_here, 0.45, s.Times(s.Times(splash, 0.35 * worn), s.Cloudy(0.3, 0.0, 1.0)))
    relief = (s.Times(s.Rings(level, 0.011, -0.0002, 0.0), 0.8), s.Cloudy(0.0018, -0.00012, 0.00012, detail=3, stretch=fine))
    return s.Material(tone_here, s.Cloudy(0.05, gloss, gloss + 0.25), 1.42, relief)


def old_wood(tone: float = 0.2, along: str = "x") -> s.Material:
    """Weathered, grey, open-grained wood with cracks along it."""
    fine = {"x": (30.0, 1.0, 1.0), "y": (1.0, 30.0, 1.0), "z": (1.0, 1.0, 30.0)}[along]
    crack = s.Cells(0.012, 0.0, 1.0, "crack", 0.10, 1.0, fine)
    fibre = s.Cloudy(0.004, 0.6, 1.2, detail=5, harsh=0.65, stretch=fine)
    body = s.Times(s.Times(tone, s.EachOne(0.7, 1.25)), s.Times(fibre, s.Blend(0.35, 1.0, crack)))
    relief = (s.Times(crack, 0.0012), s.Cloudy(0.004, -0.0006, 0.0006, detail=5, stretch=fine))
    return s.Material(s.Times(body, s.Cloudy(0.3, 0.7, 1.2)), 0.85, 1.35, relief)


def board(long_m: float, wide_m: float, thick_m: float, seed: int = 1, rounded_m: float = 0.003) -> Form:
    """A board along x, about its middle: slightly cupped and bent, its edges worn."""
    form = block(long_m, wide_m, thick_m, rounded_m, 40)
    chance = np.random.Generator(np.random.PCG64(seed))
    p = form.points.copy()
    p[:, 2] += (0.0016 * long_m * chance.standard_normal()) * np.cos(np.pi * p[:, 0] / long_m)
    p[:, 2] += 0.006 * wide_m * chance.standard_normal() * (2 * p[:, 1] / wide_m) ** 2
    edge = (np.abs(p[:, 1]) > wide_m / 2 - 2 * rounded_m) | (np.abs(p[:, 2]) > thick_m / 2 - 0.1 * rounded_m)
    p += 0.0007 * uneven(p, 0.06, 4, seed)[:, None] * edge[:, None]
    return form.bent(p)


def trestle_table(at: Point, wide_m: float, deep_m: float, high_m: float, material: s.Material, boards: int = 4) -> list[Thing]:
    """A work table: boards on a frame with square legs; `at` is the middle of the floor under it."""
    x, y, z = at
    each, things = deep_m / boards, []
    for k in range(boards):
        place = (x + 0.004 * (-1) ** k, y - deep_m / 2 + each * (k + 0.5), z + high_m - 0.018)
        things.append(Thing(board(wide_m, each - 0.003, 0.036, seed=50 + k), material, place))
    for sx in (-1, 1):
        for sy in (-1, 1):
            leg = (x + sx * (wide_m / 2 - 0.12), y + sy * (deep_m / 2 - 0.08), z + (high_m - 0.036) / 2)
            things.append(Thing(block(high_m - 0.036, 0.07, 0.07, 0.004, 8), material, leg, roll_deg=90))
        rail = (x + sx * (wide_m / 2 - 0.12), y, z + high_m - 0.09)
        things.append(Thing(block(deep_m - 0.1, 0.035, 0.10, 0.003, 6), material, rail, turn_deg=90))
    things.append(Thing(block(wide_m - 0.2, 0.03, 0.10, 0.003, 8), material, (x, y - deep_m / 2 + 0.06, z + high_m - 0.09)))
    return things


def bark(tone: float = 0.12) -> s.Material:
    """Bark, split faces and sawn ends of firewood: `split` of the form 1 where the axe went through, `end` 1 at the ends."""
    ridge = s.Cells(0.02, 0.0, 1.0, "crack", 0.3, 1.0, (6.0, 1.0, 1.0))
    skin = s.Times(s.Times(tone, s.EachOne(0.7, 1.3)), s.Blend(0.4, 1.2, ridge))
    fibre = s.Cloudy(0.004, 0.75, 1.15, detail=4, stretch=(40.0, 1.0, 1.0))
    face = s.Times(s.Times(0.42, s.EachOne(0.75, 1.15)), s.Times(fibre, s.Cloudy(0.08, 0.7, 1.1)))
    split, end = s.Value("split"), s.Value("end")
    rings = s.Bands(0.0042, 0.8, 1.06, "x", rings=True, warp=2.5, warp_size_m=0.03)
    weathered = s.Cloudy(0.02, 0.55, 1.15, detail=4, stretch=(1.0, 0.3, 2.0))
    sawn = s.Times(s.Times(0.34, s.EachOne(0.7, 1.2)), s.Times(rings, weathered))
    torn = s.Times(end, s.Cloudy(0.006, -0.0012, 0.0012, detail=3))
    relief = (s.Blend(s.Times(ridge, 0.004), s.Times(fibre, 0.003), split), torn)
    return s.Material(s.Blend(s.Blend(skin, face, split), sawn, end), 0.9, 1.35, relief)


def split_log(long_m: float = 0.42, radius_m: float = 0.075, wedge_deg: float = 120.0, seed: int = 1) -> Form:
    """A log split lengthwise, along x: bark outside, two torn faces inside, sawn ends."""
    chance = np.random.Generator(np.random.PCG64(seed))
    half = np.radians(wedge_deg) / 2 * chance.uniform(0.8, 1.2)
    arc = np.linspace(-half, half, 24)
    side = np.linspace(0, 1, 10)[1:-1, None]
    edge = np.stack([radius_m * np.cos(arc), radius_m * np.sin(arc)], 1)
    line = np.concatenate([edge, edge[-1] * (1 - side), [[0.0, 0.0]], edge[0] * side])
    split = np.concatenate([np.zeros(24), np.ones(len(line) - 24)])
    stations = np.linspace(-long_m / 2, long_m / 2, 40)
    shrink = np.array([0.0, *np.ones(40), 0.0])
    x = np.concatenate([stations[:1], stations, stations[-1:]])
    middle = line.mean(0)
    flat = middle + (line - middle) * shrink[:, None, None]
    points = np.concatenate([np.broadcast_to(x[:, None, None], (*flat.shape[:2], 1)), flat], -1)
    spot = points * (0.25, 1, 1)
    points[..., 1:] += (0.006 * uneven(spot, 0.05, 4, seed) * shrink[:, None])[..., None] * np.array([1.0, 0.7])
    points[..., 0] += 0.008 * uneven(points * (0, 1, 1), 0.05, 2, seed + 3) * (np.abs(x[:, None]) > 0.49 * long_m)
    value = np.broadcast_to(split, flat.shape[:2]).copy()
    value[[0, 1, -2, -1]] = 1.0
    form = Form(points.reshape(-1, 3), grid(flat.shape[0], flat.shape[1], around=True)[:, ::-1])
    end = np.zeros(flat.shape[:2])
    end[[0, 1, -2, -1]] = 1.0
    return form.with_value("split", value.ravel()).with_value("end", end.ravel())


def wood_pile(at: Point, wide_m: float, high_m: float, material: s.Material, seed: int = 2) -> list[Thing]:
    """Split wood stacked with its ends towards -y, from `at` (foot of its middle) up."""
    chance = np.random.Generator(np.random.PCG64(seed))
    logs = [split_log(seed=k + 10, radius_m=r, wedge_deg=w)
        for k, (r, w) in enumerate(
                ((0.07, 100), (0.085, 80), (0.06, 170), (0.075, 130), (0.055, 200), (0.09, 70), (0.065, 110)))]
    things, z, row = [], 0.045, 0
    while z < high_m:
        x = -wide_m / 2 + 0.04 * (row % 2)
        while x < wide_m / 2:
            place = (at[0] + x, at[1] + chance.normal(0, 0.02), at[2] + z + chance.normal(0, 0.008))
            things.append(Thing(logs[int(chance.integers(7))], material, place, turn_deg=90 + chance.normal(0, 3),
                    lean_deg=float(chance.uniform(0, 360))))
            x += chance.uniform(0.085, 0.115)
        z, row = z + 0.082, row + 1
    return things
