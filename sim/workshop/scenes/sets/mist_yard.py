"""The pottery's yard on a misty morning: bare trees, a shed, crates and pots by a wet cart track: the shortest range."""

from functools import lru_cache

import numpy as np

from sim.workshop.scenes import forms
from sim.workshop.scenes import vessels as v
from sim.workshop.scenes.camera import Camera
from sim.workshop.scenes.growth import Bark, bare_tree, thicket, tuft
from sim.workshop.scenes.land import DISTANCE, REST, Earth, Land, lay, ragged, strew
from sim.workshop.scenes.lights import Sun
from sim.workshop.scenes.materials import Iron, Plain, Wood
from sim.workshop.scenes.mist import Mist, MistySky
from sim.workshop.scenes.sdf import F32, Box, Capsule
from sim.workshop.scenes.stage import GridBox, Scene, Thing
from sim.workshop.scenes.timber import Boards, Crate, Gable, shed
from sim.workshop.scenes.ware import Clay, Glaze

LOW, HIGH, CELL = (-8.0, -23.0), (8.0, -2.2), 0.018


def _track(z: F32) -> F32:
    """Middle of the cart track (m) at a distance: it winds away to the left of the shed."""
    far = -z
    return np.asarray(-0.02 - 0.02 * (far - 4) + 0.10 * np.sin(far * 0.5 - 1.6), np.float32)


@lru_cache(maxsize=1)
def yard() -> Land:
    """Heights of the near yard: a track with two ruts holding water, grass beside and between them, clods and stones."""
    rng = np.random.Generator(np.random.PCG64(611))
    shape = (int((HIGH[0] - LOW[0]) / CELL), int((HIGH[1] - LOW[1]) / CELL))
    x = (LOW[0] + np.arange(shape[0]) * CELL)[:, None].astype(np.float32)
    z = (LOW[1] + np.arange(shape[1]) * CELL)[None, :].astype(np.float32)
    broad = ragged(shape, CELL, 6.0, 0.5, 2.6, rng)
    rough = ragged(shape, CELL, 0.5, 0.045, 2.4, rng)
    blades = ragged(shape, CELL, 0.12, 0.035, 1.5, rng)
    wander = ragged(shape, CELL, 1.6, 0.15, 2.8, rng)
    side = np.abs(x - _track(z) + 0.05 * wander)
    rut = np.exp(-(((side - 0.50) / 0.19) ** 4)) * (1 + 0.40 * broad)
    lip = np.exp(-(((side - 0.80) / 0.11) ** 2)) + np.exp(-(((side - 0.22) / 0.12) ** 2))
    verge = np.clip((side - 0.84) / 0.4, 0, 1)
    middle = np.exp(-((side / 0.22) ** 2)) * np.clip(0.55 + 0.6 * wander, 0, 1)
    grass = np.clip(verge * (0.82 + 0.3 * broad) + middle, 0, 1).astype(np.float32)
    basin = np.exp(-(((x + 0.30) / 0.75) ** 2) - ((z + 5.9) / 0.75) ** 2)
    height = 0.026 * broad - 0.085 * rut - 0.075 * basin + 0.034 * lip * (1 - basin) * (1 + 0.5 * wander) + 0.02 * verge
    wet = np.maximum(rut, basin)
    height = height + 0.010 * rough * (1 - 0.35 * np.clip(wet, 0, 1)) + 0.008 * grass * blades
    height = height.astype(np.float32)
    count = 900
    spots = np.stack(
        [rng.uniform(-3.5, 3.5, count), rng.uniform(-11.0, -2.5, count), rng.lognormal(np.log(0.014), 0.5, count)],
        axis=1,
    )
    strew(height, LOW, CELL, spots, rng)
    return lay(height, grass, LOW, CELL, -0.061)


def ground_m(x: float, z: float) -> float:
    """Height of the yard at a place."""
    return float(yard().read(np.array([[x], [0.0], [z]], np.float32), DISTANCE)[0, 0])


def _ground() -> list[Thing]:
    far = lay(np.full((4, 4), 0.0, np.float32), np.ones((4, 4), np.float32), (-80.0, -182.9), 40.0)
    return [
        Thing(yard(), Earth(yard(), 0.11, 0.15), shadows=False, slack=0.95),
        # Stands for the ground in the light grid, a little lower: rays that leave puddles at a flat angle get away from it.
        Thing(Box((6.0, 0.10, 10.4), 0.0), Plain(0.11), at=(0.0, -0.19, -12.6), seen=False),
        Thing(far, Earth(far, 0.1, 0.15, shift=3), at=(0.0, 0.01, 0.0), shadows=False),
    ]


