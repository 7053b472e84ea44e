"""The drying room: raw ware on boards, light from one side door that rakes over slabs, slip and pots alike."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import Form, block, disc, rod, sheet, together, turned
from sim.workshop.photographs.growth import bare_tree, twig_bark
from sim.workshop.photographs.linen import linen, lying_cloth
from sim.workshop.photographs.masonry import brick_clay, bricks, plaster
from sim.workshop.photographs.paving import Paving, paving_stone
from sim.workshop.photographs.rooms import painted, sash, shut_in, wall_with_window
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing, about
from sim.workshop.photographs.surface import Along, Blend, Cloudy, Material, Plus, Times
from sim.workshop.photographs.timber import board, old_wood, wood
from sim.workshop.photographs.ware import biscuit, raw_clay, slip

EYE = (-0.55, -2.70, 1.42)
DOOR = (1.20, 2.15, 2.05)  # from and to along the left wall, height of its head, m
LEFT, RIGHT, BACK = -1.55, 1.12, 3.30  # the walls, m
TALL_JAR: t.Outline = ((0.085, 0.0), (0.095, 0.014), (0.155, 0.16), (0.168, 0.27), (0.135, 0.38), (0.088, 0.44), (0.082, 0.47),
    (0.108, 0.50))


@dataclass(frozen=True)
class Load:
    """What stands on one board: the kind, how many there is room for, of which some have been taken (numbers from the near
    end), how many stand on their rims, how far the board sticks out towards the lens and how much it sags, m."""

    kind: t.Outline
    taken: Sequence[int] = ()
    over: Sequence[int] = ()
    out_m: float = 0.0
    sag_m: float = 0.004
    damp: bool = False
    fired: bool = False


Loads = Mapping[tuple[float, float], Sequence[Load]]


@lru_cache(maxsize=64)
def _thrown(kind: t.Outline, number: int) -> Form:
    """One of the pots of a kind that a hand has thrown: near the same, each with its own height, belly, lip and lean."""
    chance = np.random.Generator(np.random.PCG64(1000 + 17 * number))
    wide, high = chance.normal(0.94, 0.055), chance.normal(0.93, 0.065)
    last = len(kind) - 1
    knots = [(r * wide * (1 + chance.normal(0, 0.028)), h * high * (1 + 0.03 * chance.standard_normal() * (0 < k < last)))
        for k, (r, h) in enumerate(kind)]
    form = t.thrown(tuple(knots), chance.uniform(0.0045, 0.006), number, chance.uniform(0.0003, 0.0009),
        chance.uniform(0.008, 0.030), 96, 12)
    if kind is t.JUG and number % 5 != 3:  # one of five still waits for its handle
        tall = knots[-1][1]
        form = t.with_spout(form, 180, chance.uniform(0.012, 0.022))
        form = t.handled(form, chance.uniform(0.22, 0.34) * tall, chance.uniform(0.72, 0.84) * tall,
            chance.uniform(0.032, 0.048), chance.uniform(0.0085, 0.0115), chance.normal(0, 6))
    return form


@lru_cache(maxsize=4)
def _skin(fired: bool, damp: bool) -> Material:
    """One skin for all that are as dry: what is made once is kept once."""
    return biscuit(0.56) if fired else raw_clay(0.39, 0.5) if damp else raw_clay(0.44)


@lru_cache(maxsize=1)
def _ware_board() -> Material:
    """Planed, then years of wet pots."""
    return wood(0.27, 1.0)


def _boardful(load: Load, long_m: float, chance: np.random.Generator) -> list[Thing]:
    """A ware board and what stands on it, about the middle of its top."""
    plank = board(long_m, 0.20, 0.024, int(chance.integers(99)))
    hang = load.sag_m * (1 - (2 * plank.points[:, 0] / long_m) ** 2)
    plank = plank.bent(plank.points - np.array([0, 0, 1.0]) * hang[:, None])
    laid = [Thing(plank, _ware_board(), (0, 0, -0.012))]
    skin = _skin(load.fired, load.damp)
    reach = 0.94 * max(r for r, _ in load.kind)
    u, k = -long_m / 2 + reach + 0.02, 0
    while u < long_m / 2 - reach:
        form = _thrown(load.kind, int(chance.integers(6)))
        turn = chance.normal(150, 40) if chance.random() < 0.75 else chance.uniform(0, 360)
        lift, size = -load.sag_m * (1 - (2 * u / long_m) ** 2), chance.normal(1.0, 0.025)
        upside = k in load.over
        if k not in load.taken:
            top = float(form.points[:, 2].max()) * size if upside else 0.0
            laid.append(Thing(form, skin, (u, chance.normal(0, 0.014), lift + top), turn,
                180.0 * upside + chance.normal(0, 0.7), chance.normal(0, 0.7), size))
        u += 2 * reach * 1.02 + abs(chance.normal(0.014, 0.022))
        k += 1
    return laid


def _rack(x: float, y: float, turn: float, wide: float, loads: Loads, seed: int, high: float = 2.2) -> list[Thing]:
    """A rack of square posts and bearers; `loads` by height and side (m off its middle line) give the boards end to end."""
    post, chance, at = old_wood(0.26), np.random.Generator(np.random.PCG64(seed)), about((x, y, 0.0), turn)
    things: list[Thing] = []
    for u in (-wide / 2, 0.0, wide / 2):
        for v in (-0.235, 0.235):
            stick = block(high, 0.052, 0.046, 0.005, 14).worn(0.0012, 0.05, int(chance.integers(99)))
            things.append(Thing(stick, post, at(u, v, high / 2), turn_deg=turn + chance.normal(0, 2),
                    roll_deg=90 + chance.normal(0, 0.5)))
        for z in sorted({z for z, _ in loads}):
            things.append(Thing(block(0.50, 0.035, 0.045, 0.003, 6), post, at(u + 0.043, 0, z - 0.047), turn_deg=turn + 90))
    for (z, v), row in loads.items():
        long = (wide + 0.10) / len(row)
        for k, load in enumerate(row):
            middle = -(wide + 0.10) / 2 + (k + 0.5) * long - load.out_m
            skew, off = chance.normal(0, 1.1), v + chance.normal(0, 0.010)
            spot = about((middle, off, z), skew)
            things += [replace(one, at=at(*spot(*one.at)), turn_deg=turn + skew + one.turn_deg)
                for one in _boardful(load, long - 0.012, chance)]
    return things


def _near_rack() -> list[Thing]:
    """The rack on the right: crocks below, jugs at hand height, bowls and cups above; places where pots were taken."""
    loads = {
        (0.36, 0.125): (Load(t.CROCK, (3,), (), 0.0, 0.005, True), Load(t.CROCK, (1, 2), (), 0.0, 0.007)),
        (0.36, -0.125): (Load(t.JAR, (), (), 0.0, 0.004), Load(t.CROCK, (0,))),
        (0.80, 0.125): (Load(t.JUG, (3,), (), 0.10, 0.006), Load(t.JUG, (2, 3), (), -0.03, 0.008, True)),
        (0.80, -0.125): (Load(t.JUG, (2,), (), 0.0, 0.004), Load(t.VASE, (1,))),
        (1.25, 0.125): (Load(t.BOWL, (2,), (0, 1), 0.22, 0.006), Load(t.TEA_BOWL, (3, 4), (6,), 0.0, 0.005)),
        (1.25, -0.125): (Load(t.BOTTLE, (), ()), Load(t.BOWL, (0,), (2,))),
        (1.62, 0.125): (Load(t.BEAKER, (4, 5, 6), (), 0.0, 0.004, False, True), Load(t.CUP, (0, 1, 7), (4, 5), 0.05, 0.006)),
        (1.62, -0.125): (Load(t.DISH, (2,), (0,)), Load(t.BEAKER, (3,))),
        (1.96, 0.10): (Load(t.WIDE_BOWL, (2,), (0, 1), -0.1, 0.004), Load(t.JAR, (1, 2), (), 0.0, 0.006)),
    }
    return _rack(0.74, 0.75, 88, 2.3, loads, 5)


def _far_rack() -> list[Thing]:
    """Along the back wall, away from the door's light: jugs, bottles, bowls."""
    loads = {
        (0.40, -0.12): (Load(t.CROCK, (2,), (), 0.0, 0.006),), (0.86, -0.12): (Load(t.JUG, (3,), (), 0.03, 0.009),),
        (1.26, -0.12): (Load(t.BOTTLE, (2, 6), (), -0.04, 0.006),), (1.72, -0.12): (Load(t.BOWL, (1,), (0, 3), 0.0, 0.005),),
        (1.72, 0.12): (Load(t.VASE, (1, 4)),), (0.86, 0.12): (Load(t.CYLINDER, (2,)),),
    }
    return _rack(0.47, 2.98, 1, 1.2, loads, 21)


