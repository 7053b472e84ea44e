"""The potter of the turned figure: trunk, head, arms and legs in the figure's own frame."""

import numpy as np

from sim.workshop.scenes import figure as f
from sim.workshop.scenes.materials import Material, Wood
from sim.workshop.scenes.sdf import Capsule, Disc, Ellipsoid, Joined, Shape, Vector
from sim.workshop.scenes.stage import Thing

PLACE: Vector = (0.20, 0.0, 0.05)
YAW = 243.0
BAND = f.Bands(0.775)


def own(shape: Shape, skin: Material, slack: float = 1.0) -> Thing:
    """A part given in the figure's own frame."""
    return Thing(shape, skin, at=PLACE, yaw_deg=YAW, slack=slack)


def in_world(p: Vector) -> Vector:
    """A point of the figure's frame in the room."""
    a = np.radians(YAW)
    x, y, z = p
    return (
        PLACE[0] + float(np.cos(a) * x + np.sin(a) * z),
        PLACE[1] + y,
        PLACE[2] + float(-np.sin(a) * x + np.cos(a) * z),
    )


def _trunk() -> list[Thing]:
    body = Joined(
        (
            Ellipsoid((0, 0.62, -0.03), (0.165, 0.13, 0.125)),
            Ellipsoid((0, 0.80, 0.005), (0.140, 0.17, 0.105)),
            Ellipsoid((0, 0.985, 0.070), (0.158, 0.165, 0.112)),
            Capsule((-0.155, 1.088, 0.115), (0.155, 1.088, 0.115), 0.058, 0.058),
            Capsule((0.0, 1.10, 0.105), (0.0, 1.165, 0.15), 0.075, 0.058),
            Capsule((-0.10, 1.10, 0.10), (-0.03, 1.165, 0.14), 0.048, 0.045),
            Capsule((0.10, 1.10, 0.10), (0.03, 1.165, 0.14), 0.048, 0.045),
        ),
        0.07,
    )
    pulls = (
        (0.150, 1.00, 0.09, 0.15, 0.45),
        (-0.150, 1.00, 0.09, 0.15, 0.45),
        (0.0, 0.98, -0.06, 0.16, 0.4),
        (0.10, 0.90, -0.06, 0.14, 0.35),
    )
    shirt = f.Clothed(body, 0.0078, 0.088, (0.30, 1.0, 0.1), pulls, 0.7, BAND)
    return [own(shirt, f.Worn(0.46, band=BAND, yoke_m=1.062, shift=3), 0.55), *_bow()]


def _bow() -> list[Thing]:
    y, z = 0.79, -0.122
    loops: list[Shape] = [Ellipsoid((0.0, y, z), (0.016, 0.013, 0.010))]
    for s in (-1.0, 1.0):
        loop = (
            (0.0, y, z),
            (0.04 * s, y + 0.022, z - 0.012),
            (0.072 * s, y + 0.002, z - 0.010),
            (0.04 * s, y - 0.012, z - 0.006),
        )
        loops += f.chain(loop, (0.004, 0.005, 0.006, 0.004))
        loops += f.chain(
            ((0.0, y, z), (0.03 * s, y - 0.06, z - 0.008), (0.045 * s, y - 0.15, z + 0.0)), (0.005, 0.006, 0.0065)
        )
    return [own(Joined(tuple(loops), 0.006), f.Worn(0.12, shift=8))]


def _head() -> list[Thing]:
    place: Vector = (0.0, 1.315, 0.222)
    face, hair, bun = f.head_parts()

    def turned(shape: Shape) -> f.Tilted:
        return f.Tilted(shape, place, 22.0, 4.0, -3.0)

    dark = Wood(0.045, along=2, contrast=0.8, f0=0.045, rough=0.28, shift=7)
    return [
        own(turned(face), f.Flesh(0.28, shift=2), 0.9),
        own(turned(f.Combed(hair, (0.0, 0.035, -0.10))), dark, 0.8),
        own(turned(f.Combed(bun, (0.0, 0.035, -0.06), 0.0014, 22.0)), dark, 0.8),
        own(turned(f.ear(1.0)), f.Flesh(0.28, shift=4)),
    ]


