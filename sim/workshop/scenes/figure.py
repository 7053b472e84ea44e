"""A person at the wheel as grown-together eggs and sticks, and the clothes on them: folds are warped waves.

All parts use the figure's own frame: y up from the floor, +z the way the hips face, +x to the figure's left, metres.
"""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes.linen import fold_wave
from sim.workshop.scenes.materials import Skin, between, full, tone
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32, Capsule, Ellipsoid, Joined, Shape, Vector


@dataclass(frozen=True)
class Tilted:
    """A shape turned about its own origin (pitch about x: nodding forward, then yaw about y) and put at a place."""
    shape: Shape
    at: Vector
    pitch_deg: float = 0.0
    yaw_deg: float = 0.0
    roll_deg: float = 0.0

    def _turn(self) -> F32:
        a, b, c = (np.radians(v) for v in (self.yaw_deg, self.pitch_deg, self.roll_deg))
        yaw = np.array([[np.cos(a), 0, np.sin(a)], [0, 1, 0], [-np.sin(a), 0, np.cos(a)]])
        pitch = np.array([[1, 0, 0], [0, np.cos(b), -np.sin(b)], [0, np.sin(b), np.cos(b)]])
        roll = np.array([[np.cos(c), -np.sin(c), 0], [np.sin(c), np.cos(c), 0], [0, 0, 1]])
        return np.asarray(yaw @ pitch @ roll, np.float32)

    def to_own(self, p: F32) -> F32:
        """Points (3, N) in the shape's own frame."""
        return np.asarray(self._turn().T @ (p - np.array(self.at, np.float32)[:, None]), np.float32)

    def distance(self, p: F32) -> F32:
        return self.shape.distance(self.to_own(p))

    def box(self) -> tuple[F32, F32]:
        lo, hi = self.shape.box()
        corners = np.array(
            [[(lo, hi)[i][0], (lo, hi)[j][1], (lo, hi)[k][2]] for i in (0, 1) for j in (0, 1) for k in (0, 1)]
        )
        world = corners @ self._turn().T + np.array(self.at)
        return world.min(axis=0).astype(np.float32), world.max(axis=0).astype(np.float32)


def chain(points: tuple[Vector, ...], radii: tuple[float, ...]) -> tuple[Shape, ...]:
    """Sticks through the points with the radii given at them."""
    return tuple(Capsule(points[i], points[i + 1], radii[i], radii[i + 1]) for i in range(len(points) - 1))


def head_parts() -> tuple[Joined, Joined, Joined]:
    """Face, hair and bun of a head about its own centre, looking to +z: three shapes."""
    face = Joined(
        (
            Ellipsoid((0, 0.022, -0.008), (0.070, 0.084, 0.090)),  # skull
            Ellipsoid((0, -0.045, 0.030), (0.052, 0.060, 0.052)),  # jaw and cheeks
            Ellipsoid((0, -0.094, 0.058), (0.020, 0.017, 0.018)),  # chin
            Ellipsoid((0, -0.058, 0.072), (0.023, 0.012, 0.013)),  # lips
            Capsule((0, 0.012, 0.082), (0, -0.030, 0.102), 0.007, 0.0115),  # nose
            Capsule((-0.032, 0.024, 0.071), (0.032, 0.024, 0.071), 0.009, 0.009),  # brow
            Ellipsoid((0.040, -0.018, 0.056), (0.020, 0.018, 0.020)),  # cheekbones
            Ellipsoid((-0.040, -0.018, 0.056), (0.020, 0.018, 0.020)),
            Capsule((0.048, -0.045, -0.012), (0.030, -0.082, 0.035), 0.018, 0.016),  # line of the jaw
            Capsule((-0.048, -0.045, -0.012), (-0.030, -0.082, 0.035), 0.018, 0.016),
        ),
        0.020,
    )
    hair = Joined(
        (
            Ellipsoid((0, 0.036, -0.030), (0.079, 0.086, 0.090)),
            Ellipsoid((0, -0.030, -0.070), (0.052, 0.050, 0.036)),
            Capsule((0.066, 0.020, 0.012), (0.062, -0.018, -0.020), 0.016, 0.014),
            Capsule((-0.066, 0.020, 0.012), (-0.062, -0.018, -0.020), 0.016, 0.014),
        ),
        0.030,
    )
    bun = Joined(
        (
            Ellipsoid((0, 0.035, -0.128), (0.040, 0.037, 0.034)),
            Ellipsoid((0.006, 0.030, -0.104), (0.028, 0.028, 0.024)),
        ),
        0.012,
    )
    return face, hair, bun


