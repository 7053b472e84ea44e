"""A shelf of glazed ware, morning light from a window on the left: the picture everybody prints first."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import block, rod, sheet
from sim.workshop.photographs.linen import linen, lying_cloth
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing
from sim.workshop.photographs.surface import Material
from sim.workshop.photographs.timber import board, wood
from sim.workshop.photographs.ware import ash_glaze, biscuit, glaze, iron_glaze, porcelain

UPPER, LOWER = 1.62, 1.14  # tops of the two boards, m
FRONT = -0.30
CUPS = ((0.20, -0.24), (0.285, -0.21), (0.225, -0.145))  # upside down on their cloth


def _boards() -> list[Thing]:
    """Two thick boards on braced brackets, and the top of a bench below."""
    plank, upright, brace, things = wood(0.27, 0.8), wood(0.26, 0.8, "z"), wood(0.26, 0.8, "y"), []
    for z, seed in ((UPPER, 1), (LOWER, 2)):
        things.append(Thing(board(2.6, 0.29, 0.034, seed), plank, (0.1, -0.155, z - 0.017)))
        for x in (-0.52, 0.61):
            things += [Thing(block(0.25, 0.036, 0.032, 0.003, 8), plank, (x, -0.135, z - 0.050), turn_deg=90),
                Thing(block(0.036, 0.028, 0.27, 0.003, 8), upright, (x, -0.014, z - 0.17)),
                Thing(block(0.026, 0.245, 0.030, 0.003, 8), brace, (x, -0.108, z - 0.150), lean_deg=-44)]
    things.append(Thing(board(2.8, 0.5, 0.05, 3), wood(0.22, 1.0), (0, -0.3, 0.70)))
    return things


def _upper() -> list[Thing]:
    """Above: a white jug, a tall dark bottle with dried umbels, bowls in a stack, a row of tea bowls going back."""
    z = UPPER
    jug = t.handled(t.with_spout(t.thrown(t.JUG, seed=2), 200), 0.07, 0.215, 0.048, turn_deg=10)
    things = [Thing(jug, glaze(0.72, bare_foot=0.12), (-0.37, -0.15, z), turn_deg=-18),
        Thing(t.thrown(t.sized(t.BOTTLE, 1.0, 1.05), seed=3), iron_glaze(), (-0.13, -0.11, z)),
        Thing(t.thrown(t.sized(t.FLASK, 0.95, 0.95), seed=13), ash_glaze(0.25), (0.03, -0.19, z), turn_deg=60)]
    for k in range(4):
        bowl = t.thrown(t.sized(t.BOWL, 1.0 - 0.01 * k, 0.92), seed=20 + k)
        things.append(Thing(bowl, glaze(0.66, bare_foot=0.1), (0.255 + 0.003 * k, -0.165, z + 0.0255 * k), turn_deg=50 * k,
                lean_deg=0.8 * k))
    for k, (x, y) in enumerate(((0.43, -0.10), (0.455, -0.215), (0.56, -0.15))):
        things.append(Thing(t.thrown(t.TEA_BOWL, seed=30 + k), (glaze(0.30), biscuit(0.5), ash_glaze(0.5))[k], (x, y, z),
                turn_deg=77 * k))
    return things + _umbels((-0.13, -0.11, z + 0.26))


def _umbels(mouth: tuple[float, float, float]) -> list[Thing]:
    """Dried umbels in the bottle: thin stalks, each ending in a spray."""
    chance = np.random.Generator(np.random.PCG64(8))
    dry = Material(0.26, 0.8, 1.35)
    things = []
    for lean in ((-0.10, -0.03, 0.20), (0.04, -0.05, 0.265), (0.11, 0.03, 0.17)):
        top = np.array(lean)
        things.append(Thing(
                rod([(0, 0, -0.15), (0.2 * top[0], 0.2 * top[1], 0.5 * top[2]), tuple(top)], [0.0018, 0.0015, 0.001], 6, 8),
                dry, mouth))
        for _ in range(16):
            way = chance.standard_normal(3) * (1, 1, 0.4) + (0, 0, 0.9)
            tip = top + 0.052 * way / np.linalg.norm(way)
            things.append(
                Thing(rod([tuple(top), tuple(0.5 * (top + tip) + (0, 0, 0.004)), tuple(tip)], 0.0006, 4), dry, mouth))
            for _ in range(6):
                bud = tip + 0.009 * chance.standard_normal(3) * (1, 1, 0.4)
                things.append(Thing(rod([tuple(tip), tuple(bud)], [0.0004, 0.0013], 4), dry, mouth))
    return things


def _lower() -> list[Thing]:
    """Below: a jar with its lid, a dish on edge against the wall, cups upside down on a cloth, one bowl alone."""
    z = LOWER
    things = [Thing(t.thrown(t.sized(t.JAR, 0.92, 1.0), seed=5), glaze(0.48, bare_foot=0.14), (-0.40, -0.16, z)),
        Thing(t.lid(0.080, 6), glaze(0.48), (-0.40, -0.16, z + 0.268), turn_deg=40),
        Thing(t.thrown(t.DISH, seed=7), glaze(0.62, specks=0.3), (-0.10, -0.045, z + 0.157), lean_deg=79, turn_deg=4),
        Thing(t.thrown(t.CUP, seed=8), porcelain(), (-0.175, -0.21, z)),
        Thing(t.thrown(t.sized(t.BOTTLE, 0.8, 0.72), seed=9), glaze(0.14), (0.085, -0.15, z)),
        Thing(t.thrown(t.sized(t.WIDE_BOWL, 0.72, 0.95), seed=10), iron_glaze(0.03), (0.455, -0.165, z)),
        lying_cloth(0.24, 0.42, (0.235, -0.20, z), FRONT, 4, linen(0.66), 4, 0.005, [(x, y, 0.04) for x, y in CUPS])]
    for k, (x, y) in enumerate(CUPS):
        cup = t.thrown(t.sized(t.CUP, 0.95, 0.95), seed=40 + k)
        things.append(Thing(cup, glaze(0.7 - 0.06 * k, bare_foot=0.1), (x, y, z + 0.0855), lean_deg=180, turn_deg=31 * k))
    bench = ((t.CROCK, 1.0, -0.36, -0.26, biscuit(0.42)), (t.CROCK, 0.9, 0.02, -0.2, glaze(0.3, bare_foot=0.3)),
        (t.WIDE_BOWL, 1.0, 0.44, -0.3, glaze(0.6)))
    for k, (outline, size, x, y, skin) in enumerate(bench):
        things.append(Thing(t.thrown(t.sized(outline, size, size), seed=50 + k), skin, (x, y, 0.725), turn_deg=20 * k))
    return things


def scene() -> Scene:
    """Straight at the wall from the other side of the room; a tall window on the left, the room dim behind."""
    wall = plaster(0.58, 0.7)
    room = [Thing(sheet(6, 3.5), wall, (0, 0, 1.4), lean_deg=90), *shut_in(plaster(0.35, 0.5), -2.4, 2.6, -4.5, 2.8)]
    room.append(Thing(sheet(8, 8), Material(0.2), (0, -2, 0)))
    return Scene(Camera((0.12, -2.98, 1.50), (0.09, 0.0, 1.405), 210, (95.0, 118.75), 32, (0.0, -0.2, 1.3)),
        [*_boards(), *_upper(), *_lower(), *room],
        [Panel((-2.3, -0.85, 1.95), (1, 0.14, -0.12), 0.85, 1.5, 3400.0),
            Panel((2.5, -2.6, 1.6), (-1, 0.4, 0), 0.8, 1.2, 90.0)],
        bounces=6,
        places={"white cup": (-0.191, -0.250, 1.200), "jug's lit side": (-0.398, -0.200, 1.784),
            "glint in the bottle": (-0.160, -0.160, 1.734), "bottle's dark side": (-0.094, -0.120, 1.719),
            "bowls' rims": (0.196, -0.250, 1.768), "bare plaster": (0.563, 0.000, 2.012),
            "cloth's fold": (0.229, -0.310, 1.086), "black bowl": (0.466, -0.200, 1.195),
            "under the shelf": (0.558, -0.050, 1.518), "crock's mouth": (-0.349, -0.260, 1.038),
            "jar's shoulder": (-0.420, -0.250, 1.323), "front of the bench": (0.174, -0.500, 0.744)})
