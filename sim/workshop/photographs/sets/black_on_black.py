"""Black on black: iron glaze, a cast kettle, charcoal and soot. The lights are edges; all else is shadow to be opened."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import Form, block, rod, sheet, together, turned
from sim.workshop.photographs.relief import uneven
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing
from sim.workshop.photographs.surface import Cells, Cloudy, EachOne, Material, Times
from sim.workshop.photographs.timber import board, old_wood
from sim.workshop.photographs.ware import iron_glaze

EDGE = -0.60


def _kettle() -> Form:
    """A cast kettle: squat body with a seam and studs, spout, lid, a hoop to hang it by."""
    body = turned(
        ((0, 0), (0.075, 0), (0.112, 0.045), (0.118, 0.080), (0.098, 0.125), (0.055, 0.148), (0.050, 0.152), (0, 0.154)),
        0.03, 160)
    cover = turned(((0, 0.150), (0.056, 0.150), (0.056, 0.157), (0.03, 0.170), (0.010, 0.174), (0.014, 0.188), (0.008, 0.196),
            (0, 0.197)),
        0.003, 96)
    spout = rod(
        [(0.095, 0, 0.075), (0.14, 0, 0.095), (0.165, 0, 0.135), (0.178, 0, 0.150)], [0.024, 0.019, 0.013, 0.011], 20, 10)
    hoop = rod([(0, -0.105, 0.118), (0, -0.11, 0.19), (0, -0.07, 0.262), (0, 0, 0.285), (0, 0.07, 0.262), (0, 0.11, 0.19),
            (0, 0.105, 0.118)],
        0.0055, 12, 12)
    ears = [rod([(0, s * 0.095, 0.11), (0, s * 0.108, 0.126)], 0.010, 12) for s in (-1, 1)]
    return together([body, cover, spout, hoop, *ears, *_studs()])


def _studs() -> list[Form]:
    """Two rows of studs round the shoulder."""
    out = []
    for row, (z, r) in enumerate(((0.092, 0.1135), (0.104, 0.1083))):
        for k in range(44):
            a = 2 * np.pi * (k + 0.5 * row) / 44
            way = np.array([r * np.cos(a), r * np.sin(a), z])
            out.append(rod([way * (0.985, 0.985, 1), way * (1.018, 1.018, 1.01)], [0.0032, 0.0022], 8))
    return out


def _pan() -> Form:
    """A cast pan with a hole in its handle's end, the handle along x."""
    bowl = turned(((0, 0), (0.088, 0), (0.106, 0.036), (0.101, 0.037), (0.083, 0.006), (0, 0.006)), 0.003, 128)
    return together([bowl, rod([(0.10, 0, 0.028), (0.17, 0, 0.036), (0.25, 0, 0.034)], [0.011, 0.008, 0.012], 12)])


def _charcoal(seed: int) -> Form:
    """A broken stick of charcoal, checked across, along x."""
    long = 0.09 + 0.05 * np.sin(seed) ** 2
    stick = block(long, 0.03, 0.027, 0.007, 60)
    p = stick.points
    return stick.bent(
        p + 0.004 * uneven(p * (0.5, 1, 1), 0.02, 3, seed)[:, None] * (p / np.linalg.norm(p, axis=1, keepdims=True)))


def _bench() -> list[Thing]:
    """Charred boards, the ware, a pan."""
    cast = Material(Times(0.02, Cloudy(0.02, 0.7, 1.5)), Cloudy(0.03, 0.32, 0.5), 1.6,
        (Cloudy(0.004, -0.00018, 0.00018, harsh=0.7), Cells(0.006, -0.00012, 0.0, reach=0.2)))
    things = []
    for k in range(4):
        things.append(Thing(board(2.2, 0.235, 0.04, seed=k), old_wood(0.028), (0.02 * k, EDGE + 0.12 + 0.24 * k, -0.022)))
    things += [Thing(t.thrown(t.sized(t.JAR, 0.95, 1.05), seed=2), iron_glaze(0.02, 0.10), (-0.175, -0.08, 0.0), turn_deg=30),
        Thing(_kettle(), cast, (0.125, -0.22, 0.0), turn_deg=-28),
        Thing(t.thrown(t.sized(t.BOTTLE, 0.95, 1.12), seed=4), iron_glaze(0.016, 0.06), (0.02, 0.03, 0.0)),
        Thing(t.thrown(t.TEA_BOWL, seed=5), iron_glaze(0.025, 0.16), (-0.085, -0.37, 0.0), turn_deg=80),
        Thing(t.thrown(t.sized(t.DISH, 0.8, 0.9), seed=6), iron_glaze(0.018, 0.22), (-0.30, -0.33, 0.0), turn_deg=10),
        Thing(t.thrown(t.sized(t.FLASK, 0.9, 0.9), seed=7), iron_glaze(0.03, 0.3), (0.285, -0.03, 0.0), turn_deg=10),
        Thing(_pan(), cast, (0.34, -0.36, 0.0), turn_deg=-62)]
    return things


