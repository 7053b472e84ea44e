"""A clay pit under a great cloudy sky, against the light: dark wet earth far below a sky that wants burning in."""

from functools import lru_cache

import numpy as np

from sim.workshop.scenes.bust import WetClay
from sim.workshop.scenes.camera import Camera
from sim.workshop.scenes.clouds import CloudySky
from sim.workshop.scenes.draped import Rippled
from sim.workshop.scenes.growth import Bark, bare_tree, thicket, tuft
from sim.workshop.scenes.land import DISTANCE, REST, Dug, Earth, Land, lay, ragged, strew
from sim.workshop.scenes.lights import Sun
from sim.workshop.scenes.materials import Iron, Material, Wood, between
from sim.workshop.scenes.sdf import F32, Box, Capsule, Carved, Disc, Ellipsoid, Moved, Shape
from sim.workshop.scenes.stage import GridBox, Scene, Thing
from sim.workshop.scenes.timber import Gable, OnEdge, shed

LOW, HIGH, CELL = (-13.0, -27.0), (13.0, -2.6), 0.026
WATER_Y = -0.07


def _step(reach: F32, at: float, over: float) -> F32:
    return between(reach, at, at + over)


@lru_cache(maxsize=1)
def pit() -> Land:
    """Heights: a trodden floor with a pool, two benches cut back by the spade, grass land above."""
    rng = np.random.Generator(np.random.PCG64(621))
    shape = (int((HIGH[0] - LOW[0]) / CELL), int((HIGH[1] - LOW[1]) / CELL))
    x = (LOW[0] + np.arange(shape[0]) * CELL)[:, None].astype(np.float32)
    z = (LOW[1] + np.arange(shape[1]) * CELL)[None, :].astype(np.float32)
    broad = ragged(shape, CELL, 7.0, 0.6, 2.6, rng)
    rough = ragged(shape, CELL, 0.7, 0.08, 2.3, rng)
    blades = ragged(shape, CELL, 0.2, 0.055, 1.5, rng)
    reach = np.sqrt((0.80 * (x + 0.6)) ** 2 + (z + 2.5) ** 2) + 0.30 * broad
    along = np.arctan2(x + 0.6, -(z + 2.5)) * 9.0
    # Scallops left by cutting spit after spit, a different rhythm on each bench.
    low_cut = 0.16 * np.abs(np.sin(along * 3.4 + 0.8 * broad)) + 0.05 * rough
    high_cut = 0.20 * np.abs(np.sin(along * 2.6 + 1.0 + 0.8 * broad)) + 0.06 * rough
    lift = 1 + 0.22 * np.tanh(x / 5.0)
    height = 1.25 * lift * _step(reach + low_cut, 8.0, 0.42) + 1.45 * lift * _step(reach + high_cut, 9.9, 0.50)
    up = _step(reach, 10.2, 0.6)
    height = height + 0.10 * (reach - 10.4) * (reach > 10.4) * np.exp(-(reach - 10.4) / 18)
    talus = 0.30 * np.exp(-(((reach - 7.75) / 0.45) ** 2)) * (0.6 + 0.5 * broad) + 0.16 * np.exp(
        -(((reach - 9.55) / 0.3) ** 2)
    )
    pool = np.exp(-(((x + 1.5) / 1.7) ** 2) - ((z + 7.1) / 0.85) ** 2) + 0.8 * np.exp(
        -(((x - 0.1) / 0.5) ** 2) - ((z + 4.7) / 0.5) ** 2
    )
    height = (
        height
        + np.maximum(talus, 0)
        + 0.035 * broad
        - 0.17 * pool
        + 0.016 * rough * (1 - 0.5 * up)
        + 0.02 * up * blades
    )
    grass = np.clip(up * (0.9 + 0.2 * broad) + 0.5 * (reach > 8.5) * (reach < 9.6) * (broad > 0.9), 0, 1)
    height = height.astype(np.float32)
    bare = height.copy()
    strew(height, LOW, CELL, _stones(rng), rng)
    return lay(height, grass.astype(np.float32), LOW, CELL, WATER_Y, 1.1, bare)


def _stones(rng: np.random.Generator) -> np.ndarray:
    """Return where stones and lumps lie on the floor and at the foot of the benches, and how large they are."""
    count = 1500
    turn, away = rng.uniform(-1.3, 1.3, count), 7.6 + rng.normal(0, 0.75, count)
    away[:600] = rng.uniform(1.5, 7.0, 600)
    size = rng.lognormal(np.log(0.042), 0.55, count)
    size[:600] *= 0.6
    return np.stack([np.sin(turn) * away / 0.8 - 0.6, -2.5 - np.cos(turn) * away, np.minimum(size, 0.22)], axis=1)


def ground_m(x: float, z: float) -> float:
    """Height of the ground at a place."""
    return float(pit().read(np.array([[x], [0.0], [z]], np.float32), DISTANCE)[0, 0])