def _shed() -> list[Thing]:
    x, z = 2.95, -11.2
    door = 0.5
    return [
        *shed((x, -0.05, z), -14.0, Gable(1.75, 2.15, 3.45, 1.6), 0.105, 620.0, 2.0),
        Thing(
            Box((0.47, 1.0, 0.03), 0.004),
            Boards(0.075, 0.157, upright=True, start_m=-0.47, spread_stops=0.5, damp_m=-0.6, shift=5),
            at=(x - 0.6 + 0.40, 0.99, z + 1.60),
            yaw_deg=-14,
        ),
        Thing(Box((door + 0.04, 0.04, 0.05), 0.004), Wood(0.07, shift=6), at=(x - 0.2, 2.04, z + 1.60), yaw_deg=-14),
    ]


def _fence() -> list[Thing]:
    """Posts and two rails going away along the left side."""
    rng = np.random.Generator(np.random.PCG64(612))
    spots = [(-1.62 - 0.055 * i * i * 0.35 - 0.12 * i, -4.9 - 2.15 * i) for i in range(8)]
    things = []
    for i, (x, z) in enumerate(spots):
        y = ground_m(x, z)
        tilt = rng.normal(0, 2.5, 2)
        things.append(
            Thing(
                Capsule((0, -0.2, 0), (0.01, 1.16 + float(rng.normal(0, 0.03)), 0), 0.060, 0.050),
                Wood(0.12, along=1, shift=70 + i, f0=0.0, relief_m=6e-4),
                at=(x, y, z),
                lean_x_deg=float(tilt[0]),
                lean_z_deg=float(tilt[1]),
                slack=0.95,
            )
        )
        if i + 1 < len(spots):
            nx, nz = spots[i + 1]
            end_y = ground_m(nx, nz)
            for high in (0.45, 0.95):
                sag = float(rng.normal(0, 0.035))
                things.append(
                    Thing(
                        Capsule(
                            (x + 0.055, y + high + sag, z + 0.12), (nx + 0.05, end_y + high, nz - 0.1), 0.036, 0.030
                        ),
                        Wood(0.13, along=2, shift=90 + i + high, f0=0.0, relief_m=5e-4),
                    )
                )
    return things


def _trees() -> list[Thing]:
    rows = (
        (3, 7.4, -2.5, -13.2, 0.0065, 1.0, 0.16),
        (8, 7.6, 1.15, -20.5, 0.009, 1.1, 0.16),
        (5, 8.5, -6.2, -24.0, 0.012, 1.0, 0.2),
        (12, 8.0, 6.0, -22.0, 0.011, 1.0, 0.2),
        (15, 9.0, -1.6, -31.0, 0.016, 1.1, 0.2),
    )
    things = []
    for seed, high, x, z, cell, spread, trunk in rows:
        card = bare_tree(seed, high, cell, spread, trunk)
        things.append(Thing(card, Bark(card, 0.085, shift=seed), at=(x, -0.02, z), shadows=False, slack=0.95))
    hedge = thicket(2, 26.0, 3.2, 46, 0.02)
    things.append(Thing(hedge, Bark(hedge, 0.08), at=(0.0, -0.05, -38.0), shadows=False))
    return things


def _crates() -> list[Thing]:
    """Crates with pots on the right of the track, a stick leaning on them, an iron bar on the ground."""
    x, z = 1.08, -4.85
    base = ground_m(x, z) + 0.005
    things = [
        Thing(
            Crate((0.33, 0.155, 0.23)),
            Boards(0.28, 0.1033, start_m=-0.155, shift=11),
            at=(x, base + 0.155, z),
            yaw_deg=9,
        ),
        Thing(
            Crate((0.33, 0.155, 0.23)),
            Boards(0.24, 0.1033, start_m=-0.155, shift=14),
            at=(x + 0.03, base + 0.468, z - 0.02),
            yaw_deg=-5,
        ),
        Thing(
            Crate((0.30, 0.13, 0.21), 2),
            Boards(0.3, 0.13, start_m=-0.13, shift=17),
            at=(x + 0.02, base + 0.755, z),
            yaw_deg=14,
        ),
    ]
    things += _pots(x, base + 0.66, z)
    stick = Capsule((0, 0.0, 0), (-0.34, 1.34, -0.2), 0.016, 0.014)
    things.append(Thing(stick, Wood(0.2, along=1, shift=31), at=(x + 0.40, base, z + 0.1)))
    bar = Capsule((0, 0, 0), (0.05, 0.0, 0.35), 0.013, 0.013)
    things.append(Thing(bar, Iron(shift=3), at=(0.5, base + 0.02, z - 1.6)))
    return things


