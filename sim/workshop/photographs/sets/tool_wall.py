"""The tool wall: everything has its nail. Light rakes over grey planks; a large sheet, to be printed by contact."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs.form import Form, disc, rod, sheet, together, turned
from sim.workshop.photographs.growth import straw_skin
from sim.workshop.photographs.linen import linen
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.relief import uneven_plane
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing
from sim.workshop.photographs.surface import Cells, Cloudy, Material, Times
from sim.workshop.photographs.timber import board, old_wood, wood
from sim.workshop.photographs.yard import plank_wall

IRON = Material(
    Times(0.13, Cloudy(0.02, 0.5, 1.5)), Cloudy(0.01, 0.35, 0.6), 1.7, (Cloudy(0.003, -0.00012, 0.00012),), metal=0.7
)
PALE, DARK, GREY = wood(0.4, 0.5, "z"), wood(0.2, 0.8, "z"), old_wood(0.24, "x")


def _nail(x: float, z: float) -> Thing:
    return Thing(rod([(0, 0.02, 0), (0, -0.035, 0.004), (0, -0.038, 0.004)], [0.002, 0.002, 0.0042], 8), IRON, (x, -0.013, z))


def _loop_tool(x: float, z: float, long: float, wide: float) -> list[Thing]:
    """A turning tool: a handle, a ferrule, a loop of flat steel."""
    hold = turned(((0, 0), (0.007, 0), (0.0105, 0.35 * long), (0.008, 0.9 * long), (0.006, long), (0, long)), 0.003, 32)
    ferrule = turned(((0, 0), (0.0068, 0), (0.0058, 0.022), (0, 0.022)), 0.001, 32)
    loop = rod(
        [(-0.002, 0, 0), (-wide, 0, -0.03), (-0.7 * wide, 0, -0.052), (0.7 * wide, 0, -0.052), (wide, 0, -0.03), (0.002, 0, 0)],
        0.0022,
        8,
        8,
        flat=0.4,
    )
    y = -0.034
    return [
        _nail(x, z + long + 0.004),
        Thing(hold, PALE, (x, y, z)),
        Thing(ferrule, IRON, (x, y, z - 0.012)),
        Thing(loop, IRON, (x, y, z - 0.01)),
    ]


def _brush(x: float, z: float, long: float, head: float, seed: int) -> list[Thing]:
    """A glaze brush hanging head down: handle, binding, a bundle of hair still holding its last point."""
    chance = np.random.Generator(np.random.PCG64(seed))
    hairs = []
    for _ in range(130):
        a, r = chance.uniform(0, 2 * np.pi), head * np.sqrt(chance.random())
        x0, y0 = r * np.cos(a), r * np.sin(a)
        tall = 0.052 * (1 - 0.25 * (r / head) ** 2) + chance.normal(0, 0.002)
        hairs.append(
            rod(
                [
                    (0.8 * x0, 0.8 * y0, 0.0),
                    (1.25 * x0, 1.25 * y0, -0.5 * tall),
                    (0.5 * x0 + chance.normal(0, 0.001), 0.5 * y0, -tall),
                ],
                [0.0006, 0.0005, 0.0003],
                4,
            )
        )
    hold = turned(((0, 0), (0.8 * head, 0), (0.007, 0.04), (0.0085, 0.5 * long), (0.004, long), (0, long)), 0.002, 32)
    bound = together(
        [
            turned(
                ((0, k * 0.0028), (0.86 * head, k * 0.0028), (0.86 * head, k * 0.0028 + 0.0026), (0, k * 0.0028 + 0.0026)),
                0.001,
                28,
            )
            for k in range(5)
        ]
    )
    y = -0.036
    skin = Material(0.09, 0.45, 1.5)
    return [
        _nail(x, z + long),
        Thing(hold, DARK, (x, y, z)),
        Thing(bound, straw_skin(0.45), (x, y, z - 0.004)),
        Thing(together(hairs), skin, (x, y, z)),
    ]


def _calipers(x: float, z: float, reach: float) -> list[Thing]:
    legs = [
        rod(
            [
                (0, 0, 0),
                (s * 0.55 * reach, 0, -0.35 * reach),
                (s * 0.8 * reach, 0, -0.85 * reach),
                (s * 0.25 * reach, 0, -1.35 * reach),
            ],
            [0.006, 0.006, 0.005, 0.003],
            10,
            12,
            flat=0.45,
        )
        for s in (-1, 1)
    ]
    pivot = turned(((0, -0.006), (0.011, -0.006), (0.011, 0.006), (0, 0.006)), 0.002, 32)
    return [_nail(x, z + 0.008), Thing(together(legs), IRON, (x, -0.026, z)), Thing(pivot, IRON, (x, -0.026, z), lean_deg=90)]


def _rib(x: float, z: float, wide: float, high: float, turn: float) -> list[Thing]:
    """A wooden rib: a kidney of wood with a hole, its edge worn."""
    a = np.linspace(0, 2 * np.pi, 90, endpoint=False)
    r = 1 + 0.16 * np.cos(2 * a) - 0.14 * np.sin(a)
    form = disc(1.0, 0.007 / 0.05, 0.04)
    angle = np.arctan2(form.points[:, 1], form.points[:, 0])
    grow = np.interp(angle % (2 * np.pi), a, r, period=2 * np.pi)
    p = form.points * np.stack([wide * grow, high * grow, 0.05 + 0 * grow], -1)
    return [_nail(x, z + 0.72 * high), Thing(form.bent(p), PALE, (x, -0.020, z), lean_deg=90, roll_deg=turn)]


def _hung_coil(x: float, z: float, radius: float, turns: int, thick: float, skin: Material, seed: int) -> list[Thing]:
    """A coil of rope or wire over a nail: it sags into a long ring."""
    s = np.linspace(0, 2 * np.pi * turns, 60 * turns)
    wander = uneven_plane(s * 0.02, 0 * s, 0.05, 2, seed)
    path = np.stack(
        [
            radius * (0.62 + 0.10 * wander) * np.sin(s),
            -0.02 - thick - 0.007 * (1 + np.sin(0.37 * s + seed)),
            -radius * (1.15 + 0.08 * wander) * (1 - np.cos(s)) + 0.006,
        ],
        -1,
    )
    tail = rod([(0.01, -0.04, 0.0), (0.5 * radius, -0.045, -radius), (0.42 * radius, -0.03, -2.9 * radius)], thick, 8, 10)
    return [_nail(x, z), Thing(together([rod(path, thick, 8), tail]), skin, (x, 0, z))]


def _sieve(x: float, z: float, radius: float) -> list[Thing]:
    """A round sieve, its mesh towards us, hung by a loop."""
    hoop = turned(
        ((radius - 0.004, 0), (radius, 0), (radius, 0.075), (radius - 0.004, 0.075), (radius - 0.004, 0.0001)), 0.0012, 120
    )
    mesh = []
    for k in np.arange(-radius + 0.004, radius, 0.0045):
        half = float(np.sqrt(max(0.0, radius**2 - k**2)))
        mesh.append(rod([(k, -half, 0.004), (k, half, 0.004)], 0.0006, 4))
        mesh.append(rod([(-half, k, 0.0045), (half, k, 0.0045)], 0.0006, 4))
    return [
        _nail(x, z + radius + 0.004),
        Thing(hoop, PALE, (x, -0.012, z), lean_deg=90),
        Thing(together(mesh), IRON, (x, -0.075, z), lean_deg=90),
    ]


def _apron(x: float, z: float) -> list[Thing]:
    """An apron hung by its loop: folds run together under the nail."""
    rows, cols = 260, 200
    v, u = np.meshgrid(np.linspace(0, 1, rows), np.linspace(-1, 1, cols), indexing="ij")
    wide = 0.045 + 0.15 * v**0.6
    fold = (1 - np.abs(np.sin(5.2 * u + 1.3 * np.sin(2.2 * v + u))) ** 0.8) * (0.012 + 0.030 * v)
    px = wide * u + 0.012 * v * np.sin(7 * u) + 0.02 * v**2
    pz = -0.92 * v * (1 - 0.02 * np.cos(3 * u)) - 0.05 * u**2 * (1 - v)
    py = -0.02 - fold - 0.03 * (1 - u**2) * np.exp(-v / 0.2)
    rest = np.stack([0.36 * u, -0.95 * v, 0 * u], -1)
    form = Form(np.stack([px, py, pz], -1).reshape(-1, 3), sheet(1, 1, rows, cols).quads, rest=rest.reshape(-1, 3))
    loop = rod([(-0.03, -0.03, -0.02), (0, -0.034, 0.05), (0.03, -0.03, -0.02)], 0.004, 8, 10)
    return [_nail(x, z + 0.05), Thing(form, linen(0.5, 0.0014, 0.9), (x, 0, z)), Thing(loop, linen(0.45), (x, 0, z))]


def _hung_up() -> list[Thing]:
    """What hangs on the wall, row by row."""
    rope, wire = Material(Times(0.42, Cells(0.004, 0.6, 1.0)), 0.9, 1.3), IRON
    return [
        *plank_wall((-0.95, 0, 0.2), 2.0, 2.3, 0, old_wood(0.26), 3),
        *_loop_tool(-0.52, 1.52, 0.17, 0.016),
        *_loop_tool(-0.45, 1.49, 0.20, 0.022),
        *_loop_tool(-0.37, 1.54, 0.15, 0.012),
        *_loop_tool(-0.29, 1.50, 0.19, 0.019),
        *_brush(-0.17, 1.52, 0.20, 0.011, 1),
        *_brush(-0.10, 1.47, 0.24, 0.016, 2),
        *_brush(-0.02, 1.53, 0.18, 0.009, 3),
        *_calipers(0.16, 1.70, 0.16),
        *_calipers(0.40, 1.66, 0.11),
        *_rib(-0.48, 1.20, 0.052, 0.036, 8),
        *_rib(-0.33, 1.21, 0.040, 0.045, -20),
        *_rib(-0.19, 1.19, 0.058, 0.030, 4),
        *_hung_coil(0.02, 1.30, 0.085, 5, 0.0052, rope, 2),
        *_hung_coil(0.20, 1.28, 0.06, 6, 0.0012, wire, 5),
        *_sieve(-0.33, 0.92, 0.125),
        *_apron(0.42, 1.33),
    ]


def _on_the_shelf() -> list[Thing]:
    """The narrow shelf below: tins, and sticks standing in one of them."""
    things = [Thing(board(1.1, 0.12, 0.022, 4), GREY, (-0.2, -0.072, 0.70))]
    for k, (x, tall) in enumerate(((-0.58, 0.11), (-0.46, 0.075), (0.05, 0.13), (0.16, 0.09))):
        tin = turned(((0, 0), (0.036, 0), (0.036, tall), (0.034, tall), (0.034, 0.004), (0, 0.004)), 0.0015, 64)
        things.append(
            Thing(
                tin, Material(Times((0.3, 0.12, 0.22, 0.4)[k], Cloudy(0.03, 0.5, 1.3)), 0.4, 1.6, metal=0.4), (x, -0.07, 0.712)
            )
        )
    for k in range(6):
        lean = 0.02 * np.sin(2.0 * k)
        things.append(
            Thing(
                rod([(0.3 * lean, 0, 0.01), (lean, 0.01 * np.cos(k), 0.2 + 0.02 * (k % 3))], [0.004, 0.003], 8),
                (PALE, DARK)[k % 2],
                (0.05, -0.07, 0.716),
            )
        )
    return things


def scene() -> Scene:
    """Straight on, everything in focus; light from high on the left through a narrow window."""
    room = [Thing(sheet(7, 7), Material(0.25), (0, -2, 0)), *shut_in(plaster(0.4, 0.4), -2.6, 2.4, -4.5, 2.8)]
    return Scene(
        Camera((0.02, -3.0, 1.22), (-0.03, 0.0, 1.20), 470, (203.2, 254.0), 45, (0.0, -0.02, 1.2)),
        [*_hung_up(), *_on_the_shelf(), *room],
        [Panel((-2.5, -0.7, 1.75), (1, 0.2, -0.2), 0.35, 1.6, 9000.0), Panel((2.3, -3.0, 1.6), (-1, 0.6, 0), 1.2, 1.4, 160.0)],
        bounces=5,
        places={
            "plank-lit": (-0.6, 0.0, 1.4),
            "apron": (0.42, -0.06, 0.9),
            "iron": (-0.45, -0.03, 1.48),
            "shadow": (0.55, -0.01, 1.0),
            "shelf": (-0.3, -0.13, 0.70),
        },
    )
