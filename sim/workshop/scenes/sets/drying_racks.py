"""Drying racks: boards of raw cups, bowls and jugs going back into the dark, a window to the left; quiet greys."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes import forms
from sim.workshop.scenes import greenware as g
from sim.workshop.scenes import vessels as v
from sim.workshop.scenes.camera import Camera
from sim.workshop.scenes.forms import Profile
from sim.workshop.scenes.lights import Window
from sim.workshop.scenes.linen import Linen, Tented
from sim.workshop.scenes.materials import Plaster, Wood
from sim.workshop.scenes.sdf import Box, Ellipsoid, Shape
from sim.workshop.scenes.stage import GridBox, Room, Scene, Thing

TIERS = (0.52, 0.865, 1.20, 1.555)
COLUMNS = (-0.375, -0.14, 0.095, 0.44, 0.675)
BACK_Z = -1.62
SEED = 71


@dataclass(frozen=True)
class Batch:
    """One board's worth of one form: profile, wall, spacing (m), tone, dampness, rows across, perhaps a handle."""

    profile: Profile
    wall_m: float
    pitch_m: float
    tone: float
    dry_from_m: float
    rows: int = 1
    handle: tuple[float, float, float, float] | None = None


MUGS = Batch(g.MUG, 0.0040, 0.112, 0.50, 0.030, 2, (0.0385, 0.052, 0.026, 0.029))
MUGS_WET = Batch(g.MUG, 0.0042, 0.112, 0.44, 0.085, 2, (0.0385, 0.052, 0.026, 0.029))
BEAKERS = Batch(g.BEAKER, 0.0038, 0.104, 0.54, 0.020, 2)
PORRINGERS = Batch(g.PORRINGER, 0.0046, 0.166, 0.48, 0.028)
BOWLS = Batch(forms.scaled(forms.BOWL, 0.76, 0.84), 0.0046, 0.186, 0.52, 0.022)
DISHES = Batch(g.DISH, 0.0052, 0.208, 0.42, 0.040)
JUGS = Batch(g.BELLIED, 0.0048, 0.176, 0.50, 0.050, 1, (0.060, 0.098, 0.046, 0.052))
JARS = Batch(forms.scaled(forms.JAR, 0.80, 0.78), 0.0050, 0.172, 0.46, 0.12)

# What stands on each board: (tier, column) -> batch, places left empty counted from the front.
ORDER: dict[tuple[int, int], tuple[Batch, tuple[int, ...]]] = {
    (3, 0): (JUGS, ()),
    (3, 1): (JUGS, (1,)),
    (3, 2): (JARS, ()),
    (3, 3): (JARS, ()),
    (2, 0): (MUGS, ()),
    (2, 1): (MUGS_WET, (3,)),
    (2, 2): (BEAKERS, (0, 1, 4)),
    (1, 0): (PORRINGERS, ()),
    (1, 1): (BOWLS, ()),
    (1, 2): (BOWLS, (0,)),
    (1, 3): (PORRINGERS, ()),
    (0, 0): (DISHES, ()),
    (0, 1): (DISHES, (0,)),
    (0, 2): (JARS, ()),
    (0, 3): (JUGS, ()),
}


def _shapes(batch: Batch, rng: np.random.Generator, count: int) -> list[Shape]:
    """A few pots thrown to one measure by hand: widths within 3 %, heights within 5 %, never quite round."""
    out: list[Shape] = []
    for _ in range(count):
        wide, high = 1 + 0.03 * rng.uniform(-1, 1), 1 + 0.05 * rng.uniform(-1, 1)
        oval = 0.006 + 0.012 * rng.uniform()
        pot = v.throw(forms.scaled(batch.profile, wide, high), batch.wall_m, ring_m=1.1e-4, oval=oval)
        out.append(g.with_ear(pot, *batch.handle) if batch.handle else pot)
    return out


def _boardful(tier: int, column: int, batch: Batch, empty: tuple[int, ...], rng: np.random.Generator) -> list[Thing]:
    shapes = _shapes(batch, rng, 4)
    things = []
    slot = 0
    across = 0.047 if batch.rows == 2 else 0.0
    for step in range(int(1.12 / batch.pitch_m)):
        for row in range(batch.rows):
            slot += 1
            if slot - 1 in empty:
                continue
            z = -0.075 - batch.pitch_m * (step + 0.5 * row) + rng.uniform(-0.006, 0.006)
            x = COLUMNS[column] + across * (2 * row - 1) + rng.uniform(-0.005, 0.005)
            yaw = rng.uniform(0, 360) if batch.handle is None else 25 + 40 * rng.uniform(-1, 1) + 180 * (row == 0)
            damp = batch.dry_from_m * (1 + 0.35 * rng.uniform(-1, 1)) + 0.03 * max(0.0, -z - 0.4)
            things.append(
                Thing(
                    shapes[int(rng.integers(4))],
                    g.Greenware(
                        batch.tone * float(2 ** (0.22 * rng.uniform(-1, 1))),
                        0.75 + 0.3 * rng.uniform(),
                        damp,
                        0.016 + 0.014 * rng.uniform(),
                        shift=float(rng.uniform(0, 90)),
                    ),
                    at=(x, TIERS[tier] + 0.0004, z),
                    yaw_deg=float(yaw),
                    slack=0.9 if batch.handle else 1.0,
                )
            )
    return things


