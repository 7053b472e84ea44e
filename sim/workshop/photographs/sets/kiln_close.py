"""The kiln's mouth, close: the door half taken down, the glow on the bricks of its jamb and of the pier beside it.

Chamber and fire light everything but a trace of night. The glow is five times as bright as the lit side of the mouth, 170
times as bright as the brick on the pier and a thousand times as bright as the sooted brick of the arch; the printer decides
what of it goes white.
"""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import masonry
from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.firelight import glow_cd_m2
from sim.workshop.photographs.form import Form, block, sheet
from sim.workshop.photographs.relief import F64
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing, about
from sim.workshop.photographs.surface import (
    Along,
    Blend,
    Cells,
    Cloudy,
    EachOne,
    InRoom,
    Material,
    Pattern,
    Times,
    Value,
)
from sim.workshop.photographs.ware import ash_glaze

HALF, SPRING, DEEP = 0.24, 0.312, 0.345  # the mouth: half its width, its arch's spring above the sill, the wall's thickness, m
RING = masonry.BRICK_M[1] + 0.004  # the arch's bricks stand so high over the opening, m
COURSE = masonry.BRICK_M[2] + masonry.JOINT_M
PIER_AT, PIER_TURN = (0.385, 0.0, 0.0), -72.0  # where the pier springs from the kiln's front, and how its face is turned


def _mouth_line(half: float) -> F64:
    """The edge of the mouth in x and z: up its right side, over the arch, down the left."""
    turn = np.linspace(0, np.pi, 60)
    up = np.linspace(-0.02, SPRING, 24)[:-1, None] * (0, 1)
    arch = np.stack([half * np.cos(turn), SPRING + half * np.sin(turn)], 1)
    side = np.array([half, 0.0])
    return np.concatenate([up + side, arch, up[::-1] - side])


def _free(z: float) -> float:
    """Half the width that the wall leaves free at a height: the mouth with its arch; below the spring all is laid by hand."""
    if z > SPRING + HALF + RING:
        return 0.0
    return PIER_AT[0] + 0.05 if z < SPRING else float(np.sqrt(max(0.0, (HALF + RING) ** 2 - (z - SPRING) ** 2)))


def _brick_skin(tone: float, ash: float) -> Material:
    """A brick that many firings have gone over: buff clay, paler where it is broken, smoked, glazed by ash to `ash` 0..1."""
    clay = Times(Cloudy(0.05, 0.6, 1.22, detail=6, harsh=0.65), Cells(0.006, 0.6, 1.0, reach=0.3))
    body: Pattern = Times(Times(tone, EachOne(0.62, 1.22)), clay)
    body = Times(body, Cloudy(0.0035, 0.72, 1.2, detail=3, harsh=0.7))
    body = Blend(body, Times(1.25 * tone, Cloudy(0.006, 0.6, 1.15, detail=4, harsh=0.7)), Times(0.8, Value("broken")))
    smoked = InRoom(Cloudy(0.22, -0.5, 0.7, detail=5))
    body = Blend(body, Times(0.4, body), smoked)
    melted = Times(Times(ash, Cloudy(0.05, -0.5, 1.7, detail=5, stretch=(1, 1, 1.8))), InRoom(Cloudy(0.16, 0.1, 1.3)))
    body = Blend(body, Times(0.75, body), melted)
    relief = (Cloudy(0.03, -0.0022, 0.0022, detail=6, harsh=0.66), Cells(0.005, -0.0012, 0.0, reach=0.25))
    return Material(body, Blend(0.92, 0.28, melted), 1.45, relief)


def _crumbling(tone: float) -> Material:
    """Clay mortar that heat has turned to sand and washed out."""
    body = Times(tone, Times(Cloudy(0.04, 0.55, 1.2, detail=5), Cloudy(0.003, 0.65, 1.2, detail=3, harsh=0.7)))
    return Material(body, 0.95, 1.3, (Cloudy(0.012, -0.004, 0.004, detail=5, harsh=0.7), Cells(0.004, 0.0012, 0.0, reach=0.4)))


