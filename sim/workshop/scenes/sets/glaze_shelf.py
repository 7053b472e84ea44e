"""Glazed and bare pots on two old boards against a plastered wall, a window to the left: a subject of normal range."""

from sim.workshop.scenes import forms
from sim.workshop.scenes import vessels as v
from sim.workshop.scenes.camera import Camera
from sim.workshop.scenes.lights import Window
from sim.workshop.scenes.materials import Plaster, Wood
from sim.workshop.scenes.sdf import Box
from sim.workshop.scenes.stage import GridBox, Room, Scene, Thing
from sim.workshop.scenes.ware import Clay, Glaze

SHELF_Y = 1.02
UPPER_Y = 1.485
BENCH_Y = 0.585


def _boards() -> list[Thing]:
    return [
        Thing(Box((3.0, 2.0, 0.05)), Plaster(0.50), at=(0.0, 1.2, -0.05)),
        Thing(Box((0.95, 0.017, 0.135), 0.004, 0.004), Wood(0.30, shift=1), at=(-0.06, SHELF_Y - 0.017, 0.138)),
        Thing(Box((0.95, 0.016, 0.125), 0.004, 0.003), Wood(0.24, shift=5), at=(0.04, UPPER_Y - 0.016, 0.128)),
        Thing(Box((1.2, 0.025, 0.30), 0.005), Wood(0.20, shift=9), at=(0.0, BENCH_Y - 0.025, 0.30)),
        # Cleats under the boards.
        Thing(Box((0.014, 0.028, 0.10), 0.003), Wood(0.20, along=2, shift=4), at=(-0.30, UPPER_Y - 0.062, 0.101)),
        Thing(Box((0.014, 0.028, 0.10), 0.003), Wood(0.21, along=2, shift=8), at=(0.40, UPPER_Y - 0.062, 0.101)),
    ]


def _bowls() -> list[Thing]:
    """A stack of four bowls, no two glazed or set down quite alike."""
    white = Glaze(0.72, 0.32, 0.016, 0.004, breaks=-0.7, speckle=0.35, depth_stops=0.12, lip_m=0.098, shift=2)
    bowl = v.throw(forms.BOWL, 0.0048, oval=0.008)
    return [
        Thing(
            bowl,
            white if i % 2 else Glaze(0.66, 0.3, 0.018, 0.005, breaks=-0.6, speckle=0.5, lip_m=0.098, shift=3 + i),
            at=(-0.155 + 0.003 * (i % 2), SHELF_Y + 0.0168 * i, 0.145 + 0.002 * i),
            yaw_deg=70.0 * i,
        )
        for i in range(4)
    ]


def _main_shelf() -> list[Thing]:
    return [
        Thing(
            v.throw(forms.scaled(forms.TALL, 0.92, 0.84), oval=0.009),
            Glaze(0.26, 0.34, 0.12, 0.035, breaks=0.8, rough=0.09, speckle=0.5, shift=6),
            at=(-0.375, SHELF_Y, 0.125),
            yaw_deg=200,
        ),
        *_bowls(),
        Thing(
            v.throw(forms.BOTTLE, ring_m=3e-5, oval=0.005),
            Glaze(
                0.045,
                0.22,
                0.022,
                0.008,
                breaks=1.3,
                rough=0.010,
                speckle=0.0,
                depth_stops=0.3,
                ring_m=2.5e-5,
                lip_m=0.297,
                shift=11,
            ),
            at=(0.055, SHELF_Y, 0.125),
            yaw_deg=30,
        ),
        *_beside_the_bottle(),
    ]


def _beside_the_bottle() -> list[Thing]:
    """A white cup, a bare one, and a lidded jar."""
    return [
        Thing(
            v.throw(forms.CUP, 0.004, oval=0.01),
            Glaze(0.74, 0.3, 0.014, 0.003, breaks=-0.8, speckle=0.3, depth_stops=0.1, lip_m=0.094, shift=15),
            at=(0.168, SHELF_Y, 0.20),
            yaw_deg=10,
        ),
        Thing(
            v.throw(forms.scaled(forms.CUP, 1.06, 0.93), 0.004, oval=0.012),
            Clay(0.36, shift=4),
            at=(0.232, SHELF_Y, 0.105),
            yaw_deg=80,
        ),
        Thing(
            v.throw(forms.scaled(forms.JAR, 0.98, 0.94), oval=0.007),
            Glaze(0.40, 0.30, 0.07, 0.018, breaks=0.6, rough=0.10, speckle=0.9, shift=19),
            at=(0.345, SHELF_Y, 0.135),
            yaw_deg=150,
        ),
        Thing(
            v.throw(forms.LID, solid=True, oval=0.004),
            Glaze(0.38, 0.30, 0.004, 0.002, breaks=0.5, rough=0.10, speckle=0.9, shift=20),
            at=(0.345, SHELF_Y + 0.2335, 0.135),
        ),
    ]


