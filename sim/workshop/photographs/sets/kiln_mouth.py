"""Drawing the kiln at night: the open mouth lights its own bricks, the ware set down before it and a stack of wood.

The fire is more than a thousand times as bright as the wall in the corner; the printer decides what of it goes white.
"""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import masonry
from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.firelight import glow_cd_m2
from sim.workshop.photographs.form import block, rod, sheet
from sim.workshop.photographs.relief import F64
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing
from sim.workshop.photographs.surface import Cloudy, Material, Pattern, Times, Value
from sim.workshop.photographs.timber import bark, board, old_wood, wood_pile
from sim.workshop.photographs.ware import ash_glaze, biscuit, glaze, iron_glaze

HALF, SILL, SPRING = 0.40, 0.20, 0.74  # the mouth: half its width, heights of its sill and of the spring of its arch, m
RING = 0.122  # a brick of the arch stands this high over the opening, m


def _mouth_line() -> F64:
    """The edge of the mouth in x and z, from the foot of its right side over the arch to the left and back along the sill."""
    turn = np.linspace(0, np.pi, 80)
    arch = np.stack([HALF * np.cos(turn), SPRING + HALF * np.sin(turn)], 1)
    down = np.linspace(SPRING, SILL, 30)[1:, None] * (0, 1) + (-HALF, 0)
    along = np.linspace(-HALF, HALF, 40)[1:, None] * (1, 0) + (0, SILL)
    up = np.linspace(SILL, SPRING, 30)[1:, None] * (0, 1) + (HALF, 0)
    return np.concatenate([arch, down, along, up])


def _free(z: float) -> float:
    """Half the width that the wall leaves free at a height: the mouth and the ring of its arch."""
    if z < SILL or z > SPRING + HALF + RING:
        return 0.0
    return HALF + 0.005 if z < SPRING else float(np.sqrt(max(0.0, (HALF + RING) ** 2 - (z - SPRING) ** 2)))


def _front() -> list[Thing]:
    """The kiln's face: bricks, sooted where flames licked out of the mouth, iron bands that hold it together."""
    plain, skin = masonry.bricks(8), masonry.brick_clay(0.34, soot=0.9)
    things = []
    for thing in masonry.wall_of_bricks(3.4, 2.5, plain, skin, _free):
        x, _, z = thing.at
        licked = np.exp(-((x / 0.42) ** 2)) * np.clip((z - 1.15) / 0.3, 0, 1) * np.exp(-max(0.0, z - 1.4) / 0.8)
        sooted = thing.form.with_value("soot", float(licked))
        things.append(Thing(sooted, skin, thing.at, thing.turn_deg, roll_deg=thing.roll_deg))
    things += masonry.arch_of_bricks(HALF, SPRING, (0, 0.045, 0), [f.with_value("soot", 0.2) for f in plain], skin)
    things.append(Thing(masonry.bed_with_opening(_mouth_line(), (0, SPRING), 2.6), masonry.mortar(0.24), (0, -0.044, 0)))
    for k in range(-4, 5):
        things.append(Thing(plain[k % 8], skin, (0.112 * k, -0.09, SILL - 0.034), turn_deg=90 + 1.5 * (k % 3 - 1)))
    iron = Material(0.10, 0.45, 1.6, (Cloudy(0.01, -0.0006, 0.0006),), metal=0.7)
    for x in (-0.78, 0.80):
        things.append(Thing(block(0.055, 0.012, 2.6, 0.003, 20), iron, (x, -0.066, 1.3)))
    things.append(Thing(block(3.4, 0.012, 0.05, 0.003, 20), iron, (0, -0.079, 1.52)))
    for x in (-0.78, 0.80):
        things.append(Thing(rod([(0, 0, 0), (0, -0.05, 0)], 0.016), iron, (x, -0.08, 1.52)))
    return things


def _hot(kelvin: float, spread: float, size_m: float = 0.15, shade: Pattern = 0.3) -> Material:
    return Material(shade, 0.4, 1.5, glow_cd_m2=Cloudy(size_m, glow_cd_m2(kelvin - spread), glow_cd_m2(kelvin + spread)))