def _cloth() -> list[Thing]:
    """A damp cloth over half of a board on the near rack: it hangs before the pots below, so that they dry slowly."""
    laid = lying_cloth(0.78, 0.74, (0.0, 0.0, 0.0), -0.02, 4.0, linen(0.50, 0.0012, 0.5), 6, 0.011, each_m=0.004)
    return [replace(laid, at=(0.53, 0.98, 1.256), turn_deg=-92)]


def _foreground() -> list[Thing]:
    """A board of big bowls on bricks in front, a stool with a tall jar, a bucket of slip, a crock."""
    clay, plank = brick_clay(0.24), wood(0.30, 1.0)
    at = about((-0.74, 0.98, 0.0), 55)
    things = [Thing(board(1.30, 0.27, 0.030, 34), plank, at(0, 0, 0.157), turn_deg=55, lean_deg=0.5)]
    laid = bricks(4)
    for k, (u, z) in enumerate(((-0.42, 0.034), (-0.42, 0.104), (0.44, 0.034), (0.44, 0.104))):
        things.append(Thing(laid[k], clay, at(u, 0.005 * k, z), turn_deg=141 + 4 * k))
    for k, (u, v, wide, high, over) in enumerate(((-0.49, 0.01, 1.12, 1.10, False), (-0.23, -0.02, 1.05, 1.05, True),
            (0.01, 0.02, 1.15, 0.95, False), (0.27, -0.01, 1.02, 1.12, False), (0.50, 0.02, 0.95, 1.0, True))):
        bowl = t.thrown(t.sized(t.BOWL, wide, high), 0.006, 95 + k, 0.0009, 0.018 + 0.005 * (k % 3), 240)
        lift = float(bowl.points[:, 2].max()) if over else 0.0
        things.append(Thing(bowl, raw_clay(0.70), at(u, v, 0.173 + lift), 70 * k, 180.0 * over + 0.8, 0.5))
    return [*things, *_stool(-0.16, 1.62), *_bucket(0.10, 1.06), *_broom(-0.50, BACK - 0.24),
        Thing(t.thrown(t.sized(t.CROCK, 1.5, 1.35), 0.011, 90, 0.0012, 0.014), raw_clay(0.34, 0.5), (-0.60, 2.30, 0.0))]


