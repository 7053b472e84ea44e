"""One sitting: a white jug, a dark bottle, a ribbed bowl and a lidded jar on linen before a painted cloth, window light."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes import forms
from sim.workshop.scenes import vessels as v
from sim.workshop.scenes.camera import Camera
from sim.workshop.scenes.lights import Window
from sim.workshop.scenes.linen import Backdrop, Linen, Tablecloth
from sim.workshop.scenes.sdf import F32, Box, Joined, Vector
from sim.workshop.scenes.stage import GridBox, Room, Scene, Thing
from sim.workshop.scenes.vessels import Vessel
from sim.workshop.scenes.ware import Clay, Glaze

TABLE_Y = 0.78
STAND_Y = TABLE_Y + 0.001
BACK_Z = -0.62

PITCHER: forms.Profile = (
    (0.0, 0.004),
    (0.046, 0.003),
    (0.058, 0.001),
    (0.062, 0.006),
    (0.074, 0.035),
    (0.087, 0.085),
    (0.084, 0.135),
    (0.066, 0.185),
    (0.052, 0.222),
    (0.050, 0.250),
    (0.056, 0.278),
    (0.064, 0.292),
)
FLASK: forms.Profile = (
    (0.0, 0.004),
    (0.044, 0.003),
    (0.056, 0.001),
    (0.061, 0.007),
    (0.073, 0.050),
    (0.080, 0.110),
    (0.078, 0.165),
    (0.061, 0.215),
    (0.034, 0.248),
    (0.0215, 0.280),
    (0.0185, 0.335),
    (0.0195, 0.372),
    (0.0265, 0.386),
    (0.0275, 0.392),
)
RIBBED: forms.Profile = (
    (0.0, 0.005),
    (0.034, 0.004),
    (0.043, 0.001),
    (0.047, 0.005),
    (0.048, 0.014),
    (0.066, 0.028),
    (0.092, 0.052),
    (0.107, 0.082),
    (0.112, 0.104),
    (0.116, 0.112),
)


@dataclass(frozen=True)
class Fluted:
    """A pot with `count` ribs cut down its side, `deep_m` deep, fading out towards foot and lip. Slack 0.8."""

    pot: Vessel
    count: int
    deep_m: float
    low_m: float
    high_m: float

    def distance(self, p: F32) -> F32:
        d = self.pot.distance(p)
        r = np.hypot(p[0], p[2])
        turn = np.arctan2(p[2], p[0]) * np.float32(self.count)
        rib = np.abs(np.sin(turn * np.float32(0.5) + np.float32(0.25) * np.sin(p[1] * 40))) - np.float32(0.64)
        rise = np.clip((p[1] - np.float32(self.low_m)) / np.float32(0.014), 0, 1)
        fall = np.clip((np.float32(self.high_m) - p[1]) / np.float32(0.010), 0, 1)
        outside = np.clip((r - np.float32(0.02)) / np.float32(0.02), 0, 1)
        # Ribs on the outer skin only: the inner skin lies more than the wall's middle inside the outer one.
        outer = np.clip(self._outward(p) * 4, 0, 1)
        return np.asarray(d - np.float32(self.deep_m) * rib * rise * fall * outside * outer, np.float32)

    def _outward(self, p: F32) -> F32:
        """Above 0 where the nearest skin looks away from the axis or down, below 0 where it looks inward."""
        n = self.pot.normal(p)
        r = np.maximum(np.hypot(p[0], p[2]), np.float32(1e-6))
        return np.asarray((n[0] * p[0] + n[2] * p[2]) / r - n[1] * np.float32(0.4), np.float32)

    def box(self) -> tuple[F32, F32]:
        lo, hi = self.pot.box()
        grow = np.array([self.deep_m, 0, self.deep_m], np.float32)
        return lo - grow, hi + grow


def _cloth() -> list[Thing]:
    cloth = Tablecloth(
        (0.85, 0.2, 0.30),
        0.30,
        ridges=(
            (-0.20, -0.10, 62.0, 0.010, 0.011),
            (-0.05, -0.06, 100.0, 0.009, 0.009),
            (0.26, -0.12, 128.0, 0.011, 0.012),
            (0.08, -0.045, 20.0, 0.008, 0.006),
            (-0.33, -0.20, 30.0, 0.012, 0.010),
            (0.36, -0.28, 80.0, 0.010, 0.009),
        ),
        phase=1.3,
    )
    return [Thing(cloth, Linen(0.56, shift=6), at=(0.0, TABLE_Y, 0.16), slack=0.5)]


def _jug() -> Joined:
    """The pitcher with a handle pulled in one sweep: more sticks than usual, for it stands out against the ground."""
    pot = v.throw(PITCHER, 0.0052, ring_m=5e-5, oval=0.006)
    share = np.linspace(0, 1, 23)
    bulge = np.sin(np.pi * share) ** 0.72
    x = 0.083 + (0.0475 - 0.083) * share + 0.060 * bulge
    y = 0.080 + 0.166 * share + 0.017 * bulge
    points: tuple[Vector, ...] = tuple((float(a), float(b), 0.0) for a, b in zip(x, y, strict=True))
    return Joined((pot, Joined(v.strap(points, 0.0068), 0.0)), 0.009)


def _at_the_back() -> list[Thing]:
    """The white jug and the dark bottle."""
    white = Glaze(
        0.77,
        0.36,
        0.006,
        0.002,
        breaks=-0.35,
        speckle=0.12,
        depth_stops=0.07,
        ring_m=3e-5,
        lip_m=0.292,
        shift=5,
    )
    black = Glaze(
        0.042,
        0.20,
        0.020,
        0.006,
        breaks=1.0,
        rough=0.012,
        speckle=0.0,
        depth_stops=0.35,
        ring_m=2.5e-5,
        shift=14,
    )
    return [
        Thing(_jug(), white, at=(-0.135, STAND_Y, -0.10), yaw_deg=158, slack=0.9),
        Thing(v.throw(FLASK, 0.005, ring_m=3e-5, oval=0.005), black, at=(0.045, STAND_Y, -0.235), yaw_deg=60),
    ]


def _in_front() -> list[Thing]:
    """The ribbed bowl and the jar with its lid."""
    ribbed = Fluted(v.throw(RIBBED, 0.0056, oval=0.006), 26, 0.0021, 0.020, 0.102)
    ash = Glaze(
        0.36,
        0.26,
        0.014,
        0.003,
        breaks=0.7,
        rough=0.03,
        speckle=0.3,
        depth_stops=0.15,
        ring_m=0.0,
        lip_m=0.112,
        shift=21,
    )
    jar = v.throw(forms.scaled(forms.JAR, 0.90, 0.74), 0.0055, oval=0.007)
    lid = v.throw(forms.scaled(forms.LID, 1.0, 0.95), solid=True, oval=0.004)
    return [
        Thing(ribbed, ash, at=(0.045, STAND_Y, 0.015), yaw_deg=8, slack=0.8),
        Thing(jar, Clay(0.24, shift=27, ring_m=1.0e-4), at=(0.225, STAND_Y, -0.135), yaw_deg=130),
        Thing(lid, Clay(0.23, shift=29, ring_m=5e-5), at=(0.225, STAND_Y + 0.1835, -0.135), yaw_deg=20),
    ]


def still_life() -> Scene:
    """Build the scene; backdrop at z = -0.62, table front at z = 0.16, camera towards -z, window on the left."""
    window = Window(
        (-1.45, 0.80, 0.95), (0.0, 0.0, -1.25), (0.0, 1.35, 0.0), 2800.0, panes=(2, 3), bar=0.04, top_gain=0.25
    )
    room = Room((-1.45, 0.0, BACK_Z), (2.4, 2.7, 4.0), 0.40, (window,), 2800.0 * 3.1416 * 1.25 * 1.35)
    screen = Backdrop(0.15, 0.17, light_x_m=0.10, light_y_m=-0.02, reach_m=0.45, shift=4)
    return Scene(
        camera=Camera((0.02, 1.17, 1.74), (0.037, 0.965, -0.1), 210.0, 20.0, 1.80),
        things=(
            Thing(Box((1.4, 1.0, 0.02), 0.002), screen, at=(0.0, 1.05, BACK_Z - 0.02)),
            *_cloth(),
            *_at_the_back(),
            *_in_front(),
        ),
        lights=(window,),
        beyond=room,
        grid=GridBox((-0.75, 0.44, BACK_Z - 0.03), (0.75, 1.45, 0.30), 0.0062),
        places={
            "jug-light": (-0.185, TABLE_Y + 0.10, -0.04),
            "jug-shade": (-0.082, TABLE_Y + 0.055, -0.04),
            "bottle-body": (0.075, TABLE_Y + 0.15, -0.16),
            "bowl-ribs": (0.03, TABLE_Y + 0.06, 0.12),
            "bowl-inside": (0.08, TABLE_Y + 0.10, -0.05),
            "jar-shade": (0.27, TABLE_Y + 0.08, -0.06),
            "cloth-top": (-0.25, TABLE_Y + 0.002, 0.05),
            "cloth-fold": (0.10, TABLE_Y - 0.10, 0.17),
            "backdrop-light": (-0.30, 1.28, BACK_Z),
            "backdrop-dark": (0.43, 0.95, BACK_Z),
        },
        stops=(6.0, 7.8),
        clamp_cd_m2=500.0,
    )
