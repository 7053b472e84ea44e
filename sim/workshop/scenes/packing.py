"""Shapes of the packing table: straw, crumpled and folded paper, string round a parcel, shears."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes.sdf import F32, Vector, smooth_max


def scramble(a: F32, b: F32, salt: float) -> F32:
    """A fixed number in 0..1 for each pair of whole numbers (a mixing function, not a random stream)."""
    mixed_up = np.sin(a.astype(np.float64) * 15.731 + b.astype(np.float64) * 61.407 + salt * 4.113) * 31415.927
    return (mixed_up - np.floor(mixed_up)).astype(np.float32)


def _saw(t: F32) -> F32:
    """Triangle wave -1..1 of period 1."""
    return np.asarray(4 * np.abs(t - np.floor(t) - np.float32(0.5)) - 1, np.float32)


def facets(p: F32, wave_m: float, seed: int) -> F32:
    """Creases of crumpled paper, about -1..1: plane facets between sharp folds, from bent triangle waves in five directions."""
    rng = np.random.Generator(np.random.PCG64(seed))
    ways = rng.standard_normal((5, 3))
    ways /= np.linalg.norm(ways, axis=1, keepdims=True)
    total = np.zeros(p.shape[1], np.float32)
    for i, way in enumerate(ways.astype(np.float32)):
        other = ways[(i + 2) % 5].astype(np.float32)
        bend = np.sin((other @ p) * np.float32(4.1 / wave_m) + np.float32(i)) * np.float32(0.16)
        total += _saw(
            (way @ p) * np.float32((0.7 + 0.22 * i) / wave_m) + bend + np.float32(rng.uniform())
        ) / np.float32(1 + 0.35 * i)
    return total * np.float32(0.4)


@dataclass(frozen=True)
class Crumpled:
    """An egg of half axes `axes` (m) crushed by hand: creases `height_m` deep about `wave_m` apart. Slack 0.7."""

    axes: Vector
    height_m: float
    wave_m: float
    seed: int = 1

    def distance(self, p: F32) -> F32:
        a = np.array(self.axes, np.float32)[:, None]
        u = p / a
        w = u / a
        k0 = np.sqrt((u * u).sum(axis=0))
        k1 = np.maximum(np.sqrt((w * w).sum(axis=0)), np.float32(1e-6))
        body = k0 * (k0 - 1) / k1
        return np.asarray(
            smooth_max(
                body - np.float32(self.height_m) * facets(p, self.wave_m, self.seed),
                -p[1] - np.float32(self.axes[1] * 0.8),
                0.008,
            )
        )

    def box(self) -> tuple[F32, F32]:
        h = np.array(self.axes, np.float32) + np.float32(1.2 * self.height_m)
        return -h, h


@dataclass(frozen=True)
class Sheet:
    """A sheet of paper lying on a table, half sizes in metres, creased and lifting at its edges by `lift_m`. Slack 0.6."""

    half_x_m: float
    half_z_m: float
    crease_m: float
    wave_m: float
    lift_m: float = 0.0
    seed: int = 1

    def _rise(self, p: F32) -> F32:
        edge = np.maximum(np.abs(p[0]) / np.float32(self.half_x_m), np.abs(p[2]) / np.float32(self.half_z_m))
        flat = p * np.array([[1], [0], [1]], np.float32)
        wave = facets(flat, self.wave_m, self.seed)
        curl = np.float32(self.lift_m) * np.clip(edge, 0, 1) ** 4 * (1 + np.sin(p[0] * 9 - p[2] * 13 + self.seed)) * 0.5
        return np.asarray(np.float32(self.crease_m) * (wave + 1) + curl, np.float32)

    def distance(self, p: F32) -> F32:
        qx, qz = np.abs(p[0]) - np.float32(self.half_x_m), np.abs(p[2]) - np.float32(self.half_z_m)
        qy = np.abs(p[1] - self._rise(p) - np.float32(0.0008)) - np.float32(0.0006)
        out = np.maximum(qx, 0) ** 2 + np.maximum(qy, 0) ** 2 + np.maximum(qz, 0) ** 2
        return np.asarray(np.sqrt(out) + np.minimum(np.maximum(qx, np.maximum(qy, qz)), 0), np.float32)

    def box(self) -> tuple[F32, F32]:
        high = 2.2 * self.crease_m + self.lift_m + 0.002
        return (
            np.array([-self.half_x_m, -0.001, -self.half_z_m], np.float32),
            np.array([self.half_x_m, high, self.half_z_m], np.float32),
        )


@dataclass(frozen=True)
class Curl:
    """Paper hanging from its roll: flat at the top (its own origin), down `long_m`, curling forward below. Slack 0.7."""

    half_x_m: float
    long_m: float
    curl_m: float

    def distance(self, p: F32) -> F32:
        down = np.clip(-p[1] / np.float32(self.long_m), 0, 1)
        ahead = np.float32(self.curl_m) * down**3 * (1 + np.float32(0.25) * np.sin(p[0] * 11 + 1))
        qz = np.abs(p[2] - ahead + np.float32(0.0015) * np.sin(p[0] * 27) * down) - np.float32(0.0007)
        torn = np.float32(0.0012) * np.sin(p[0] * 170 + 3 * np.sin(p[0] * 61))
        qy = np.maximum(p[1], -p[1] - np.float32(self.long_m) + torn)
        qx = np.abs(p[0]) - np.float32(self.half_x_m - 0.002)
        out = np.maximum(qx, 0) ** 2 + np.maximum(qy, 0) ** 2 + np.maximum(qz, 0) ** 2
        return np.asarray(np.sqrt(out) + np.minimum(np.maximum(qx, np.maximum(qy, qz)), 0), np.float32)

    def box(self) -> tuple[F32, F32]:
        x = self.half_x_m
        lo = np.array([-x, -self.long_m - 0.002, -0.004], np.float32)
        return lo, np.array([x, 0.001, 1.3 * self.curl_m + 0.004], np.float32)


@dataclass(frozen=True)
class Parcel:
    """Something wrapped in stiff paper: a block of half sizes `half` (m), sides a little hollow, paper creased. Slack 0.75."""

    half: Vector
    crease_m: float = 0.0011
    seed: int = 1

    def distance(self, p: F32) -> F32:
        hx, hy, hz = self.half
        e = np.float32(0.004)
        # Paper is tight at the edges and loose between them.
        ux, uy, uz = p[0] / np.float32(hx), p[1] / np.float32(hy), p[2] / np.float32(hz)
        loose = np.float32(0.0022)
        qx = np.abs(p[0]) - np.float32(hx) + e + loose * (1 - np.minimum(uy * uy, 1)) * (1 - np.minimum(uz * uz, 1))
        qy = np.abs(p[1]) - np.float32(hy) + e + loose * (1 - np.minimum(ux * ux, 1)) * (1 - np.minimum(uz * uz, 1))
        qz = np.abs(p[2]) - np.float32(hz) + e + loose * (1 - np.minimum(ux * ux, 1)) * (1 - np.minimum(uy * uy, 1))
        inner = np.minimum(np.maximum(qx, np.maximum(qy, qz)), 0)
        out = np.sqrt(np.maximum(qx, 0) ** 2 + np.maximum(qy, 0) ** 2 + np.maximum(qz, 0) ** 2)
        body = out + inner - e
        return np.asarray(body - np.float32(self.crease_m) * facets(p, 0.085, self.seed), np.float32)

    def box(self) -> tuple[F32, F32]:
        h = np.array(self.half, np.float32) + np.float32(1.2 * self.crease_m)
        return -h, h


@dataclass(frozen=True)
class Lashing:
    """String tied round a block of half sizes `half` (m), crossing at (at_x, at_z) on top. Slack 0.8."""

    half: Vector
    at_x: float
    at_z: float
    radius_m: float = 0.0013

    def distance(self, p: F32) -> F32:
        hx, hy, hz = self.half
        r = np.float32(self.radius_m)
        wander = np.float32(0.0025)
        over_x = np.hypot(_outline(p[2], p[1], hz, hy) - r, p[0] - self.at_x - wander * np.sin(p[2] * 23 + p[1] * 17))
        over_z = np.hypot(_outline(p[0], p[1], hx, hy) - r, p[2] - self.at_z - wander * np.sin(p[0] * 19 + p[1] * 13))
        return np.asarray(np.minimum(over_x, over_z) - r, np.float32)

    def box(self) -> tuple[F32, F32]:
        h = np.array(self.half, np.float32) + np.float32(3 * self.radius_m + 0.001)
        return -h, h


def _outline(a: F32, b: F32, half_a: float, half_b: float) -> F32:
    e = np.float32(0.004)
    qa, qb = np.abs(a) - np.float32(half_a) + e, np.abs(b) - np.float32(half_b) + e
    out = np.sqrt(np.maximum(qa, 0) ** 2 + np.maximum(qb, 0) ** 2)
    return np.asarray(out + np.minimum(np.maximum(qa, qb), 0) - e, np.float32)


@dataclass(frozen=True)
class Straw:
    """A heap of straw within half sizes (m), `high_m` at its middle: layers of stalks lying every way on a dark bed.

    Distances to stalks of neighbouring cells are left out, so the answer may be too large near a stalk's end: slack 0.5.
    """

    half_x_m: float
    half_z_m: float
    high_m: float
    low_m: float = 0.0
    stalk_m: float = 0.0015
    layers: int = 8
    seed: int = 1

    def top(self, x: F32, z: F32) -> F32:
        """Height (m) of the heap's surface."""
        u, w = x / np.float32(self.half_x_m), z / np.float32(self.half_z_m)
        bulge = np.clip(1 - u * u, 0, 1) * np.clip(1 - w * w, 0, 1)
        lumps = np.sin(x * 31 + np.float32(self.seed)) * np.sin(z * 37 + 2 * np.sin(x * 17)) * np.float32(0.010)
        return np.asarray(self.low_m + (self.high_m - self.low_m) * np.sqrt(bulge) + lumps, np.float32)

    def distance(self, p: F32) -> F32:
        x, y, z = p
        top = self.top(x, z)
        d = (y - top + np.float32(0.013)) * np.float32(0.85)
        for k in range(self.layers):
            d = np.minimum(d, self._layer(x, y - top, z, k))
        bound = np.maximum(np.abs(x) - np.float32(self.half_x_m), np.abs(z) - np.float32(self.half_z_m))
        return np.asarray(np.maximum(d, np.maximum(bound, -y + np.float32(self.low_m - 0.05))), np.float32)

    def _layer(self, x: F32, over: F32, z: F32, k: int) -> F32:
        pitch, length = np.float32(0.0105), np.float32(0.11 + 0.02 * (k % 3))
        turn = np.float32(2.399963 * k + self.seed)
        along = x * np.cos(turn) + z * np.sin(turn)
        across = -x * np.sin(turn) + z * np.cos(turn) + np.float32(0.008) * np.sin(along * 21 + k)
        cell = np.floor(across / pitch)
        piece = along / length + scramble(cell, np.full_like(cell, k), 1)
        part = np.floor(piece)
        at = (piece - part - np.float32(0.5)) * length
        side = (scramble(cell, part, 2 + k) - np.float32(0.5)) * pitch * np.float32(0.55)
        lift = (scramble(cell, part, 30 + k) - np.float32(0.7)) * np.float32(0.016)
        tilt = (scramble(cell, part, 60 + k) - np.float32(0.5)) * np.float32(0.30)
        off = across - (cell + np.float32(0.5)) * pitch - side - at * (tilt * np.float32(0.15))
        rise = over - lift - at * tilt - at * at * np.float32(1.2)
        end = np.maximum(np.abs(at) - np.float32(0.47) * length, 0)
        thick = np.float32(self.stalk_m) * (np.float32(0.7) + np.float32(0.6) * scramble(cell, part, 90))
        return np.asarray(np.sqrt(off * off + rise * rise + end * end) - thick, np.float32)

    def box(self) -> tuple[F32, F32]:
        return (
            np.array([-self.half_x_m, self.low_m - 0.05, -self.half_z_m], np.float32),
            np.array([self.half_x_m, self.high_m + 0.03, self.half_z_m], np.float32),
        )


