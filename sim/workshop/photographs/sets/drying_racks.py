"""The drying room: racks of raw ware on boards, light from one side door; every pot has a bright and a dark half."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import block, sheet
from sim.workshop.photographs.masonry import beaten_floor, brick_clay, bricks, earth_floor, plaster
from sim.workshop.photographs.rooms import painted, sash, shut_in, wall_with_window
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing, about
from sim.workshop.photographs.timber import board, old_wood, wood
from sim.workshop.photographs.ware import biscuit, raw_clay

SHELVES = (0.42, 0.80, 1.18, 1.56, 1.94)  # heights, m
WHAT = (t.CROCK, t.BOWL, t.JUG, t.TEA_BOWL, t.CUP)  # what stands on each, from below

Spot = Callable[[float, float, float], tuple[float, float, float]]


def _rack(x: float, y: float, turn: float, wide: float, seed: int) -> list[Thing]:
    """One rack: square posts, cross pieces, and planks of ware pushed in by whoever had a free hand."""
    post, plank = old_wood(0.3), wood(0.27, 0.9)
    chance, at = np.random.Generator(np.random.PCG64(seed)), about((x, y, 0.0), turn)
    things: list[Thing] = []
    for u in (-wide / 2, 0.0, wide / 2):
        for v in (-0.21, 0.21):
            things.append(Thing(block(2.25, 0.05, 0.05, 0.004, 14), post, at(u, v, 1.12), turn_deg=turn,
                    roll_deg=90 + chance.normal(0, 0.4)))
        for z in SHELVES:
            things.append(Thing(block(0.46, 0.035, 0.04, 0.003, 6), post, at(u + 0.04, 0, z - 0.045), turn_deg=turn + 90))
    for z, outline in zip(SHELVES, WHAT):
        for v in (-0.115, 0.115):
            out = chance.normal(0, 0.02)
            things.append(Thing(board(wide + 0.16, 0.19, 0.025, int(chance.integers(99))), plank,
                    at(0.03 * chance.normal(), v + 0.3 * out, z - 0.0125), turn_deg=turn + chance.normal(0, 0.5)))
            things += _row(outline, at, z, v + 0.3 * out, wide, chance)
    return things


def _row(outline: t.Outline, at: Spot, z: float, v: float, wide: float, chance: np.random.Generator) -> list[Thing]:
    reach, things = max(r for r, _ in outline), []
    u = -wide / 2 + reach + 0.03
    damp, tone = float(chance.choice([0.0, 0.0, 0.35, 0.7])), float(chance.uniform(0.36, 0.5))
    skin = biscuit(0.58) if chance.random() < 0.25 else raw_clay(tone, damp)
    forms = [t.thrown(
            t.sized(outline, *chance.normal(0.92, 0.03, 2)), seed=int(chance.integers(999)), rings_m=0.0006, fineness=112)
        for _ in range(2)]
    if outline is t.JUG:
        forms = [t.handled(t.with_spout(f, 180), 0.06, 0.2, 0.042) for f in forms]
    while u < wide / 2 - reach:
        if chance.random() > 0.13:
            form = forms[int(chance.integers(2))]
            inverted = outline is t.BOWL and chance.random() < 0.3
            lift = form.points[:, 2].max() if inverted else 0.0
            things.append(Thing(form, skin, at(u, v + chance.normal(0, 0.008), z + lift),
                    turn_deg=float(chance.uniform(0, 360) if outline is not t.JUG else chance.normal(200, 14)),
                    lean_deg=180.0 * inverted))
        u += 1.9 * reach + abs(chance.normal(0.012, 0.012))
    return things


def _ceiling() -> list[Thing]:
    """Limewashed boards on four tarred beams."""
    lime, beam, things = painted(0.42), old_wood(0.16), []
    for k in range(34):
        plank = board(7.4, 0.140, 0.02, seed=200 + k % 9)
        things.append(Thing(plank, lime, (-2.45 + 0.1445 * k, 1.2, 2.76 + 0.003 * (k % 3)), turn_deg=90))
    for k, y in enumerate((-1.4, 0.35, 2.15, 3.9)):
        things.append(Thing(block(4.9, 0.15, 0.17, 0.012, 30).worn(0.006, 0.15, k), beam, (0, y, 2.67), turn_deg=0.5 * k - 0.7))
    return things


def scene() -> Scene:
    """Along the gangway between two racks, light falling through the door on the left; the far wall holds a little of it."""
    wall, white = plaster(0.5, 0.5), plaster(0.46, 0.4)
    things = [*_rack(0.92, 0.3, 85, 2.3, 3), *_rack(0.72, 3.0, 91, 2.2, 11), *_rack(-1.30, 3.3, 88, 2.4, 7),
        Thing(beaten_floor(7, 10, fine_m=0.03), earth_floor(0.22), (0, 1.5, -0.01)),
        *wall_with_window(0.70, 1.34, 2.16, 0.26, wall, (-0.35, 4.9, 0), 3.4), *shut_in(white, -2.4, 2.3, -4.5, 2.75),
        Thing(sheet(6, 3.2), white, (2.3, 3.0, 1.4), turn_deg=-90, lean_deg=90),
        Thing(sheet(6, 3.2), white, (-2.4, 3.5, 1.4), turn_deg=90, lean_deg=90),
        *_ceiling(), Thing(board(0.76, 0.3, 0.03, 40), wood(0.3, 0.9), (-0.35, 5.02, 1.335)),
        *sash(0.70, 1.34, 2.16, 2, 2, (-0.35, 5.10, 0), painted(0.4), 0.35),
        Thing(t.thrown(t.sized(t.CROCK, 1.7, 1.6), 0.012, 90, rings_m=0.001), raw_clay(0.42, 0.5), (-0.20, 1.24, 0.0)),
        Thing(t.thrown(t.sized(t.CROCK, 1.4, 1.3), 0.012, 91, rings_m=0.001), raw_clay(0.40), (-0.50, 1.68, 0.0)),
        Thing(board(1.6, 0.22, 0.03, 33), wood(0.3, 1.0), (-1.10, 1.93, 0.79), turn_deg=82, roll_deg=-80)]
    things += [Thing(board(1.15, 0.21, 0.028, 34), wood(0.3, 1.0), (-0.86, 0.66, 0.082), turn_deg=52)]
    for k in (-1, 1):
        place = (-0.86 + 0.25 * k, 0.66 + 0.32 * k, 0.034)
        things.append(Thing(bricks(2)[0], brick_clay(0.3), place, turn_deg=140 + 6 * k))
    for k, u in enumerate((-0.44, -0.20, 0.05, 0.29, 0.47)):
        bowl = t.thrown(t.sized(t.BOWL, 1.02, 1.0), seed=95 + k, rings_m=0.0008)
        place = (-0.86 + 0.62 * u, 0.66 + 0.79 * u, 0.096 + 0.088 * (k != 3))
        things.append(Thing(bowl, raw_clay(0.44, 0.5 * (k > 2)), place, turn_deg=60 * k, lean_deg=180.0 * (k != 3)))
    return Scene(
        Camera((-0.62, -2.55, 1.42), (0.24, 2.0, 1.12), 120, (95.0, 118.75), 27, (0.70, 0.0, 1.1), rise=-0.02), things,
        [Panel((-2.3, 0.15, 1.15), (1, 0.0, -0.05), 1.0, 2.1, 3000.0),
            Panel((-0.35, 5.16, 1.75), (0, -1, 0), 0.70, 0.82, 1300.0, seen=True)],
        bounces=6,
        places={"window": (-0.349, 4.860, 1.568), "wall beside the window": (0.382, 4.880, 1.658),
            "ceiling": (0.012, 1.736, 2.750), "lit jugs": (0.700, 0.521, 1.310),
            "crock in the light": (-0.309, 1.200, 0.197), "crock's shaded side": (-0.048, 1.240, 0.262),
            "bowl on the board": (-0.964, 0.500, 0.129), "leaning plank": (-1.083, 1.930, 0.741),
            "post": (0.550, 0.616, 1.213), "floor": (0.092, 0.068, 0.000), "floor in shade": (0.631, 3.859, 0.000),
            "pots in shade": (0.900, -0.116, 0.612), "under the rack": (0.900, 0.249, -0.020),
            "far rack": (0.737, 3.000, 1.307)})


def small_film() -> Scene:
    """The same room through a small camera with a 40 mm lens, from nearer the plank of bowls; small film's own depth."""
    camera = Camera((-0.50, -1.75, 1.30), (0.16, 1.4, 0.98), 40, (24.0, 30.0), 5.6, (-0.2, 0.9, 0.4))
    room = scene()
    seen = {name: point for name, point in room.places.items() if all(0.0 < at < 1.0 for at in camera.in_frame(point))}
    return replace(room, camera=camera, places=seen)
