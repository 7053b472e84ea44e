"""A sitting of four: the same four pots on a cloth, moved and lit anew from plate to plate as the afternoon went.

One negative prints normal; one was taken towards evening, one with the curtain drawn, one after the white card came in.
"""

from __future__ import annotations

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import sheet
from sim.workshop.photographs.linen import linen, lying_cloth
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Light, Panel, Scene, Thing
from sim.workshop.photographs.timber import board, wood
from sim.workshop.photographs.ware import ash_glaze, biscuit, glaze, iron_glaze

EDGE = -0.55
Spot = tuple[float, float, float]  # x, y, turned by


def _pots(jug: Spot, bottle: Spot, bowl: Spot, cup: Spot) -> list[Thing]:
    pitcher = t.handled(t.with_spout(t.thrown(t.sized(t.JUG, 1.08, 1.08), seed=2), 195), 0.08, 0.23, 0.052)
    made = (
        (pitcher, ash_glaze(0.5), jug),
        (t.thrown(t.BOTTLE, seed=5), iron_glaze(0.025), bottle),
        (t.thrown(t.sized(t.BOWL, 0.9, 0.95), seed=6), glaze(0.66, bare_foot=0.12), bowl),
        (t.thrown(t.CUP, seed=9), biscuit(0.6), cup),
    )
    return [Thing(form, skin, (x, y, 0.006), turn_deg=turn) for form, skin, (x, y, turn) in made]


def _plate(
    pots: list[Thing],
    lights: list[Light],
    at: tuple[float, float, float],
    fold: int,
    places: dict[str, tuple[float, float, float]],
) -> Scene:
    """The table, its cloth, the wall behind; the camera a little moved each time."""
    table = [
        Thing(board(2.0, 0.22, 0.04, seed=k), wood(0.22, 0.7), (0.01 * k, EDGE + 0.11 + 0.224 * k, -0.021)) for k in range(4)
    ]
    cloth = lying_cloth(0.66, 0.80, (0.03, -0.36, 0.0), EDGE, 6.0 + 3 * fold, linen(0.58, worn=0.25), seed=fold, lift_m=0.009)
    things = [
        *table,
        cloth,
        *pots,
        Thing(sheet(5, 4), plaster(0.34, 0.8), (0, 0.42, 0.8), lean_deg=90),
        *shut_in(plaster(0.3, 0.5), -2.2, 2.0, -3.5, 2.7),
    ]
    return Scene(
        Camera(at, (0.0, -0.2, 0.10), 210, (95.0, 118.75), 22, (0.0, -0.25, 0.12)), things, lights, bounces=6, places=places
    )


def plate_1() -> Scene:
    """Window on the left, the jug leading."""
    pots = _pots((-0.11, -0.20, 20), (0.10, -0.10, 0), (0.115, -0.335, 40), (-0.035, -0.405, 10))
    places = {
        "bowl": (0.05, -0.38, 0.07),
        "bottle": (0.13, -0.155, 0.08),
        "cloth": (-0.2, -0.42, 0.004),
        "wall": (0.22, 0.41, 0.42),
        "jug": (-0.17, -0.25, 0.12),
    }
    return _plate(
        pots,
        [Panel((-1.9, -0.55, 0.95), (1, 0.1, -0.35), 0.9, 1.3, 2400.0), Panel((1.9, -1.5, 0.8), (-1, 0.5, 0), 0.8, 1.0, 90.0)],
        (0.12, -2.0, 0.55),
        1,
        places,
    )


def plate_2() -> Scene:
    """Later, the light lower and further round: behind the pots."""
    pots = _pots((0.12, -0.22, 150), (-0.10, -0.12, 0), (-0.06, -0.37, 100), (0.15, -0.42, 200))
    places = {
        "bowl": (-0.09, -0.44, 0.05),
        "bottle": (-0.11, -0.18, 0.08),
        "cloth": (0.0, -0.50, 0.004),
        "wall": (0.2, 0.41, 0.42),
        "jug": (0.07, -0.29, 0.12),
    }
    return _plate(
        pots,
        [Panel((-1.7, 0.25, 0.75), (1, -0.35, -0.2), 0.6, 1.0, 2600.0), Panel((1.9, -1.5, 0.8), (-1, 0.5, 0), 0.8, 1.0, 40.0)],
        (0.02, -2.05, 0.46),
        2,
        places,
    )


def plate_3() -> Scene:
    """The curtain drawn: soft light from all round."""
    pots = _pots((0.0, -0.12, 60), (0.17, -0.22, 0), (-0.15, -0.30, 10), (0.045, -0.40, 90))
    places = {
        "bowl": (-0.20, -0.36, 0.07),
        "bottle": (0.19, -0.28, 0.08),
        "cloth": (-0.05, -0.48, 0.004),
        "wall": (-0.2, 0.41, 0.4),
        "jug": (-0.05, -0.19, 0.12),
    }
    return _plate(
        pots,
        [Panel((-1.5, -1.2, 1.6), (1, 0.5, -0.6), 1.6, 1.4, 420.0), Panel((1.6, -1.4, 1.3), (-1, 0.6, -0.4), 1.4, 1.4, 260.0)],
        (-0.06, -2.0, 0.60),
        3,
        places,
    )


def plate_4() -> Scene:
    """Close, from higher: the bowl in front, a white card on the right opens the shadows."""
    pots = _pots((-0.14, -0.08, -30), (0.07, -0.05, 0), (-0.02, -0.30, 70), (0.155, -0.26, 30))
    places = {
        "bowl": (-0.07, -0.37, 0.06),
        "bottle": (0.09, -0.11, 0.08),
        "cloth": (0.12, -0.45, 0.004),
        "wall": (0.2, 0.41, 0.4),
        "jug": (-0.19, -0.15, 0.12),
    }
    return _plate(
        pots,
        [
            Panel((-1.8, -0.8, 1.1), (1, 0.25, -0.4), 0.9, 1.3, 2200.0),
            Panel((0.85, -0.75, 0.25), (-1, 0.6, 0.0), 0.5, 0.6, 330.0),
        ],
        (0.10, -1.62, 0.80),
        4,
        places,
    )


def scene() -> Scene:
    """The first of the four."""
    return plate_1()