def _pots(x: float, y: float, z: float) -> list[Thing]:
    """A jug and a crock standing in the uppermost crate."""
    return [
        Thing(
            v.throw(forms.scaled(forms.JUG, 1.15, 1.15), 0.006),
            Glaze(0.10, 0.2, 0.1, 0.02, rough=0.03, shift=4),
            at=(x - 0.10, y, z + 0.02),
        ),
        Thing(
            v.throw(forms.scaled(forms.CROCK, 0.9, 1.05), 0.007),
            Clay(0.4, shift=9),
            at=(x + 0.14, y, z - 0.03),
        ),
    ]


def _ware() -> list[Thing]:
    """Crates on the right of the track, jars waiting on the left."""
    things = _crates()
    for form, wide, high, skin, px, pz in (
        (forms.TALL, 1.75, 1.62, Glaze(0.20, 0.34, 0.20, 0.05, rough=0.05, shift=21), -1.22, -4.65),
        (forms.CROCK, 1.55, 1.45, Clay(0.34, shift=23), -0.88, -5.25),
        (forms.JAR, 1.25, 1.15, Clay(0.42, shift=25), -0.98, -4.2),
        (forms.JAR, 1.4, 1.45, Glaze(0.09, 0.18, 0.10, 0.03, rough=0.04, shift=27), 0.72, -4.3),
        (forms.BOWL, 1.5, 1.5, Clay(0.45, shift=29), 1.02, -3.98),
    ):
        things.append(
            Thing(
                v.throw(forms.scaled(form, wide, high), 0.010),
                skin,
                at=(px, ground_m(px, pz) - 0.012, pz),
                yaw_deg=40 * px,
                lean_z_deg=1.5,
            )
        )
    return things


def _grass() -> list[Thing]:
    """Tufts along the verges and the fence, thick in front, thinner away."""
    rng = np.random.Generator(np.random.PCG64(613))
    kinds = [tuft(i, 0.30 + 0.06 * (i % 3), 0.20 + 0.05 * (i % 4), 70, 0.0014) for i in range(9)]
    things: list[Thing] = []
    tries = 0
    while len(things) < 170 and tries < 6000:
        tries += 1
        z = -3.2 - 11.0 * rng.random() ** 1.9
        x = rng.uniform(-0.42, 0.42) * -z
        point = np.array([[x], [0.0], [z]], np.float32)
        cover = float(yard().read(point, REST)[0, 1])
        fence = abs(x + 1.7) < 0.5
        if rng.random() > (0.9 if fence else 0.75) * max(cover - 0.3, 0) * 1.6:
            continue
        card = kinds[int(rng.integers(len(kinds)))]
        flip = 180.0 if rng.random() < 0.5 else 0.0
        things.append(
            Thing(
                card,
                Bark(card, float(rng.uniform(0.20, 0.40)), 0.2, 0.3),
                at=(x, ground_m(x, z) - 0.012, z),
                yaw_deg=flip + float(rng.normal(0, 9)),
                lean_x_deg=float(rng.normal(0, 4)),
                shadows=False,
                slack=0.95,
            )
        )
    return things


def mist_yard() -> Scene:
    """Build the scene; camera over the cart track towards -z, standing at z = 0."""
    sky = MistySky(1750.0, (-0.20, 0.30, -1.0), 0.55, 0.34)
    return Scene(
        camera=Camera((0.0, 1.58, 0.0), (0.0, 1.58 - 0.03 * 5, -5.0), 140.0, 22.0, 5.4),
        things=tuple(_ground() + _shed() + _fence() + _trees() + _ware() + _grass()),
        lights=(Sun((-0.20, 0.42, -1.0), 17.0, 1500.0),),
        beyond=sky,
        grid=GridBox((-3.3, -0.25, -14.0), (4.9, 3.6, -2.2), 0.048),
        places={
            "glow-sky": (-0.4, 8.0, -20.0),
            "tree-trunk": (-2.5, 1.6, -13.2),
            "far-tree": (1.15, 1.7, -20.5),
            "shed-gable": (2.7, 2.3, -9.6),
            "shed-door": (2.75, 1.0, -9.55),
            "crate-side": (1.08, 0.25, -4.62),
            "jug-dark": (0.98, 0.80, -4.75),
            "tall-jar": (-1.22, 0.42, -4.50),
            "dark-jar": (0.72, 0.18, -4.17),
            "rut-water": (-0.35, -0.061, -5.9),
            "near-mud": (0.2, 0.0, -3.75),
        },
        stops=(2.0, 3.3),
        clamp_cd_m2=2500.0,
        air=Mist(sky),
    )