@dataclass(frozen=True)
class Combed:
    """Hair: a shape with shallow locks drawn back towards a knot at `knot`, metres. Slack 0.8."""

    shape: Shape
    knot: Vector
    lock_m: float = 0.0011
    count: float = 34.0

    def distance(self, p: F32) -> F32:
        q = p - np.array(self.knot, np.float32)[:, None]
        turn = np.arctan2(q[1], q[0])
        away = np.sqrt((q * q).sum(axis=0))
        wave = np.sin(turn * np.float32(self.count) + np.float32(1.3) * np.sin(away * 45) + np.sin(turn * 7) * 2)
        fine = np.sin(turn * np.float32(self.count * 2.7) + away * 30)
        fade = np.clip(away / np.float32(0.05), 0, 1)
        return np.asarray(self.shape.distance(p) - np.float32(self.lock_m) * (wave + np.float32(0.5) * fine) * fade)

    def box(self) -> tuple[F32, F32]:
        lo, hi = self.shape.box()
        return lo - np.float32(0.002), hi + np.float32(0.002)


def ear(side: float) -> Joined:
    """An outer ear at the side (+1 left, -1 right) of a head."""
    x = 0.0735 * side
    rim = (
        (x, 0.010, 0.010),
        (x + 0.008 * side, 0.026, 0.000),
        (x + 0.011 * side, 0.022, -0.016),
        (x + 0.009 * side, 0.000, -0.017),
        (x + 0.003 * side, -0.022, -0.004),
        (x, -0.026, 0.006),
    )
    return Joined(
        (
            *chain(rim, (0.004, 0.0045, 0.0048, 0.0045, 0.005, 0.004)),
            Ellipsoid((x + 0.004 * side, 0.0, -0.004), (0.006, 0.023, 0.014)),
        ),
        0.006,
    )


def hand(side: float, spread: float = 0.0) -> Joined:
    """A hand from the wrist at its own origin, fingers along +z curling towards -x * side, thumb up."""
    s = side
    parts: list[Shape] = [
        Ellipsoid((0.0, 0.0, 0.042), (0.017, 0.038, 0.048)),
        Capsule((0, 0, -0.03), (0, 0, 0.02), 0.025, 0.023),
    ]
    for i, (y, long, droop) in enumerate(
        ((0.027, 0.92, 0.10), (0.009, 1.0, 0.02), (-0.009, 0.96, -0.06), (-0.025, 0.78, -0.14))
    ):
        lean = spread * (1.5 - i)
        a: Vector = (0.001 * s, y, 0.076)
        b: Vector = (-0.006 * s, y + droop * 0.02 + lean * 0.4, 0.076 + 0.040 * long)
        c: Vector = (-0.022 * s, y + droop * 0.04 + lean * 0.7, 0.076 + 0.062 * long)
        d: Vector = (-0.040 * s, y + droop * 0.05 + lean, 0.076 + 0.074 * long)
        parts += chain((a, b, c, d), (0.0100, 0.0088, 0.0080, 0.0066))
    parts += chain(
        (
            (-0.004 * s, 0.024, 0.018),
            (-0.018 * s, 0.046, 0.048),
            (-0.028 * s, 0.052, 0.078),
            (-0.036 * s, 0.050, 0.098),
        ),
        (0.016, 0.0125, 0.0098, 0.0078),
    )
    return Joined(tuple(parts), 0.009)


@dataclass(frozen=True)
class Clothed:
    """Cloth over a body: folds `fold_m` deep, `wave_m` apart, running along `grain` (unit vector), deeper near `pulls`.

    `pulls` are (x, y, z, reach, strength): places from which folds fan (arm holes, waist). Slack 0.55.
    """

    body: Shape
    fold_m: float
    wave_m: float
    grain: Vector = (0.0, 1.0, 0.0)
    pulls: tuple[tuple[float, float, float, float, float], ...] = ()
    phase: float = 0.0
    band: "Bands | None" = None

    def distance(self, p: F32) -> F32:
        g = np.array(self.grain, np.float32)
        g = g / np.linalg.norm(g)
        side = np.cross(g, np.array([0.31, 0.22, 0.92], np.float32))
        side = side / np.linalg.norm(side)
        other = np.cross(g, side)
        k = np.float32(2 * np.pi / self.wave_m)
        along = (g @ p) * k
        across = (side @ p) * k + np.float32(0.8) * np.sin((other @ p) * k * np.float32(0.7) + self.phase)
        wave = fold_wave(across, along * np.float32(0.5), self.phase)
        much = np.full(p.shape[1], 0.35 if self.pulls else 1.0, np.float32)
        for i, (x, y, z, reach, strength) in enumerate(self.pulls):
            q = p - np.array([[x], [y], [z]], np.float32)
            away = np.sqrt((q * q).sum(axis=0)) / np.float32(reach)
            fan = np.sin(np.arctan2(q[1], q[0] + q[2] * np.float32(0.6)) * 9 + i + away * np.float32(1.5))
            near = away * away * np.exp(1 - away * away)
            wave = wave + fan * near * np.float32(strength)
            much = much + np.float32(0.5 * strength) * near
        d = self.body.distance(p) - np.float32(self.fold_m) * wave * np.minimum(much, 1.3)
        if self.band is not None:
            d = d - np.float32(0.0022) * self.band.cover(p) - self.band.gathers(p)
        return np.asarray(d, np.float32)

    def box(self) -> tuple[F32, F32]:
        lo, hi = self.body.box()
        grow = np.float32(1.6 * self.fold_m + 0.003)
        return lo - grow, hi + grow


