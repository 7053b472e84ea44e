"""Bare trees, hedges and grass: grown as sticks in space, then seen flat as a card with the roundness of every stick.

Thousands of twigs would cost too much as solids. A card is a thin upright sheet facing the camera; its outline is a
table of signed distances and its relief comes from tables of the sticks' own normals.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from sim.workshop.scenes.materials import Skin, full, tone
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32

Point = tuple[float, float]
Strip = tuple[Point, Point | None, list[Point], Point, float]
Sticks = npt.NDArray[np.float64]  # rows: x0 y0 z0 x1 y1 z1 r0 r1 tone (metres, metres, stops)
DISTANCE, REST = slice(0, 1), slice(1, 4)  # columns of a card's table that are read together


@dataclass(frozen=True, eq=False)
class Card:
    """A sheet in the plane z = 0: table [ix, iy, 4] of distance to the outline (m), normal x, normal y, tone in stops."""

    table: F32
    low: tuple[float, float]
    cell_m: float
    half_thick_m: float = 0.004
    _parts: dict[int, F32] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        # Columns that are read together lie together in memory: taking from a slice would copy all of it each time.
        rows = self.table.reshape(-1, 4)
        parts = (DISTANCE, REST)
        object.__setattr__(self, "_parts", {part.start: np.ascontiguousarray(rows[:, part]) for part in parts})

    def read(self, p: F32, columns: slice) -> F32:
        """Columns (N, k) at points (3, N), bilinear; beyond the table its edge goes on."""
        nx, ny, _ = self.table.shape
        fx = np.clip((p[0] - np.float32(self.low[0])) / np.float32(self.cell_m), 0, nx - 1.001)
        fy = np.clip((p[1] - np.float32(self.low[1])) / np.float32(self.cell_m), 0, ny - 1.001)
        ix, iy = fx.astype(np.int64), fy.astype(np.int64)
        wx, wy = (fx - ix).astype(np.float32)[:, None], (fy - iy).astype(np.float32)[:, None]
        base = ix * ny + iy
        flat = self._parts[columns.start]
        a, b = flat.take(base, axis=0), flat.take(base + 1, axis=0)
        c, d = flat.take(base + ny, axis=0), flat.take(base + ny + 1, axis=0)
        low = a + (b - a) * wy
        return np.asarray(low + ((c + (d - c) * wy) - low) * wx, np.float32)

    def distance(self, p: F32) -> F32:
        flat = self.read(p, DISTANCE)[:, 0]
        return np.maximum(flat, np.abs(p[2]) - np.float32(self.half_thick_m))

    def normal(self, p: F32) -> F32:
        """Normals (3, N): the sheet's face; the roundness of sticks is relief."""
        out = np.zeros_like(p)
        out[2] = 1
        return out

    def box(self) -> tuple[F32, F32]:
        nx, ny, _ = self.table.shape
        x, y = self.low
        h = self.half_thick_m
        return (
            np.array([x, y, -h], np.float32),
            np.array([x + (nx - 1) * self.cell_m, y + (ny - 1) * self.cell_m, h], np.float32),
        )


@dataclass(frozen=True, eq=False)
class Bark:
    """Skin of a Card: one reflectance, each stick's own tone, lichen and bark by noise, rounded by the table's normals."""

    card: Card
    reflectance: float = 0.10
    lichen: float = 0.35
    period_m: float = 0.5
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        nx, ny, own = self.card.read(p, REST).T
        nz = np.sqrt(np.maximum(1 - nx * nx - ny * ny, np.float32(0.08)))
        slope = np.stack([-nx / nz, -ny / nz, np.zeros_like(nx)]) * np.sign(n[2])
        stain = noise.stain(p, self.period_m, self.shift, stretch=(1.0, 2.2, 1.0))
        return Skin(
            tone(self.reflectance, own + stain * np.float32(self.lichen)),
            slope.astype(np.float32),
            full(p, 0.0),
            full(p, 1.0),
            full(p, 0.0),
        )


