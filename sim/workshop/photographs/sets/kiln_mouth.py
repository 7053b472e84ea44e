"""Drawing the kiln at night: the open mouth lights its own bricks, the ware set down before it and a stack of wood.

The fire is more than a thousand times as bright as the wall in the corner; the printer decides what of it goes white.
"""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import masonry
from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.firelight import glow_cd_m2
from sim.workshop.photographs.form import block, rod, sheet, turned
from sim.workshop.photographs.relief import F64
from sim.workshop.photographs.scene import Camera, Panel, Point, Scene, Thing, about
from sim.workshop.photographs.surface import Along, Blend, Cloudy, EachOne, InRoom, Material, Plus, Times, Value
from sim.workshop.photographs.timber import bark, board, old_wood, wood_pile
from sim.workshop.photographs.ware import ash_glaze, biscuit, glaze, iron_glaze

HALF, SILL, SPRING = 0.40, 0.20, 0.74  # the mouth: half its width, heights of its sill and of the spring of its arch, m
FLOOR = (0.0, -2.2)  # middle of the beaten floor
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
    """The kiln's face: bricks, sooted where flames licked out of the mouth, angle irons and a tie rod that hold it together."""
    licked = Times(Cloudy(0.35, -0.3, 1.4, detail=4, stretch=(1, 1, 2.5)), Times(Along("z", 0.95, 1.4), Along("z", 3.1, 1.5)))
    beside = Times(Along("x", -0.95, -0.25), Along("x", 0.95, 0.25))
    plain, skin = masonry.bricks(12), masonry.brick_clay(0.34, InRoom(Times(licked, beside)))
    things = masonry.wall_of_bricks(3.4, 2.5, plain, skin, _free)
    things += masonry.arch_of_bricks(HALF, SPRING, (0, 0.045, 0), plain, skin)
    bed = masonry.bed_with_opening(_mouth_line(), (0, SPRING), 2.6, 0.014)
    things.append(Thing(bed, masonry.mortar(0.26), (0, -0.047, 0)))
    for k in range(-4, 5):
        things.append(
            Thing(plain[k % 12], skin, (0.112 * k, -0.09 - 0.012 * (k % 3), SILL - 0.034), turn_deg=90 + 2.5 * (k % 3 - 1)))
    rust = Times(0.12, Times(Cloudy(0.02, 0.5, 1.5, detail=5), InRoom(Cloudy(0.3, 0.6, 1.4))))
    iron = Material(rust, 0.55, 1.6, (Cloudy(0.012, -0.0008, 0.0008, detail=5),))
    for x in (-0.78, 0.80):
        for wide, deep, side in ((0.07, 0.010, 0.0), (0.010, 0.06, -0.03 * np.sign(x))):
            things.append(Thing(block(wide, deep, 2.6, 0.003, 20), iron, (x + side, -0.068 - deep / 2, 1.3), roll_deg=0.4))
        nut = turned(((0, 0), (0.030, 0), (0.030, 0.022), (0.014, 0.024), (0.013, 0.05), (0, 0.05)), 0.002, 6)
        things.append(Thing(nut, iron, (x + 0.02 * np.sign(x), -0.115, 1.52), lean_deg=90))
    things.append(Thing(rod([(-1.8, 0, 0.01), (0, 0, -0.012), (1.8, 0, 0.006)], 0.012, steps=20), iron, (0, -0.10, 1.525)))
    return things


def _hot(kelvin: float, spread: float, size_m: float = 0.15, shade: float = 0.07) -> Material:
    return Material(shade, 0.35, 1.5, glow_cd_m2=Cloudy(size_m, glow_cd_m2(kelvin - spread), glow_cd_m2(kelvin + spread)))