def _broom(x: float, y: float) -> list[Thing]:
    """A besom against the back wall: a crooked handle, twigs bound to it."""
    chance = np.random.Generator(np.random.PCG64(12))
    twigs = [rod([(0.010 * np.cos(k), 0.010 * np.sin(k), 0.50), (0.02 * np.cos(k), 0.018 * np.sin(k), 0.40),
        (*chance.normal(0, (0.045, 0.022)), 0.20), (*chance.normal(0, (0.085, 0.03)), chance.uniform(0.0, 0.05))],
        0.0016, 5, 5) for k in range(130)]
    binding = turned(((0, 0.36), (0.028, 0.37), (0.026, 0.43), (0, 0.44)), 0.004, 40)
    stick = rod([(0, 0, 0.40), (0.008, 0, 0.8), (-0.004, 0, 1.2), (0.004, 0, 1.55)], [0.013, 0.014, 0.012, 0.011], 12, 8)
    return [Thing(together(twigs), twig_bark(0.16), (x, y, 0.0), roll_deg=4, lean_deg=-7),
        Thing(together([stick, binding]), old_wood(0.30, "z"), (x, y, 0.0), roll_deg=4, lean_deg=-7)]


def _stool(x: float, y: float) -> list[Thing]:
    """A round stool on three splayed legs, and on it the jar that took all morning, on its bat."""
    seat, leg = wood(0.24, 1.0), old_wood(0.24, "z")
    things = [Thing(disc(0.185, 0.038, 0.008), seat, (x, y, 0.42), turn_deg=25),
        Thing(disc(0.165, 0.016, 0.003), wood(0.2, 1.0), (x, y, 0.459), turn_deg=70),
        Thing(t.thrown(TALL_JAR, 0.008, 44, 0.0011, 0.012, 320, 40), raw_clay(0.43, 0.55), (x + 0.005, y, 0.476), turn_deg=40)]
    for a in (0.5, 2.6, 4.7):
        out = np.array([np.cos(a), np.sin(a), 0.0])
        things.append(Thing(rod([0.21 * out, 0.13 * out + (0, 0, 0.43)], [0.017, 0.020], 14), leg, (x, y, 0.0)))
    return things


