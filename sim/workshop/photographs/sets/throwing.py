"""Hands throwing: wet clay between two hands, slip running, a window on the left behind; the potter is only dark cloth."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import Form, block, disc, sheet
from sim.workshop.photographs.hands import hand, lump, slip_on_skin
from sim.workshop.photographs.linen import linen
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing
from sim.workshop.photographs.surface import Cells, Cloudy, Material, Times
from sim.workshop.photographs.timber import board, wood
from sim.workshop.photographs.ware import glaze, slip

TOP = 0.86  # the wheel's head, m


def _apron() -> list[Thing]:
    """What is seen of the potter: an apron, dark and creased, and rolled sleeves."""
    n = 160
    z, x = np.meshgrid(np.linspace(-0.45, 0.62, n), np.linspace(-0.27, 0.27, n), indexing="ij")
    fold = 0.012 * np.abs(np.sin(9 * x + 2.0 * np.sin(3 * z))) + 0.008 * np.sin(14 * z + 5 * x) * np.exp(
        -((z - 0.05) ** 2) / 0.02
    )
    y = 0.47 - 0.10 * np.cos(x / 0.27 * 1.4) + fold
    body = Form(
        np.stack([x, y, z], -1).reshape(-1, 3), sheet(1, 1, n, n).quads, rest=np.stack([x, z, 0 * x], -1).reshape(-1, 3)
    )
    things = [Thing(body, linen(0.07, 0.0012, 0.5), (0, 0, TOP))]
    for side in (-1, 1):
        roll = t.thrown(
            ((0.046, 0.0), (0.058, 0.01), (0.057, 0.03), (0.060, 0.045), (0.058, 0.16)), 0.006, 7 + side, 0.003, 0.03
        )
        things.append(
            Thing(roll, linen(0.42, 0.0010, 0.2), (side * 0.178, 0.285, TOP + 0.113), turn_deg=side * -26, lean_deg=-84)
        )
    return things


def _wheel() -> list[Thing]:
    """The lump between the hands, the wheel's head, the spattered pan, a bowl of water and a sponge on the frame."""
    clay = t.thrown(lump(), 0.016, 5, 0.0008, 0.004, 300)
    spatter = Material(
        Times(0.22, Cloudy(0.012, 0.5, 1.6, sharp=2.0)),
        Cloudy(0.02, 0.2, 0.6),
        1.42,
        (Cloudy(0.006, -0.0006, 0.0006), Cells(0.01, 0.0008, 0.0, reach=0.3)),
    )
    skin = slip_on_skin()
    return [
        Thing(clay, slip(0.33), (0, 0, TOP)),
        Thing(disc(0.15, 0.024, 0.004), slip(0.27), (0, 0, TOP - 0.024)),
        Thing(hand(), skin, (0, 0, TOP)),
        Thing(hand(0.060, -4.0, 0.105, left=True), skin, (0, 0, TOP)),
        Thing(t.thrown(((0.29, 0.0), (0.31, 0.03), (0.315, 0.11)), 0.008, 5), spatter, (0, 0, TOP - 0.105)),
        Thing(disc(0.30, 0.01), slip(0.25), (0, 0, TOP - 0.105)),
        Thing(board(1.3, 0.16, 0.045, 3), wood(0.2, 1.0), (0, -0.42, TOP - 0.06)),
        Thing(board(1.3, 0.5, 0.045, 4), wood(0.2, 1.0), (0, 0.1, TOP - 0.16)),
        Thing(t.thrown(t.sized(t.BOWL, 0.8, 0.9), seed=4), glaze(0.45), (0.33, -0.39, TOP - 0.037)),
        Thing(
            block(0.09, 0.06, 0.045, 0.02, 30).worn(0.005, 0.02, 3),
            Material(0.4, 0.95, 1.3, (Cells(0.004, 0, 0.003),)),
            (-0.30, -0.40, TOP - 0.015),
            turn_deg=30,
        ),
    ]


def scene() -> Scene:
    """From across the wheel, close; the far hand a little soft."""
    room = [
        Thing(sheet(6, 4), plaster(0.2, 0.7), (0, 2.2, 1.4), lean_deg=90),
        *shut_in(plaster(0.3, 0.5), -2.2, 2.3, -3.5, 2.8),
        Thing(sheet(7, 7), Material(0.15), (0, -1, 0)),
    ]
    return Scene(
        Camera((0.10, -0.98, TOP + 0.50), (0.0, 0.02, TOP + 0.055), 210, (118.75, 95.0), 13, (0.0, -0.055, TOP + 0.07)),
        [*_wheel(), *_apron(), *room],
        [
            Panel((-1.9, 0.5, TOP + 0.75), (1, -0.28, -0.35), 0.9, 1.4, 3000.0),
            Panel((1.9, -1.6, 1.6), (-1, 0.7, -0.2), 0.7, 1.0, 120.0),
        ],
        bounces=6,
        places={
            "wet-light": (-0.055, -0.03, TOP + 0.10),
            "back-of-hand": (0.075, 0.0, TOP + 0.085),
            "apron": (0.0, 0.38, TOP + 0.2),
            "pan": (0.0, -0.28, TOP - 0.03),
            "clay": (0.0, -0.058, TOP + 0.05),
        },
    )