def _upper_shelf() -> list[Thing]:
    plate = v.throw(forms.PLATE, 0.0046, 0.005, oval=0.006)
    plates = [
        Thing(
            plate,
            Glaze(0.42 + 0.06 * (i % 2), 0.28, 0.012, 0.003, breaks=0.5, rough=0.05, shift=30 + i),
            at=(0.165 + 0.004 * (i % 2), UPPER_Y + 0.0105 * i, 0.127),
            yaw_deg=50.0 * i,
        )
        for i in range(5)
    ]
    return [
        Thing(
            v.throw(forms.scaled(forms.CROCK, 0.98, 1.0), 0.008, ring_m=6e-5, oval=0.008),
            Glaze(
                0.14, 0.42, 0.135, 0.030, breaks=0.9, rough=0.02, speckle=0.2, depth_stops=0.3, ring_m=4e-5, shift=24
            ),
            at=(-0.10, UPPER_Y, 0.122),
            yaw_deg=20,
        ),
        Thing(
            v.throw(forms.scaled(forms.JAR, 0.8, 0.72), oval=0.009),
            Clay(0.44, shift=9),
            at=(-0.345, UPPER_Y, 0.12),
            yaw_deg=20,
        ),
        *plates,
        Thing(
            v.with_handle(v.throw(forms.JUG, oval=0.006), 0.06, 0.205, 0.05),
            Clay(0.30, shift=12),
            at=(0.345, UPPER_Y, 0.125),
            yaw_deg=-142,
            slack=0.9,
        ),
    ]


def _bench() -> list[Thing]:
    return [
        Thing(
            v.throw(forms.scaled(forms.CROCK, 1.2, 1.18), 0.009, oval=0.007),
            Glaze(0.20, 0.30, 0.05, 0.02, breaks=0.7, rough=0.12, speckle=0.4, shift=34),
            at=(-0.325, BENCH_Y, 0.24),
            yaw_deg=45,
        ),
        Thing(
            v.throw(forms.scaled(forms.JUG, 0.95, 0.92), 0.005, oval=0.008),
            Glaze(0.60, 0.34, 0.06, 0.02, breaks=-0.5, shift=41),
            at=(0.02, BENCH_Y, 0.30),
            yaw_deg=120,
        ),
        Thing(
            v.throw(forms.scaled(forms.BOWL, 1.25, 1.35), 0.006, oval=0.01),
            Clay(0.33, shift=16),
            at=(0.30, BENCH_Y, 0.25),
        ),
    ]


def glaze_shelf() -> Scene:
    """Build the scene; all lengths in metres, wall at z = 0, camera towards -z."""
    window = Window(
        (-1.5, 0.95, 1.35), (0.0, 0.0, -1.05), (0.0, 1.35, 0.0), 3600.0, panes=(2, 3), bar=0.05, top_gain=0.25
    )
    room = Room((-1.5, 0.0, 0.0), (2.6, 2.7, 4.0), 0.29, (window,), 3600.0 * 3.1416 * 1.05 * 1.35)
    return Scene(
        camera=Camera((0.02, 1.30, 1.98), (0.0, 1.205, 0.0), 180.0, 16.0, 1.83),
        things=tuple(_boards() + _main_shelf() + _upper_shelf() + _bench()),
        lights=(window,),
        beyond=room,
        grid=GridBox((-1.0, 0.45, -0.07), (0.85, 1.9, 0.64), 0.007),
        places={
            "white-cup": (0.157, SHELF_Y + 0.05, 0.236),
            "bowl-rim": (-0.20, SHELF_Y + 0.135, 0.255),
            "bottle-body": (0.07, SHELF_Y + 0.05, 0.19),
            "bottle-highlight": (0.022, SHELF_Y + 0.128, 0.185),
            "plaster-light": (-0.02, SHELF_Y + 0.37, 0.0),
            "wall-shadow": (-0.035, SHELF_Y + 0.045, 0.0),
            "shelf-edge": (-0.02, SHELF_Y - 0.017, 0.273),
            "crock-mouth": (-0.375, BENCH_Y + 0.30, 0.14),
        },
        stops=(5.0, 7.8),
        clamp_cd_m2=500.0,
    )