def _land() -> list[Thing]:
    low = ((-0.2, 0.09), (0.40, 0.12), (0.50, 0.26), (0.92, 0.30), (0.98, 0.09), (1.14, 0.10), (1.20, 0.24))
    high = ((1.70, 0.34), (1.95, 0.30), (2.02, 0.14), (2.40, 0.17), (2.55, 0.065), (3.1, 0.055))
    far = lay(np.zeros((4, 4), np.float32), np.ones((4, 4), np.float32), (-160.0, -346.9), 80.0)
    earth = Earth(pit(), 0.125, 0.12, 0.03, grit_m=2.6e-3)
    return [
        Thing(pit(), Dug(earth, low + high), shadows=False, slack=0.95),
        Thing(pit(), earth, at=(0.0, -0.06, -0.12), seen=False),
        Thing(far, Earth(far, 0.1, 0.10, shift=3), at=(0.0, 3.35, 0.0), shadows=False),
    ]


def _trees() -> list[Thing]:
    rows = (
        (21, 6.4, -6.4, -19.0, 0.009, 1.1, 0.15),
        (33, 4.6, -9.3, -21.5, 0.010, 1.2, 0.11),
        (27, 5.6, 7.4, -21.0, 0.010, 1.2, 0.14),
    )
    things = []
    for seed, high, x, z, cell, spread, trunk in rows:
        card = bare_tree(seed, high, cell, spread, trunk)
        things.append(
            Thing(card, Bark(card, 0.085, shift=seed), at=(x, ground_m(x, z) - 0.1, z), shadows=False, slack=0.95)
        )
    hedge = thicket(6, 40.0, 3.0, 90, 0.02)
    things.append(Thing(hedge, Bark(hedge, 0.085), at=(0.0, 3.2, -34.0), shadows=False))
    return things


LOAD = ((-0.16, -0.05, 0.17), (0.13, 0.06, 0.18), (0.0, -0.12, 0.15), (0.2, -0.14, 0.12), (-0.02, 0.1, 0.13))


def _lump(k: int, at: tuple[float, float, float], size: float, yaw: float) -> Thing:
    """One lump of wet clay in the barrow."""
    shape = Rippled(Ellipsoid((0, 0, 0), (size, size * 0.75, size * 0.85)), 0.018, 0.17, 1.3 * k)
    return Thing(shape, WetClay(0.15, 0.03, 0.28, shift=60 + k), at=at, yaw_deg=yaw + 40 * k, slack=0.6)


def _barrow(x: float, z: float, yaw: float) -> list[Thing]:
    """A navvy's wooden barrow loaded with clay: tray, shafts, legs and a spoked wheel, all turned together."""
    y = ground_m(x, z) + 0.01
    a = np.radians(yaw)

    def at(px: float, py: float, pz: float) -> tuple[float, float, float]:
        return (
            float(x + px * np.cos(a) + pz * np.sin(a)),
            float(y + py),
            float(z - px * np.sin(a) + pz * np.cos(a)),
        )

    wood = Wood(0.13, shift=3, f0=0.0)
    tray = Carved(Box((0.40, 0.15, 0.29), 0.008), (Moved(Box((0.375, 0.15, 0.265), 0.01), (0.0, 0.03, 0.0)),), 0.004)
    wheel = Carved(Disc(0.235, 0.022, 0.004), (Disc(0.185, 0.08, 0.0),), 0.003)
    things = [Thing(tray, wood, at=at(0, 0.49, 0), yaw_deg=yaw)]
    for side in (-1, 1):
        shaft = Capsule((-0.95, 0.06, 0.30 * side), (0.78, -0.12, 0.10 * side), 0.026, 0.028)
        leg = Capsule((-0.32, 0.0, 0.27 * side), (-0.40, -0.42, 0.29 * side), 0.024, 0.020)
        things.append(Thing(shaft, wood, at=at(0, 0.36, 0), yaw_deg=yaw))
        things.append(Thing(leg, wood, at=at(0, 0.40, 0), yaw_deg=yaw))
    hub = at(0.74, 0.235, 0)
    things.append(Thing(OnEdge(wheel), wood, at=hub, yaw_deg=yaw))
    for k in range(4):
        t = np.radians(45 * k + 11)
        end = (0.2 * float(np.cos(t)), 0.2 * float(np.sin(t)), 0.0)
        things.append(Thing(Capsule((-end[0], -end[1], 0), end, 0.014, 0.014), wood, at=hub, yaw_deg=yaw))
    return things + [_lump(k, at(px, 0.63 + 0.02 * (k % 2), pz), size, yaw) for k, (px, pz, size) in enumerate(LOAD)]


