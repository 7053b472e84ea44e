"""Rooms of the pottery: a plastered wall with its window, sashes and panes, and what shuts a room off from the sky."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from sim.workshop.photographs.form import Form, block, sheet, together
from sim.workshop.photographs.masonry import bed_with_opening, lining
from sim.workshop.photographs.relief import F64
from sim.workshop.photographs.scene import Panel, Point, Thing
from sim.workshop.photographs.surface import Along, Blend, Cloudy, Material, Plus, Times


def edge_of(wide_m: float, low_m: float, high_m: float, each_m: float = 0.02) -> F64:
    """The edge of a square opening about x = 0 between two heights, in x and z, closed."""
    w = wide_m / 2
    corners = np.array([(w, low_m), (w, high_m), (-w, high_m), (-w, low_m), (w, low_m)])
    parts = []
    for a, b in pairwise(corners):
        n = max(2, int(np.linalg.norm(b - a) / each_m))
        parts.append(a + (b - a) * np.linspace(0, 1, n, endpoint=False)[:, None])
    return np.concatenate([*parts, corners[-1:]])


def wall_with_window(
    wide_m: float, low_m: float, high_m: float, deep_m: float, skin: Material, at: Point = (0, 0, 0), reach_m: float = 5.0
) -> list[Thing]:
    """A thick plastered wall facing -y with one opening; `at` is the foot of its middle."""
    line = edge_of(wide_m, low_m, high_m)
    middle = (0.0, (low_m + high_m) / 2)
    wall = together([bed_with_opening(line, middle, reach_m), lining(line, deep_m, joint_m=0.0)])
    return [Thing(wall, skin, at)]


def painted(tone: float = 0.55) -> Material:
    """Old paint on wood: brush marks, knocks through to darker wood."""
    knocks = Cloudy(0.03, 0.0, 1.0, detail=4, harsh=0.7, sharp=5.0)
    bare = Times(knocks, Cloudy(0.4, -0.6, 0.9))
    return Material(Blend(Times(tone, Cloudy(0.2, 0.8, 1.08)), 0.2, bare), 0.5, 1.45,
        (Cloudy(0.004, -0.0002, 0.0002, stretch=(1, 1, 12)), Times(bare, -0.0005)))


def pane_glass(dirt: float = 0.2) -> Material:
    """Old window glass: wavy, dusty towards the bottom of each pane."""
    dust = Times(Cloudy(0.10, 0.3, 1.0, detail=4), Blend(1.0, 0.25, Along("z", -0.3, 0.1)))
    return Material(Plus(0.95, Times(dust, -dirt)), 0.0, 1.5, (Cloudy(0.12, -0.0005, 0.0005, detail=2),), glass=True)


def sash(wide_m: float, low_m: float, high_m: float, across: int, up: int, at: Point, paint: Material, dirt: float = 0.2
) -> list[Thing]:
    """A window's frame with glazing bars and panes, facing -y; `at` is the foot of the opening's middle."""
    x, y, z = at
    tall, middle = high_m - low_m, z + (low_m + high_m) / 2
    frame, bar = 0.055, 0.024
    bars: list[Form] = []

    def piece(cx: float, cz: float, w: float, h: float, deep: float) -> None:
        form = block(w, deep, h, 0.004, 16)
        bars.append(form.bent(form.points + np.array([cx, 0.0, cz])))

    for side in (-1, 1):
        piece(side * (wide_m / 2 - frame / 2), 0, frame, tall, 0.06)
        piece(0, side * (tall / 2 - frame / 2), wide_m - 2 * frame, frame, 0.06)
    for k in range(1, across):
        piece(-wide_m / 2 + k * wide_m / across, 0, bar, tall - 2 * frame, 0.042)
    for k in range(1, up):
        piece(0, -tall / 2 + k * tall / up, wide_m - 2 * frame, bar, 0.044)
    things = [Thing(together(bars), paint, (x, y, middle))]
    glass = pane_glass(dirt)
    upright = sheet(wide_m / across - bar, tall / up - bar)
    upright = Form(upright.points[:, [0, 2, 1]], upright.quads)
    for i in range(across):
        for j in range(up):
            place = (x - wide_m / 2 + (i + 0.5) * wide_m / across, y, middle - tall / 2 + (j + 0.5) * tall / up)
            things.append(
                Thing(upright, glass, place, lean_deg=0.4 * np.sin(5 * i + 3 * j), turn_deg=0.5 * np.cos(7 * i + j)))
    return things


def daylight(
    wide_m: float, low_m: float, high_m: float, at: Point, sky_cd_m2: float, ground_cd_m2: float, facing: Point = (0, -1, 0)
) -> Panel:
    """The light that comes through a window, as a panel just outside it: sky above, ground below. The lens looks past it."""
    tall = high_m - low_m
    return Panel((at[0], at[1], at[2] + (low_m + high_m) / 2), facing, wide_m, tall,
        Blend(ground_cd_m2, sky_cd_m2, Along("z", -0.3 * tall, 0.1 * tall)))


def shut_in(skin: Material, left_m: float, right_m: float, back_m: float, high_m: float) -> list[Thing]:
    """Side walls, back wall and ceiling of a room whose window wall stands at y = 0 and floor at z = 0."""
    deep, wide = -back_m + 0.6, right_m - left_m
    y, x = (back_m + 0.6) / 2, (left_m + right_m) / 2
    return [Thing(sheet(deep, high_m), skin, (left_m, y, high_m / 2), turn_deg=90, lean_deg=90),
        Thing(sheet(deep, high_m), skin, (right_m, y, high_m / 2), turn_deg=-90, lean_deg=90),
        Thing(sheet(wide, high_m), skin, (x, back_m, high_m / 2), lean_deg=-90),
        Thing(sheet(wide, deep), skin, (x, y, high_m), lean_deg=180)]