def _chamber() -> list[Thing]:
    """The chamber: walls near 1,290 K, shelves of ware that cools from the mouth inwards, and the lining that glows dully."""
    lined = Material(Times(0.45, Cloudy(0.05, 0.7, 1.1)), 0.95, 1.3, (Cloudy(0.012, -0.001, 0.001, detail=4),),
        glow_cd_m2=Times(Times(Value("into"), Value("into")), glow_cd_m2(1080)))
    walls = _hot(1275, 35, 0.25)
    things = [Thing(masonry.lining(_mouth_line(), 0.40), lined, (0, -0.045, 0)),
        Thing(sheet(2.4, 2.0), walls, (0, 1.30, 0.75), lean_deg=90),
        Thing(sheet(1.1, 2.0), walls, (-0.70, 0.88, 0.75), turn_deg=90, lean_deg=90),
        Thing(sheet(1.1, 2.0), walls, (0.70, 0.88, 0.75), turn_deg=-90, lean_deg=90),
        Thing(sheet(2.4, 1.1), walls, (0, 0.88, 1.50), lean_deg=180), Thing(sheet(2.4, 1.1), walls, (0, 0.88, 0.10))]
    for z in (0.21, 0.56, 0.90):
        things.append(Thing(block(1.25, 0.42, 0.028, 0.004), _hot(1150, 30), (0, 0.70, z)))
        for x in (-0.45, 0.02, 0.48):
            things.append(Thing(block(0.05, 0.05, 0.34, 0.004), _hot(1165, 20), (x, 0.83, z + 0.17)))
    rows = ((0.224,
            ((t.JAR, 0.95, -0.28, 0.60), (t.BOTTLE, 1.0, -0.08, 0.56), (t.JUG, 1.0, 0.11, 0.60), (t.VASE, 0.85, 0.31, 0.58))),
        (0.574,
            ((t.BOWL, 0.9, -0.26, 0.58), (t.BEAKER, 1.2, -0.07, 0.60), (t.FLASK, 1.0, 0.13, 0.60),
                (t.JAR, 0.85, 0.33, 0.62))),
        (0.914, ((t.TEA_BOWL, 1.0, -0.16, 0.6), (t.CUP, 1.0, 0.0, 0.6), (t.TEA_BOWL, 1.1, 0.17, 0.6))))
    for level, (z, row) in enumerate(rows):
        for k, (outline, size, x, y) in enumerate(row):
            pot = t.thrown(t.sized(outline, size, size), seed=30 + 7 * level + k)
            things.append(Thing(pot, _hot(1095 + 18 * level + 14 * (k % 3), 30), (x, y, z), turn_deg=40 * k))
    return things


def _ware() -> list[Thing]:
    """Set down before the mouth: finished ware with its back to us and the fire on its shoulders."""
    row = ((t.JAR, 1.25, -0.60, -0.62, ash_glaze(0.45)), (t.BOTTLE, 1.25, -0.25, -0.86, iron_glaze()),
        (t.BOWL, 1.0, 0.30, -1.08, glaze(0.7, bare_foot=0.15)), (t.CUP, 1.0, 0.00, -1.24, glaze(0.6)),
        (t.CUP, 1.0, -0.47, -1.16, iron_glaze()), (t.CROCK, 1.3, 0.66, -0.72, biscuit(0.5)),
        (t.TEA_BOWL, 1.0, 0.58, -1.30, biscuit(0.6)), (t.VASE, 1.15, -0.98, -0.86, glaze(0.5)),
        (t.DISH, 1.0, -0.18, -1.62, glaze(0.62)), (t.CUP, 1.0, 0.12, -1.19, glaze(0.66)))
    things = []
    for k, (outline, size, x, y, skin) in enumerate(row):
        things.append(Thing(t.thrown(t.sized(outline, size, size), seed=k), skin, (x, y, 0.0), turn_deg=47.0 * k))
    jug = t.handled(t.with_spout(t.thrown(t.sized(t.JUG, 1.1, 1.1), seed=21), 200), 0.08, 0.235, 0.05, turn_deg=20)
    things.append(Thing(jug, glaze(0.66, bare_foot=0.2), (0.10, -0.62, 0.0), turn_deg=-20))
    return things


