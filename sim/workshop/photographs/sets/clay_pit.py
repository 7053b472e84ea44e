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
    """The land: a meadow, the pit dug into it in two cuts with gullies and spade marks, a rise beyond."""
    into = _rim(x, y)
    gully = np.abs(uneven_plane(x, y, 1.4, 4, 8))
    bench = 0.55 + 0.25 * uneven_plane(x, y, 4.0, 2, 11)
    upper = step(into - 0.10 * gully, 0.0, 0.34)
    lower = step(into - 0.22 * gully, bench + 0.2, bench + 0.55)
    steep = step(into, 0.02, 0.2) * (1 - step(into, bench + 0.5, bench + 0.9))
    deep = 2.1 * upper + 1.75 * lower - 0.42 * gully * steep
    spill = 0.35 * np.maximum(uneven_plane(x, y, 2.2, 3, 21), 0) * step(into, 0.2, 0.5) * (1 - step(into, 1.5, 2.4))
    rise = 5.0 * step(y, 36.0, 110.0) * (0.85 + 0.15 * np.sin(x / 26.0)) - 0.03 * np.maximum(y - 125.0, 0)
    meadow = 0.22 * uneven_plane(x, y, 5.0, 4, 5) + 0.06 * uneven_plane(x, y, 0.7, 3, 6)
    heap = 0.9 * np.exp(-((x - EYE[0]) ** 2 + (y - EYE[1]) ** 2) / 3.0)
    return np.asarray(meadow + rise + heap + spill - deep + 0.05 * uneven_plane(x, y, 0.35, 3, 22) * step(into, 0.0, 0.2))


def _grass(x: F64, y: F64, _: F64 | None = None) -> F64:
    return np.asarray((1 - step(_rim(x, y), -0.30, 0.02)) * step(uneven_plane(x, y, 1.6, 3, 9), -0.75, -0.35))


def _wet(x: F64, y: F64, z: F64) -> F64:
    return np.asarray(1 - step(z, WATER_M + 0.02, WATER_M + 0.22))


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
    group = np.array([(-17, 70), (-13.5, 66), (-12.2, 71), (-22, 76), (-9.0, 73), (24, 92), (27, 88), (8, 104)], float)
    for k, tree in enumerate(trees):
        things.append(Many(tree, twig_bark(), sown(group[k::3], height, 40 + k, (0.7, 1.15), 2)))
    shrubs = np.stack([chance.uniform(-40, 44, 110), 84 + chance.normal(0, 1.2, 110)], 1)
    things.append(Many(bare_tree(2.2, 17, 0.9), twig_bark(0.09), sown(shrubs, height, 50, (0.5, 1.2), 10)))
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
    """Planks over the wet floor, a ladder against the lit bank, a spade left standing, posts along the far rim."""
    wood, grey, things = old_wood(0.36), old_wood(0.25), []
    for k, (x, y, turn) in enumerate(((6.9, 19.0, 140), (4.9, 21.3, 128), (3.3, 24.2, 112))):
        things.append(
            Thing(board(3.1, 0.26, 0.05, seed=k), wood, _on_ground(x, y, 0.03), turn_deg=turn, roll_deg=2.5 * (-1) ** k))
    foot, top = np.array(_on_ground(5.2, 28.3)), np.array(_on_ground(5.5, 30.7, 0.7))
    aside = 0.23 * np.array([0.98, -0.16, 0.0])
    for side in (-1, 1):
        things.append(Thing(rod([foot + side * aside, (foot + top) / 2 + side * aside, top + side * aside], 0.035, 8), wood))
    for share in np.linspace(0.06, 0.94, 13):
        rung = foot + share * (top - foot)
        things.append(Thing(rod([rung - 1.1 * aside, rung + 1.1 * aside], 0.022, 8), wood))
    for k in range(9):
        x, y = -11.5 + 3.4 * k, 43.0 + 1.2 * np.sin(k)
        lean, roll = 4.0 * np.sin(3 * k), 5 * np.cos(5 * k)
        things.append(Thing(block(0.10, 0.10, 1.5, 0.01, 6), grey, _on_ground(x, y, 0.6), lean_deg=lean, roll_deg=roll))
    x, y, z = _on_ground(-3.6, 9.2)
    things.append(Thing(rod([(0, 0, -0.1), (0.10, 0.05, 0.95)], 0.02), wood, (x, y, z)))
    things.append(Thing(rod([(-0.08, 0, 0), (0.08, 0, 0)], 0.018), wood, (x + 0.10, y + 0.05, z + 0.96)))
    things.append(Thing(block(0.19, 0.015, 0.28, 0.004, 6), old_wood(0.14), (x - 0.005, y, z + 0.06), roll_deg=3))
    return things


@lru_cache(maxsize=1)
def weather() -> Clouds:
    """A showery afternoon: towers of cloud with clear sky between, through a red filter."""
    return Clouds(Weather(
            *SUN, 42_000, 1100, 0.45, cover=1.2, lump_m=2400, tall_m=2600, base_m=1100, reach_m=13_000, cell_m=65, seed=1))


def scene() -> Scene:
    """From a spoil heap on the rim, looking along the pit; the sheet wide."""
    clouds = weather()
    eye = float(height(np.array([EYE[0]]), np.array([EYE[1]]))[0]) + 1.65
    ground = land(height, EYE, (-30, 30), 2.0, 420.0, 1500, 900, grass=_grass, wet=_wet)
    return Scene(Camera((*EYE, eye), (1.2, 30.0, eye - 2.6), 150, (118.75, 95.0), 32, (0.0, 14.0, -2.0), rise=0.055),
        [Thing(ground, cut_clay(0.38)), Thing(sheet(40, 40), water(), (3.0, 22.0, WATER_M)),
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