def _neck() -> list[Thing]:
    """The neck and the collar of the shirt."""
    neck = Joined(
        (
            Capsule((0, 1.13, 0.135), (0.0, 1.27, 0.195), 0.056, 0.050),
            Capsule((0.05, 1.13, 0.16), (0.045, 1.28, 0.19), 0.022, 0.014),
        ),
        0.02,
    )
    collar = Capsule((0.0, 1.145, 0.135), (0.0, 1.178, 0.155), 0.074, 0.064)
    return [
        own(neck, f.Flesh(0.27, shift=6)),
        own(f.Clothed(collar, 0.003, 0.07, phase=2.0), f.Worn(0.46, shift=5), 0.6),
    ]


def _sleeve(side: float) -> list[Thing]:
    """A sleeve down to the elbow, its cuff rolled over twice below it."""
    shoulder: Vector = (0.168 * side, 1.085, 0.118)
    upper = Joined(
        (Capsule(shoulder, _elbow(side), 0.062, 0.051), Capsule(_elbow(side), _along(side, 0.14), 0.051, 0.050)), 0.03
    )
    sleeve = f.Clothed(upper, 0.0056, 0.046, (0.8 * side, 0.5, 0.3), phase=1.0 + side)
    things = [own(sleeve, f.Worn(0.46, shift=11 + side), 0.55)]
    for i, (at, radius, tilt) in enumerate(((0.235, 0.0535, 5.0), (0.300, 0.0515, -3.0))):
        turn = f.Tilted(Disc(radius, 0.0135, 0.009), _along(side, at), 84.0 + tilt, -side * (30.0 + tilt))
        cuff = f.Clothed(turn, 0.0013, 0.036, (0.5, 0.1, -0.8 * side), phase=2.0 * side + i)
        things.append(own(cuff, f.Worn(0.49, shift=14 + side + 3 * i), 0.65))
    return things


def _arm(side: float) -> list[Thing]:
    """Forearm and hand."""
    forearm = Joined(
        (
            *f.chain((_elbow(side), (0.168 * side, 0.853, 0.355), _wrist(side)), (0.043, 0.041, 0.0265)),
            Ellipsoid((0.190 * side, 0.850, 0.315), (0.042, 0.043, 0.060)),
            Ellipsoid((0.098 * side, 0.868, 0.462), (0.024, 0.030, 0.030)),
        ),
        0.03,
    )
    hand = f.Tilted(f.hand(side), _wrist(side), 4.0, -side * 24.0, side * 6.0)
    return [
        *_sleeve(side),
        own(forearm, f.Flesh(0.27, 0.25, shift=17 + side)),
        own(hand, f.Flesh(0.25, 0.75, shift=21 + side)),
    ]


def _elbow(side: float) -> Vector:
    return (0.232 * side, 0.835, 0.235)


def _wrist(side: float) -> Vector:
    return (0.096 * side, 0.868, 0.468)


def _along(side: float, share: float) -> Vector:
    """A point between elbow and wrist."""
    (ax, ay, az), (bx, by, bz) = _elbow(side), _wrist(side)
    return (ax + (bx - ax) * share, ay + (by - ay) * share, az + (bz - az) * share)


def _legs() -> list[Thing]:
    out = []
    for side in (-1.0, 1.0):
        hip: Vector = (0.09 * side, 0.575, -0.01)
        knee: Vector = (0.225 * side, 0.575, 0.40)
        foot: Vector = (0.235 * side, 0.10, 0.36)
        thigh = Joined((Capsule(hip, knee, 0.098, 0.070), Capsule(knee, foot, 0.068, 0.058)), 0.05)
        out.append(
            own(
                f.Clothed(thigh, 0.0058, 0.105, (0.3 * side, 0.4, 0.9), phase=3.0 + side),
                f.Worn(0.11, 0.3, shift=24 + side),
                0.55,
            )
        )
    lap = Ellipsoid((0.0, 0.615, 0.20), (0.20, 0.040, 0.21))
    out.append(own(f.Clothed(lap, 0.006, 0.10, (0.1, 0.2, 0.9), phase=0.4), f.Worn(0.12, 0.5, shift=29), 0.55))
    return out


def potter() -> list[Thing]:
    """The whole person, seated, bent over the wheel."""
    return [*_legs(), *_trunk(), *_head(), *_neck(), *_arm(1.0), *_arm(-1.0)]
