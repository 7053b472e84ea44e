"""The clay pit in the last hour of sun: cut banks raked by light from the left, still water at the bottom, towering clouds.

The sky is bright and the pit's near side lies in its own shadow: either can be printed, both only with a card.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from sim.workshop.photographs.clouds import Clouds, Weather, backdrop, sky_all_round
from sim.workshop.photographs.form import block, rod, sheet
from sim.workshop.photographs.growth import bare_tree, blades, grass, sown, twig_bark
from sim.workshop.photographs.land import cut_clay, far_field, land, step, water
from sim.workshop.photographs.relief import F64, uneven_plane
from sim.workshop.photographs.scene import Camera, Many, Mist, Scene, Sun, Thing
from sim.workshop.photographs.timber import board, old_wood

SUN = (13.0, -68.0)  # height and bearing, degrees: low, from the left
WATER_M = -3.55
EYE = (0.0, -2.0)


def _far_ridge(x: F64, y: F64) -> F64:
    return np.asarray(110 * step(y, 600, 2600) * (0.75 + 0.35 * uneven_plane(x, y, 900, 3, 2)) - 15)


def _rim(x: F64, y: F64) -> F64:
    """How far inside the pit a place lies: 0 on its rim, 1 and more on its floor, below 0 outside."""
    from_middle = np.hypot((x - 1.5) / 15.0, (y - 21.0) / 15.5)
    torn = 0.10 * uneven_plane(x, y, 6.0, 4, 3) + 0.03 * uneven_plane(x, y, 1.2, 3, 4)
    return np.asarray((1.0 - from_middle + torn) / 0.26)


def height(x: F64, y: F64) -> F64:
    """The land: a meadow, the pit dug into it in two cuts with gullies, a ramp to the right, a rise beyond."""
    into = _rim(x, y)
    gully = np.abs(uneven_plane(x, y, 1.5, 4, 8))
    upper = step(into, 0.0, 0.42 + 0.1 * uneven_plane(x, y, 3.0, 2, 11))
    lower = step(into - 0.25 * gully, 0.75, 1.25)
    deep = 2.2 * upper + 1.7 * lower - 0.5 * gully * step(into, 0.05, 0.3) * (1 - step(into, 1.0, 1.6))
    ramp = step(x, 5.0, 13.0) * step(into, 0.2, 0.8) * step(-y, -16.0, -7.0)
    rise = 5.0 * step(y, 32.0, 110.0) * (0.85 + 0.15 * np.sin(x / 26.0)) - 0.03 * np.maximum(y - 125.0, 0)
    meadow = 0.22 * uneven_plane(x, y, 5.0, 4, 5) + 0.05 * uneven_plane(x, y, 0.7, 3, 6)
    return np.asarray(meadow + rise - deep * (1 - 0.55 * ramp))


def _grass(x: F64, y: F64, _: F64 | None = None) -> F64:
    return np.asarray((1 - step(_rim(x, y), -0.35, 0.02)) * step(uneven_plane(x, y, 1.6, 3, 9), -0.75, -0.35))


def _wet(x: F64, y: F64, z: F64) -> F64:
    return np.asarray(1 - step(z, WATER_M + 0.02, WATER_M + 0.30))


def _growth() -> list[Many | Thing]:
    """Grass on the rim and in the meadow, rushes at the water, a hedge of bare trees on the rise."""
    chance = np.random.Generator(np.random.PCG64(12))
    away = 2.2 * (45.0 / 2.2) ** chance.random(26_000)
    turn = np.radians(chance.uniform(-27, 27, len(away)))
    at = np.stack([EYE[0] + away * np.sin(turn), EYE[1] + away * np.cos(turn)], 1)
    at = at[_grass(at[:, 0], at[:, 1]) > chance.uniform(0.3, 0.9, len(at))]
    tufts = [blades(70, high, 0.20, seed) for seed, high in ((1, 0.20), (2, 0.32), (3, 0.14))]
    skin = grass(0.22, 0.8)
    things: list[Many | Thing] = [Many(tuft, skin, sown(at[k::3], height, 20 + k)) for k, tuft in enumerate(tufts)]
    rush = chance.uniform((-9, 12), (11, 31), (900, 2))
    level = height(rush[:, 0], rush[:, 1])
    rush = rush[(level > WATER_M - 0.12) & (level < WATER_M + 0.2) & (uneven_plane(rush[:, 0], rush[:, 1], 3.0, 2, 31) > 0.1)]
    things.append(Many(blades(50, 0.75, 0.16, 5, 0.006, 0.25), grass(0.25, 1.0), sown(rush, height, 24)))
    trees = [bare_tree(h, seed) for h, seed in ((8.5, 3), (7.0, 5), (9.5, 8))]
    hedge = np.array(
        [(-21, 74), (-13, 71), (-9, 73), (-2.5, 76), (5, 73), (8, 75), (16, 70), (23, 74), (-29, 72), (30, 73)], float
    )
    for k, tree in enumerate(trees):
        things.append(Many(tree, twig_bark(), sown(hedge[k::3], height, 40 + k, (0.55, 1.05), 2)))
    shrubs = np.stack([chance.uniform(-36, 36, 90), 73 + chance.normal(0, 1.2, 90)], 1)
    things.append(Many(bare_tree(2.2, 17, 0.9), twig_bark(0.09), sown(shrubs, height, 50, (0.6, 1.3), 10)))
    return things


def _left_by_people() -> list[Thing]:
    """Planks over the wet floor, a barrow's track in posts, a spade left standing in the bank."""
    wood, grey = old_wood(0.33), old_wood(0.25)
    things = []
    for k, (x, y, turn) in enumerate(((1.0, 14.6, 76), (1.5, 17.4, 82), (1.4, 20.3, 95), (0.8, 23.1, 103))):
        z = max(WATER_M + 0.10, float(height(np.array([x]), np.array([y]))[0]) + 0.06)
        things.append(Thing(board(3.1, 0.26, 0.05, seed=k), wood, (x, y, z), turn_deg=turn, roll_deg=1.0 * (-1) ** k))
        for side in (-1.3, 1.3):
            post = (x + side * np.cos(np.radians(turn)), y + side * np.sin(np.radians(turn)), z - 0.4)
            things.append(Thing(rod([(0, 0, -0.5), (0.02, 0, 0.62)], 0.045), grey, post))
    for k in range(7):
        x, y = -11.5 + 3.4 * k, 40.0 + 0.8 * np.sin(k)
        z = float(height(np.array([x]), np.array([y]))[0])
        things.append(
            Thing(
                block(0.10, 0.10, 1.5, 0.01, 6), grey, (x, y, z + 0.6), lean_deg=3.0 * np.sin(3 * k), roll_deg=4 * np.cos(5 * k)
            )
        )
    x, y = -1.9, 4.7
    z = float(height(np.array([x]), np.array([y]))[0])
    iron = old_wood(0.14)
    things.append(Thing(rod([(0, 0, -0.1), (0.06, 0.05, 0.95)], 0.018), wood, (x, y, z)))
    things.append(Thing(rod([(-0.06, 0, 0), (0.06, 0, 0)], 0.016), wood, (x + 0.06, y + 0.05, z + 0.96)))
    things.append(Thing(block(0.17, 0.012, 0.26, 0.004, 6), iron, (x - 0.005, y, z + 0.02), roll_deg=3))
    return things