def _spade(x: float, z: float, yaw: float, lean_x: float, lean_z: float) -> list[Thing]:
    """A digging spade stuck upright: blade, strapped socket, shaft and cross handle."""
    at = (x, ground_m(x, z) - 0.10, z)
    wood, iron = Wood(0.20, along=1, shift=9 + x, f0=0.03), Iron(0.07, f0=0.16, shift=5)
    parts: tuple[tuple[Shape, Material], ...] = (
        (Moved(Box((0.085, 0.16, 0.005), 0.004), (0, 0.16, 0)), iron),
        (Capsule((0, 0.27, 0.004), (0, 0.48, 0.004), 0.020, 0.018), iron),
        (Capsule((0, 0.40, 0), (0, 1.06, 0), 0.017, 0.0165), wood),
        (Capsule((-0.062, 1.07, 0), (0.062, 1.07, 0), 0.0165, 0.0165), wood),
    )
    return [Thing(s, m, at=at, yaw_deg=yaw, lean_x_deg=lean_x, lean_z_deg=lean_z) for s, m in parts]


def _diggings() -> list[Thing]:
    """A plank run for the barrow, cut blocks of clay waiting in a row, a bucket's worth of tools."""
    things = []
    for x, z, yaw, length in ((1.2, -4.7, 62, 1.25), (0.55, -7.0, 78, 1.3)):
        things.append(
            Thing(
                Box((length, 0.02, 0.11), 0.004),
                Wood(0.16, shift=12 + x, f0=0.02),
                at=(x, ground_m(x, z) + 0.035, z),
                yaw_deg=yaw,
                lean_z_deg=1.0,
            )
        )
    rng = np.random.Generator(np.random.PCG64(622))
    for row in range(2):
        for k in range(6 - row):
            x, z = 2.35 + 0.27 * k + 0.13 * row, -6.1 - 0.05 * k
            block = Rippled(Box((0.115, 0.085, 0.10), 0.02), 0.008, 0.14, float(k + 3 * row))
            things.append(
                Thing(
                    block,
                    WetClay(0.17 + 0.03 * float(rng.random()), 0.03, 0.25, shift=80 + 7 * row + k),
                    at=(x, ground_m(2.9, -6.2) + 0.09 + 0.165 * row, z),
                    yaw_deg=float(rng.normal(6, 8)),
                    slack=0.6,
                )
            )
    return things


def _grass() -> list[Thing]:
    """Tufts along the rim and on the floor."""
    rng = np.random.Generator(np.random.PCG64(623))
    kinds = [tuft(40 + i, 0.40, 0.26 + 0.06 * (i % 3), 60, 0.002) for i in range(6)]
    things: list[Thing] = []
    for _ in range(4000):
        if len(things) >= 90:
            break
        x, z = float(rng.uniform(-7, 7)), float(rng.uniform(-16, -3.2))
        cover = float(pit().read(np.array([[x], [0.0], [z]], np.float32), REST)[0, 1])
        if rng.random() > (0.75 if cover > 0.5 else 0.02):
            continue
        card = kinds[int(rng.integers(len(kinds)))]
        yaw = 180.0 * float(rng.integers(2)) + float(rng.normal(0, 9))
        things.append(
            Thing(
                card,
                Bark(card, float(rng.uniform(0.07, 0.16)), 0.2, 0.3),
                at=(x, ground_m(x, z) - 0.015, z),
                yaw_deg=yaw,
                shadows=False,
                slack=0.95,
            )
        )
    return things


def clay_pit() -> Scene:
    """Build the scene; camera on the floor of the pit at z = 0 towards -z, sheet lying on its side."""
    sun = (0.62, 0.40, -1.0)
    hut = shed((5.6, ground_m(4.6, -15.5) - 0.1, -16.5), -24.0, Gable(1.3, 1.8, 2.7, 1.5), 0.075, 0.0, 4.0)
    return Scene(
        camera=Camera((0.0, 1.68, 0.0), (0.0, 1.90, -5.0), 108.0, 22.0, 7.0, landscape=True),
        things=tuple(
            _land()
            + _trees()
            + hut
            + _barrow(1.62, -5.4, 150.0)
            + _spade(0.55, -5.2, 20, -7, 6)
            + _spade(2.28, -4.85, -35, 5, -7)
            + _diggings()
            + _grass()
        ),
        lights=(Sun(sun, 7.0, 7500.0),),
        beyond=CloudySky(sun=sun, behind=3900.0, ground=350.0),
        grid=GridBox((-7.5, -0.4, -14.5), (7.5, 4.2, -2.6), 0.06),
        places={
            "cloud-bright": (8.33, 10.25, -20.0),
            "cloud-base": (-4.0, 6.8, -20.0),
            "cloud-middle": (-1.0, 9.0, -20.0),
            "tree-trunk": (-6.4, 4.4, -19.0),
            "shed-wall": (4.96, 4.34, -15.1),
            "face-pale": (-1.5, 1.7, -12.0),
            "face-low": (-0.5, 0.75, -10.4),
            "pool": (-1.5, WATER_Y, -7.1),
            "barrow-clay": (1.75, 0.72, -5.2),
            "barrow-side": (1.75, 0.45, -5.0),
            "near-floor": (-0.6, 0.0, -4.7),
        },
        stops=(6.0, 8.5),
        clamp_cd_m2=1500.0,
    )