def _coals() -> list[Thing]:
    """Charcoal in the dish and spilt before it."""
    checks = Cells(0.011, 0.0, 0.0010, "crack", 0.10, 1.0, (0.45, 1.7, 1.7), warp=0.5)
    tone = Times(0.010, Times(EachOne(0.6, 1.6), Cloudy(0.004, 0.6, 1.4, stretch=(6, 1, 1))))
    coal = Material(tone, Cloudy(0.01, 0.5, 0.85), 1.28, (checks, Cloudy(0.003, -0.0005, 0.0005, stretch=(9, 1, 1))))
    chance, things = np.random.Generator(np.random.PCG64(6)), []
    for k in range(13):
        spilt = k < 9
        x, y = chance.normal((-0.02, -0.50), (0.055, 0.022)) if spilt else chance.normal((-0.30, -0.33), (0.03, 0.02))
        z = 0.014 + 0.022 * (k % 3 == 2) if spilt else 0.028 + 0.012 * (k - 9)
        turn, roll = float(chance.uniform(0, 180)), float(chance.normal(0, 8))
        things.append(Thing(_charcoal(k), coal, (x, y, z), turn_deg=turn, roll_deg=roll))
    return things


def scene() -> Scene:
    """Before a sooted wall; a narrow window far to the left and behind, a pale door low right."""
    stains = Times(0.02, Times(Cloudy(0.30, 0.55, 1.5, detail=5, warp=0.6), Cloudy(0.012, 0.85, 1.15)))
    soot = Material(stains, 0.85, 1.35, (Cloudy(0.10, -0.0011, 0.0011, detail=2), Cloudy(0.006, -0.00008, 0.00008, detail=2)))
    room = [Thing(sheet(3, 3), soot, (0, 0.182, 0.6), lean_deg=90), *shut_in(Material(0.07), -2.4, 1.8, -4.0, 2.6)]
    return Scene(Camera((0.10, -1.95, 0.52), (0.02, -0.2, 0.135), 210, (118.75, 95.0), 32, (0.0, -0.25, 0.12), rise=-0.01),
        [*_bench(), *_coals(), *room],
        [Panel((-1.7, 0.0, 0.95), (1, -0.12, -0.35), 0.5, 1.3, 5200.0),
            Panel((1.6, -0.7, 0.5), (-1, 0.25, 0.0), 0.25, 1.2, 700.0)],
        bounces=5,
        places={"glint on the jar": (-0.247, -0.150, 0.216), "jar's lit side": (-0.236, -0.100, 0.186),
            "jar's shaded side": (-0.108, -0.050, 0.132), "kettle's crown": (0.092, -0.300, 0.144),
            "kettle's flank": (0.120, -0.300, 0.042), "studs": (0.119, -0.320, 0.122), "charcoal": (-0.098, -0.500, 0.015),
            "between the coals": (0.016, -0.500, -0.001), "tea bowl's inside": (-0.076, -0.350, 0.081),
            "dish": (-0.258, -0.372, 0.020), "pan": (0.351, -0.360, 0.046), "bench's top": (0.272, -0.513, 0.000),
            "bench's edge": (0.084, -0.600, -0.014), "under the bench": (0.085, -0.600, -0.079),
            "wall on the left": (-0.471, 0.180, 0.255), "wall on the right": (0.435, 0.180, 0.326)})
