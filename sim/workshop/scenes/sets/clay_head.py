"""A head modelled in clay on a turntable, lit from one side by a window: the dark half of the face wants holding back."""

from functools import lru_cache

from sim.workshop.scenes import forms
from sim.workshop.scenes import vessels as v
from sim.workshop.scenes.bust import Head, WetClay
from sim.workshop.scenes.camera import Camera
from sim.workshop.scenes.draped import Rippled
from sim.workshop.scenes.lights import Window
from sim.workshop.scenes.materials import Cloth, Iron, Plaster, Wood
from sim.workshop.scenes.modelled import Modelled, model
from sim.workshop.scenes.sdf import Box, Capsule, Disc, Ellipsoid
from sim.workshop.scenes.stage import GridBox, Room, Scene, Thing
from sim.workshop.scenes.ware import Clay, Glaze

BENCH_Y = 0.80
BOARD_Y = 0.925  # top of the board the head stands on
CHIN_Y = BOARD_Y + 0.152
SHELF_Y, SHELF_Z = 1.155, -0.95


@lru_cache(maxsize=1)
def modelled_head() -> Modelled:
    """The bust on its lattice (a memo of a pure function)."""
    return model(Head(), 0.0018)


def _turntable() -> list[Thing]:
    return [
        Thing(Disc(0.085, 0.012, 0.004), Iron(0.05, f0=0.10, shift=2), at=(0, BENCH_Y + 0.012, 0)),
        Thing(Disc(0.024, 0.030, 0.003), Iron(0.05, f0=0.12, shift=3), at=(0, BENCH_Y + 0.05, 0)),
        Thing(Disc(0.150, 0.009, 0.003), Iron(0.06, f0=0.14, rough=0.2, shift=4), at=(0, BENCH_Y + 0.092, 0)),
        Thing(Box((0.155, 0.0115, 0.155), 0.003), Wood(0.30, shift=6), at=(0, BOARD_Y - 0.0115, 0), yaw_deg=22),
    ]


def _bench() -> list[Thing]:
    return [
        Thing(Box((1.4, 0.03, 0.42), 0.004), Wood(0.22, shift=11), at=(0.1, BENCH_Y - 0.03, -0.12)),
        Thing(
            Rippled(Ellipsoid((0, 0.035, 0), (0.075, 0.048, 0.055)), 0.007, 0.07, 1.0),
            WetClay(0.28, shift=31),
            at=(-0.235, BENCH_Y, 0.08),
            slack=0.6,
        ),
        Thing(
            Capsule((-0.09, 0.007, 0.02), (0.08, 0.007, -0.03), 0.006, 0.0045),
            Wood(0.34, shift=14),
            at=(0.20, BENCH_Y, 0.19),
        ),
        Thing(
            Capsule((-0.08, 0.006, -0.02), (0.09, 0.006, 0.0), 0.005, 0.004),
            Wood(0.28, shift=17),
            at=(0.22, BENCH_Y, 0.225),
        ),
        Thing(
            v.throw(forms.scaled(forms.BOWL, 0.75, 0.75), 0.004),
            Glaze(0.5, 0.3, 0.02, rough=0.08, shift=19),
            at=(0.28, BENCH_Y, -0.02),
        ),
        Thing(
            Rippled(Box((0.10, 0.006, 0.07), 0.006), 0.006, 0.09, 2.0),
            Cloth(0.4, shift=9),
            at=(-0.33, BENCH_Y + 0.010, -0.12),
            yaw_deg=25,
            slack=0.6,
        ),
    ]


def _behind() -> list[Thing]:
    """A wall and a shelf with ware, well out of focus."""
    things = [
        Thing(Box((3.0, 2.0, 0.05)), Plaster(0.30, shift=6), at=(0.0, 1.2, -1.25)),
        Thing(Box((1.3, 0.016, 0.14), 0.004), Wood(0.28, shift=21), at=(0.0, SHELF_Y - 0.016, SHELF_Z - 0.14)),
        Thing(Box((1.3, 0.016, 0.14), 0.004), Wood(0.25, shift=24), at=(0.0, SHELF_Y + 0.40, SHELF_Z - 0.14)),
    ]
    for form, wide, high, skin, x, dz in (
        (forms.TALL, 0.95, 0.80, Clay(0.42, shift=51), -0.43, 0.0),
        (forms.JAR, 0.9, 0.85, Glaze(0.22, 0.3, 0.06, rough=0.14, shift=53), -0.235, 0.02),
        (forms.BOTTLE, 1.0, 0.95, Glaze(0.05, 0.2, 0.04, rough=0.14, shift=55), 0.185, 0.0),
        (forms.BOWL, 1.0, 1.0, Clay(0.5, shift=57), 0.34, 0.03),
        (forms.CROCK, 0.9, 0.95, Clay(0.36, shift=59), 0.60, 0.0),
    ):
        things.append(
            Thing(
                v.throw(forms.scaled(form, wide, high), 0.006),
                skin,
                at=(x, SHELF_Y, SHELF_Z - 0.13 + dz),
                yaw_deg=60 * x,
            )
        )
    return things


def clay_head() -> Scene:
    """Build the scene; the turntable's axis at x = z = 0, camera towards -z, window on the left."""
    window = Window(
        (-1.35, 1.05, 1.00), (0.0, 0.0, -0.95), (0.0, 1.15, 0.0), 2600.0, panes=(2, 3), bar=0.05, top_gain=0.3
    )
    room = Room((-1.35, 0.0, -1.2), (2.6, 2.7, 3.6), 0.10, (window,), 2600.0 * 3.1416 * 0.95 * 1.15)
    head = Thing(
        modelled_head(), WetClay(0.38, shift=3, body=modelled_head()), at=(0.0, CHIN_Y, 0.0), yaw_deg=-40, slack=0.9
    )
    return Scene(
        camera=Camera((0.02, 1.20, 1.37), (0.005, 1.122, 0.0), 240.0, 11.0, 1.30),
        things=(head, *_turntable(), *_bench(), *_behind()),
        lights=(window,),
        beyond=room,
        grid=GridBox((-0.62, 0.76, -1.28), (0.62, 1.62, 0.34), 0.0075),
        places={
            "cheek-light": (-0.055, CHIN_Y + 0.075, 0.06),
            "forehead": (-0.035, CHIN_Y + 0.16, 0.075),
            "cheek-shadow": (0.045, CHIN_Y + 0.07, 0.05),
            "neck-shadow": (0.045, CHIN_Y - 0.03, 0.02),
            "hair": (0.035, CHIN_Y + 0.20, 0.05),
            "shoulder": (-0.08, CHIN_Y - 0.12, 0.03),
            "board": (0.0, BOARD_Y - 0.0115, 0.155),
            "wall": (-0.05, 1.40, -1.2),
            "dark-bottle": (0.185, SHELF_Y + 0.09, SHELF_Z - 0.06),
        },
        stops=(5.5, 7.5),
        clamp_cd_m2=350.0,
    )
