"""The wheel before the window: a wet bowl on the wheel, ware on the sill, and outside a meadow in soft sun.

Outside is some sixty times as bright as the floor: no single exposure holds both.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.clouds import Clouds, Weather, backdrop, sky_all_round
from sim.workshop.photographs.form import block, disc, rod, sheet, turned
from sim.workshop.photographs.growth import bare_tree, blades, grass, sown, twig_bark
from sim.workshop.photographs.land import land, step
from sim.workshop.photographs.masonry import flagstones, plaster
from sim.workshop.photographs.relief import F64, uneven_plane
from sim.workshop.photographs.rooms import daylight, painted, sash, shut_in, wall_with_window
from sim.workshop.photographs.scene import Camera, Many, Mist, Scene, Sun, Thing
from sim.workshop.photographs.surface import Blend, Cells, Cloudy, Material, Plus, Times, Value
from sim.workshop.photographs.timber import board, old_wood, trestle_table, wood
from sim.workshop.photographs.ware import biscuit, glaze, iron_glaze, raw_clay, slip

WIDE, LOW, HIGH = 1.70, 0.98, 2.20  # the window, m
GROUND = -0.7  # the meadow lies lower than the floor
SUN = (29.0, -24.0)  # height and bearing, degrees: it looks in at the window


def _wheel() -> list[Thing]:
    """A kick wheel: a heavy fly wheel below, a shaft, the head with a bowl still wet, a pan, a plank to sit on."""
    pale, dark = wood(0.24, 0.9), old_wood(0.2)
    x, y = -0.12, -1.05
    things = [Thing(disc(0.44, 0.085, 0.012), dark, (x, y, 0.13)),
        Thing(rod([(0, 0, 0), (0, 0, 0.80)], 0.021, 16), Material(0.12, 0.4, 1.6, metal=0.7), (x, y, 0.05)),
        Thing(disc(0.155, 0.022, 0.004), slip(0.30), (x, y, 0.845)),
        Thing(t.thrown(t.sized(t.WIDE_BOWL, 0.82, 1.75), 0.008, 4, rings_m=0.0011), slip(0.34), (x, y, 0.866), turn_deg=30)]
    pan = t.thrown(((0.29, 0.0), (0.31, 0.03), (0.315, 0.10)), 0.008, 5)
    things.append(Thing(pan, _spattered(), (x, y, 0.765)))
    for sx in (-0.47, 0.47):
        for sy in (-0.42, 0.42):
            things.append(Thing(block(0.76, 0.085, 0.085, 0.006, 12), pale, (x + sx, y + sy, 0.38), roll_deg=90))
        things.append(Thing(board(0.94, 0.11, 0.05, seed=3), pale, (x + sx, y, 0.735), turn_deg=90))
        things.append(Thing(board(0.94, 0.09, 0.05, seed=4), pale, (x + sx, y, 0.16), turn_deg=90))
    for sy in (-0.42, 0.42):
        things.append(Thing(board(1.16, 0.13, 0.045, seed=5), pale, (x, y + sy, 0.775)))
    things.append(Thing(board(0.66, 0.24, 0.045, seed=6), wood(0.3, 1.0), (x + 0.02, y - 0.68, 0.66)))
    for sx in (-0.26, 0.26):
        things.append(Thing(block(0.64, 0.07, 0.2, 0.006, 10), pale, (x + sx, y - 0.68, 0.32), roll_deg=90))
    things.append(Thing(t.thrown(t.sized(t.BOWL, 0.95, 1.0), seed=8), glaze(0.4), (x + 0.46, y + 0.30, 0.80)))
    sponge = block(0.10, 0.07, 0.05, 0.022, 30).worn(0.006, 0.02, 3)
    things.append(
        Thing(sponge, Material(0.4, 0.95, 1.3, (Cells(0.004, 0, 0.003),)), (x + 0.40, y - 0.36, 0.822), turn_deg=20))
    things.append(Thing(rod([(0, 0, 0), (0.16, 0.05, 0.0)], [0.006, 0.003], 8), pale, (x - 0.42, y - 0.42, 0.803)))
    things.append(Thing(rod([(0, 0, 0), (0.13, -0.02, 0.0)], [0.004, 0.005], 8), pale, (x - 0.36, y - 0.46, 0.803)))
    return things


def _spattered() -> Material:
    """Old tin with slip dried on it: pale runs and drops, a dull shine between."""
    drops = Cells(0.03, 1.0, 0.0, reach=0.35, warp=0.5)
    dried = Plus(Times(0.8, drops), Cloudy(0.05, -1.4, 1.6, detail=5, stretch=(1, 1, 2)))
    return Material(Blend(Times(0.14, Cloudy(0.05, 0.6, 1.4, detail=4)), 0.36, dried), Blend(0.4, 0.9, dried), 1.5,
        (Cloudy(0.10, -0.0015, 0.0015, detail=2), Times(dried, 0.0004)))


def _sill() -> list[Thing]:
    """On the sill: jars of brushes and tools, drying cups, a bottle, against the light."""
    things = [Thing(board(WIDE + 0.1, 0.36, 0.035, seed=9), wood(0.3, 0.9), (0, 0.14, LOW + 0.002))]
    z = LOW + 0.02
    row = ((t.BEAKER, 1.15, -0.72, 0.10, biscuit(0.5)), (t.BOTTLE, 1.05, -0.55, 0.14, iron_glaze()),
        (t.CUP, 1.0, -0.41, 0.07, raw_clay(0.4)), (t.JUG, 0.95, 0.36, 0.14, glaze(0.5, bare_foot=0.25)),
        (t.CUP, 1.0, 0.53, 0.06, raw_clay(0.42)), (t.CUP, 1.0, 0.64, 0.08, raw_clay(0.38)),
        (t.TEA_BOWL, 1.0, 0.755, 0.10, raw_clay(0.4)))
    for k, (outline, size, x, y, skin) in enumerate(row):
        pot = t.thrown(t.sized(outline, size, size), seed=60 + k)
        if outline is t.JUG:
            pot = t.handled(t.with_spout(pot, 180), 0.06, 0.205, 0.045)
        things.append(Thing(pot, skin, (x, y, z), turn_deg=35 * k - 20))
    chance = np.random.Generator(np.random.PCG64(4))
    for k in range(7):
        lean = chance.uniform(-0.035, 0.035, 2)
        tall = chance.uniform(0.20, 0.29)
        stick = rod(
            [(0.4 * lean[0], 0.4 * lean[1], 0.02), (lean[0], lean[1], tall - 0.04), (1.1 * lean[0], 1.1 * lean[1], tall)],
            [0.004, 0.0035, 0.009 if k % 2 else 0.003], 8)
        things.append(Thing(stick, wood(0.3, 0.3, "z"), (-0.72, 0.10, z)))
    return things


def _room() -> list[Thing]:
    """Walls, floor, a bench with bats and a crock to the right, a board of cups to the left, an apron on a nail."""
    wall = plaster(0.58, 0.45)
    things = [*wall_with_window(WIDE, LOW, HIGH, 0.34, wall),
        *sash(WIDE, LOW, HIGH, 4, 3, (0, 0.30, 0), painted(0.5), 0.25)]
    things += shut_in(plaster(0.5, 0.4), -2.6, 2.2, -5.0, 2.75)
    things.append(Thing(sheet(8, 7), flagstones(0.26), (0, -2.4, 0)))
    things += trestle_table((1.34, -0.38, 0), 0.95, 0.62, 0.84, wood(0.22, 1.0))
    bat = disc(0.16, 0.018, 0.004)
    for k in range(5):
        things.append(
            Thing(bat, raw_clay(0.45), (1.20 + 0.006 * (-1) ** k, -0.36 + 0.004 * k, 0.842 + 0.0195 * k), turn_deg=70 * k))
    things.append(Thing(t.thrown(t.sized(t.BOWL, 1.1, 1.2), seed=71), raw_clay(0.36, 0.4), (1.20, -0.36, 0.942)))
    things.append(Thing(t.thrown(t.sized(t.CROCK, 0.9, 0.95), seed=72), glaze(0.2, bare_foot=0.2), (1.52, -0.30, 0.842)))
    things.append(Thing(t.thrown(t.sized(t.CROCK, 1.35, 1.25), seed=73), biscuit(0.35), (0.92, -0.62, 0.0)))
    bucket = turned(((0.0, 0.0), (0.115, 0.0), (0.15, 0.27), (0.142, 0.27), (0.108, 0.012), (0.0, 0.012)), 0.004)
    things.append(Thing(bucket, Material(Times(0.35, Cloudy(0.05, 0.6, 1.3)), 0.35, 1.8, metal=0.6), (-0.95, -1.35, 0.0)))
    things.append(Thing(disc(0.135, 0.004), slip(0.3), (-0.95, -1.35, 0.20)))
    things.append(Thing(board(1.15, 0.22, 0.03, seed=12), wood(0.26, 0.9), (-1.52, -0.14, 1.02)))
    for k, x in enumerate((-1.92, -1.74, -1.56, -1.38, -1.20)):
        things.append(
            Thing(t.thrown(t.sized(t.BEAKER, 1.1, 1.0), seed=80 + k), raw_clay(0.4, 0.3), (x, -0.14, 1.036), turn_deg=60 * k))
    for x in (-1.95, -1.12):
        things.append(Thing(block(0.2, 0.03, 0.24, 0.003), wood(0.26, 0.9), (x, -0.12, 0.89), turn_deg=90))
    return things


def _meadow(x: F64, y: F64) -> F64:
    hill = 26 * step(y, 130, 520) * (1 + 0.5 * uneven_plane(x, y, 260, 3, 8))
    return np.asarray(GROUND + 0.25 * uneven_plane(x, y, 9, 4, 2) + hill)


def _outside() -> list[Thing | Many]:
    """A meadow with a fence, one big tree near, a hedge behind it, a hill with fields."""
    chance = np.random.Generator(np.random.PCG64(2))
    field = Material(Times(Times(0.09, Cloudy(1.1, 0.7, 1.3, detail=5)),
            Blend(1.0, Cells(60.0, 0.55, 1.5, reach=0.8, stretch=(2, 1, 1)), Value("far"))),
        0.95, 1.3)
    ground = land(_meadow, (0.2, -3.6), (-24, 24), 4.6, 2500, 500, 320, far=lambda x, y, z: step(y, 80, 140))
    away = 5.0 * (60 / 5.0) ** chance.random(7000)
    turn = np.radians(chance.uniform(-20, 20, 7000))
    at = np.stack([0.2 + away * np.sin(turn), -3.6 + away * np.cos(turn)], 1)
    things: list[Thing | Many] = [Thing(ground, field),
        Many(blades(60, 0.35, 0.28, 3), grass(0.13, 0.6), sown(at, _meadow, 5))]
    trees = ((-3.4, 17.0, 1.1), (2.6, 34.0, 1.0), (6.4, 38.0, 0.9), (-9.5, 42.0, 1.1))
    for k, (x, y, size) in enumerate(trees):
        things.append(
            Many(bare_tree(8.0, 11 + k), twig_bark(0.08), sown(np.array([[x, y]]), _meadow, k, (size, size + 0.01), 1)))
    hedge = np.stack([np.linspace(-40, 40, 260) + chance.normal(0, 0.4, 260), 62 + chance.normal(0, 1.2, 260)], 1)
    things.append(Many(bare_tree(2.6, 31, 0.95), twig_bark(0.08), sown(hedge, _meadow, 6, (0.6, 1.5), 8)))
    feet = np.repeat(np.array(trees)[:, :2], 14, 0) + chance.normal(0, 0.5, (14 * len(trees), 2))
    rank = np.concatenate([feet, hedge + chance.normal(0, 0.6, hedge.shape), hedge - (0, 1.0)])
    things.append(Many(blades(260, 1.0, 1.1, 9, 0.02, 0.5), grass(0.08, 0.8), sown(rank, _meadow, 8, (0.5, 1.3))))
    far = np.stack([chance.uniform(-130, 130, 240), 140 + 30 * chance.integers(0, 5, 240) + chance.normal(0, 4, 240)], 1)
    things.append(Many(bare_tree(9.0, 33, 0.8, 0.02, 5), twig_bark(0.1), sown(far, _meadow, 7, (0.6, 1.2), 3)))
    return [*things, *_fence()]


def _fence() -> list[Thing]:
    """Posts and two rails, none of them true."""
    post, grey = block(0.09, 0.09, 1.25, 0.01, 5), old_wood(0.3, "z")
    things = []
    for k in range(12):
        place = (-6.5 + 1.15 * k, 11.5 + 0.25 * k, GROUND + 0.5)
        things.append(Thing(post, grey, place, lean_deg=2.5 * np.sin(4 * k), roll_deg=3 * np.cos(3 * k)))
    for z in (0.35, 0.78):
        rail = board(13.5, 0.10, 0.03, seed=30)
        things.append(Thing(rail, old_wood(0.3), (-0.2, 12.85, GROUND + z), turn_deg=12.3, lean_deg=90))
    return things


@lru_cache(maxsize=1)
def weather() -> Clouds:
    """Broken cloud in spring."""
    return Clouds(
        Weather(*SUN, 30_000, 1800, 0.6, cover=0.75, lump_m=1800, tall_m=1500, base_m=900, reach_m=11_000, cell_m=60, seed=5))


def scene() -> Scene:
    """From the back of the room at the height of a standing potter's chest; sheet film, wide."""
    clouds = weather()
    return Scene(Camera((0.30, -3.62, 1.52), (0.03, 0.0, 1.30), 135, (118.75, 95.0), 22, (-0.1, -1.05, 0.95), rise=-0.035),
        [*_wheel(), *_sill(), *_room(), *_outside(), backdrop(clouds, (-20, 20), (0, 18), 25)],
        [Sun(clouds.weather.sun_lux, *SUN), replace(daylight(WIDE, LOW, HIGH, (0, 0.40, 0), 3000, 700), sun_behind=True),
            daylight(0.9, 0.3, 2.1, (-2.55, -3.3, 0), 650, 400, (1, 0.15, 0))],
        sky=sky_all_round(clouds, 900), mist=Mist(9e-4, 120.0, 2600.0), bounces=6,
        places={"sky over the hill": (-53.912, 200.000, 13.352), "high cloud": (-2.577, 200.000, 27.547),
            "hill": (-2.504, 200.000, 7.495), "meadow": (-0.655, 25.000, -0.898), "near tree": (-2.966, 17.000, 1.511),
            "bowl's rim": (-0.091, -1.100, 1.053), "bowl's wet side": (-0.151, -1.200, 0.991),
            "tray": (-0.108, -1.000, 0.840), "bench before the window": (-0.319, -1.500, 0.808),
            "wall beside the window": (1.169, 0.000, 1.518), "dark wall": (-1.310, 0.000, 1.518),
            "bottle on the sill": (-0.543, 0.100, 1.140), "jug on the sill": (0.355, 0.100, 1.132),
            "window's splay": (-0.846, 0.100, 1.594), "under the wheel": (-0.274, -1.000, 0.463),
            "bats": (1.180, -0.500, 0.936)})