@dataclass(frozen=True)
class Bands:
    """Apron strings over a back: a band about the waist at height `waist_m` and two straps crossing behind."""

    waist_m: float
    half_m: float = 0.015
    shoulder: tuple[float, float] = (0.105, 1.09)
    hip_x_m: float = 0.10

    def cover(self, p: F32) -> F32:
        """1 on the band, 0 beside it, for points (3, N) in the figure's frame."""
        slope = p[1] - np.float32(self.waist_m) + p[2] * np.float32(0.18) - np.float32(0.004) * np.sin(p[0] * 30)
        out = 1 - between(np.abs(slope), self.half_m - 0.002, self.half_m + 0.002)
        sx, sy = self.shoulder
        for side in (1.0, -1.0):
            way = np.array([-side * (sx + self.hip_x_m), self.waist_m - sy])
            way = way / np.linalg.norm(way)
            off = (p[0] - np.float32(side * sx)) * np.float32(way[1]) - (p[1] - np.float32(sy)) * np.float32(way[0])
            strap = 1 - between(np.abs(off), 0.010, 0.014)
            out = np.maximum(out, strap * (p[1] > self.waist_m) * (p[2] < 0.09 + (p[1] - 0.95) * 0.35))
        return np.asarray(out, np.float32)

    def gathers(self, p: F32) -> F32:
        """Height (m) of the pleats the band draws together, dying out above and below it."""
        from_band = np.abs(p[1] - np.float32(self.waist_m) + p[2] * np.float32(0.18)) - np.float32(self.half_m)
        away = np.maximum(from_band, 0) / np.float32(0.055)
        deep = np.float32(0.0062) * away * np.exp(1 - away)
        around = np.arctan2(p[0], p[2] + np.float32(0.01))
        return np.asarray(deep * fold_wave(around * 15, p[1] * 17, 1.1), np.float32)


@dataclass(frozen=True)
class Worn:
    """A worn garment: plain cloth, smears of dried slip, apron strings of another tone where `band` lies."""

    reflectance: float = 0.40
    slip: float = 0.0
    band: Bands | None = None
    band_reflectance: float = 0.12
    yoke_m: float = 0.0
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        cloud = noise.stain(p, 0.27, self.shift)
        fuzz = noise.stain(p, 0.028, self.shift + 1)
        _, g = noise.relief(p, 0.06, self.shift + 2)
        shade = tone(self.reflectance, cloud * np.float32(0.13) + fuzz * np.float32(0.06))
        slub = noise.stain(p, 0.045, self.shift + 5, stretch=(9.0, 1.0, 1.0)) + noise.stain(
            p, 0.045, self.shift + 6, stretch=(1.0, 9.0, 1.0)
        )
        shade = shade * np.exp2(slub * np.float32(0.035))
        if self.yoke_m:
            seam = np.abs(p[1] - np.float32(self.yoke_m) - np.float32(0.10) * np.abs(p[0])) - np.float32(0.0009)
            shade = shade * np.exp2(-np.float32(0.55) * (1 - between(seam, 0.0, 0.0016)) * (p[2] < 0.10))
        if self.slip:
            smear = between(noise.stain(p, 0.19, self.shift + 4, stretch=(1.0, 2.0, 1.0)), 1.0, 1.9) * np.float32(
                self.slip
            )
            shade = shade + (np.float32(0.42) - shade) * smear
        if self.band is not None:
            cover = self.band.cover(p)
            shade = shade + (tone(self.band_reflectance, fuzz * np.float32(0.1)) - shade) * cover
        return Skin(shade.astype(np.float32), g * np.float32(0.6e-4), full(p, 0.0), full(p, 1.0), full(p, 0.0))


@dataclass(frozen=True)
class Flesh:
    """Skin, or skin wet with slip (`wet` 0..1): fine pores, a low sheen, flushed patches."""

    reflectance: float = 0.34
    wet: float = 0.0
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        flush = noise.stain(p, 0.16, self.shift)
        _, g = noise.relief(p, 0.018, self.shift + 1)
        slip = between(noise.stain(p, 0.09, self.shift + 2), 1.2 - 2.4 * self.wet, 2.2 - 2.4 * self.wet)
        shade = tone(self.reflectance, flush * np.float32(0.08) - slip * np.float32(0.35))
        gloss, rough = (np.float32(a) + np.float32(b) * slip for a, b in ((0.020, 0.02), (0.30, -0.18)))
        return Skin(shade, g * np.float32(1.8e-5), gloss.astype(np.float32), rough.astype(np.float32), full(p, 0.0))
