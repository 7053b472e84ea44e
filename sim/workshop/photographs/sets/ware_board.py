"""The end of one board of the drying rack, close: bowl, lidded jar and jugs that dry from the rim down, light from one side."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import Form, block, sheet
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.relief import uneven
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing, about
from sim.workshop.photographs.surface import Blend, Cells, Cloudy, Material, Times, Value
from sim.workshop.photographs.timber import old_wood, wood
from sim.workshop.photographs.ware import GRIT, Along01

TURN_DEG = 36.0  # of the board against the wall
WIDE_M, LONG_M = 0.27, 1.7  # of the board
STOOD = ((-0.13, -0.06, 0.044), (0.33, -0.035, 0.05), (0.02, -0.085, 0.03))  # where feet have left a ring: u, v, radius, m


def _drying(dry: float, damp: float, start: float, end: float) -> Material:
    """Clay that dries from the rim down: pale and chalky above, dark with a dull shine below; `start`, `end` of its height."""
    line = Along01("up", start, end, Cloudy(0.05, -0.16, 0.16, detail=4))
    body = Times(Blend(damp, dry, line), Times(Cloudy(0.05, 0.9, 1.08, warp=0.5), Cells(0.0045, 0.7, 1.0, reach=0.16)))
    body = Times(body, Cloudy(0.004, 0.95, 1.04, detail=4))
    return Material(body, Blend(0.42, 0.9, line), 1.4, GRIT)


def _pressed(form: Form, at_deg: float, high_m: float, wide_m: float, deep_m: float) -> Form:
    """A dent of a thumb in the wall, at a bearing and height, `wide_m` to where it has run out to 37 %."""
    a = np.radians(at_deg)
    r = np.hypot(form.points[:, 0], form.points[:, 1])
    aside = r * (np.arctan2(form.points[:, 1], form.points[:, 0]) - a + np.pi) % (2 * np.pi * np.maximum(r, 1e-6)) - np.pi * r
    near = np.exp(-((aside / wide_m) ** 2) - ((form.points[:, 2] - high_m) / (1.2 * wide_m)) ** 2)
    inwards = form.points * (-1, -1, 0) / np.maximum(r, 1e-6)[:, None]
    return form.bent(form.points + (deep_m * near)[:, None] * inwards)


def _plank(seed: int, sag_m: float) -> Form:
    """The board: it hangs through between its rungs; value `dust` where slip has dried on it."""
    form = block(LONG_M, WIDE_M, 0.026, 0.004, 700)
    p = form.points.copy()
    p[:, 2] -= 0.013 + sag_m * (1 - (2 * p[:, 0] / LONG_M) ** 2) - sag_m * 0.9
    edge = np.abs(p[:, 1]) > WIDE_M / 2 - 0.008
    p += (0.0010 * edge + 0.0003)[:, None] * uneven(p, 0.05, 4, seed)[:, None] * (0, 1, 1)
    dust = np.clip(0.55 * uneven(p, 0.16, 5, seed + 1, fade=0.65) - 0.05, 0, 1)
    for u, v, radius in STOOD:
        off = np.abs(np.hypot(form.points[:, 0] - u, form.points[:, 1] - v) - radius)
        dust = np.maximum(dust, 0.6 * np.exp(-((off / 0.004) ** 2)) * np.clip(0.3 + 1.4 * uneven(p, 0.04, 3, seed + 2), 0, 1))
    return form.bent(p).with_value("dust", dust)


def _board_wood() -> Material:
    """A plank that many boards of ware have gone over: wood under dried slip."""
    plain = wood(0.25, 0.55)
    dusty = Times(Value("dust"), Cloudy(0.006, 0.5, 1.15, detail=5, harsh=0.7))
    return Material(Blend(plain.reflectance, 0.44, dusty), Blend(plain.roughness, 0.95, dusty), 1.42,
        (*plain.relief, Times(dusty, 0.0003)))


def _limewash(tone: float) -> Material:
    """Lime brushed over a rough coat, many times: broad strokes this way and that, a coat that has come off here and there."""
    strokes = (Cloudy(0.10, -0.0016, 0.0016, detail=3, stretch=(4.0, 0.8, 1)),
        Cloudy(0.08, -0.0010, 0.0010, stretch=(0.7, 5.0, 1)))
    off = Times(Cloudy(0.07, 0.0, 1.0, detail=6, harsh=0.72, sharp=6.0), Cloudy(0.5, -1.0, 0.9))
    body = Times(Cloudy(0.5, 0.9, 1.08, detail=2), Cloudy(0.06, 0.95, 1.05, detail=4, stretch=(1, 4.0, 1)))
    return Material(Times(tone, Blend(body, 0.74, off)), 0.95, 1.3,
        (*strokes, Times(off, -0.0016), Cloudy(0.008, -0.0004, 0.0004, detail=4, harsh=0.7)))


def _ridged(form: Form, deep_m: float, pitch_m: float, seed: int) -> Form:
    """The spiral that fingers leave: its ridges near together here and far apart there, deep where the hand was slow."""
    p = form.points
    r = np.maximum(np.hypot(p[:, 0], p[:, 1]), 1e-6)
    angle = np.arctan2(p[:, 1], p[:, 0])
    level = p * (0.15, 0.15, 1.0)  # a ridge changes slowly on its way round
    phase = 2 * np.pi * (p[:, 2] / pitch_m + 0.8 * uneven(level, 6 * pitch_m, 2, seed)) + angle
    ridge = (0.5 + 0.5 * np.sin(phase)) ** 1.6 - 0.4
    strong = np.clip(0.6 + 0.7 * uneven(level * (3, 3, 1), 4 * pitch_m, 2, seed + 1), 0.05, 1.4)
    out = np.where(form.values["inside"] > 0.5, -0.5, 1.0) * np.clip(p[:, 2] / 0.02, 0, 1) * np.clip(r / 0.03 - 0.4, 0, 1)
    return form.bent(p + (deep_m * ridge * strong * out / r)[:, None] * p * (1, 1, 0))


def _pot(outline: t.Outline, wide: float, high: float, thick_m: float, ridge_m: float, seed: int) -> Form:
    """A pot as it came from the wheel this morning: the outline made wider and higher by factors, its ridges `ridge_m` deep."""
    plain = t.thrown(t.sized(outline, wide, high), thick_m, seed, 0.0001, 0.014, fineness=360, rows=48)
    return _ridged(plain, ridge_m, 0.011, seed + 50)


def _ware() -> list[Thing]:
    """What dries on the board: the bowl in front, jar and jug behind it, two jugs at the far end where less light comes."""
    at = about((0.0, 0.0, 0.0), TURN_DEG)
    jug = t.with_spout(_pot(t.JUG, 1.02, 1.08, 0.0075, 0.0011, 12), 180, 0.020)
    jug = t.handled(jug, 0.085, 0.235, 0.036, 0.0135)
    far = [t.handled(t.with_spout(_pot(t.JUG, w, h, 0.006, 0.0009, 20 + k), 180), 0.06, 0.185, 0.030, 0.012)
        for k, (w, h) in enumerate(((0.80, 0.90), (0.78, 0.84)))]
    bowl = _pressed(_pot(t.BOWL, 1.0, 1.06, 0.011, 0.0013, 3), 185, 0.060, 0.016, 0.004)
    return [
        Thing(bowl, _drying(0.62, 0.26, 0.10, 0.42), at(-0.15, -0.04, 0.0), turn_deg=40, lean_deg=1.5),
        Thing(_pot(t.JAR, 0.62, 0.52, 0.007, 0.0011, 7), _drying(0.64, 0.36, 0.45, 0.62), at(0.205, -0.07, 0.0), turn_deg=60),
        Thing(t.lid(0.057, 9), _drying(0.66, 0.5, 0.0, 0.4), at(0.206, -0.069, 0.1395), turn_deg=20, lean_deg=2.5),
        Thing(jug, _drying(0.54, 0.19, 0.42, 0.54), at(0.065, 0.065, 0.0), turn_deg=62, roll_deg=1.4),
        Thing(far[0], _drying(0.48, 0.22, 0.45, 0.6), at(0.37, 0.10, 0.0), turn_deg=-10),
        Thing(far[1], _drying(0.48, 0.22, 0.5, 0.7), at(0.545, 0.105, 0.0), turn_deg=30)]


def _rack() -> list[Thing]:
    """The board, the one under it, and what is on that in the dark."""
    at = about((0.0, 0.0, 0.0), TURN_DEG)
    low, under = -0.47, [_plank(6, 0.004), _plank(8, 0.004)]
    crock = _pot(t.CROCK, 0.88, 0.93, 0.011, 0.0012, 31)
    return [Thing(_plank(5, 0.006), _board_wood(), at(0.1, 0, 0), turn_deg=TURN_DEG),
        Thing(under[0], _board_wood(), at(0.1, -0.05, low), turn_deg=TURN_DEG),
        Thing(under[1], _board_wood(), at(0.1, 0.23, low), turn_deg=TURN_DEG),
        Thing(block(0.95, 0.62, 0.026, 0.004, 20), old_wood(0.2), (-0.90, 0.22, -0.02)),  # the next board, beyond the picture
        Thing(crock, _drying(0.44, 0.24, 0.6, 0.8), at(0.31, 0.0, low), turn_deg=30)]


def scene() -> Scene:
    """The lens a forearm's length from the bowl; the window is low and to the left, out of the picture."""
    wall = sheet(5, 4, 800, 1000).worn(0.005, 0.45, 3, 3)
    things = [*_ware(), *_rack(), Thing(wall, _limewash(0.18), (0, 0.74, 0.5), lean_deg=90),
        *shut_in(plaster(0.42, 0.5), -1.9, 1.9, -3.5, 2.2), Thing(sheet(6, 6), Material(0.20), (0, -1, -1.2))]
    return Scene(
        Camera((0.03, -1.30, 0.44), (0.032, 0.0, 0.068), 222, (95.0, 118.75), 20, (-0.10, -0.22, 0.09)), things,
        [Panel((-1.3, -0.12, 0.64), (1, 0.06, -0.4), 0.5, 0.62, 4000.0)], bounces=6,
        places={"bowl's lit inside": (-0.022, -0.070, 0.077), "bowl's outside": (-0.171, -0.196, 0.090),
            "under the board": (-0.308, 0.739, -0.519), "jug's dry belly": (0.001, 0.027, 0.183),
            "jug's damp foot": (-0.021, 0.017, 0.097), "lidded jar": (0.175, -0.001, 0.096), "far jug": (0.238, 0.250, 0.164),
            "wall": (-0.228, 0.741, 0.127), "board": (-0.158, -0.213, 0.0), "crock below": (0.206, 0.087, -0.230),
            "crock's lit flank": (0.164, 0.122, -0.241), "crock's shaded side": (0.249, 0.077, -0.233)})