def _chamber() -> list[Thing]:
    """The chamber: brick walls that glow, brightest at the fire's side; shelves of ware that cools from the mouth inwards."""
    away = Times(InRoom(Along("x", 0.55, -0.60)), InRoom(Along("z", 1.7, 0.1)))  # the fire box is on the left, low down
    lined = Material(Times(0.20, Times(Cloudy(0.05, 0.6, 1.1), InRoom(Cloudy(0.25, 0.6, 1.2)))), 0.95, 1.3,
        (Cloudy(0.012, -0.0015, 0.0015, detail=4),), glow_cd_m2=Times(Times(Value("into"), Value("into")), glow_cd_m2(940)))
    fired = Material(0.2, 0.9, 1.3, glow_cd_m2=Times(EachOne(0.4, 1.6), Blend(glow_cd_m2(915), glow_cd_m2(1060), away)))
    joint = Material(0.1, 0.9, 1.3, glow_cd_m2=Blend(glow_cd_m2(880), glow_cd_m2(1000), away))
    loose = masonry.bricks(4)
    things = [Thing(masonry.lining(_mouth_line(), 0.40), lined, (0, -0.045, 0)),
        *masonry.wall_of_bricks(1.7, 1.6, loose, fired, at=(0, 1.25, 0.06), seed=8),
        Thing(sheet(2.4, 2.0), joint, (0, 1.245, 0.75), lean_deg=90)]
    for thing in masonry.wall_of_bricks(1.3, 1.6, loose, fired, seed=9):
        x, y, z = thing.at
        things.append(Thing(thing.form, fired, (-0.72 - y, 0.75 + x, z + 0.06), thing.turn_deg + 90, roll_deg=thing.roll_deg))
    for side in (-0.725, 0.70):
        things.append(Thing(sheet(1.1, 2.0), joint, (side, 0.88, 0.75), turn_deg=-90 * np.sign(side), lean_deg=90))
    things.append(Thing(sheet(2.4, 1.1), joint, (0, 0.88, 1.55), lean_deg=180))
    return [*things, Thing(sheet(2.4, 1.2), _hot(960, 30), (0, 0.8, 0.1)), *_hot_ware(), *_flames()]


def _hot_ware() -> list[Thing]:
    """What is still to be drawn: three shelves on props, the ware a little cooler than the walls behind it."""
    things = []
    for z in (0.21, 0.56, 0.90):
        things.append(Thing(block(1.0, 0.42, 0.028, 0.004), _hot(905, 15), (0.16, 0.72, z)))
        for x in (-0.30, 0.14, 0.58):
            things.append(Thing(block(0.05, 0.05, 0.34, 0.004), _hot(915, 15), (x, 0.83, z + 0.17)))
    rows = (((t.JAR, 0.95, -0.20, 0.60), (t.BOTTLE, 1.0, 0.02, 0.58), (t.JUG, 1.0, 0.19, 0.60), (t.VASE, 0.85, 0.39, 0.58)),
        ((t.BOWL, 0.9, -0.20, 0.58), (t.BEAKER, 1.2, -0.02, 0.60), (t.FLASK, 1.0, 0.16, 0.60), (t.JAR, 0.85, 0.37, 0.62)),
        ((t.TEA_BOWL, 1.0, -0.16, 0.6), (t.CUP, 1.0, 0.0, 0.6), (t.TEA_BOWL, 1.1, 0.17, 0.6)))
    for level, row in enumerate(rows):
        for k, (outline, size, x, y) in enumerate(row):
            pot = t.thrown(t.sized(outline, size, size), seed=30 + 7 * level + k)
            skin = _hot(885 + 8 * level + 12 * (k % 3), 20, 0.10)
            things.append(Thing(pot, skin, (x, y, 0.224 + 0.345 * level), turn_deg=40 * k))
    return things


def _flames() -> list[Thing]:
    """The last of the fire at the left: embers below, and flames that a long exposure has drawn out to veils."""
    chance = np.random.Generator(np.random.PCG64(18))
    coal = Material(0.1, 0.9, 1.3, glow_cd_m2=Times(EachOne(0.1, 1.3), Cloudy(0.03, 0.0, glow_cd_m2(1240), sharp=1.6)))
    things = []
    for k in range(70):
        x, y = chance.uniform((-0.66, 0.42), (-0.34, 1.1))
        wide, deep, high = chance.uniform(0.04, 0.10, 3)
        lump = block(wide, deep, high, 0.015, 6).worn(0.010, 0.04, k)
        things.append(Thing(lump, coal, (x, y, 0.14 + 0.08 * chance.random()), *chance.uniform(0, 90, 2)))
    licks = Cloudy(0.09, -0.9, 1.7, detail=3, stretch=(1, 4.0, 1), warp=0.5)
    tongue = Times(licks, Times(Along("y", 0.5, -0.35), Along("y", -0.5, -0.42)))
    edge = Times(Along("x", -0.16, -0.05), Along("x", 0.16, 0.05))
    veil = Material(0.0, refraction=1.0, glow_cd_m2=glow_cd_m2(1210), holes=Plus(1.0, Times(-0.8, Times(tongue, edge))))
    for x, y, tall in ((-0.50, 0.62, 1.0), (-0.42, 0.80, 1.15), (-0.55, 0.96, 0.9), (-0.38, 1.05, 1.2), (-0.58, 0.5, 0.7)):
        things.append(Thing(sheet(0.34, 1.0, 12, 6), veil, (x, y, 0.16 + 0.5 * tall), 12 * np.sin(9 * x), 90, size=tall))
    return things


