"""The packing table: white plates and paper in the light, a crate of straw and the dark beneath; a long range."""

import numpy as np

from sim.workshop.scenes import forms
from sim.workshop.scenes import packing as k
from sim.workshop.scenes import vessels as v
from sim.workshop.scenes.camera import Camera
from sim.workshop.scenes.lights import Window
from sim.workshop.scenes.materials import Iron, Plaster, Wood
from sim.workshop.scenes.sdf import Box, Capsule, Carved, Disc, Joined, Moved, Shape, Vector
from sim.workshop.scenes.sets.packing_crate import CRATE, TABLE_Y, crate_of_straw
from sim.workshop.scenes.stage import GridBox, Room, Scene, Thing
from sim.workshop.scenes.ware import Clay, Glaze
from sim.workshop.scenes.wrapping import Label, Paper, Twine

BROWN, WHITE = 0.24, 0.74


def _room_and_table() -> list[Thing]:
    things = [
        Thing(Box((2.6, 1.6, 0.05)), Plaster(0.14, relief_m=0.0008, shift=14), at=(0.0, 1.2, -0.05)),
        Thing(Box((2.6, 0.05, 2.0)), Plaster(0.13, relief_m=0.003, stain_stops=0.4, shift=3), at=(0.0, -0.05, 1.2)),
    ]
    for i, z in enumerate((0.10, 0.29, 0.48, 0.67)):
        plank = Wood(0.135 + 0.02 * (i % 3), shift=4.0 + 7 * i, f0=0.03, rough=0.20, contrast=1.25)
        things.append(Thing(Box((0.98, 0.019, 0.0935), 0.003), plank, at=(0.0, TABLE_Y - 0.019, z)))
    things.append(Thing(Box((0.92, 0.05, 0.012), 0.003), Wood(0.10, shift=40), at=(0.0, TABLE_Y - 0.09, 0.72)))
    for x in (-0.86, 0.86):
        things.append(Thing(Box((0.034, 0.40, 0.034), 0.004), Wood(0.19, along=1, shift=5 + x), at=(x, 0.385, 0.69)))
    shelf_y = 1.345
    things += [
        Thing(Box((0.46, 0.013, 0.105), 0.003), Wood(0.24, shift=51), at=(0.52, shelf_y - 0.013, 0.106)),
        Thing(Box((0.012, 0.05, 0.08), 0.003), Wood(0.2, along=1, shift=53), at=(0.20, shelf_y - 0.076, 0.081)),
        Thing(Box((0.012, 0.05, 0.08), 0.003), Wood(0.2, along=1, shift=54), at=(0.84, shelf_y - 0.076, 0.081)),
    ]
    return things + _on_the_shelf(shelf_y) + _paper_roll(-0.42, 1.33)


def _on_the_shelf(y: float) -> list[Thing]:
    """Folded boxes of labels, a jar of brushes, a dark crock, a pile of brown paper."""
    things = [
        Thing(
            v.throw(forms.scaled(forms.CROCK, 0.72, 0.70), 0.006),
            Glaze(0.06, 0.24, 0.05, 0.01, shift=3, ring_m=4e-5),
            at=(0.80, y, 0.11),
        ),
        Thing(
            v.throw(forms.scaled(forms.JUG, 0.70, 0.72), 0.005),
            Glaze(0.62, 0.3, 0.03, 0.008, breaks=-0.4, shift=9),
            at=(0.61, y, 0.10),
            yaw_deg=40,
        ),
    ]
    for i in range(5):
        things.append(
            Thing(
                Box((0.115 - 0.004 * (i % 2), 0.0085, 0.08), 0.003),
                Paper(0.30 + 0.12 * ((i * 2) % 3), shift=20.0 + i),
                at=(0.33 + 0.006 * (i % 3), y + 0.009 + 0.0175 * i, 0.11),
                yaw_deg=3.0 * (i % 3) - 2,
            )
        )
    return things


