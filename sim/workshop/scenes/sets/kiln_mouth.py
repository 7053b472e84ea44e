"""The open mouth of a firing kiln in a dim brick room: the longest range of all, with pots to be found in the glow."""

from sim.workshop.scenes import forms
from sim.workshop.scenes import vessels as v
from sim.workshop.scenes.camera import Camera
from sim.workshop.scenes.lights import Window
from sim.workshop.scenes.masonry import Arch, ArchRing, BrickWall, Brickwork, LooseBrick
from sim.workshop.scenes.materials import Iron, Plaster, Wood
from sim.workshop.scenes.sdf import Box, Capsule, Carved, Moved
from sim.workshop.scenes.stage import GridBox, Room, Scene, Thing
from sim.workshop.scenes.ware import Clay, Glaze, Hot

SILL_Y, SPRING_Y, HALF = 0.80, 1.00, 0.165
MOUTH_X = 0.03
# Black-body luminance (Planck's law weighted with the eye's sensitivity, 683 lm/W): 1400 K gives about 2.3e3 cd/m2,
# 1333 K about 1.0e3, 1273 K about 4.3e2. A grey wall of reflectance rho adds (1 - rho) of that as its own light.
AT_1400_K = 2300.0
AT_1333_K = 1000.0
AT_1290_K = 540.0


def _front() -> list[Thing]:
    opening = Moved(Arch(HALF, SPRING_Y - SILL_Y, 0.4), (MOUTH_X, SILL_Y - 1.2, 0.0))
    wall = Carved(BrickWall((1.4, 1.2, 0.115)), (opening,), 0.006)
    skin = Brickwork(0.24, soot_stops=3.2, soot_x_m=MOUTH_X, soot_y_m=SPRING_Y + HALF - 1.2, soot_wide_m=0.22)
    things = [Thing(wall, skin, at=(0.0, 1.2, -0.115), slack=0.9)]
    things.append(
        Thing(
            ArchRing(HALF + 0.002, HALF + 0.118, 0.122, 13),
            LooseBrick(0.21, shift=21, ring=13),
            at=(MOUTH_X, SPRING_Y, -0.113),
            slack=0.85,
        )
    )
    iron = Iron(0.05, f0=0.12, rough=0.25, shift=3)
    things += [
        Thing(Box((0.30, 0.026, 0.10), 0.006), LooseBrick(0.30, shift=50), at=(MOUTH_X, SILL_Y - 0.027, 0.075)),
        Thing(Box((0.022, 1.2, 0.006), 0.002), iron, at=(-0.52, 1.2, 0.010)),
        Thing(Box((0.022, 1.2, 0.006), 0.002), iron, at=(0.60, 1.2, 0.010)),
        Thing(Box((1.4, 0.020, 0.006), 0.002), iron, at=(0.0, 1.475, 0.0225)),
        Thing(Capsule((0, 0, 0), (0, 0, 0.03), 0.015, 0.013), iron, at=(-0.52, 1.475, 0.02)),
        Thing(Capsule((0, 0, 0), (0, 0, 0.03), 0.015, 0.013), iron, at=(0.60, 1.475, 0.02)),
    ]
    return things


def _chamber() -> list[Thing]:
    """Glowing walls about kiln shelves with ware; each part's own light is (1 - reflectance) of its black-body luminance."""
    shell = Carved(
        Box((0.60, 0.52, 0.60)),
        (Box((0.48, 0.42, 0.52), 0.01), Moved(Box((0.40, 0.30, 0.3)), (0.0, -0.04, 0.45))),
        0.01,
    )
    bricks = Hot(0.6 * AT_1400_K, 0.22, 0.4, 0.35, 2)
    things = [Thing(shell, bricks, at=(MOUTH_X, 1.04, -0.84))]
    floor = 0.64
    ware = Hot(0.72 * AT_1333_K, 0.16, 0.28, 0.2, 5)
    cooler = Hot(0.72 * AT_1290_K, 0.16, 0.28, 0.2, 9)
    shelf = Hot(0.7 * AT_1290_K, 0.15, 0.3, 0.3, 7)
    things += [
        Thing(Box((0.36, 0.012, 0.20), 0.003), shelf, at=(MOUTH_X, floor + 0.155, -0.66)),
        Thing(Box((0.36, 0.012, 0.20), 0.003), shelf, at=(MOUTH_X, floor + 0.415, -0.68)),
        Thing(v.throw(forms.scaled(forms.JAR, 0.78, 0.85)), ware, at=(MOUTH_X - 0.10, floor + 0.167, -0.62)),
        Thing(v.throw(forms.scaled(forms.BOTTLE, 0.78, 0.76)), cooler, at=(MOUTH_X + 0.045, floor + 0.167, -0.56)),
        Thing(v.throw(forms.scaled(forms.BOWL, 0.62, 0.8)), ware, at=(MOUTH_X + 0.145, floor + 0.167, -0.60)),
        Thing(Box((0.018, 0.118, 0.018), 0.002), shelf, at=(MOUTH_X - 0.17, floor + 0.285, -0.74)),
        Thing(Box((0.018, 0.118, 0.018), 0.002), shelf, at=(MOUTH_X + 0.22, floor + 0.285, -0.74)),
        Thing(v.throw(forms.scaled(forms.CUP, 0.9, 0.9)), cooler, at=(MOUTH_X - 0.05, floor + 0.427, -0.58)),
        Thing(v.throw(forms.scaled(forms.CUP, 0.9, 0.9)), ware, at=(MOUTH_X + 0.06, floor + 0.427, -0.60)),
    ]
    return things