def _ground(x: float, y: float, up: float = 0.0) -> Point:
    """Where a thing stands on the beaten floor."""
    return x, y, masonry.floor_under(x, y, FLOOR) - 0.009 + up


def _ware() -> list[Thing]:
    """Set down before the mouth: finished ware with its back to us and the fire on its shoulders; a plank of small ware."""
    row = ((t.JAR, 1.25, -0.60, -0.58, ash_glaze(0.45)), (t.BOTTLE, 1.25, -0.36, -0.80, iron_glaze()),
        (t.CROCK, 1.3, 0.62, -0.72, biscuit(0.5)), (t.VASE, 1.15, 0.93, -0.62, glaze(0.5)),
        (t.TEA_BOWL, 1.0, 0.48, -1.08, biscuit(0.6)), (t.BOWL, 1.0, 0.70, -1.20, glaze(0.6, bare_foot=0.15)))
    things = [Thing(t.thrown(t.sized(outline, size, size), seed=k), skin, _ground(x, y), turn_deg=47.0 * k)
        for k, (outline, size, x, y, skin) in enumerate(row)]
    jug = t.handled(t.with_spout(t.thrown(t.sized(t.JUG, 1.1, 1.1), seed=21), 200), 0.08, 0.235, 0.05, turn_deg=20)
    things.append(Thing(jug, glaze(0.66, bare_foot=0.2), _ground(-0.08, -0.62), turn_deg=-20))
    for k, lift in enumerate((0.0, 0.020, 0.041)):  # bowls one in the other
        bowl = t.thrown(t.sized(t.DISH, 1.0, 1.1), seed=40 + k)
        things.append(Thing(bowl, glaze(0.62), _ground(0.16, -0.96, lift), turn_deg=50 * k, lean_deg=1.5 * k))
    plank, skin = about(_ground(-0.38, -1.42), 24.0), masonry.brick_clay(0.34)
    things.append(Thing(board(1.15, 0.17, 0.026, seed=8), old_wood(0.34), plank(0, 0, 0.081), turn_deg=24))
    for u in (-0.42, 0.42):
        things.append(Thing(masonry.bricks(2)[u > 0], skin, plank(u, 0.01, 0.034), turn_deg=112 + 9 * u))
    small = ((t.CUP, -0.47, iron_glaze()), (t.CUP, -0.36, glaze(0.6)), (t.TEA_BOWL, -0.19, iron_glaze(0.03)),
        (t.CUP, 0.00, glaze(0.66)), (t.CUP, 0.105, glaze(0.6)), (t.BEAKER, 0.27, biscuit(0.55)),
        (t.TEA_BOWL, 0.44, glaze(0.55)))
    for k, (outline, u, skin) in enumerate(small):
        pot = t.thrown(outline, seed=50 + k)
        things.append(Thing(pot, skin, plank(u, 0.025 * np.sin(5.0 * k), 0.0945), turn_deg=60 * k))
    return things