def _parcel(half: Vector, at: Vector, yaw: float, tone: float, seed: int, cross: tuple[float, float]) -> list[Thing]:
    """A wrapped and tied parcel standing at `at` (m), with its knot."""
    hx, hy, hz = half
    middle = (at[0], at[1] + hy, at[2])
    cos, sin = np.cos(np.radians(yaw)), np.sin(np.radians(yaw))
    kx, kz = cross
    knot = (at[0] + float(kx * cos + kz * sin), at[1] + 2 * hy + 0.001, at[2] + float(-kx * sin + kz * cos))
    return [
        Thing(
            k.Parcel(half, seed=seed),
            Paper(tone, ribs_stops=0.03, half=half, shift=float(seed)),
            at=middle,
            yaw_deg=yaw,
            slack=0.75,
        ),
        Thing(
            k.Lashing((hx, hy, hz), kx, kz),
            Twine(0.52, shift=float(seed)),
            at=middle,
            yaw_deg=yaw,
            slack=0.8,
            shadows=False,
        ),
        Thing(
            _bow(seed), Twine(0.52, shift=float(seed + 3)), at=knot, yaw_deg=yaw + 20.0 * seed, slack=0.9, shadows=False
        ),
    ]


def _bow(seed: int) -> Shape:
    """A bow: two loops and two ends about a knot."""
    rng = np.random.Generator(np.random.PCG64(seed))
    parts: list[Shape] = [Capsule((-0.003, 0.003, 0), (0.003, 0.003, 0), 0.0032, 0.0030)]
    for side in (-1.0, 1.0):
        long, wide = 0.026 + 0.006 * rng.uniform(), 0.008 + 0.003 * rng.uniform()
        turn = np.linspace(0, 2 * np.pi, 9)
        x = side * long * (1 - np.cos(turn)) / 2
        z = wide * np.sin(turn) + 0.004 * side
        y = 0.003 + 0.009 * np.sin(turn / 2) ** 2
        pts: list[Vector] = [(float(a), float(b), float(c)) for a, b, c in zip(x, y, z, strict=True)]
        parts += v.strap(tuple(pts), 0.0011)
        end: Vector = (float(side * 0.03), 0.0025, float(-side * 0.018 - 0.01))
        parts.append(Capsule((0, 0.003, 0), end, 0.0012, 0.0011))
    return Joined(tuple(parts), 0.0)


def _plates() -> list[Thing]:
    plate = v.throw(forms.PLATE, 0.0046, 0.005, oval=0.006)
    other = v.throw(forms.scaled(forms.PLATE, 0.985, 1.03), 0.0046, 0.005, oval=0.009)
    things = []
    for i in range(8):
        things.append(
            Thing(
                other if i % 3 == 1 else plate,
                Glaze(
                    0.70 + 0.05 * ((i * 3) % 4) / 3,
                    0.4,
                    0.004,
                    0.002,
                    breaks=-0.5,
                    speckle=0.25,
                    depth_stops=0.10,
                    ring_m=2e-5,
                    lip_m=0.028,
                    shift=90.0 + i,
                ),
                at=(-0.115 + 0.004 * ((i * 2) % 3 - 1), TABLE_Y + 0.002 + 0.0150 * i, 0.50 + 0.003 * (i % 2)),
                yaw_deg=67.0 * i,
            )
        )
    return things


def _shears(at: Vector, yaw: float) -> list[Thing]:
    steel = Iron(0.05, f0=0.40, rough=0.10, shift=7)
    things = []
    for side in (-1.0, 1.0):
        shank = Joined(
            (
                k.Blade(0.125, 0.017),
                Capsule((0.004, 0, 0), (-0.055, 0.001, -0.012), 0.0052, 0.0040),
                Moved(k.Hoop(0.0225, 0.0042), (-0.086, 0.001, -0.024)),
            ),
            0.004,
        )
        spread = 9.0
        x, y, z = at
        things.append(
            Thing(
                shank,
                steel,
                at=(x, y + 0.0052 + 0.0012 * side, z),
                yaw_deg=yaw + spread * side,
                lean_x_deg=0.0 if side > 0 else 180.0,
                slack=0.85,
                shadows=True,
            )
        )
    things.append(Thing(Disc(0.0042, 0.0045, 0.001), Iron(0.05, f0=0.45, shift=9), at=(at[0], at[1] + 0.0055, at[2])))
    return things