@lru_cache(maxsize=1)
def weather() -> Clouds:
    """A showery afternoon: towers of cloud with clear sky between."""
    return Clouds(
        Weather(*SUN, sun_lux=38_000, cover=0.2, lump_m=900, tall_m=1900, base_m=1100, reach_m=15_000, cell_m=70, seed=3)
    )


def scene() -> Scene:
    """From the rim, the sheet wide, a little more sky than ground."""
    clouds = weather()
    eye = float(height(np.array([EYE[0]]), np.array([EYE[1]]))[0]) + 1.75
    ground = land(height, EYE, (-30, 30), 1.2, 420.0, 900, 700, grass=_grass, wet=_wet)
    return Scene(
        Camera((*EYE, eye), (0.6, 30.0, eye - 0.6), 150, (118.75, 95.0), 22, (0.0, 9.0, 0.0), rise=0.04),
        [
            Thing(ground, cut_clay(0.45)),
            Thing(sheet(40, 40), water(), (0.0, 22.0, WATER_M)),
            Thing(land(_far_ridge, EYE, (-32, 32), 500, 4000, 160, 300), far_field()),
            *_growth(),
            *_left_by_people(),
            backdrop(clouds, (-26, 26), (0, 25)),
        ],
        [Sun(clouds.weather.sun_lux, *SUN)],
        sky=sky_all_round(clouds),
        mist=Mist(4e-4, 250.0, 2300.0),
        bounces=3,
        places={
            "bright-cloud": (-30.0, 200.0, 60.0),
            "far-bank": (1.5, 34.0, -1.2),
            "water": (0.0, 21.0, WATER_M),
            "near-bank": (-2.0, 6.5, -1.0),
        },
    )