def _bucket(x: float, y: float) -> list[Thing]:
    """A zinc bucket of slip with a stick in it and its bail fallen to one side."""
    rim = ((0.142, 0.26), (0.148, 0.262), (0.146, 0.268), (0.136, 0.264))
    pail = turned(((0.0, 0.0), (0.105, 0.0), *rim, (0.100, 0.012), (0, 0.012)), 0.003)
    runs = Times(Cloudy(0.03, 0.0, 1.0, detail=4, stretch=(1, 1, 6), sharp=2.5), Along("z", 0.02, 0.26))
    zinc = Material(Blend(Times(0.30, Cloudy(0.04, 0.6, 1.3, detail=4)), 0.45, runs), Blend(0.38, 0.9, runs), 1.6,
        (Cloudy(0.09, -0.002, 0.002, detail=2), Times(runs, 0.0006)), metal=0.35)
    a = np.linspace(0, np.pi, 24)
    bail = np.stack([0.146 * np.cos(a), -0.118 * np.sin(a), 0.252 - 0.088 * np.sin(a)], -1)
    return [Thing(pail, zinc, (x, y, 0.003), turn_deg=12), Thing(disc(0.129, 0.003), slip(0.36), (x, y, 0.195)),
        Thing(rod(bail, 0.0035, 10), Material(0.25, 0.35, 1.7, metal=0.8), (x, y, 0.0), turn_deg=-30),
        Thing(rod([(0.02, 0.05, 0.02), (-0.05, -0.08, 0.47)], [0.013, 0.011], 12), wood(0.3, 1.0, "z"), (x, y, 0.003))]


def _ceiling() -> list[Thing]:
    """Limewashed boards on tarred beams."""
    lime, beam = painted(0.40), old_wood(0.15)
    things = [Thing(board(7.4, 0.140, 0.02, 200 + k % 9), lime, (-2.45 + 0.1445 * k, 1.2, 2.76 + 0.003 * (k % 3)), 90)
        for k in range(34)]
    for k, y in enumerate((0.1, 1.55, 2.85)):
        things.append(Thing(block(4.9, 0.14, 0.17, 0.012, 30).worn(0.006, 0.15, k), beam, (0, y, 2.67), turn_deg=0.5 * k - 0.7))
    return things


def _walls() -> list[Thing]:
    """The back wall with its small window, the left wall with the door's opening, boards leant where there was room."""
    wall, white = plaster(0.50, 0.7), plaster(0.46, 0.5)
    x, (near, far, head), lean = -0.78, DOOR, wood(0.27, 1.0)
    things = [*wall_with_window(0.66, 1.18, 1.92, 0.30, wall, (x, BACK, 0), 7.0), *shut_in(white, -4.5, 2.3, -4.5, 2.78),
        Thing(sheet(8.4, 2.9), white, (RIGHT, -0.4, 1.4), turn_deg=-90, lean_deg=90),
        *sash(0.66, 1.18, 1.92, 2, 3, (x, BACK + 0.24, 0), painted(0.42), 0.55),
        Thing(board(0.74, 0.32, 0.03, 40), wood(0.3, 0.9), (x, BACK + 0.12, 1.175))]
    for y0, y1, z0, z1 in ((-5.0, near, 0.0, 2.8), (far, 3.6, 0.0, 2.8), (near, far, head, 2.8)):
        slab = block(0.24, y1 - y0, z1 - z0, 0.015, 20)
        things.append(Thing(slab, white, (LEFT - 0.12, (y0 + y1) / 2, (z0 + z1) / 2)))
    for k, (px, tall, out) in enumerate(((-1.40, 1.75, 9.0), (-1.29, 1.45, 11.0), (-1.36, 1.1, 15.0))):
        a = np.radians(out)
        middle = (px, BACK - 0.03 - tall / 2 * np.sin(a) - 0.03 * k, tall / 2 * np.cos(a))
        things.append(Thing(board(tall, 0.20, 0.026, 60 + k), lean, middle, turn_deg=90, roll_deg=90 - out))
    bottle = t.thrown(t.sized(t.BOTTLE, 0.8, 0.8), seed=51)
    things += [Thing(bottle, raw_clay(0.36), (x - 0.16, BACK + 0.10, 1.19)),
        Thing(t.thrown(t.sized(t.CUP, 1.1, 1.0), seed=52), raw_clay(0.42), (x + 0.12, BACK + 0.08, 1.19), turn_deg=50)]
    return things