def _paper_and_string() -> list[Thing]:
    """White sheets ready to use, a crushed one, a ball of string, the shears."""
    return [
        Thing(
            k.Sheet(0.20, 0.13, 0.0009, 0.16, 0.004, 4),
            Paper(WHITE, 0.03, shift=3),
            at=(0.12, TABLE_Y, 0.615),
            yaw_deg=8,
            slack=0.6,
        ),
        Thing(
            k.Sheet(0.20, 0.13, 0.0016, 0.13, 0.016, 9),
            Paper(WHITE, 0.04, shift=5),
            at=(0.135, TABLE_Y + 0.003, 0.612),
            yaw_deg=1,
            slack=0.6,
        ),
        Thing(
            k.Crumpled((0.062, 0.045, 0.055), 0.011, 0.055, 7),
            Paper(WHITE, 0.06, shift=8),
            at=(0.745, TABLE_Y + 0.036, 0.60),
            slack=0.6,
        ),
        Thing(
            k.Crumpled((0.050, 0.040, 0.047), 0.010, 0.05, 17),
            Paper(WHITE, 0.06, shift=12),
            at=(0.655, TABLE_Y + 0.032, 0.685),
            yaw_deg=50,
            slack=0.6,
        ),
        *_shears((0.115, TABLE_Y + 0.009, 0.635), 152.0),
        Thing(
            v.throw(_BALL, solid=True, ring_m=5e-4, ring_pitch_m=0.0032, oval=0.03),
            Twine(0.50, shift=31),
            at=(-0.335, TABLE_Y, 0.655),
            lean_z_deg=20,
            lean_x_deg=12,
        ),
    ]


_BALL = tuple(
    (0.037 * float(np.cos(t)), 0.036 + 0.036 * float(np.sin(t))) for t in np.linspace(-np.pi / 2, np.pi / 2 - 0.12, 15)
)


def _parcels() -> list[Thing]:
    return [
        *_parcel((0.155, 0.105, 0.12), (-0.60, TABLE_Y, 0.27), 14, BROWN, 2, (-0.02, 0.01)),
        *_parcel((0.115, 0.058, 0.085), (-0.605, TABLE_Y + 0.211, 0.27), -9, BROWN * 1.25, 5, (0.01, 0.0)),
        *_parcel((0.085, 0.050, 0.065), (-0.60, TABLE_Y, 0.595), -22, WHITE * 0.96, 8, (0.0, 0.005)),
        Thing(
            Box((0.045, 0.0007, 0.031), 0.0004),
            Label(0.045, 0.031, shift=2),
            at=(-0.535, TABLE_Y + 0.3285, 0.305),
            yaw_deg=-14,
            shadows=False,
        ),
    ]


def _paper_roll(x: float, y: float) -> list[Thing]:
    """A roll of white paper on a bar, its end hanging down and curling."""
    radius, half = 0.062, 0.26
    roll = Capsule((-half, 0, 0), (half, 0, 0), radius, radius)
    ends = (Moved(Box((0.2, 0.2, 0.2)), (half + 0.2, 0, 0)), Moved(Box((0.2, 0.2, 0.2)), (-half - 0.2, 0, 0)))
    return [
        Thing(Carved(roll, ends, 0.001), Paper(0.70, 0.0, shift=23), at=(x, y, 0.10)),
        Thing(k.Curl(half, 0.20, 0.10), Paper(0.70, 0.02, shift=25), at=(x, y, 0.10 + radius + 0.0015), slack=0.7),
        Thing(Capsule((-half - 0.05, 0, 0), (half + 0.05, 0, 0), 0.012, 0.012), Iron(shift=3), at=(x, y, 0.10)),
        Thing(Box((0.008, 0.05, 0.06), 0.002), Wood(0.2, along=2, shift=27), at=(x - half - 0.03, y, 0.06)),
        Thing(Box((0.008, 0.05, 0.06), 0.002), Wood(0.2, along=2, shift=28), at=(x + half + 0.03, y, 0.06)),
    ]