def press(sticks: Sticks, cell_m: float, half_thick_m: float = 0.004) -> Card:
    """Draw sticks (far ones first) on a sheet of cells `cell_m` wide; sticks thinner than a cell are drawn one cell wide."""
    from PIL import Image, ImageDraw
    from scipy.ndimage import distance_transform_edt

    sticks = sticks[np.argsort(np.minimum(sticks[:, 2], sticks[:, 5]), kind="stable")]
    x, y = sticks[:, [0, 3]], sticks[:, [1, 4]]
    thick = sticks[:, 6:8].max()
    low = (float(x.min() - thick - 4 * cell_m), float(y.min() - 4 * cell_m))
    size = (int((x.max() + thick - low[0]) / cell_m) + 5, int((y.max() + thick - low[1]) / cell_m) + 5)
    sheets = [Image.new("L", size, value) for value in (0, 128, 128, 128)]
    pens = [ImageDraw.Draw(sheet) for sheet in sheets]
    for a, b, quad, normal, shade in _quads(sticks, low, cell_m):
        inks = (255, round(128 + 120 * normal[0]), round(128 + 120 * normal[1]), round(128 + 32 * shade))
        for pen, ink in zip(pens, inks):
            if b is not None:
                pen.line((*a, *b), fill=ink)
            else:
                pen.polygon(quad, fill=ink)
    mask, nx, ny, shade_map = (np.asarray(sheet, np.float32).T for sheet in sheets)
    inside = mask > 0
    distance = np.where(inside, 0.5 - distance_transform_edt(inside), distance_transform_edt(~inside) - 0.5) * cell_m
    # Outside the outline the nearest stick's normal and tone go on, so that reading between cells mixes no nothing in.
    near = distance_transform_edt(~inside, return_distances=False, return_indices=True)
    nx, ny, shade_map = (m[near[0], near[1]] for m in (nx, ny, shade_map))
    table = np.stack([distance, (nx - 128) / 120, (ny - 128) / 120, (shade_map - 128) / 32], axis=2)
    return Card(table.astype(np.float32), low, cell_m, half_thick_m)


def _quads(sticks: Sticks, low: tuple[float, float], cell_m: float) -> Iterator[Strip]:
    """For each stick its lengthwise strips: end points of a hairline or None, corners, normal (x, y) and tone."""
    for x0, y0, _, x1, y1, _, r0, r1, shade in sticks:
        ax, ay, bx, by = (x0 - low[0]) / cell_m, (y0 - low[1]) / cell_m, (x1 - low[0]) / cell_m, (y1 - low[1]) / cell_m
        length = max(float(np.hypot(bx - ax, by - ay)), 1e-6)
        px, py = -(by - ay) / length, (bx - ax) / length
        wa, wb = r0 / cell_m, r1 / cell_m
        strips = 1 if max(wa, wb) < 0.8 else (3 if max(wa, wb) < 3 else 7)
        ux, uy = (bx - ax) / length * 0.4 * wa, (by - ay) / length * 0.4 * wa
        for s in range(strips):
            lo, hi = 2 * s / strips - 1, 2 * (s + 1) / strips - 1
            middle = (lo + hi) / 2 if strips > 1 else 0.0
            quad = [
                (ax - ux + px * lo * wa, ay - uy + py * lo * wa),
                (ax - ux + px * hi * wa, ay - uy + py * hi * wa),
                (bx + ux + px * hi * wb, by + uy + py * hi * wb),
                (bx + ux + px * lo * wb, by + uy + py * lo * wb),
            ]
            hair = strips == 1
            yield (ax, ay), ((bx, by) if hair else None), quad, (px * middle, py * middle), shade


@lru_cache(maxsize=16)
def bare_tree(seed: int, height_m: float, cell_m: float, spread: float = 1.0, trunk_m: float = 0.0) -> Card:
    """A leafless tree of about `height_m`; `spread` widens the crown, `trunk_m` (0 = by height) is the trunk's radius."""
    rng = np.random.Generator(np.random.PCG64([seed, 41]))
    rows: list[list[float]] = []
    radius = trunk_m or height_m * 0.023
    _branch(rows, rng, np.array([0.0, -0.25, 0.0]), np.array([0.0, 1.0, 0.0]), height_m * 0.42, radius, 0, spread)
    sticks = np.array(rows)
    for flare, away in ((1.7, -0.10), (1.5, 0.12), (1.35, 0.02)):
        foot = [
            away * 3 * radius / 0.3,
            -0.3,
            0.02,
            away * radius,
            0.55,
            0.02,
            radius * flare * 0.7,
            radius * 0.55,
            0.0,
        ]
        sticks = np.vstack([sticks, foot])
    return press(sticks, cell_m, 0.01)


SIDE_LIMBS = (6, 5, 4, 2, 1, 0)
STICKS = (9, 6, 5, 4, 3, 2)


def _wandering(start: Sticks, way: Sticks, step: float, jog: Sticks) -> tuple[list[Sticks], list[Sticks]]:
    """Return the joints of a limb that sets out one way and is jogged at every step, and the way of every step."""
    points, ways = [start], [way]
    for push in jog:
        d = ways[-1] + push
        ways.append(d / float(np.sqrt(d @ d)))
        points.append(points[-1] + ways[-1] * step)
    return points, ways[1:]


