"""A potter's wheel under a window, everything against the light: no single exposure holds the room and the sky."""

import numpy as np

from sim.workshop.scenes import forms
from sim.workshop.scenes import vessels as v
from sim.workshop.scenes.camera import Camera
from sim.workshop.scenes.country import Country, RoomWithView
from sim.workshop.scenes.draped import Hanging, Rippled, folded_cloth
from sim.workshop.scenes.lights import Window
from sim.workshop.scenes.materials import Cloth, Iron, Plaster, Wood
from sim.workshop.scenes.sdf import Box, Capsule, Carved, Disc, Ellipsoid, Moved
from sim.workshop.scenes.stage import GridBox, Room, Scene, Thing
from sim.workshop.scenes.ware import Clay, Glaze

BENCH_Y = 0.84
SILL_Y = 1.03
LEFT, RIGHT, TOP = -0.70, 0.56, 2.12
WHEEL = (0.36, 0.865, 0.86)


def _wall_and_window() -> list[Thing]:
    mid_x, wide = (LEFT + RIGHT) / 2, (RIGHT - LEFT) / 2
    mid_y, high = (SILL_Y + TOP) / 2, (TOP - SILL_Y) / 2
    opening = Moved(Box((wide, high, 0.5), 0.0), (mid_x, mid_y - 1.2, 0.0))
    things = [
        Thing(Carved(Box((2.4, 1.4, 0.16)), (opening,), 0.02), Plaster(0.34, shift=4), at=(0.0, 1.2, -0.16)),
        Thing(Box((wide + 0.04, 0.014, 0.115), 0.005), Wood(0.20, shift=3), at=(mid_x, SILL_Y - 0.002, -0.085)),
    ]
    paint = Wood(0.13, along=1, contrast=0.4, f0=0.03)
    for x, half in ((LEFT, 0.032), (LEFT + 0.42, 0.012), (LEFT + 0.84, 0.012), (RIGHT, 0.032)):
        things.append(Thing(Box((half, high, 0.022), 0.004), paint, at=(x, mid_y, -0.165)))
    for y, half in ((SILL_Y + 0.03, 0.026), (SILL_Y + 0.38, 0.011), (SILL_Y + 0.74, 0.011), (TOP, 0.03)):
        things.append(Thing(Box((wide, half, 0.020), 0.004), Wood(0.13, contrast=0.4, f0=0.03), at=(mid_x, y, -0.163)))
    return things


def _sill() -> list[Thing]:
    top = SILL_Y + 0.012
    return [
        Thing(
            v.throw(forms.scaled(forms.BOTTLE, 0.9, 0.95), ring_m=3e-5, oval=0.006),
            Glaze(0.07, 0.2, 0.03, shift=3, ring_m=3e-5),
            at=(-0.50, top, -0.065),
        ),
        Thing(v.throw(forms.scaled(forms.CUP, 0.95, 0.9), 0.004), Clay(0.34, shift=5), at=(-0.135, top, -0.06)),
        Thing(
            v.throw(forms.scaled(forms.JAR, 0.62, 0.62)),
            Glaze(0.5, 0.3, 0.05, shift=8),
            at=(0.405, top, -0.06),
            yaw_deg=40,
        ),
    ]


def _tools(x: float, z: float) -> list[Thing]:
    """A crock of brushes and turning tools."""
    base = BENCH_Y + 0.012
    things = [
        Thing(
            v.throw(forms.scaled(forms.CROCK, 0.60, 0.60), 0.005, ring_m=8e-5),
            Glaze(0.30, 0.3, 0.05, 0.01, rough=0.05, shift=13),
            at=(x, BENCH_Y, z),
        )
    ]
    for turn, lean, length, kind in (
        (15, 12, 0.27, 0),
        (100, 14, 0.25, 1),
        (165, 9, 0.31, 0),
        (195, 16, 0.25, 2),
        (300, 10, 0.30, 1),
        (345, 16, 0.24, 2),
        (60, 6, 0.33, 0),
    ):
        a, t = np.radians(turn), np.tan(np.radians(lean))
        foot = (x - 0.022 * np.cos(a), base, z - 0.022 * np.sin(a))
        head = (foot[0] + length * t * np.cos(a), base + length, foot[2] + length * t * np.sin(a))
        things.append(Thing(Capsule(_vec(foot), _vec(head), 0.0056, 0.0042), Wood(0.25, along=1, shift=turn * 0.1)))
        way = np.subtract(head, foot) / np.linalg.norm(np.subtract(head, foot))
        tip = np.add(head, way * 0.034)
        if kind == 0:
            things.append(Thing(Capsule(_vec(head), _vec(tip), 0.0105, 0.003), Cloth(0.12, shift=turn * 0.2)))
        elif kind == 1:
            things.append(
                Thing(Ellipsoid(_vec(tip), (0.015, 0.032, 0.005)), Wood(0.3, along=1, shift=turn * 0.3), slack=0.7)
            )
        else:
            things.append(
                Thing(Capsule(_vec(head), _vec(np.add(head, way * 0.045)), 0.0032, 0.0016), Iron(shift=turn * 0.1))
            )
    return things