def _around() -> list[Thing]:
    """Floor, the door's bricks stacked aside, wood for the next firing, rods and a plank against the wall."""
    chance = np.random.Generator(np.random.PCG64(3))
    forms, skin = masonry.bricks(8), masonry.brick_clay(0.36)
    things: list[Thing] = [Thing(masonry.beaten_floor(6, 5, fine_m=0.015), masonry.earth_floor(0.24), (0, -2.2, -0.008))]
    for level in range(5):
        for k in range(3 if level < 4 else 1):
            cross = level % 2
            x, y = ((0.118 * (k - 1), 0.0) if cross else (0.0, 0.106 * (k - 1))) + chance.normal(0, 0.005, 2)
            place = (-1.02 + x, -0.30 + y, 0.036 + 0.069 * level)
            things.append(Thing(forms[(level * 3 + k) % 8], skin, place, turn_deg=90 * cross + chance.normal(0, 3)))
    for x, y, turn in ((0.62, -0.26, 25.0), (-0.72, -0.30, -50.0), (0.86, -1.12, 70.0), (-0.78, -1.36, 10.0)):
        things.append(Thing(forms[int(chance.integers(8))], skin, (x, y, 0.034), turn_deg=turn))
    things += wood_pile((1.26, -0.36, 0.0), 0.62, 0.86, bark())
    iron = Material(0.10, 0.5, 1.6, (Cloudy(0.01, -0.0004, 0.0004),), metal=0.6)
    hook = [(0, 0, 0), (0.10, 0.28, 0.8), (0.18, 0.44, 1.6), (0.13, 0.46, 1.68), (0.06, 0.44, 1.70)]
    things.append(Thing(rod(hook, 0.010, steps=12), iron, (-1.28, -0.52, 0.0)))
    things.append(Thing(rod([(0, 0, 0), (0.06, 0.44, 1.9)], 0.012), iron, (-1.16, -0.54, 0.0)))
    things.append(Thing(board(1.9, 0.20, 0.03, seed=4), old_wood(0.3), (-1.48, -0.22, 0.93), turn_deg=4, roll_deg=-84))
    return things


def scene() -> Scene:
    """The camera stands low and to the right; a trace of night comes through the shed's open side behind it."""
    shed = Material(Cloudy(0.3, 0.10, 0.2), 0.9, 1.3)
    sides = [Thing(sheet(6, 3.2), shed, (-2.3, -1.5, 1.5), turn_deg=90, lean_deg=90),
        Thing(sheet(8, 8), shed, (0, -1.5, 3.0), lean_deg=180)]
    fire = Panel((0, 0.36, 0.65), (0, -1, 0), 2 * HALF, 0.95, 0.75 * glow_cd_m2(1275))  # what the chamber sends out
    night = Panel((3.4, -4.5, 2.0), (-0.7, 0.6, -0.3), 2.0, 1.6, 1.2)
    return Scene(Camera((1.02, -3.85, 1.30), (0.14, -0.1, 0.66), 150, (95.0, 118.75), 22, (0.05, -0.5, 0.5)),
        [*_front(), *_chamber(), *_ware(), *_around(), *sides], [fire, night],
        places={"floor before the fire": (0.353, -0.759, 0.000), "glow above the ware": (-0.291, 1.300, 0.944),
            "jar in the fire": (-0.291, 0.600, 0.354), "lining of the mouth": (-0.395, 0.100, 0.603),
            "sill": (-0.050, -0.100, 0.179), "arch's soot": (-0.053, -0.060, 1.211),
            "brick beside the mouth": (0.551, -0.060, 0.805), "jug's shoulder": (0.074, -0.650, 0.206),
            "dish": (-0.208, -1.573, 0.030), "crock's shadow": (0.907, -1.141, 0.000), "wood pile": (1.096, -0.570, 0.410),
            "upper corner": (-1.025, -0.060, 1.779), "bottle": (-0.261, -0.860, 0.122)},
        bounces=5)
