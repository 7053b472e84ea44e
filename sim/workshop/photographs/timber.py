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
    p[:, 2] += (0.0005 * long_m * chance.standard_normal()) * np.cos(np.pi * p[:, 0] / long_m)
    p[:, 2] += 0.003 * wide_m * chance.standard_normal() * (2 * p[:, 1] / wide_m) ** 2
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
    ridge = s.Cells(0.02, 0.0, 1.0, "crack", 0.3, 1.0, (6.0, 1.0, 1.0), warp=0.3)
    skin = s.Times(s.Times(tone, s.EachOne(0.6, 1.5)), s.Times(s.Blend(0.3, 1.2, ridge), s.Cloudy(0.06, 0.6, 1.5)))
    fibre = s.Cloudy(0.004, 0.7, 1.15, detail=4, stretch=(40.0, 1.0, 1.0))
    face = s.Times(s.Times(0.40, s.EachOne(0.7, 1.15)), s.Times(fibre, s.Cloudy(0.08, 0.6, 1.15, stretch=(5.0, 1.0, 1.0))))
    split, end = s.Value("split"), s.Value("end")
    rings = s.Bands(0.0052, 0.62, 1.06, "x", rings=True, warp=3.0, warp_size_m=0.04)
    checks = s.Cells(0.035, 0.25, 1.0, "crack", 0.05, 1.0, warp=0.5)  # cracks of drying
    sawn = s.Times(s.Times(s.Times(0.36, s.EachOne(0.55, 1.2)), s.Cloudy(0.03, 0.55, 1.15, detail=4)), s.Times(rings, checks))
    relief = (s.Blend(s.Times(ridge, 0.005), s.Times(fibre, 0.004), split),
        s.Times(end, s.Cloudy(0.004, -0.0006, 0.0006, detail=3, stretch=(1.0, 0.2, 3.0))))
    return s.Material(s.Blend(s.Blend(skin, face, split), sawn, end), 0.9, 1.35, relief)


def firewood(long_m: float = 0.42, radius_m: float = 0.075, wedge_deg: float = 360.0, seed: int = 1) -> Form:
    """A billet along x, round or split: bark about it, torn faces where the axe went through, sawn ends with a rim of bark."""
    half = np.radians(min(wedge_deg, 358.0)) / 2
    arc = np.linspace(-half, half, 40)
    edge = np.stack([radius_m * np.cos(arc), radius_m * np.sin(arc)], 1)
    side = np.linspace(0, 1, 14)[1:-1, None]
    torn = [edge[-1] * (1 - side), [[0.0, 0.0]], edge[0] * side] if wedge_deg < 360 else []
    line = np.concatenate([edge, *torn])
    split = np.concatenate([np.zeros(40), np.ones(len(line) - 40)])
    x = long_m / 2 * np.array([-1, -1, -1, *np.linspace(-1, 1, 40), 1, 1, 1])
    shrink = np.array([0.0, 0.90, 0.96, *np.ones(40), 0.96, 0.90, 0.0])
    middle = line.mean(0)
    points = np.concatenate([np.broadcast_to(x[:, None, None], (len(x), len(line), 1)),
        middle + (line - middle) * shrink[:, None, None]], -1)
    lumps = uneven(points * (0.3, 1, 1), 0.07, 4, seed)
    out = (points[..., 1:] - middle) / np.linalg.norm(line - middle, axis=1)[None, :, None]
    points[..., 1:] += (0.10 * radius_m * lumps * shrink[:, None])[..., None] * out
    points[..., 2] += 0.12 * radius_m * np.sin(x / long_m * 2.5 + seed)[:, None]  # no branch is straight
    points[..., 0] += 0.10 * points[..., 1] * np.sin(seed)  # sawn not quite square
    cut = np.where(np.abs(np.arange(len(x)) - (len(x) - 1) / 2) > len(x) / 2 - 2.2, 1.0, 0.0)
    form = Form(points.reshape(-1, 3), grid(len(x), len(line), around=True)[:, ::-1])
    return form.with_value("split", np.tile(split, len(x))).with_value("end", np.repeat(cut, len(line)))


def wood_pile(at: Point, wide_m: float, high_m: float, material: s.Material, seed: int = 2) -> list[Thing]:
    """Firewood stacked with its ends towards -y, from `at` (foot of its middle) up; every billet lies in the lowest gap."""
    chance = np.random.Generator(np.random.PCG64(seed))
    things: list[Thing] = []
    lying, across = np.zeros((0, 3)), np.linspace(-wide_m / 2, wide_m / 2, 90)
    while True:
        wedge = float(chance.choice([360, 360, 180, 180, 110, 90]))
        radius = float(chance.uniform(0.028, 0.062) if wedge == 360 else chance.uniform(0.065, 0.095))
        needs = radius * (0.98 if wedge == 360 else 0.66 if wedge == 180 else 0.55)  # as a round of the same girth
        free = across[np.abs(across) < wide_m / 2 - 0.6 * needs]
        reach = (needs + lying[:, 2]) ** 2 - (free[:, None] - lying[:, 0]) ** 2
        z = np.maximum(needs, (lying[:, 1] + np.sqrt(np.maximum(reach, 0))) * (reach > 0)).max(1, initial=needs)
        k = int(np.argmin(z + 0.01 * chance.random(len(z))))
        if z[k] > high_m - 0.25 * abs(free[k]) - needs:
            return things
        lying = np.concatenate([lying, [[free[k], z[k], needs]]])
        spin = float(chance.choice([90, 270, 250]) if wedge == 180 else chance.uniform(0, 360))
        mean = (2 / 3) * radius * np.sin(np.radians(wedge) / 2) / max(np.radians(wedge) / 2, 0.1) * (wedge < 360)
        c, n = mean * np.cos(np.radians(spin)), mean * np.sin(np.radians(spin))
        place = (at[0] + free[k] + c, at[1] + chance.normal(0, 0.025), at[2] + z[k] - n)
        things.append(Thing(firewood(radius_m=radius, wedge_deg=wedge, seed=int(chance.integers(999))), material, place,
                turn_deg=90 + chance.normal(0, 2), lean_deg=spin))