def _vec(p: object) -> tuple[float, float, float]:
    x, y, z = (float(c) for c in np.asarray(p, float))
    return x, y, z


def _under_the_bench() -> list[Thing]:
    """Ware waiting on a low board, in the dark."""
    return [
        Thing(Box((1.6, 0.014, 0.24), 0.003), Wood(0.2, shift=31), at=(0.0, 0.486, 0.27)),
        Thing(
            v.throw(forms.scaled(forms.CROCK, 0.95, 0.80), 0.008),
            Glaze(0.30, 0.3, 0.07, 0.02, rough=0.05, shift=44),
            at=(-0.72, 0.50, 0.34),
        ),
        Thing(v.throw(forms.scaled(forms.JAR, 0.95, 0.88), 0.006), Clay(0.5, shift=46), at=(-0.45, 0.50, 0.38)),
        Thing(
            v.throw(forms.scaled(forms.JUG, 0.9, 0.75), 0.006), Glaze(0.5, 0.3, 0.05, shift=48), at=(-0.285, 0.50, 0.30)
        ),
        Thing(v.throw(forms.scaled(forms.JAR, 1.0, 0.8), 0.006), Clay(0.33, shift=49), at=(-0.02, 0.50, 0.36)),
    ]


def _bench() -> list[Thing]:
    cloth = [
        Thing(
            shape,
            Cloth(0.46, shift=2 + i),
            at=(-0.60 + at[0], BENCH_Y + at[1], 0.36 + at[2]),
            yaw_deg=18 + yaw,
            slack=0.6,
        )
        for i, (shape, at, yaw) in enumerate(folded_cloth(0.125, 0.085, 4, 0.6))
    ]
    return [
        Thing(
            Box((1.6, 0.024, 0.30), 0.004), Wood(0.24, shift=7, f0=0.03, rough=0.16), at=(0.0, BENCH_Y - 0.024, 0.303)
        ),
        Thing(Box((1.6, 0.032, 0.015), 0.003), Wood(0.2, shift=2), at=(0.0, BENCH_Y - 0.081, 0.545)),
        Thing(Box((0.03, 0.4, 0.03), 0.004), Wood(0.18, along=1, shift=6), at=(-0.16, BENCH_Y - 0.45, 0.51)),
        *_under_the_bench(),
        *cloth,
        *_tools(-0.30, 0.20),
        *_on_the_bench(),
    ]


def _on_the_bench() -> list[Thing]:
    """A bowl, a dark crock, a jug, a wooden knife and a sponge."""
    return [
        Thing(
            v.throw(forms.scaled(forms.BOWL, 0.95, 0.9), 0.0045, oval=0.01),
            Glaze(0.42, 0.3, 0.02, shift=18, ring_m=3e-5),
            at=(-0.20, BENCH_Y, 0.43),
        ),
        Thing(
            v.throw(forms.scaled(forms.CROCK, 1.0, 1.05), 0.008),
            Glaze(0.10, 0.26, 0.06, 0.02, rough=0.05, shift=21, ring_m=5e-5),
            at=(0.70, BENCH_Y, 0.17),
        ),
        Thing(
            v.with_handle(v.throw(forms.scaled(forms.JUG, 0.9, 0.92)), 0.055, 0.185, 0.045),
            Glaze(0.33, 0.3, 0.09, 0.02, rough=0.08, shift=27),
            at=(-0.80, BENCH_Y, 0.19),
            yaw_deg=25,
            slack=0.9,
        ),
        Thing(
            Capsule((-0.085, 0.006, 0.0), (0.095, 0.006, 0.03), 0.006, 0.005),
            Wood(0.33, shift=11),
            at=(0.06, BENCH_Y, 0.49),
        ),
        Thing(
            Rippled(Ellipsoid((0, 0.026, 0), (0.052, 0.026, 0.036)), 0.004, 0.035),
            Cloth(0.38, shift=19, thread_m=0.004),
            at=(0.105, BENCH_Y, 0.33),
            slack=0.6,
        ),
    ]