def _front(bricks: list[Form], skin: Material) -> list[Thing]:
    """The kiln's face: the arch, the jamb of whole and half bricks in bond, and the wall over them."""
    wall = masonry.wall_of_bricks(2.0, 1.3, bricks, skin, _free, (0, 0.054, 0), rough=1.5)
    things = [one for one in wall if one.at[2] > SPRING]
    wedges = [masonry.wedge(one) for one in bricks]
    halves = [one.bent(one.points * (0.49, 1, 1)) for one in wedges[::2]]
    things += masonry.arch_of_bricks(HALF, SPRING, (0, 0.1125, 0), wedges, skin)
    things += masonry.arch_of_bricks(HALF, SPRING, (0, 0.290, 0), halves, skin, seed=16)
    chance = np.random.Generator(np.random.PCG64(12))
    for row in range(4):
        z = (row + 0.5) * COURSE
        across = masonry.BRICK_M[0] if row % 2 else masonry.BRICK_M[1]
        first = (HALF + across / 2, 0.054 if row % 2 else 0.1125)  # its end, or its side, is the edge of the mouth
        second = (HALF + (0.054 if row % 2 else 0.1125), 0.118 + 0.1125 if row % 2 else 0.235 + 0.054)
        for (x, y), along in ((first, row % 2 == 1), (second, row % 2 == 0)):
            place = (x + chance.normal(0.003, 0.003), y + chance.normal(0, 0.002), z + chance.normal(0, 0.001))
            things.append(Thing(bricks[int(chance.integers(len(bricks)))], skin, place,
                turn_deg=(0 if along else 90) + chance.normal(0, 1.0), roll_deg=chance.normal(0, 0.8)))
    joints = _crumbling(0.30)
    things.append(Thing(masonry.bed_with_opening(_mouth_line(HALF), (0, SPRING), 1.6, 0.006), joints, (0, 0.012, 0)))
    things.append(Thing(masonry.lining(_mouth_line(HALF + 0.014), DEEP + 0.01, joint_m=0.0), joints, (0, 0.012, 0)))
    return things


def _pier(bricks: list[Form], skin: Material) -> list[Thing]:
    """The pier that runs out beside the mouth, splayed so that all of its face sees the fire."""
    at, things = about(PIER_AT, PIER_TURN), []
    for one in masonry.wall_of_bricks(0.9, 1.3, bricks, skin, at=(0.46, 0.054, 0), seed=21, rough=1.8):
        things.append(Thing(one.form, skin, at(*one.at), one.turn_deg + PIER_TURN, one.lean_deg, one.roll_deg))
    bed = sheet(1.1, 1.3, 260, 220).worn(0.007, 0.035, 4, 5)
    things.append(Thing(bed, _crumbling(0.33), at(0.5, 0.011, 0.6), turn_deg=PIER_TURN, lean_deg=90))
    return things


def _hot(kelvin: float, near_m: float, far_m: float) -> Material:
    """Ware that glows: cooled by the draught on the side of the mouth (`near_m` on y), still hot on the other."""
    glow = Blend(glow_cd_m2(kelvin - 35), glow_cd_m2(kelvin + 30), InRoom(Along("y", near_m, far_m)))
    return Material(0.12, 0.4, 1.5, glow_cd_m2=Times(glow, Cloudy(0.06, 0.8, 1.2)))


def _chamber(bricks: list[Form]) -> list[Thing]:
    """The chamber: walls that glow, and at their mouth a jar, a bottle and a shelf of bowls that have begun to cool."""
    hotter = InRoom(Along("x", 0.75, -0.3))  # towards the fire box
    swept = InRoom(Along("x", 0.05, 0.35))  # where the flame strikes: the part in sight, which neither jamb nor pier sees
    wall = Blend(Blend(glow_cd_m2(1035), glow_cd_m2(1090), hotter), glow_cd_m2(1150), swept)
    fired = Material(0.13, 0.9, 1.3, glow_cd_m2=Times(EachOne(0.7, 1.3), wall))
    joint = Material(0.10, 0.9, 1.3, glow_cd_m2=glow_cd_m2(1015))
    things = [*masonry.wall_of_bricks(2.0, 1.1, bricks, fired, at=(0, 1.15, -0.1), seed=8),
        Thing(sheet(2.4, 2.0), joint, (0, 1.12, 0.5), lean_deg=90), Thing(sheet(2.4, 1.0), joint, (0, 0.86, -0.1)),
        Thing(sheet(2.4, 1.0), joint, (0, 0.86, 1.0), lean_deg=180)]
    for side in (-0.8, 0.85):
        things.append(Thing(sheet(1.1, 2.0), joint, (side, 0.9, 0.5), turn_deg=-90 * np.sign(side), lean_deg=90))
    low, high = 0.012, 0.305
    bat = block(0.9, 0.42, 0.024, 0.004, 40).worn(0.001, 0.05, 4)
    shelf = block(0.62, 0.36, 0.022, 0.004, 40).worn(0.001, 0.05, 5)
    prop = block(0.05, 0.05, high - low - 0.022, 0.004)
    things.append(Thing(bat, _hot(940, 0.42, 0.75), (0.28, 0.66, low - 0.012)))
    things.append(Thing(shelf, _hot(930, 0.42, 0.75), (0.29, 0.66, high - 0.011)))
    things.append(Thing(prop, _hot(945, 0.45, 0.6), (0.02, 0.55, (high + low - 0.022) / 2)))
    stood = ((t.JAR, 0.86, 0.90, 0.155, 0.62, low, 955), (t.BOTTLE, 0.9, 0.92, 0.315, 0.72, low, 990),
        (t.BOWL, 0.78, 0.95, 0.13, 0.60, high, 945), (t.TEA_BOWL, 0.9, 1.0, 0.285, 0.66, high, 970))
    for k, (outline, wide, tall, x, y, z, kelvin) in enumerate(stood):
        pot = t.thrown(t.sized(outline, wide, tall), seed=30 + k)
        things.append(Thing(pot, _hot(kelvin, y - 0.09, y + 0.08), (x, y, z), turn_deg=40 * k))
    return things