def _outside() -> tuple[list[Thing], list[Panel]]:
    """Beyond the panes: a bare tree before a bank and dull sky; and the door's daylight, which the lens looks past."""
    near, far, head = DOOR
    over = Plus(0.5, Times(9.0, Plus(Along("z", -1.5, 1.5), Cloudy(0.9, -0.52, -0.38))))
    bank = Blend(28.0, Cloudy(1.5, 95.0, 150.0), Blend(0.0, 1.0, over))
    upright = Form(sheet(5.0, 3.0).points[:, [0, 2, 1]], sheet(5.0, 3.0).quads)
    view = Thing(upright, Material(0.0, refraction=1.0, glow_cd_m2=bank), (-0.9, 9.0, 1.9))
    door = Panel((LEFT - 0.26, (near + far) / 2, head / 2), (1, -0.22, 0.0), far - near, head, 3000.0)
    behind = Panel((-1.2, -3.7, 1.7), (0.3, 1, -0.1), 1.3, 1.3, 380.0)
    return [view, Thing(bare_tree(3.6, 5), twig_bark(0.06), (-1.05, 7.5, 0.4))], [door, behind]


def _paving() -> Paving:
    """Slip ran from the bucket; somebody walked through it to the door; drips all along the racks."""
    chance = np.random.Generator(np.random.PCG64(8))
    many = zip(chance.normal(0.05, 0.45, 240), chance.uniform(-0.1, 2.4, 240), np.exp(chance.normal(-4.9, 0.6, 240)))
    drops = [(float(x), float(y), float(radius)) for x, y, radius in many]
    treads = [
        (-0.02 - 0.145 * k + 0.05 * (-1) ** k, 0.55 + 0.25 * k, -33.0 + 9 * (-1) ** k, 0.86**k) for k in range(7)]
    return Paving(-0.6, 3.5, ((0.14, 0.80, 0.20, 0.30), (0.02, 0.52, 0.13, 0.10), (0.34, 1.9, 0.10, 0.14)),
        ((0.10, 0.86, 0.34, 0.42), (-0.75, 1.75, 0.35, 0.3)), treads, drops, 3)


def scene() -> Scene:
    """Along the gangway past the near rack, light falling through the door on the left from behind what stands there."""
    view, lights = _outside()
    floor = _paving().before(EYE[:2], (-14, 33), 2.4, 6.3)
    things = [*_near_rack(), *_far_rack(), *_cloth(), *_foreground(), *_ceiling(), *_walls(), *view,
        Thing(floor, paving_stone(0.20)), Thing(sheet(12, 12), Material(0.2), (0, 0, -0.03))]
    camera = Camera(EYE, (0.12, 1.4, 1.42), 135, (95.0, 118.75), 40, (0.2, 0.7, 1.0), rise=-0.10)
    return Scene(camera, things, lights, bounces=6,
        places={
            "window": (-0.78, 3.30, 1.55), "wall beside the window": (-0.28, 3.30, 1.85), "ceiling": (-0.30, 2.20, 2.75),
            "leaning boards": (-1.33, 3.15, 0.90), "jar's lit side": (-0.27, 1.51, 0.75),
            "jar's shaded side": (-0.03, 1.52, 0.72), "crock in the light": (-0.72, 2.17, 0.22),
            "bowl in front": (-1.00, 0.58, 0.24), "under the board": (-0.97, 0.62, 0.06), "bucket": (0.08, 0.93, 0.15),
            "spilt slip": (0.14, 0.72, 0.0), "floor": (-0.30, 0.35, 0.0), "cloth": (0.51, 0.98, 1.12),
            "jugs": (0.60, 0.30, 0.92), "crocks below": (0.60, 0.20, 0.45), "far rack": (0.25, 2.85, 0.95)})


def small_film() -> Scene:
    """The same room through a small camera with a 40 mm lens, from nearer the jar on its stool; small film's own depth."""
    camera = Camera((-0.55, -2.05, 1.32), (-0.06, 1.4, 0.90), 40, (24.0, 30.0), 5.6, (-0.16, 1.50, 0.75))
    room = scene()
    seen = {name: point for name, point in room.places.items() if all(0.0 < at < 1.0 for at in camera.in_frame(point))}
    return replace(room, camera=camera, places=seen)
