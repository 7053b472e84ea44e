"""Shapes of things as points and faces, in metres, z up; made here without the renderer, so that they can be looked at."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from sim.workshop.photographs.relief import F64, uneven

I32 = NDArray[np.int32]
Path = Sequence[Sequence[float]] | Sequence[F64] | Sequence[Sequence[float] | F64] | F64  # points one after another
NO_FACES: I32 = np.zeros((0, 4), np.int32)


@dataclass(frozen=True, eq=False)
class Form:
    """A surface: points [n, 3] in m, faces of four corners [m, 4] or three [k, 3].

    `rest` are the points before bending, on which a material's patterns are laid (the weave of a cloth goes with its
    folds); `values` are numbers a point carries for its material (soot, wet, glazed), 0..1. `flat` keeps facets sharp.
    """

    points: F64
    quads: I32 = field(default_factory=lambda: NO_FACES)
    triangles: I32 = field(default_factory=lambda: NO_FACES[:, :3])
    rest: F64 | None = None
    values: Mapping[str, F64] = field(default_factory=dict)
    flat: bool = False

    def where(self) -> F64:
        """Points before bending."""
        return self.points if self.rest is None else self.rest

    def bent(self, points: F64) -> Form:
        """The same surface bent to other points; patterns go along."""
        return replace(self, points=points, rest=self.where())

    def with_value(self, name: str, value: F64 | float) -> Form:
        """The same surface with one more number at every point."""
        return replace(self, values={**self.values, name: np.broadcast_to(value, len(self.points)).astype(float)})

    def worn(self, depth_m: float, size_m: float, seed: int = 0, octaves: int = 4) -> Form:
        """Pushed in and out along its own outward direction by up to `depth_m`, in lumps of `size_m`."""
        lumps = uneven(self.points, size_m, octaves, seed)
        return self.bent(self.points + depth_m * lumps[:, None] * outward(self))


def outward(form: Form) -> F64:
    """Unit direction away from the surface at every point: mean of the faces around it."""
    total = np.zeros_like(form.points, dtype=float)
    for faces in (form.quads, form.triangles):
        if len(faces):
            corner = form.points[faces]
            normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, -1] - corner[:, 0])
            for k in range(faces.shape[1]):
                np.add.at(total, faces[:, k], normal)
    return total / np.maximum(np.linalg.norm(total, axis=1, keepdims=True), 1e-12)


def turning(turn_deg: float = 0.0, lean_deg: float = 0.0, roll_deg: float = 0.0) -> F64:
    """Matrix [3, 3]: first rolled about y, then leant about x, then turned about the upright."""
    a, b, c = np.radians([turn_deg, lean_deg, roll_deg])
    upright = np.array([[np.cos(a), -np.sin(a), 0], [np.sin(a), np.cos(a), 0], [0, 0, 1]])
    lean = np.array([[1, 0, 0], [0, np.cos(b), -np.sin(b)], [0, np.sin(b), np.cos(b)]])
    roll = np.array([[np.cos(c), 0, np.sin(c)], [0, 1, 0], [-np.sin(c), 0, np.cos(c)]])
    return upright @ lean @ roll


def moved(form: Form, at: Sequence[float] = (0, 0, 0), turn_deg: float = 0, lean_deg: float = 0, roll_deg: float = 0) -> Form:
    """The form turned and put somewhere; its patterns stay where they were on it."""
    return form.bent(form.points @ turning(turn_deg, lean_deg, roll_deg).T + np.asarray(at, float))


def together(forms: Sequence[Form]) -> Form:
    """Several forms as one; values that some lack are 0 there."""
    starts = np.cumsum([0] + [len(f.points) for f in forms])
    names = {name for f in forms for name in f.values}
    return Form(np.concatenate([f.points for f in forms]),
        np.concatenate([f.quads + s for f, s in zip(forms, starts)]).astype(np.int32),
        np.concatenate([f.triangles + s for f, s in zip(forms, starts)]).astype(np.int32),
        np.concatenate([f.where() for f in forms]),
        {n: np.concatenate([f.values.get(n, np.zeros(len(f.points))) for f in forms]) for n in names},
        any(f.flat for f in forms))


def grid(rows: int, cols: int, around: bool = False) -> I32:
    """Faces over points numbered [row, col]; `around` joins the last column to the first."""
    wide = cols if around else cols - 1
    r, c = np.mgrid[: rows - 1, :wide]
    right = (c + 1) % cols
    return (np.stack([r * cols + c, r * cols + right, (r + 1) * cols + right, (r + 1) * cols + c], -1) .reshape(-1, 4)
        .astype(np.int32))


def sheet(wide_m: float, deep_m: float, rows: int = 2, cols: int = 2) -> Form:
    """A flat sheet lying in x and y about the middle, facing up."""
    y, x = np.meshgrid(np.linspace(-deep_m / 2, deep_m / 2, rows), np.linspace(-wide_m / 2, wide_m / 2, cols), indexing="ij")
    return Form(np.stack([x, y, np.zeros_like(x)], -1).reshape(-1, 3), grid(rows, cols))


def _stations(half: float, rounded: float, pieces: int) -> F64:
    """Where the net of a block's face is cut: close together over the rounding, evenly between."""
    bend = rounded * (1 - np.cos(np.linspace(0, np.pi / 2, 5)))
    inner = np.linspace(-(half - rounded), half - rounded, pieces + 1)[1:-1]
    return np.concatenate([-half + bend, inner, (half - bend)[::-1]])