def _hearth(bricks: list[Form], skin: Material) -> list[Thing]:
    """The sill of bricks, the hearthstones before it, the bricks that were pulled from the door, and what fell."""
    stone = Material(Times(Times(0.30, Cloudy(0.16, 0.6, 1.3, detail=5)), Cells(0.011, 0.75, 1.0, reach=0.35)), 0.85, 1.4,
        (Cloudy(0.05, -0.002, 0.002, detail=6, harsh=0.62), Cells(0.007, -0.0006, 0.0, reach=0.3)))
    things = [
        Thing(masonry.broken(block(0.62, 0.80, 0.08, 0.012, 240), 9, 71, 0.016), stone, (-0.20, -0.41, -0.042), turn_deg=0.6),
        Thing(masonry.broken(block(0.80, 0.76, 0.08, 0.012, 240), 9, 72, 0.016), stone, (0.53, -0.40, -0.045), turn_deg=-0.8)]
    for k in range(14):
        place = (0.117 * (k % 7 - 3) + 0.03, 0.105 + 0.004 * (k % 3) + 0.232 * (k > 6), -0.026 - 0.004 * (k % 2))
        things.append(Thing(bricks[(5 * k) % len(bricks)], skin, place, turn_deg=90 + 2.0 * (k % 3 - 1)))
    for k, (x, y, z, turn, lean, roll) in enumerate((
            (0.095, -0.29, 0.032, 10.0, 0.0, 0.0), (0.085, -0.285, 0.0985, 42.0, 0.8, 1.0))):
        things.append(Thing(bricks[20 + k], skin, (x, y, z), turn, lean, roll))
    chance = np.random.Generator(np.random.PCG64(4))
    for k in range(48):
        x, y = chance.normal((0.03, -0.14), (0.16, 0.10))
        size = float(0.002 + 0.011 * chance.random() ** 5)
        crumb = block(2 * size, 1.5 * size, size, 0.2 * size, 6).worn(0.35 * size, 1.2 * size, k)
        place = (float(x), float(y), 0.3 * size)
        things.append(Thing(crumb.with_value("broken", 1.0), skin, place, float(chance.uniform(0, 180))))
    jar = t.thrown(t.sized(t.JAR, 1.02, 1.14), 0.007, 5, 0.0005, 0.010, fineness=360, rows=60)
    return [*things, Thing(jar, ash_glaze(0.5), (0.322, -0.325, -0.004), turn_deg=30)]


def scene() -> Scene:
    """The lens stands low and to the left of the mouth; a trace of night comes through the shed's open side behind it."""
    bricks = masonry.spalled_bricks(36)
    skin, glazed = _brick_skin(0.50, 0.3), _brick_skin(0.32, 1.0)
    fire = Panel((-0.36, 0.66, 0.36), (0.62, -0.78, 0), 0.60, 0.66, glow_cd_m2(1215))  # the fire box, hidden by the left jamb
    shed = Material(0.15, 0.9, 1.3)
    night = Panel((-2.6, -3.2, 2.2), (0.6, 0.7, -0.4), 3.2, 2.4, 1.3)
    ceiling, ground = Thing(sheet(6, 6), shed, (0, -1, 2.6), lean_deg=180), Thing(sheet(6, 6), shed, (0, -2, -0.5))
    things = [*_front(bricks, glazed), *_pier(bricks, skin), *_chamber(bricks), *_hearth(bricks, skin), ceiling, ground]
    lens = Camera((-0.75, -1.95, 0.86), (0.195, -0.1, 0.264), 270, (95.0, 118.75), 22, (0.24, -0.16, 0.2))
    return Scene(lens, things, [fire, night], bounces=4,
        places={"lit side of the mouth": (0.240, 0.175, 0.271), "glow in the chamber": (0.377, 1.100, 0.338),
            "sill": (0.036, 0.104, 0.005), "hearthstone": (-0.166, -0.288, 0.000), "brick on the pier": (0.435, -0.160, 0.370),
            "brick of the jamb": (0.310, 0.000, 0.115), "jar's shaded side": (0.282, -0.440, 0.144),
            "hot jar": (0.139, 0.520, 0.174), "bowl on the shelf": (0.098, 0.520, 0.370),
            "pulled bricks": (0.002, -0.360, 0.104), "brick of the arch": (0.085, 0.000, 0.631)})