def _branch(
    rows: list[list[float]],
    rng: np.random.Generator,
    start: Sticks,
    way: Sticks,
    length: float,
    radius: float,
    level: int,
    spread: float,
) -> None:
    """One limb as a wandering row of sticks; its side limbs leave from the outer two thirds, and it ends in a fork."""
    count = STICKS[level]
    wander = 0.07 if level == 0 else 0.5 / count
    jog = rng.normal(0, wander, (count, 3))
    jog[:, 1] += 0.05 if level < 3 else 0.02
    shades = np.clip(rng.normal(0, 0.2, count), -0.6, 0.6)
    points, ways = _wandering(start, way, length / count, jog)
    thin = radius * (1 - (0.42 if level == 0 else 0.62) * np.arange(count + 1) / count)
    for i in range(count):
        rows.append([*points[i], *points[i + 1], thin[i], thin[i + 1], shades[i]])
    first = 0.5 if level == 0 else 0.2
    for k in range(SIDE_LIMBS[level]):
        along = first + (0.97 - first) * (k + rng.random()) / SIDE_LIMBS[level]
        i = min(int(along * count), count - 1)
        side = rng.normal(0, 1, 3)
        side -= ways[i] * (side @ ways[i])
        side *= rng.uniform(0.5, 1.15) * (spread if level < 2 else 1.0) / float(np.sqrt(side @ side))
        twig = ways[i] * 0.9 + side + np.array([0, 0.12, 0])
        grown = length * rng.uniform(0.45, 0.85) * (1 - 0.35 * along)
        at = points[i] + (points[i + 1] - points[i]) * (along * count - i)
        child = max(float(thin[i]) * rng.uniform(0.45, 0.7), 0.002)
        _branch(rows, rng, at, twig / float(np.sqrt(twig @ twig)), grown, child, level + 1, spread)
    if level < len(STICKS) - 1:
        fork = rng.normal(0, 0.35, 3) + np.array([0, 0.1, 0])
        for sign in (-1, 1):
            split = ways[-1] + sign * fork
            child = max(float(thin[-1]) * 0.85, 0.002)
            _branch(rows, rng, points[-1], split / float(np.sqrt(split @ split)), length * 0.62, child, level + 1, spread)


@lru_cache(maxsize=32)
def tuft(seed: int, wide_m: float, high_m: float, blades: int, cell_m: float = 0.0011) -> Card:
    """A tuft of winter grass: curved blades, pale and dark, some broken over."""
    rng = np.random.Generator(np.random.PCG64([seed, 43]))
    rows = []
    for _ in range(blades):
        x = rng.normal(0, wide_m * 0.22)
        lean = x / wide_m * 1.6 + rng.normal(0, 0.35)
        tall = high_m * rng.uniform(0.3, 1.0) * np.exp(-((x / wide_m) ** 2) * 2)
        bend = rng.normal(0, 0.5) + lean * 0.9
        snap = rng.uniform(0.5, 0.9) if rng.random() < 0.3 else 2.0
        z, shade = rng.normal(0, 1), rng.normal(0, 0.55)
        y, angle, width = -0.03, lean * 0.5, rng.uniform(0.0011, 0.0024)
        steps = 9
        for k in range(steps):
            s = k / steps
            angle += bend / steps + (1.7 * np.sign(bend) / steps * 3 if s > snap else 0)
            nx, ny = x + np.sin(angle) * (tall + 0.03) / steps, y + np.cos(angle) * (tall + 0.03) / steps
            fade = shade - 0.9 * (1 - s) ** 2
            rows.append(
                [
                    x,
                    y,
                    z,
                    nx,
                    ny,
                    z,
                    width * (1 - 0.85 * s),
                    width * (1 - 0.85 * (s + 1 / steps)),
                    float(np.clip(fade, -3, 3)),
                ]
            )
            x, y = nx, ny
    return press(np.array(rows), cell_m, 0.002)


@lru_cache(maxsize=8)
def thicket(seed: int, wide_m: float, high_m: float, stems: int, cell_m: float) -> Card:
    """A hedge of bushes and saplings, many stems from the ground, in one card."""
    rng = np.random.Generator(np.random.PCG64([seed, 47]))
    rows: list[list[float]] = []
    for _ in range(stems):
        x = rng.uniform(-0.5, 0.5) * wide_m
        way = np.array([rng.normal(0, 0.25), 1.0, rng.normal(0, 0.25)])
        tall = high_m * rng.uniform(0.35, 0.75)
        _branch(rows, rng, np.array([x, -0.2, rng.normal(0, 1)]), way / np.linalg.norm(way), tall, tall * 0.013, 3, 1.0)
    return press(np.array(rows), cell_m, 0.01)
