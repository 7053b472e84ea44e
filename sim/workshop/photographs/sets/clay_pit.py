"""The clay pit in the last hour of sun: cut banks raked by light from the left, still water at the bottom, towering clouds.

The sky is bright and the pit's near side lies in its own shadow: either can be printed, both only with a card.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import numpy as np

from sim.workshop.photographs.clouds import Clouds, Weather, backdrop, sky_all_round
from sim.workshop.photographs.form import block, rod, sheet
from sim.workshop.photographs.growth import bare_tree, blades, grass, sown, twig_bark
from sim.workshop.photographs.land import cut_clay, far_field, land, step, water
from sim.workshop.photographs.relief import F64, uneven_plane
from sim.workshop.photographs.scene import Camera, Many, Mist, Scene, Sun, Thing
from sim.workshop.photographs.timber import board, old_wood

SUN = (21.0, -112.0)  # height and bearing, degrees: from the left and behind
WATER_M = -3.62
EYE = (-2.6, 2.4)


def _far_ridge(x: F64, y: F64) -> F64:
    return np.asarray(110 * step(y, 600, 2600) * (0.75 + 0.35 * uneven_plane(x, y, 900, 3, 2)) - 15)


def _rim(x: F64, y: F64) -> F64:
    """How far inside the pit a place lies: 0 on its rim, 1 and more on its floor, below 0 outside."""
    u, v = (x - 3.2) + 0.22 * (y - 21), y - 21
    from_middle = np.hypot(u / 11.5, v / 17.0)
    torn = 0.16 * uneven_plane(x, y, 7.0, 3, 3) + 0.06 * uneven_plane(x, y, 1.6, 4, 4)
    return np.asarray((1.0 - from_middle + torn) / 0.30)


def height(x: F64, y: F64) -> F64:
    """The land: a meadow, the pit dug into it in two cuts, split by rain and fallen in slabs, a rise beyond."""
    into = _rim(x, y)
    spur = 1.0 - np.abs(uneven_plane(x, y, 2.3, 2, 8)) - 0.35 * np.abs(uneven_plane(x, y, 0.7, 3, 18))  # sharp between gullies
    slab = np.round(3.0 * uneven_plane(x, y, 1.1, 1, 28)) / 3.0
    bench = 0.55 + 0.25 * uneven_plane(x, y, 4.0, 2, 11)
    upper = step(into + 0.10 * spur + 0.035 * slab, 0.06, 0.24)
    lower = step(into + 0.20 * spur + 0.05 * slab, bench + 0.36, bench + 0.58)
    deep = 2.1 * upper + 1.75 * lower
    deep += 0.05 * upper * np.sin(deep * 2 * np.pi / 0.42 + 1.5 * slab)  # beds that stand out and fall back
    fallen = 0.45 * np.maximum(uneven_plane(x, y, 1.5, 4, 21), 0) * step(into, 0.26, 0.40) * (1 - step(into, 0.5, 1.1))
    rise = 5.0 * step(y, 36.0, 110.0) * (0.85 + 0.15 * np.sin(x / 26.0)) - 0.03 * np.maximum(y - 125.0, 0)
    meadow = 0.22 * uneven_plane(x, y, 5.0, 4, 5) + 0.06 * uneven_plane(x, y, 0.7, 3, 6)
    heap = 0.9 * np.exp(-((x - EYE[0]) ** 2 + (y - EYE[1]) ** 2) / 3.0)
    return np.asarray(meadow + rise + heap + fallen - deep + 0.03 * uneven_plane(x, y, 0.35, 3, 22) * step(into, 0.0, 0.2))


def _grass(x: F64, y: F64, _: F64 | None = None) -> F64:
    trodden = (1 - step(uneven_plane(x, y, 1.6, 3, 9), -0.75, -0.35)) * step(_rim(x, y), -0.6, -0.2)  # only along the rim
    return np.asarray((1 - step(_rim(x, y) + 0.04 * uneven_plane(x, y, 0.5, 3, 19), -0.04, 0.05)) * (1 - trodden))


def _wet(x: F64, y: F64, z: F64) -> F64:
    return np.asarray(1 - step(z, WATER_M + 0.02, WATER_M + 0.22))


def _growth() -> list[Many | Thing]:
    """Grass on the rim and in the meadow, rushes at the water, a hedge of bare trees on the rise."""
    chance = np.random.Generator(np.random.PCG64(12))
    away = 2.2 * (110.0 / 2.2) ** chance.random(34_000)
    turn = np.radians(chance.uniform(-17, 32, len(away)))
    at = np.stack([EYE[0] + away * np.sin(turn), EYE[1] + away * np.cos(turn)], 1)
    at = at[_grass(at[:, 0], at[:, 1]) > chance.uniform(0.3, 0.9, len(at))]
    tufts = [blades(70, high, 0.20, seed) for seed, high in ((1, 0.20), (2, 0.32), (3, 0.14))]
    skin = grass(0.22, 0.8)
    things: list[Many | Thing] = [Many(tuft, skin, sown(at[k::3], height, 20 + k)) for k, tuft in enumerate(tufts)]
    rush = chance.uniform((-9, 12), (11, 31), (900, 2))
    level = height(rush[:, 0], rush[:, 1])
    rush = rush[(level > WATER_M - 0.12) & (level < WATER_M + 0.2) & (uneven_plane(rush[:, 0], rush[:, 1], 3.0, 2, 31) > 0.1)]
    things.append(Many(blades(50, 0.75, 0.16, 5, 0.006, 0.25), grass(0.25, 1.0), sown(rush, height, 24)))
    kinds = ((8.5, 3, 0.55), (7.0, 5, 0.75), (9.5, 8, 0.42), (6.0, 12, 0.85), (8.0, 14, 0.6))
    spots = ((-17, 70), (-13.5, 66), (-12.2, 71), (-22, 76), (-19, 73), (-10.5, 74), (24, 92), (27, 88), (22.3, 90), (8, 104))
    group = np.array(spots, float)
    for k, (tall, seed, spread) in enumerate(kinds):
        tree = bare_tree(tall, seed, spread, levels=7)
        things.append(Many(tree, twig_bark(), sown(group[k::5], height, 40 + k, (0.6, 1.1), 4)))
    hedge = np.stack([chance.uniform(-48, 50, 340), 96 + 5 * np.sin(np.arange(340)) + chance.normal(0, 1.5, 340)], 1)
    hedge = hedge[uneven_plane(hedge[:, 0], 0 * hedge[:, 0], 9.0, 3, 33) > -0.35]  # a grown-out hedge with gaps
    thicket = np.repeat(group, 26, 0) + chance.normal(0, 1.3, (26 * len(group), 2)) * (1.6, 0.8)
    low = np.concatenate([hedge, thicket[::3]])
    things.append(Many(bare_tree(2.4, 17, 0.9), twig_bark(0.08), sown(low, height, 50, (0.3, 1.0), 10)))
    things.append(Many(blades(240, 0.9, 1.1, 7, 0.02, 0.5), grass(0.09, 0.9), sown(np.concatenate([low, thicket]), height, 51)))
    return things


def _clods() -> list[Many]:
    """Lumps that fell from the banks or off a spade."""
    chance = np.random.Generator(np.random.PCG64(15))
    at = chance.uniform((-9, 5), (16, 38), (12_000, 2))
    at = at[_rim(at[:, 0], at[:, 1]) > chance.uniform(0.3, 1.6, len(at))]
    x, y = at.T
    steep = np.abs(height(x, y + 0.25) - height(x, y - 0.25)) + np.abs(height(x + 0.25, y) - height(x - 0.25, y))
    at = at[(height(x, y) > WATER_M - 0.03) & (steep < 0.45)]  # none sticks to a bank
    forms = [block(0.20, 0.16, 0.13, 0.05, 14).worn(0.035, 0.09, seed, 3) for seed in (1, 2, 3)]
    return [Many(form, cut_clay(0.36), sown(at[k::3], height, 60 + k, (0.25, 1.3), 40)) for k, form in enumerate(forms)]


def _on_ground(x: float, y: float, up: float = 0.0) -> tuple[float, float, float]:
    return x, y, max(WATER_M + 0.06, float(height(np.array([x]), np.array([y]))[0])) + up


def _left_by_people() -> list[Thing]:
    """A gangway on trestles over the water, a ladder against the lit bank, posts along the far rim."""
    wood, grey, things = old_wood(0.36), old_wood(0.25), []
    stations = ((6.9, 19.0), (4.9, 21.3), (3.3, 24.2), (2.6, 27.0))  # a gangway on trestles in the water
    for k, (a, b) in enumerate(pairwise(stations)):
        turn = float(np.degrees(np.arctan2(b[1] - a[1], b[0] - a[0])))
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, WATER_M + 0.36 + 0.02 * k)
        things.append(Thing(board(3.4, 0.30, 0.05, seed=k), wood, middle, turn_deg=turn, roll_deg=1.2 * (-1) ** k))
    for x, y in stations:
        for side in (-0.2, 0.2):
            leg = [(1.5 * side, 0.05, -0.9), (side, 0.0, 0.36)]
            things.append(Thing(rod(leg, 0.035, 8), grey, (x, y, WATER_M), turn_deg=40))
        things.append(Thing(rod([(-0.34, 0, 0.30), (0.34, 0, 0.30)], 0.03, 8), grey, (x, y, WATER_M), turn_deg=40))
    foot, top = _leaning(5.3, 31.0, 2.7)
    aside = 0.22 * np.array([0.98, -0.16, 0.0])
    for side in (-1, 1):
        things.append(Thing(rod([foot + side * aside, top + side * aside * 0.85], 0.036, 8), wood))
    for share in np.linspace(0.05, 0.95, 12):
        rung = foot + share * (top - foot)
        things.append(Thing(rod([rung - 1.05 * aside, rung + 1.05 * aside], 0.022, 8), wood))
    for k in range(9):
        x, y = -11.5 + 3.4 * k, 43.0 + 1.2 * np.sin(k)
        lean, roll = 4.0 * np.sin(3 * k), 5 * np.cos(5 * k)
        things.append(Thing(block(0.10, 0.10, 1.5, 0.01, 6), grey, _on_ground(x, y, 0.6), lean_deg=lean, roll_deg=roll))
    return things


def _leaning(x: float, y: float, long_m: float) -> tuple[F64, F64]:
    """Foot and head of a ladder drawn out of the bank until it only touches it."""
    up, share = long_m * np.array([0.04, 0.41, 0.91]), np.linspace(0.08, 1.0, 40)[:, None]
    while True:
        foot = np.array(_on_ground(x, y, -0.05))
        at = foot + share * up
        if np.all(at[:, 2] > height(at[:, 0], at[:, 1]) + 0.03):
            return foot, foot + up
        y -= 0.04


@lru_cache(maxsize=1)
def weather() -> Clouds:
    """A showery afternoon: towers of cloud with clear sky between, through a red filter."""
    return Clouds(Weather(
            *SUN, 42_000, 1100, 0.45, cover=1.3, lump_m=3200, tall_m=2800, base_m=1000, reach_m=13_000, cell_m=65, seed=4))


def scene() -> Scene:
    """From a spoil heap on the rim, looking along the pit; the sheet wide."""
    clouds = weather()
    eye = float(height(np.array([EYE[0]]), np.array([EYE[1]]))[0]) + 1.65
    near = land(height, EYE, (-17, 32), 2.0, 60.0, 2000, 1000, grass=_grass, wet=_wet)
    far = land(height, EYE, (-17, 33), 59.9, 420.0, 260, 500, grass=_grass, wet=_wet)
    return Scene(Camera((*EYE, eye), (1.2, 30.0, eye - 2.6), 150, (118.75, 95.0), 32, (0.0, 14.0, -2.0), rise=0.055),
        [Thing(near, cut_clay(0.38)), Thing(far, cut_clay(0.38)), Thing(sheet(40, 40), water(), (3.0, 22.0, WATER_M)),
            Thing(land(_far_ridge, EYE, (-32, 32), 500, 4000, 160, 300), far_field()), *_growth(), *_clods(),
            *_left_by_people(), backdrop(clouds, (-18, 34), (0, 20), 30)],
        [Sun(clouds.weather.sun_lux, *SUN)], sky=sky_all_round(clouds), mist=Mist(4e-4, 250.0, 2300.0), bounces=3,
        places={"clear sky": (57.749, 200.000, 45.950), "sunlit cloud": (34.194, 200.000, 27.090),
            "cloud's dark base": (21.084, 200.000, 37.718), "sky over the horizon": (2.561, 200.000, 12.112),
            "meadow in the sun": (-0.061, 60.000, 1.621), "near trees": (-12.332, 66.000, 7.848),
            "lit bank": (3.395, 30.000, -2.174), "upper bank": (7.093, 33.000, -0.941),
            "bank in shadow": (-5.725, 20.000, -0.293), "shadow under the bank": (-4.519, 22.000, -1.955),
            "water": (-0.347, 21.327, -3.620), "cloud in the water": (-2.141, 22.822, -3.620),
            "plank": (4.500, 22.044, -3.500), "near rim": (-3.415, 8.000, 0.810)})
