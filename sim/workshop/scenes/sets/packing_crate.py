"""The crate on the packing table: slats, straw, and ware going in."""

import numpy as np

from sim.workshop.scenes import forms
from sim.workshop.scenes import packing as k
from sim.workshop.scenes import vessels as v
from sim.workshop.scenes.materials import Material, Wood
from sim.workshop.scenes.sdf import Box, Capsule, Joined, Shape, Vector
from sim.workshop.scenes.stage import Thing
from sim.workshop.scenes.ware import Glaze
from sim.workshop.scenes.wrapping import Stalks

TABLE_Y = 0.80
CRATE = (0.37, TABLE_Y, 0.36)
HALF = (0.29, 0.10, 0.20)
YAW = -7.0


def _put(shape: Shape, skin: Material, at: Vector, slack: float = 1.0) -> Thing:
    """A part given in the crate's own frame."""
    turn = np.radians(YAW)
    x, y, z = at
    wx, wz = x * np.cos(turn) + z * np.sin(turn), -x * np.sin(turn) + z * np.cos(turn)
    return Thing(shape, skin, at=(CRATE[0] + float(wx), CRATE[1] + y, CRATE[2] + float(wz)), yaw_deg=YAW, slack=slack)


def _slats() -> list[Thing]:
    hx, hy, hz = HALF
    wood = 0.30
    things = [_put(Box((hx, 0.008, hz), 0.002), Wood(wood, shift=61), (0, 0.008, 0))]
    for i, y in enumerate((0.038, 0.101, 0.164)):
        for side in (-1, 1):
            skin = Wood(wood + 0.05 * (i % 2), shift=62.0 + 3 * i + side)
            slat = Box((hx + 0.011, 0.0265, 0.0055), 0.0015, 0.0008 * i)
            things.append(_put(slat, skin, (0, y + 0.004 * side * (i - 1), side * hz)))
            end = Wood(wood, along=2, shift=72.0 + 3 * i + side)
            things.append(_put(Box((0.0055, 0.0265, hz - 0.006), 0.0015), end, (side * hx, y, 0)))
    for sx in (-1, 1):
        for sz in (-1, 1):
            post = Wood(0.26, along=1, shift=80.0 + 3 * sx + sz)
            things.append(_put(Box((0.016, hy, 0.010), 0.0015), post, (sx * (hx - 0.014), hy, sz * (hz - 0.017))))
    return things


def crate_of_straw() -> list[Thing]:
    """An open crate with straw in it, white plates and a dark bowl half sunk in, stalks hanging over its edge."""
    cx, cy, cz = CRATE
    hx, _, hz = HALF
    heap = k.Straw(hx - 0.009, hz - 0.009, 0.200, 0.080, seed=5)
    white = Glaze(0.74, 0.34, -0.1, 0.0, breaks=-0.5, speckle=0.2, depth_stops=0.1, shift=33, ring_m=3e-5)
    plate = v.throw(forms.PLATE, 0.0046, 0.005, oval=0.005)
    bowl = v.throw(forms.scaled(forms.BOWL, 0.86, 0.95), 0.0046, oval=0.006)
    ware = [
        Thing(plate, white, at=(cx - 0.115, cy + 0.185, cz + 0.02), lean_x_deg=-4, lean_z_deg=74),
        Thing(plate, white, at=(cx - 0.085, cy + 0.185, cz + 0.025), lean_x_deg=-2, lean_z_deg=77),
        Thing(
            bowl,
            Glaze(0.09, 0.26, 0.015, 0.006, breaks=0.9, shift=37, ring_m=3e-5),
            at=(cx + 0.12, cy + 0.165, cz + 0.03),
            lean_x_deg=14,
            lean_z_deg=-9,
        ),
    ]
    return [*_slats(), _put(heap, Stalks(heap, 0.46, shift=3), (0, 0, 0), slack=0.5), *ware, *_stray_straw()]


def _stray_straw() -> list[Thing]:
    """Stalks hanging over the edge of the crate and lying about."""
    rng = np.random.Generator(np.random.PCG64(12))
    cx, cy, cz = CRATE
    things = []
    for _ in range(26):
        x, z = cx + rng.uniform(-0.27, 0.25), cz + 0.185 + rng.uniform(-0.06, 0.015)
        y = cy + 0.198 + rng.uniform(-0.02, 0.006)
        out, fall = rng.uniform(0.02, 0.07), rng.uniform(-0.075, -0.01)
        lean = rng.uniform(-0.06, 0.06)
        a: Vector = (float(x), float(y), float(z))
        b: Vector = (float(x + 0.4 * lean), float(y + 0.012), float(z + 0.5 * out))
        c: Vector = (float(x + lean), float(y + fall), float(z + out))
        stalk = Joined((Capsule(a, b, 0.0011, 0.0011), Capsule(b, c, 0.0011, 0.0009)), 0.002)
        things.append(Thing(stalk, Wood(0.40, contrast=1.5, shift=float(rng.uniform(0, 50))), shadows=False))
    for _ in range(16):
        x, z = rng.uniform(-0.25, 0.75), 0.60 + rng.uniform(-0.04, 0.15)
        turn, long = rng.uniform(0, np.pi), rng.uniform(0.02, 0.055)
        dx, dz = float(np.cos(turn) * long), float(np.sin(turn) * long)
        lie = (
            Capsule((-dx, 0.0016, -dz), (0, 0.004, 0), 0.0013, 0.0014),
            Capsule((0, 0.004, 0), (dx, 0.0018, dz * 0.7), 0.0014, 0.0012),
        )
        things.append(
            Thing(
                Joined(lie, 0.001),
                Wood(0.42, contrast=1.5, shift=float(rng.uniform(0, 50))),
                at=(float(x), TABLE_Y, float(z)),
                shadows=False,
            )
        )
    return things