def _boards(rng: np.random.Generator) -> list[Thing]:
    things = []
    for tier, top in (*enumerate(TIERS), (4, 1.93)):
        for column, x in enumerate(COLUMNS):
            out = 0.045 * rng.uniform(-1, 1) + 0.02
            if (tier, column) == (2, 3):
                out = -0.012  # the cloth hangs over its end
            marks: tuple[tuple[float, float, float], ...] = ()
            if (tier, column) == (2, 2):
                marks = ((-0.047, 0.52, 0.029), (0.049, 0.465, 0.029), (-0.05, 0.31, 0.028))
            elif (tier, column) == (1, 2):
                marks = ((0.0, 0.56, 0.030),)
            things.append(
                Thing(
                    Box((0.097, 0.0115, 0.68), 0.003),
                    g.DustyBoard(
                        Wood(0.22 + 0.10 * rng.uniform(), along=2, relief_m=9e-5, shift=float(rng.uniform(0, 60))),
                        0.44,
                        0.35 + 0.5 * rng.uniform(),
                        marks,
                        float(rng.uniform(0, 60)),
                    ),
                    at=(x, top - 0.0115, -0.64 + out),
                    yaw_deg=float(rng.uniform(-1.1, 1.1)),
                )
            )
    return things


def _frame() -> list[Thing]:
    things = []
    for top in (*TIERS, 1.93):
        for z in (-0.14, -1.22):
            things.append(
                Thing(
                    Box((0.88, 0.026, 0.021), 0.003),
                    g.DustyBoard(Wood(0.20, shift=top * 9 + z), 0.4, 0.3, shift=top * 5),
                    at=(0.10, top - 0.023 - 0.027, z),
                )
            )
    for i, (x, z) in enumerate(((-0.54, -0.14), (0.268, -0.185), (0.84, -0.14), (-0.54, -1.27), (0.268, -1.27))):
        things.append(Thing(Box((0.024, 1.2, 0.024), 0.003), Wood(0.19, along=1, shift=3.0 + 5 * i), at=(x, 1.15, z)))
    return things


def _cloth() -> list[Thing]:
    """A damp cloth over the pots of one board."""
    poles = tuple(
        (0.012 * (-1) ** step, -0.085 - 0.152 * step, 0.056 + 0.004 * (step % 3), 0.080 + 0.010 * ((step * 2) % 3))
        for step in range(6)
    )
    cloth = Tented(poles, 0.108, -1.0, 0.066, hem_m=-0.075, sag_m=0.055, crease_m=0.010)
    return [Thing(cloth, Linen(0.40, stain_stops=0.13, shift=17), at=(COLUMNS[3], TIERS[2], 0.0), slack=0.45)]


def _crumbs(rng: np.random.Generator) -> list[Thing]:
    """Crumbs and a curl of trimmed clay on the emptier boards."""
    things = []
    for _ in range(7):
        size = 0.0025 + 0.004 * rng.uniform()
        things.append(
            Thing(
                Ellipsoid((0, 0.6 * size, 0), (size, 0.7 * size, 0.8 * size)),
                g.Greenware(0.45, 0.3, shift=float(rng.uniform(0, 50))),
                at=(COLUMNS[2] + rng.uniform(-0.08, 0.08), TIERS[2], rng.uniform(-0.25, 0.0)),
                shadows=False,
            )
        )
    return things


PLACES = {
    "mug-rim": (-0.42, TIERS[2] + 0.09, -0.05),
    "cloth-top": (COLUMNS[3] - 0.01, TIERS[2] + 0.055, 0.0),
    "board-end": (COLUMNS[1], TIERS[2] - 0.011, 0.05),
    "post": (0.268, 1.35, -0.16),
    "jug-belly": (COLUMNS[0] + 0.02, TIERS[3] + 0.075, 0.0),
    "bowl-inside": (COLUMNS[1], TIERS[1] + 0.05, -0.1),
    "dish": (COLUMNS[1], TIERS[0] + 0.045, -0.2),
    "back-wall": (0.6, 1.45, BACK_Z),
    "jug-in-shade": (0.55, TIERS[0] + 0.02, -0.55),
    "cloth-shade": (0.395, TIERS[2] + 0.03, -0.72),
}


def drying_racks() -> Scene:
    """Build the scene; front of the racks at z = 0, boards running back along -z."""
    rng = np.random.Generator(np.random.PCG64(SEED))
    things = [
        Thing(Box((3.0, 2.0, 0.05)), Plaster(0.34, shift=8), at=(0.4, 1.2, BACK_Z - 0.05)),
        *_frame(),
        *_boards(rng),
        *_cloth(),
        *_crumbs(rng),
    ]
    for (tier, column), (batch, empty) in ORDER.items():
        things += _boardful(tier, column, batch, empty, rng)
    window = Window(
        (-2.1, 0.80, 1.05), (0.0, 0.0, -1.55), (0.0, 1.45, 0.0), 3200.0, panes=(2, 3), bar=0.05, top_gain=0.2
    )
    # An open door behind the camera: a little light into the gaps between the boards.
    door = Window((0.9, 0.2, 3.1), (-1.1, 0.0, 0.0), (0.0, 1.9, 0.0), 240.0)
    flux = 3.1416 * (3200.0 * 1.55 * 1.45 + 240.0 * 1.1 * 1.9)
    room = Room((-2.1, 0.0, BACK_Z), (2.6, 2.7, 3.2), 0.42, (window, door), flux)
    return Scene(
        camera=Camera((-0.58, 1.50, 1.98), (0.15, 1.115, -0.4), 180.0, 16.0, 2.18),
        things=tuple(things),
        lights=(window, door),
        beyond=room,
        grid=GridBox((-0.72, 0.38, BACK_Z - 0.06), (1.0, 2.05, 0.16), 0.0095),
        places=PLACES,
        stops=(5.4, 7.0),
        clamp_cd_m2=500.0,
    )