def _on_the_wall() -> list[Thing]:
    """An apron on a nail, and a round sieve."""
    hoop = Carved(Disc(0.115, 0.028, 0.003), (Moved(Disc(0.108, 0.06, 0.0), (0.0, 0.02, 0.0)),), 0.002)
    return [
        Thing(Hanging(0.105, 0.28, 0.012, 3.4, 0.7), Cloth(0.36, shift=41), at=(-0.858, 1.33, 0.024), slack=0.45),
        Thing(Capsule((0, 0, 0), (0, 0.006, 0.05), 0.005, 0.004), Iron(shift=5), at=(-0.865, 1.61, 0.0)),
        Thing(hoop, Wood(0.26, shift=29), at=(0.785, 1.50, 0.032), lean_x_deg=84),
    ]


def _wheel() -> list[Thing]:
    x, y, z = WHEEL
    tray = Carved(Box((0.36, 0.075, 0.27), 0.006), (Moved(Box((0.335, 0.09, 0.245), 0.02), (0.0, 0.035, 0.0)),), 0.004)
    return [
        Thing(tray, Wood(0.17, shift=15, f0=0.03, rough=0.18), at=(x, y - 0.075, z)),
        Thing(Box((0.028, 0.4, 0.028), 0.004), Wood(0.16, along=1, shift=17), at=(x - 0.33, y - 0.55, z + 0.24)),
        Thing(Box((0.028, 0.4, 0.028), 0.004), Wood(0.16, along=1, shift=18), at=(x + 0.33, y - 0.55, z + 0.24)),
        Thing(Disc(0.160, 0.010, 0.003), Iron(0.07, f0=0.20, rough=0.13, shift=4), at=(x, y + 0.012, z)),
        Thing(Disc(0.122, 0.009, 0.003), Wood(0.22, shift=23, f0=0.04, rough=0.10), at=(x, y + 0.0312, z)),
        Thing(
            v.throw(forms.scaled(forms.BOWL, 1.0, 1.25), 0.0065, oval=0.004, ring_m=1.6e-4),
            Glaze(0.17, 0.17, -0.1, 0.0, breaks=0.3, gloss=0.035, rough=0.07, speckle=0.0, ring_m=1.4e-4, shift=33),
            at=(x, y + 0.0402, z),
        ),
        Thing(
            Rippled(Ellipsoid((0, 0.03, 0), (0.06, 0.036, 0.05)), 0.006, 0.06, 2.0),
            Clay(0.17, shift=38),
            at=(x + 0.24, y - 0.115, z + 0.14),
            slack=0.6,
        ),
    ]


def wheel_window() -> Scene:
    """Build the scene; inner face of the window wall at z = 0, camera towards -z, sheet lying on its side."""
    window = Window((LEFT, SILL_Y, -0.20), (RIGHT - LEFT, 0.0, 0.0), (0.0, TOP - SILL_Y, 0.0), 4600.0, top_gain=0.4)
    room = Room((-2.2, 0.0, 0.0), (2.2, 2.7, 4.6), 0.36, (window,), 4600.0 * 3.1416 * (RIGHT - LEFT) * (TOP - SILL_Y))
    x, y, z = WHEEL
    return Scene(
        camera=Camera((0.0, 1.44, 2.85), (-0.02, 1.16, 0.0), 172.0, 16.0, 2.02, landscape=True),
        things=tuple(_wall_and_window() + _sill() + _bench() + _on_the_wall() + _wheel()),
        lights=(window,),
        beyond=RoomWithView(room, Country(eye_m=2.4)),
        grid=GridBox((-1.25, 0.42, -0.33), (1.15, 2.2, 1.22), 0.0095),
        places={
            "window-sky": (-0.1, 1.68, -0.17),
            "tree-line": (0.2, 1.395, -0.17),
            "field": (-0.40, 1.20, -0.17),
            "bowl-wet": (x - 0.05, y + 0.09, z + 0.09),
            "wheel-head": (x - 0.10, y + 0.022, z + 0.09),
            "cloth": (-0.60, BENCH_Y + 0.04, 0.40),
            "bench-light": (0.16, BENCH_Y, 0.10),
            "crock-shadow": (0.70, BENCH_Y + 0.13, 0.29),
            "wall-left": (-0.80, 1.45, 0.0),
        },
        stops=(9.5, 12.0),
        clamp_cd_m2=1500.0,
    )