def _under_the_table() -> list[Thing]:
    """Crates and a straw bale in the dark."""
    things = [
        Thing(Box((0.21, 0.15, 0.15), 0.004), Wood(0.17, shift=101), at=(-0.50, 0.48, 0.36), yaw_deg=5),
        Thing(Box((0.24, 0.16, 0.17), 0.004), Wood(0.15, shift=103), at=(-0.49, 0.16, 0.44), yaw_deg=-3),
        Thing(v.throw(forms.scaled(forms.CROCK, 1.4, 1.35), 0.009), Clay(0.26, shift=107), at=(0.30, 0.24, 0.44)),
        Thing(
            v.throw(forms.scaled(forms.JAR, 1.25, 1.2), 0.009),
            Glaze(0.10, 0.28, 0.08, 0.02, shift=108),
            at=(-0.05, 0.24, 0.40),
            yaw_deg=115,
        ),
        Thing(Box((0.17, 0.21, 0.17), 0.004), Wood(0.14, shift=111), at=(0.68, 0.45, 0.44), yaw_deg=-6),
        Thing(Box((0.62, 0.12, 0.2), 0.004), Wood(0.15, shift=109), at=(0.40, 0.12, 0.42)),
    ]
    for i, y in enumerate((0.40, 0.48, 0.56)):
        things.append(
            Thing(Box((0.22, 0.030, 0.006), 0.002), Wood(0.2, shift=120.0 + i), at=(-0.50, y, 0.585), yaw_deg=5)
        )
    return things


def packing_room() -> Scene:
    """Build the scene; wall at z = 0, camera towards -z, window high on the right, sheet lying on its side."""
    window = Window((1.8, 1.35, 0.45), (0.0, 0.0, 0.95), (0.0, 0.95, 0.0), 6000.0, panes=(3, 2), bar=0.05, top_gain=0.2)
    room = Room((-2.4, 0.0, 0.0), (1.8, 2.7, 4.4), 0.42, (window,), 6000.0 * 3.1416 * 0.95 * 0.95)
    cx, cy, cz = CRATE
    return Scene(
        camera=Camera((-0.12, 1.85, 3.3), (0.0, 0.95, 0.4), 190.0, 20.0, 2.85, landscape=True),
        things=tuple(
            _room_and_table() + crate_of_straw() + _plates() + _parcels() + _paper_and_string() + _under_the_table()
        ),
        lights=(window,),
        beyond=room,
        grid=GridBox((-0.95, 0.22, -0.06), (0.98, 1.60, 0.86), 0.0075),
        places={
            "sheet": (0.26, TABLE_Y + 0.01, 0.60),
            "plate-top": (-0.175, TABLE_Y + 0.130, 0.52),
            "parcel-top": (-0.52, TABLE_Y + 0.328, 0.30),
            "parcel-side": (-0.66, TABLE_Y + 0.10, 0.40),
            "straw": (cx + 0.01, cy + 0.205, cz + 0.09),
            "crate-slat": (cx, cy + 0.098, cz + 0.20),
            "wall": (0.0, 1.40, 0.0),
            "table-edge": (-0.3, TABLE_Y - 0.02, 0.765),
            "under-table": (-0.45, 0.56, 0.59),
            "jar-in-the-dark": (-0.09, 0.46, 0.50),
        },
        stops=(7.5, 9.3),
        clamp_cd_m2=700.0,
    )