def _floor_ware() -> list[Thing]:
    things = [
        Thing(Box((2.5, 0.05, 2.5)), Plaster(0.16, relief_m=0.003, stain_stops=0.4, shift=13), at=(0.0, -0.05, 1.5)),
        Thing(
            v.throw(forms.scaled(forms.CROCK, 1.45, 1.5), 0.010), Clay(0.42, shift=3), at=(-0.42, 0.0, 0.62), yaw_deg=20
        ),
        Thing(
            v.throw(forms.scaled(forms.JAR, 1.15, 1.15), 0.006),
            Glaze(0.36, 0.36, 0.11, 0.02, rough=0.06, shift=7),
            at=(-0.08, 0.0, 0.88),
            yaw_deg=70,
        ),
        Thing(
            v.throw(forms.scaled(forms.BOTTLE, 1.15, 1.15), ring_m=3e-5),
            Glaze(0.05, 0.22, 0.03, 0.01, shift=9, ring_m=3e-5),
            at=(0.20, 0.0, 0.62),
        ),
        Thing(v.throw(forms.scaled(forms.BOWL, 1.25, 1.2), 0.006), Clay(0.5, shift=14), at=(0.27, 0.0, 1.02)),
        Thing(
            Capsule((0, 0.016, 0), (0.33, 1.75, -0.55), 0.015, 0.013),
            Wood(0.2, along=1, shift=4),
            at=(-0.94, 0.0, 0.60),
        ),
        Thing(Capsule((0, 0.010, 0), (-0.13, 1.42, -0.335), 0.008, 0.007), Iron(shift=8), at=(0.83, 0.0, 0.36)),
    ]
    return things + _door_bricks()


def _door_bricks() -> list[Thing]:
    """Bricks of the taken-down door, stacked by hand."""
    things = []
    for i, (x, y, z, yaw) in enumerate(
        (
            (0.55, 0, 0.40, 8),
            (0.56, 0, 0.53, -5),
            (0.53, 1, 0.45, 97),
            (0.64, 1, 0.44, 84),
            (0.57, 2, 0.46, 12),
            (0.60, 3, 0.44, -20),
        )
    ):
        things.append(
            Thing(
                Box((0.1075, 0.0325, 0.051), 0.005),
                LooseBrick(0.28 + 0.05 * (i % 3), shift=60 + i * 2.0),
                at=(x, 0.0326 + 0.0652 * y, z),
                yaw_deg=float(yaw),
            )
        )
    return things


def kiln_mouth() -> Scene:
    """Build the scene; face of the kiln at z = 0, camera towards -z."""
    mouth = Window(
        (MOUTH_X - HALF - 0.01, SILL_Y - 0.01, -0.232),
        (2 * HALF + 0.02, 0.0, 0.0),
        (0.0, SPRING_Y + HALF - SILL_Y + 0.02, 0.0),
        1900.0,
    )
    hatch = Window((-1.75, 1.95, 1.25), (0.0, 0.0, -0.75), (0.0, 0.5, 0.0), 800.0)
    flux = 3.1416 * (1900.0 * 0.10 + 800.0 * 0.375)
    room = Room((-1.75, 0.0, 0.0), (1.9, 2.6, 4.2), 0.16, (mouth, hatch), flux)
    return Scene(
        camera=Camera((0.20, 1.30, 3.5), (0.03, 0.72, 0.0), 165.0, 16.0, 3.0),
        things=tuple(_front() + _chamber() + _floor_ware()),
        lights=(mouth, hatch),
        beyond=room,
        grid=GridBox((-1.2, -0.06, -1.36), (1.2, 2.0, 1.3), 0.012),
        places={
            "kiln-glow": (MOUTH_X - 0.13, SPRING_Y - 0.03, -0.30),
            "bottle-in-fire": (MOUTH_X + 0.045, 0.87, -0.51),
            "mouth-reveal": (MOUTH_X - HALF, 0.95, -0.08),
            "sill-slab": (MOUTH_X, SILL_Y, 0.12),
            "brick-left": (-0.36, 1.05, 0.0),
            "brick-high": (0.25, 1.75, 0.0),
            "crock-body": (-0.36, 0.25, 0.79),
            "floor-shadow": (-0.62, 0.0, 0.50),
            "bowl-inside": (0.27, 0.06, 0.93),
        },
        stops=(12.0, 16.0),
        clamp_cd_m2=2600.0,
    )
