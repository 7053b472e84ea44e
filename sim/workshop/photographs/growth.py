"""What grows: grass, bare trees, hedges, leaves and straw."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim.workshop.photographs.form import Form, grid, rod, together
from sim.workshop.photographs.relief import F64
from sim.workshop.photographs.surface import Cloudy, EachOne, Material, Plus, Times, Value


def blades(count: int, high_m: float, spread_m: float, seed: int, wide_m: float = 0.004, bend: float = 0.6) -> Form:
    """A tuft of grass or rushes: tapering blades that bend over, about the ground. Value `up` 0 at the root to 1."""
    chance = np.random.Generator(np.random.PCG64(seed))
    s = np.linspace(0, 1, 6)
    root = chance.normal(0, spread_m / 2, (count, 2))
    tall = high_m * chance.uniform(0.35, 1.0, count)
    turn, fall = chance.uniform(0, 2 * np.pi, count), np.abs(chance.normal(bend, 0.35, count))
    along = tall[:, None] * np.sin(fall[:, None] * s) / np.maximum(fall[:, None], 0.05) * fall[:, None] * s
    up = tall[:, None] * (s - 0.35 * fall[:, None] * s**2)
    middle = np.stack([root[:, :1] + along * np.cos(turn)[:, None], root[:, 1:] + along * np.sin(turn)[:, None], up], -1)
    across = np.stack([-np.sin(turn), np.cos(turn), np.zeros(count)], -1)[:, None]
    half = (wide_m / 2 * (1 - 0.92 * s**1.5))[None, :, None] * across
    points = np.stack([middle - half, middle + half], 2)
    one = grid(6, 2)
    faces = (np.arange(count)[:, None, None] * 12 + one).reshape(-1, 4)
    return Form(points.reshape(-1, 3), faces.astype(np.int32)).with_value("up", np.tile(np.repeat(s, 2), count))


def grass(tone: float = 0.16, dry: float = 0.3) -> Material:
    """Grass that light also goes through; darker at the root, paler and drier at the tip."""
    return Material(
        Times(Plus(0.45 * tone, Times(Value("up"), tone * (0.7 + dry))), Times(EachOne(0.7, 1.35), Cloudy(0.02, 0.7, 1.2))),
        0.5, 1.4, lets_through=0.35)


def sown(
    at: F64, height: Callable[[F64, F64], F64], seed: int, size: tuple[float, float] = (0.6, 1.3), lean_deg: float = 8.0
) -> F64:
    """Matrices [n, 4, 4] that set things upright on the ground at x, y `at` [n, 2], each turned and sized by chance."""
    chance = np.random.Generator(np.random.PCG64(seed))
    n = len(at)
    turn, big = chance.uniform(0, 2 * np.pi, n), chance.uniform(*size, n)
    lean = np.radians(chance.normal(0, lean_deg, (n, 2)))
    out = np.zeros((n, 4, 4))
    c, s = np.cos(turn), np.sin(turn)
    out[:, 0, 0], out[:, 0, 1], out[:, 1, 0], out[:, 1, 1] = c, -s, s, c
    out[:, 2, 2] = 1
    out[:, 0, 2], out[:, 1, 2] = lean[:, 0], lean[:, 1]
    out[:, :3, :3] *= big[:, None, None]
    out[:, :2, 3], out[:, 2, 3] = at, height(at[:, 0], at[:, 1])
    out[:, 3, 3] = 1
    return out


def bare_tree(high_m: float = 7.0, seed: int = 1, spread: float = 0.55, finest_m: float = 0.006, levels: int = 6) -> Form:
    """A tree in winter: every limb forks and bends towards the light, down to twigs."""
    chance = np.random.Generator(np.random.PCG64(seed))
    parts: list[Form] = []

    def limb(foot: F64, ahead: F64, long: float, thick: float, level: int) -> None:
        n = 6
        line, way = [foot], ahead
        for _ in range(n):
            way = way + chance.normal(0, 0.16, 3) + np.array([0, 0, 0.05])
            way /= np.linalg.norm(way)
            line.append(line[-1] + way * long / n)
        radii = thick * np.linspace(1, 0.62, n + 1)
        if level == 0:
            radii[0] *= 1.5
        parts.append(rod(line, radii, 4 if level > 3 else 5 if level > 2 else 8))
        if level >= levels or thick * 0.6 < finest_m / 2:
            return
        for k in range(int(chance.integers(2, 4)) + (level == 0)):
            aside = chance.standard_normal(3)
            aside -= way * (aside @ way)
            aside /= np.linalg.norm(aside)
            turned = way + spread * (0.6 + 0.8 * chance.random()) * aside * (0.5 if k == 0 else 1.0)
            start = line[-1] if k < 2 else line[int(chance.integers(n // 2, n))]
            limb(start, turned / np.linalg.norm(turned), long * chance.uniform(0.62, 0.86),
                thick * 0.62 * (1.0 if k == 0 else 0.8), level + 1)

    thick = high_m * 0.022
    limb(np.zeros(3), np.array([0.03, 0.02, 1.0]), high_m * 0.27, thick, 0)
    for a in np.arange(5) * 1.26 + 6 * chance.random(5) * 0.1:  # roots that run out of the trunk into the ground
        out = np.array([np.cos(a), np.sin(a), 0.0])
        low = np.array([0, 0, -0.9 * thick])
        root = [0.45 * thick * out + (0, 0, 3.2 * thick), 1.15 * thick * out + (0, 0, 0.7 * thick), 3.0 * thick * out + low]
        parts.append(rod(root, [0.55 * thick, 0.6 * thick, 0.25 * thick], 6, 3))
    return together(parts)


def straw_skin(tone: float = 0.5) -> Material:
    """Dry straw: pale, a little glossy, some light through it."""
    return Material(Times(tone, Times(EachOne(0.9, 1.1), Cloudy(0.02, 0.5, 1.25, harsh=0.7))), 0.4, 1.45, lets_through=0.15)


def twig_bark(tone: float = 0.07) -> Material:
    """Bark of trees seen from afar."""
    return Material(Times(tone, Cloudy(0.15, 0.6, 1.4)), 0.9, 1.3)