def block(wide_m: float, deep_m: float, high_m: float, rounded_m: float = 0.002, pieces: int = 2) -> Form:
    """A block about its own middle with rounded edges: a brick, a board, a box. `pieces` cuts each side for wear."""
    half = np.array([wide_m, deep_m, high_m]) / 2
    rounded = min(rounded_m, 0.49 * 2 * half.min())
    longest = half.max()
    stations = [_stations(h, rounded, max(1, round(pieces * h / longest))) for h in half]
    points, quads, start = [], [], 0
    for axis in range(3):
        u, v = (axis + 1) % 3, (axis + 2) % 3
        for side in (-1, 1):
            a, b = np.meshgrid(stations[u], stations[v], indexing="ij")
            p = np.zeros((*a.shape, 3))
            p[..., u], p[..., v], p[..., axis] = a, b, side * half[axis]
            faces = grid(*a.shape)
            quads.append((faces if side < 0 else faces[:, ::-1]) + start)
            points.append(p.reshape(-1, 3))
            start += a.size
    every = np.concatenate(points)
    core = np.clip(every, -(half - rounded), half - rounded)
    away = every - core
    length = np.linalg.norm(away, axis=1, keepdims=True)
    every = core + rounded * away / np.maximum(length, 1e-12)
    return _welded(every, np.concatenate(quads))


def _welded(points: F64, quads: I32) -> Form:
    """Points that fall together made one, so that light runs round the edges."""
    _, first, same = np.unique(np.round(points, 6), axis=0, return_index=True, return_inverse=True)
    faces = same.reshape(-1)[quads]
    whole = np.array([len(set(f)) == 4 for f in faces])
    thin = [list(dict.fromkeys(f)) for f in faces[~whole]]
    three = np.array([f for f in thin if len(f) == 3], np.int32).reshape(-1, 3)
    return Form(points[first], faces[whole].astype(np.int32), three)


def rod(path: Path, radius_m: float | Sequence[float] | F64, sides: int = 12, steps: int = 0, flat: float = 1.0) -> Form:
    """A rod along a path of points: a handle, a branch, a rope. `steps` smooths the path; `flat` below 1 makes a strap."""
    line = np.asarray(path, float)
    radii = np.broadcast_to(np.asarray(radius_m, float), len(line))
    if steps:
        line, radii = smooth_line(line, steps), smooth_line(radii[:, None], steps)[:, 0]
    ahead = np.gradient(line, axis=0)
    ahead /= np.maximum(np.linalg.norm(ahead, axis=1, keepdims=True), 1e-12)
    side = np.zeros_like(line)
    start = np.cross(ahead[0], [0.0, 0.0, 1.0] if abs(ahead[0, 2]) < 0.9 else [1.0, 0.0, 0.0])
    side[0] = start / np.linalg.norm(start)
    for k in range(1, len(line)):  # carried along without twist
        s = side[k - 1] - ahead[k] * (side[k - 1] @ ahead[k])
        side[k] = s / max(float(np.linalg.norm(s)), 1e-12)
    up = np.cross(ahead, side)
    angle = np.linspace(0, 2 * np.pi, sides, endpoint=False)
    ring = side[:, None] * np.cos(angle)[None, :, None] + flat * up[:, None] * np.sin(angle)[None, :, None]
    points = (line[:, None] + radii[:, None, None] * ring).reshape(-1, 3)
    n = len(line)
    ends = np.concatenate([points, line[:1], line[-1:]])
    here = np.arange(sides)
    on = (here + 1) % sides
    caps = [np.stack([on, here, np.full(sides, n * sides)], -1)]
    caps.append(np.stack([(n - 1) * sides + here, (n - 1) * sides + on, np.full(sides, n * sides + 1)], -1))
    return Form(ends, grid(n, sides, around=True), np.concatenate(caps).astype(np.int32))


def smooth_line(knots: F64, steps: int) -> F64:
    """A curve through knots [n, d], `steps` points between each two (Catmull and Rom's spline, centripetal ends doubled)."""
    p = np.concatenate([2 * knots[:1] - knots[1:2], knots, 2 * knots[-1:] - knots[-2:-1]])
    t = np.linspace(0, 1, steps, endpoint=False)[:, None]
    out = []
    for k in range(len(knots) - 1):
        a, b, c, d = p[k : k + 4]
        out.append(0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3))
    return np.concatenate([*out, knots[-1:]])


def turned(profile: Sequence[tuple[float, float]], rounded_m: float = 0.003, sides: int = 96) -> Form:
    """A solid turned about the upright axis from its section (radius, height), first and last on the axis; edges rounded."""
    corners = np.asarray(profile, float)
    line = [corners[0]]
    for before, here, after in zip(corners[:-2], corners[1:-1], corners[2:]):
        back, on = before - here, after - here
        cut = min(rounded_m, 0.45 * float(np.linalg.norm(back)), 0.45 * float(np.linalg.norm(on)))
        first, last = here + cut * back / np.linalg.norm(back), here + cut * on / np.linalg.norm(on)
        share = np.linspace(0, 1, 5)[:, None]
        line += list((1 - share) ** 2 * first + 2 * share * (1 - share) * here + share**2 * last)
    section = np.array([*line, corners[-1]])
    angle = np.linspace(0, 2 * np.pi, sides, endpoint=False)
    x, y = section[:, :1] * np.cos(angle), section[:, :1] * np.sin(angle)
    points = np.stack([x, y, np.broadcast_to(section[:, 1:], x.shape)], -1)
    return Form(points.reshape(-1, 3), grid(x.shape[0], x.shape[1], around=True))


def disc(radius_m: float, thick_m: float, rounded_m: float = 0.003) -> Form:
    """A flat round solid standing on the ground: a wheel, a bat, a lid, a bucket's bottom."""
    return turned(((0, 0), (radius_m, 0), (radius_m, thick_m), (0, thick_m)), rounded_m)
