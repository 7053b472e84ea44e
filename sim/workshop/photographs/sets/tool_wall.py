"""The tool wall: everything has its nail. Light rakes over grey planks; a large sheet, to be printed by contact."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import (
    Form,
    Path,
    block,
    disc,
    grid,
    moved,
    rod,
    sheet,
    smooth_line,
    together,
    turned,
)
from sim.workshop.photographs.growth import straw_skin
from sim.workshop.photographs.linen import linen, paper
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.relief import uneven, uneven_plane
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing
from sim.workshop.photographs.surface import (
    Blend,
    Cells,
    Cloudy,
    EachOne,
    Material,
    Pattern,
    Plus,
    Rings,
    Station,
    Times,
)
from sim.workshop.photographs.timber import board, wood
from sim.workshop.photographs.ware import glaze
from sim.workshop.photographs.yard import plank_wall

IRON = Material(
    Times(0.13, Cloudy(0.02, 0.5, 1.5)), Cloudy(0.01, 0.35, 0.6), 1.7, (Cloudy(0.003, -0.00012, 0.00012),), metal=0.7)
RUSTY = Material(Times(0.10, Cloudy(0.012, 0.5, 1.7, detail=5)), 0.8, 1.5, (Cloudy(0.002, -0.0001, 0.0001),))
PALE, DARK, HAIR = wood(0.36, 0.8, "z"), wood(0.15, 0.9, "z"), Material(Times(0.09, EachOne(0.6, 2.0)), 0.45, 1.5)
ROPE, WIRE = Material(Times(0.36, Cells(0.004, 0.6, 1.0)), 0.9, 1.3), Material(0.25, 0.3, 1.7, metal=0.9)
SPONGE = Material(Times(0.33, Cloudy(0.02, 0.7, 1.1)), 0.95, 1.3, (Cells(0.004, 0.0, 0.003),))


def _planks() -> Material:
    """Planks long in a workshop: open grain, thin cracks along it, rubbed and splashed with clay."""
    knot = Cells(0.32, 1.0, 0.0, "grain", 0.11, 1.0, (2.2, 1.0, 1.0))
    level = Plus(Station("y"), Plus(Cloudy(0.09, 0.0, 0.11, detail=2, stretch=(8.0, 1.0, 1.0)), Times(knot, 0.055)))
    rings = Rings(level, 0.0095, 0.70, 1.1)
    fibre = Cloudy(0.0035, 0.80, 1.10, detail=5, harsh=0.6, stretch=(24.0, 1.0, 1.0), warp=0.4)
    crack = Cells(0.055, 0.0, 1.0, "crack", 0.012, 1.0, (90.0, 1.0, 1.0))
    rubbed = Times(Cloudy(0.35, 0.55, 1.3, detail=4, warp=0.7), Plus(1.0, Times(knot, -0.55)))
    body: Pattern = Times(Times(Times(0.20, EachOne(0.75, 1.2)), Times(rings, fibre)), Times(rubbed, Blend(0.35, 1.0, crack)))
    splash = Times(Cloudy(0.03, 0.0, 1.0, detail=5, harsh=0.7, sharp=4.0), Cloudy(0.4, -0.6, 0.7))
    relief = (
        Times(crack, 0.0012), Cloudy(0.0035, -0.0003, 0.0003, detail=5, stretch=(24.0, 1.0, 1.0)),
        Rings(level, 0.0095, -0.0005, 0.0))
    return Material(Blend(body, 0.46, splash), 0.8, 1.38, relief)


def _nail(x: float, z: float) -> Thing:
    return Thing(rod([(0, 0.02, 0), (0, -0.035, 0.004), (0, -0.038, 0.004)], [0.002, 0.002, 0.0042], 8), RUSTY, (x, -0.013, z))


def _loop_tool(x: float, z: float, long: float, wide: float, roll: float) -> list[Thing]:
    """A turning tool: a handle with a thong, a ferrule, a loop of flat steel."""
    hold = turned(((0, 0), (0.007, 0), (0.0105, 0.35 * long), (0.008, 0.9 * long), (0.006, long), (0, long)), 0.003, 32)
    ferrule = turned(((0, -0.012), (0.0068, -0.012), (0.0058, 0.010), (0, 0.010)), 0.001, 32)
    line = [(-0.002, 0, -0.01), (-wide, 0, -0.04), (-0.7 * wide, 0, -0.062), (0.7 * wide, 0, -0.062), (wide, 0, -0.04)]
    loop = rod([*line, (0.002, 0, -0.01)], 0.0022, 8, 8, flat=0.4)
    thong = rod([(0.004, 0, long - 0.01), (0.006, 0.006, long + 0.016), (0, 0.010, long + 0.034), (-0.006, 0.006, long + 0.014),
                 (-0.004, 0, long - 0.01)], 0.0011, 6, 8)  # fmt: skip
    at = (x, -0.030, z)
    return [
        _nail(x, z + long + 0.032), Thing(hold, PALE if wide > 0.017 else DARK, at, roll_deg=roll),
        *(Thing(form, skin, at, roll_deg=roll) for form, skin in ((ferrule, IRON), (loop, IRON), (thong, ROPE)))]


def _brush(long: float, head: float, seed: int) -> list[tuple[Form, Material]]:
    """A glaze brush, hair down: handle, binding, a bundle of hair still holding its last point."""
    chance = np.random.Generator(np.random.PCG64(seed))
    hairs = []
    for a, r, off, tall in zip(
        chance.uniform(0, 6.3, 420), np.sqrt(chance.random(420)), chance.normal(0, 0.0016, 420), chance.normal(0, 0.002, 420)):
        x, y, tall = head * r * np.cos(a), head * r * np.sin(a), 0.052 * (1 - 0.25 * r**2) + tall
        line = [(0.8 * x, 0.8 * y, 0.0), (1.1 * x, 1.1 * y, -0.5 * tall), (0.35 * x + off, 0.35 * y, -tall)]
        hairs.append(rod(line, [0.00035, 0.0003, 0.00015], 4, 5))
    hold = turned(((0, 0), (0.8 * head, 0), (0.007, 0.04), (0.0085, 0.5 * long), (0.004, long), (0, long)), 0.002, 32)
    ring = ((0, 0.0), (0.86 * head, 0.0), (0.86 * head, 0.0026), (0, 0.0026))
    bound = together([moved(turned(ring, 0.001, 28), (0, 0, 0.0028 * k - 0.004)) for k in range(5)])
    return [(hold, DARK if seed % 2 else PALE), (bound, straw_skin(0.45)), (together(hairs), HAIR)]


def _calipers(x: float, z: float, reach: float, roll: float) -> list[Thing]:
    legs = [
        rod(
            [
                (0, 0, 0), (s * 0.55 * reach, 0, -0.35 * reach), (s * 0.8 * reach, 0, -0.85 * reach),
                (s * 0.2 * reach, 0, -1.35 * reach)],
            [0.008, 0.0085, 0.007, 0.003], 12, 12, flat=0.4)
        for s in (-0.9, 1)]
    pivot = moved(turned(((0, -0.006), (0.011, -0.006), (0.011, 0.006), (0, 0.006)), 0.002, 32), lean_deg=90)
    return [_nail(x, z + 0.008), Thing(together([*legs, pivot]), IRON, (x, -0.026, z), roll_deg=roll)]


def _rib(x: float, z: float, wide: float, high: float, turn: float, skin: Material) -> list[Thing]:
    """A wooden rib: a kidney with a worn edge, hung by its hole."""
    form = disc(1.0, 0.007 / 0.05, 0.04)
    angle = np.arctan2(form.points[:, 1], form.points[:, 0])
    grow = 1 + 0.16 * np.cos(2 * angle) - 0.14 * np.sin(angle)
    p = form.points * np.stack([wide * grow, high * grow, 0.05 + 0 * grow], -1)
    return [_nail(x, z + 0.58 * high), Thing(moved(form.bent(p), turn_deg=turn), skin, (x, -0.020, z), lean_deg=90)]


def _template(x: float, z: float, outline: t.Outline, deep: float, roll: float) -> list[Thing]:
    """A thin plate cut to the outside of a pot, to hold against it."""
    curve = smooth_line(np.asarray(outline, float), 12)
    n, edge = len(curve), np.full(len(curve), curve[:, 0].max() + deep)
    side = [curve[:, 0], edge, edge, curve[:, 0]]
    ring = np.stack([np.stack([s, np.full(n, y), curve[:, 1]], -1) for s, y in zip(side, (-0.002, -0.002, 0.002, 0.002))], 1)
    ends = [ring[:1].mean(1, keepdims=True).repeat(4, 1), ring, ring[-1:].mean(1, keepdims=True).repeat(4, 1)]
    form = Form(
        np.concatenate(ends).reshape(-1, 3) - (edge[0] - 0.5 * deep, 0, curve[-1, 1]), grid(n + 2, 4, around=True), flat=True)
    return [_nail(x, z - 0.015), Thing(form, PALE, (x, -0.018, z), roll_deg=roll)]


def _paddle(x: float, z: float) -> list[Thing]:
    """A beater: a flat blade, dented on its face, its handle through the loop of a thong."""
    blade = moved(block(0.074, 0.014, 0.17, 0.005, 60).worn(0.0012, 0.02, 4), (0, 0, -0.235))
    hold = rod([(0, 0, -0.17), (0, 0, -0.12), (0, 0, -0.04), (0, 0, 0.0)], [0.016, 0.011, 0.013, 0.009], 20, 8)
    thong = rod([(-0.008, -0.006, -0.008), (-0.004, 0, 0.03), (0.004, 0, 0.03), (0.008, -0.006, -0.008)], 0.0014, 6, 8)
    return [
        _nail(x, z + 0.03), Thing(together([blade, hold]), DARK, (x, -0.028, z), roll_deg=-2.5),
        Thing(thong, ROPE, (x, -0.03, z))]


def _laid(path: Path, thick: float, each_m: float = 0.002) -> Form:
    """Rope laid of three strands along a path."""
    line = np.asarray(path, float)
    run = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    s = np.arange(0.0, run[-1], each_m)
    form = rod(np.stack([np.interp(s, run, line[:, k]) for k in range(3)], -1), thick, 24)
    turn = np.linspace(0, 2 * np.pi, 24, endpoint=False)[None, :] + s[:, None] / (2.2 * thick)
    middle = form.points[:-2].reshape(len(s), 24, 3).mean(1, keepdims=True)
    strand = 0.78 + 0.22 * np.abs(np.cos(1.5 * turn))[..., None]
    points = (middle + (form.points[:-2].reshape(len(s), 24, 3) - middle) * strand).reshape(-1, 3)
    return Form(np.concatenate([points, form.points[-2:]]), form.quads, form.triangles)


def _hung_coil(x: float, z: float, radius: float, turns: int, thick: float, skin: Material, seed: int) -> list[Thing]:
    """A coil of rope or wire over a nail: it sags into a long ring, its end hanging down."""
    s = np.linspace(0, 2 * np.pi * turns, 60 * turns)
    wander = uneven_plane(s * 0.02, 0 * s, 0.05, 2, seed)
    out = -0.02 - thick - 0.007 * (1 + np.sin(0.37 * s + seed))
    side, down = radius * (0.62 + 0.10 * wander) * np.sin(s), radius * (1.15 + 0.08 * wander) * (1 - np.cos(s))
    tail = smooth_line(
        np.array([(0.01, -0.04, 0.0), (0.5 * radius, -0.045, -radius), (0.42 * radius, -0.03, -2.9 * radius)]), 10)
    made = [_laid(p, thick) if thick > 0.002 else rod(p, thick, 8) for p in (np.stack([side, out, 0.006 - down], -1), tail)]
    return [_nail(x, z), Thing(together(made), skin, (x, 0, z))]


def _cutting_wire(x: float, z: float) -> list[Thing]:
    """A wire with two toggles over a nail."""
    line = [(-0.030, -0.02, -0.24), (-0.020, -0.025, -0.06), (0, -0.03, 0.004), (0.014, -0.025, -0.07), (0.022, -0.02, -0.19)]
    wire, toggle = rod(line, 0.0005, 5, 12), rod([(-0.026, 0, 0), (0.026, 0, 0)], 0.0065, 14)
    ends = ((-0.03, -0.247, 14), (0.022, -0.197, -9))
    toggles = [moved(toggle, (along, -0.02, down), 0, 0, roll) for along, down, roll in ends]
    return [_nail(x, z), Thing(wire, WIRE, (x, 0, z)), Thing(together(toggles), PALE, (x, 0, z))]


def _sieve(x: float, z: float, radius: float) -> list[Thing]:
    """A round sieve, its mesh towards us."""
    rim = ((radius - 0.004, 0), (radius, 0), (radius, 0.075), (radius - 0.004, 0.075), (radius - 0.004, 0.0001))
    mesh = []
    for k in np.arange(-radius + 0.004, radius, 0.0038):
        half = float(np.sqrt(max(0.0, radius**2 - k**2)))
        mesh += [rod([(k, -half, 0.063), (k, half, 0.063)], 0.0005, 4), rod([(-half, k, 0.0635), (half, k, 0.0635)], 0.0005, 4)]
    at = (x, -0.012, z)
    return [
        _nail(x, z + radius + 0.004), Thing(turned(rim, 0.0012, 120), PALE, at, lean_deg=90),
        Thing(together(mesh), IRON, at, lean_deg=90)]


def _drawing(x: float, z: float, wide: float, high: float, outline: t.Outline, roll: float, curl: float) -> list[Thing]:
    """A sheet pinned up by its top, its foot curling off the wall: a pot drawn in section with its measures."""

    def bent(p: Form) -> Form:
        down = np.clip(-p.points[:, 2] / high, 0, 1)
        lift = curl * down**3 + 0.002 * down * (1 + np.sin(9 * p.points[:, 0] / wide)) + 0.001
        return p.bent(p.points - np.stack([0 * lift, lift, 0 * lift], -1))

    flat = sheet(wide, high, 40, 30)
    page = Form(flat.points[:, [0, 2, 1]] - (0, 0, high / 2), flat.quads)
    size = min(0.72 * high / max(h for _, h in outline), 0.40 * wide / max(r for r, _ in outline))
    pot = smooth_line(np.asarray(outline, float), 8) * size
    lines = [np.stack([s * pot[:, 0], 0 * pot[:, 0] - 0.0003, pot[:, 1] - 0.9 * high], -1) for s in (-1, 1)]
    lines += [
        np.array([(-w * wide, -0.0003, h * high), (w * wide, -0.0003, h * high)])
        for w, h in ((0.30, -0.90), (0.2, -0.18), (0.34, -0.06))]
    lines.append(np.array([(0.0, -0.0003, -0.12 * high), (0.0, -0.0003, -0.94 * high)]))
    drawn = together([bent(rod(line, 0.0005, 4)) for line in lines])
    at = (x, -0.014, z)
    return [
        _nail(x, z - 0.008), Thing(bent(page), paper(0.55, 0.001), at, roll_deg=roll),
        Thing(drawn, Material(0.06, 0.9), at, roll_deg=roll)]


def _apron(x: float, z: float) -> list[Thing]:
    """An apron hung by its loop: folds of every width run together under the nail, clay dried on its front."""
    rows, cols = 300, 240
    v, u = np.meshgrid(np.linspace(0, 1, rows), np.linspace(-1, 1, cols), indexing="ij")
    phase = 4.4 * u + 2.2 * uneven_plane(0.5 * u, 0.12 * v, 0.4, 2, 31) + 0.5 * v
    fold = (0.12 + np.abs(np.sin(phase)) ** 1.2) * (0.016 + 0.034 * v) * (0.75 + 0.5 * uneven_plane(u, 0.3 * v, 0.7, 2, 33))
    wide = 0.030 + 0.135 * v**0.75
    px = wide * u + 0.016 * v * uneven_plane(u, v, 0.5, 2, 35) + 0.025 * v**2
    py = -0.022 - fold - 0.02 * (1 - u**2) * np.exp(-v / 0.2) - 0.004 * uneven_plane(u, v, 0.12, 3, 36)
    pz = -0.92 * v * (1 - 0.02 * np.cos(3 * u)) - 0.05 * u**2 * (1 - v)
    rest = np.stack([0.36 * u, -0.95 * v, 0 * u], -1).reshape(-1, 3)
    form = Form(np.stack([px, py, pz], -1).reshape(-1, 3), grid(rows, cols), rest=rest)
    loop = rod([(-0.024, -0.03, -0.02), (-0.004, -0.034, 0.05), (0.004, -0.034, 0.05), (0.024, -0.03, -0.02)], 0.004, 8, 10)
    tape = rod(
        [(-0.05, -0.03, -0.30), (-0.075, -0.05, -0.42), (-0.085, -0.045, -0.60), (-0.07, -0.045, -0.75)], 0.007, 10, 10,
        flat=0.15)
    canvas = linen(0.34, 0.0013, 0.9)
    smeared = Blend(
        canvas.reflectance, 0.48, Times(Cloudy(0.16, -0.3, 1.0, 5, 0.65, sharp=1.5), Cloudy(0.02, 0.0, 1.0, 5, 0.7)))
    skin = Material(smeared, 0.9, 1.3, canvas.relief, lets_through=0.1)
    return [_nail(x, z + 0.05), *(Thing(f, skin, (x, 0, z)) for f in (form, loop, tape))]


def _hung_up() -> list[Thing]:
    """What hangs on the wall, from the top left."""
    things = plank_wall((-0.95, 0, 0.2), 2.0, 2.3, 0, _planks(), 3)
    for k, (x, z, roll) in enumerate(((-0.20, 1.53, 1.5), (-0.135, 1.50, -1.0), (-0.06, 1.55, 2.5), (0.0, 1.52, -2.0))):
        long, head = ((0.20, 0.011), (0.24, 0.016), (0.17, 0.009), (0.21, 0.013))[k]
        things += [
            _nail(x, z + long), *(Thing(f, skin, (x, -0.036, z), roll_deg=roll) for f, skin in _brush(long, head, k + 1))]
    return [
        *things, *_calipers(-0.365, 1.76, 0.145, 4), *_paddle(0.115, 1.79), *_drawing(0.30, 1.80, 0.19, 0.25, t.JUG, 1.5, 0.03),
        *_drawing(0.245, 1.50, 0.13, 0.17, t.BOWL, -2.5, 0.045), *_loop_tool(-0.44, 1.26, 0.17, 0.016, 1.5),
        *_loop_tool(-0.385, 1.24, 0.20, 0.022, -1.0), *_loop_tool(-0.325, 1.28, 0.15, 0.012, 2.0),
        *_loop_tool(-0.265, 1.25, 0.19, 0.019, 0.5), *_rib(-0.165, 1.36, 0.052, 0.036, 8, PALE),
        *_rib(-0.15, 1.265, 0.037, 0.042, -20, DARK), *_calipers(-0.035, 1.40, 0.085, -5),
        *_hung_coil(0.085, 1.37, 0.085, 6, 0.0050, ROPE, 2), *_template(0.215, 1.245, t.sized(t.VASE, 0.8, 0.6), 0.02, -3),
        *_cutting_wire(-0.08, 1.17), *_sieve(-0.30, 1.00, 0.125), *_template(0.02, 1.13, t.sized(t.BOWL, 1.0, 1.6), 0.03, 2),
        *_hung_coil(0.165, 1.02, 0.05, 6, 0.0012, WIRE, 5), *_apron(0.40, 1.34)]


def _on_the_shelf() -> list[Thing]:
    """The narrow shelf below: a crock of brushes and sticks, tins, glazed trial tiles leaning on the wall, a sponge."""
    things = [
        Thing(board(1.1, 0.13, 0.024, 4), wood(0.22, 1.0), (-0.16, -0.077, 0.72)),
        Thing(block(0.025, 0.11, 0.09, 0.003, 8), DARK, (-0.33, -0.07, 0.664))]
    for k, tone in enumerate((0.62, 0.025, 0.20, 0.42, 0.06, 0.32)):
        things.append(
            Thing(
                block(0.046, 0.007, 0.085, 0.002, 12), glaze(tone), (-0.50 + 0.05 * k, -0.028, 0.775), lean_deg=-12,
                roll_deg=2.0 * np.sin(3 * k)))
    for x, wide, tall, tone in ((0.155, 0.036, 0.10, 0.12), (0.06, 0.030, 0.062, 0.3)):
        tin = turned(((0, 0), (wide, 0), (wide, tall), (wide - 0.002, tall), (wide - 0.002, 0.004), (0, 0.004)), 0.0015, 64)
        things.append(Thing(tin, Material(Times(tone, Cloudy(0.02, 0.4, 1.4, 5)), 0.4, 1.6, metal=0.4), (x, -0.075, 0.733)))
    crock = t.thrown(t.sized(t.CYLINDER, 0.68, 0.5), seed=4)
    things.append(Thing(crock, glaze(0.3, bare_foot=0.2), (-0.10, -0.078, 0.733)))
    for k in range(9):
        a, long = 2.4 * k, 0.20 + 0.03 * ((5 * k) % 4)
        for form, skin in _brush(long, 0.006 + 0.001 * (k % 5), 40 + k):
            upside = Form(form.points * (1, 1, -1) + (0, 0, long), form.quads[:, ::-1], form.triangles[:, ::-1], form.where())
            place = (-0.10 + 0.016 * np.sin(a), -0.078 - 0.016 * np.cos(a), 0.74)
            things.append(Thing(upside, skin, place, 0.0, -5 * np.cos(a), 6 * np.sin(a)))
    ball = turned(((0, -0.03), (0.035, -0.03), (0.045, 0), (0.03, 0.03), (0, 0.03)), 0.02, 90)
    things.append(
        Thing(
            ball.bent(ball.points * (1, 0.8, 1) + 0.006 * uneven(ball.points, 0.03, 3, 8)[:, None]), SPONGE,
            (0.265, -0.075, 0.762)))
    return things


def scene() -> Scene:
    """Straight on, everything in focus; light from high on the left through a narrow window."""
    room = [Thing(sheet(7, 7), Material(0.25), (0, -2, 0)), *shut_in(plaster(0.4, 0.4), -2.6, 2.4, -4.5, 2.8)]
    return Scene(
        Camera((-0.03, -2.45, 1.26), (-0.03, 0.0, 1.25), 470, (203.2, 254.0), 45, (0.0, -0.02, 1.2)),
        [*_hung_up(), *_on_the_shelf(), *room],
        [
            Panel((-2.5, -0.9, 1.85), (1, 0.25, -0.2), 0.20, 1.6, 17000.0),
            Panel((2.3, -3.0, 1.6), (-1, 0.6, 0), 1.2, 1.4, 130.0)],
        bounces=5,
        places={
            "paper": (0.30, -0.02, 1.70), "plank-lit": (-0.44, 0.0, 1.55), "apron-fold": (0.36, -0.07, 0.95),
            "apron-shade": (0.46, -0.04, 0.95), "iron": (-0.255, -0.026, 1.63), "hair": (-0.135, -0.036, 1.475),
            "rope": (0.03, -0.03, 1.27), "mesh": (-0.30, -0.075, 1.00), "under-shelf": (-0.20, 0.0, 0.69),
            "shelf": (-0.02, -0.12, 0.733), "dark-tile": (-0.45, -0.033, 0.78)})