@dataclass(frozen=True)
class Hoop:
    """A ring lying flat: radius to the middle of its stock and radius of the stock, metres."""

    radius_m: float
    stock_m: float

    def distance(self, p: F32) -> F32:
        away = np.hypot(p[0], p[2]) - np.float32(self.radius_m)
        return np.asarray(np.hypot(away, p[1]) - np.float32(self.stock_m), np.float32)

    def box(self) -> tuple[F32, F32]:
        r, s = self.radius_m + self.stock_m, self.stock_m
        return np.array([-r, -s, -r], np.float32), np.array([r, s, r], np.float32)


@dataclass(frozen=True)
class Blade:
    """A flat blade along +x from its own origin, tapering from `wide_m` to a point over `long_m`."""

    long_m: float
    wide_m: float
    thick_m: float = 0.0028

    def distance(self, p: F32) -> F32:
        share = np.clip(1 - p[0] / np.float32(self.long_m), 0, 1)
        wide = np.float32(self.wide_m / 2) * np.sqrt(share)
        qx = np.abs(p[0] - np.float32(self.long_m / 2)) - np.float32(self.long_m / 2)
        qy = np.abs(p[1]) - np.float32(self.thick_m / 2)
        qz = (np.abs(p[2] - wide * np.float32(0.3)) - wide) * np.float32(0.95)
        out = np.sqrt(np.maximum(qx, 0) ** 2 + np.maximum(qy, 0) ** 2 + np.maximum(qz, 0) ** 2)
        return np.asarray(out + np.minimum(np.maximum(qx, np.maximum(qy, qz)), 0), np.float32)

    def box(self) -> tuple[F32, F32]:
        t, w = self.thick_m / 2, self.wide_m
        return np.array([0, -t, -w], np.float32), np.array([self.long_m, t, w], np.float32)