def _around() -> list[Thing]:
    """Floor, the door's bricks stacked aside, wood for the next firing, rods and a plank against the wall."""
    chance = np.random.Generator(np.random.PCG64(3))
    forms, skin = masonry.bricks(8), masonry.brick_clay(0.36)
    things: list[Thing] = [Thing(masonry.beaten_floor(6, 5, fine_m=0.015), masonry.earth_floor(0.26), (*FLOOR, -0.008))]
    for level in range(6):
        for k in range(3 if level < 5 else 1):
            cross = level % 2
            x, y = ((0.118 * (k - 1), 0.0) if cross else (0.0, 0.106 * (k - 1))) + chance.normal(0, 0.009, 2)
            place = _ground(-1.02 + x, -0.30 + y, 0.034 + 0.069 * level)
            things.append(Thing(forms[(level * 3 + k) % 8], skin, place, turn_deg=90 * cross + chance.normal(0, 5)))
    for x, y, turn, stand in ((0.60, -0.30, 25.0, 0), (-0.72, -0.26, -50.0, 0), (0.98, -0.98, 70.0, 0), (0.47, -0.24, 80, 1)):
        things.append(Thing(forms[int(chance.integers(8))], skin, _ground(x, y, 0.054 if stand else 0.033), turn, 90.0 * stand))
    things += wood_pile(_ground(1.28, -0.36), 0.72, 1.02, bark())
    for k in range(26):  # bark and splinters
        x, y = chance.normal((1.0, -0.72), (0.22, 0.14))
        long, wide, thick = chance.uniform((0.02, 0.006, 0.003), (0.09, 0.02, 0.008))
        chip = block(long, wide, thick, 0.002, 6).worn(0.003, 0.02, k)
        things.append(Thing(chip, old_wood(0.35), _ground(x, y, 0.005), turn_deg=float(chance.uniform(0, 180))))
    iron = Material(Times(0.14, Cloudy(0.02, 0.5, 1.5)), 0.5, 1.6, (Cloudy(0.01, -0.0004, 0.0004),))
    hook = [(0, 0, 0), (0.10, 0.28, 0.8), (0.18, 0.44, 1.6), (0.13, 0.46, 1.68), (0.06, 0.44, 1.70)]
    things.append(Thing(rod(hook, 0.010, steps=12), iron, (-1.28, -0.52, 0.0)))
    things.append(Thing(rod([(0, 0, 0), (0.06, 0.44, 1.9)], 0.012), iron, (-1.16, -0.54, 0.0)))
    things.append(Thing(board(1.9, 0.20, 0.03, seed=4), old_wood(0.3), (-1.48, -0.22, 0.93), turn_deg=4, roll_deg=-84))
    rake = rod([(0.30, -1.75, 0.016), (0.24, -0.9, 0.020), (0.16, -0.15, 0.24), (0.10, 0.2, 0.235)], 0.011, steps=8)
    things.append(Thing(rake, iron, (0.12, 0.0, 0.0)))
    return things


def scene() -> Scene:
    """The camera stands low and to the right; a trace of night comes through the shed's open side behind it."""
    shed = Material(Cloudy(0.3, 0.10, 0.2), 0.9, 1.3)
    sides = [Thing(sheet(6, 3.2), shed, (-2.3, -1.5, 1.5), turn_deg=90, lean_deg=90),
        Thing(sheet(8, 8), shed, (0, -1.5, 3.0), lean_deg=180)]
    fire = Panel((0, 0.36, 0.65), (0, -1, 0), 2 * HALF, 0.95, 0.75 * glow_cd_m2(1235))  # what fire box and chamber send out
    behind = Thing(sheet(2 * HALF + 0.1, 1.1), Material(0.0, refraction=1.0), (0, 0.365, 0.65), lean_deg=90, seen=False)
    night = Panel((3.4, -4.5, 2.0), (-0.7, 0.6, -0.3), 2.0, 1.6, 2.4)
    return Scene(Camera((1.02, -3.85, 1.30), (0.14, -0.1, 0.66), 150, (95.0, 118.75), 22, (0.05, -0.5, 0.5)),
        [*_front(), *_chamber(), *_ware(), *_around(), *sides, behind], [fire, night],
        places={"floor before the fire": (0.353, -0.759, 0.000), "glow above the ware": (-0.550, 0.900, 0.700),
            "jar in the fire": (-0.190, 0.500, 0.354), "lining of the mouth": (-0.395, 0.100, 0.603),
            "sill": (-0.050, -0.100, 0.179), "arch's soot": (-0.053, -0.060, 1.211),
            "brick beside the mouth": (0.551, -0.060, 0.805), "jug's shoulder": (-0.095, -0.690, 0.190),
            "dish": (0.300, -0.960, 0.078), "crock's shadow": (0.907, -1.141, 0.000), "wood pile": (1.096, -0.570, 0.410),
            "upper corner": (-1.025, -0.060, 1.779), "bottle": (-0.355, -0.870, 0.110)},
        bounces=5)
