"""Skins of pots: bare stoneware, glaze with its run line, breaking rims and speckle; bricks; the glow of a hot kiln."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes.materials import Skin, between, full, mixed, tone
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32


def _throwing(p: F32, pitch_m: float, height_m: float, noise: Noise, shift: float) -> F32:
    """Slope (3, N) of the spiral left by the fingers; pitch and depth wander, because hands do."""
    wander, _ = noise.relief(p, 0.31, shift + 31)
    turn = np.arctan2(p[2], p[0]) / np.float32(2 * np.pi)
    phase = np.float32(2 * np.pi) * (p[1] / np.float32(pitch_m) + turn) + wander * np.float32(1.9)
    strength = np.float32(height_m) * (1 + np.float32(0.5) * np.sin(p[1] * 47 + np.float32(shift)))
    slope = np.zeros_like(p)
    slope[1] = np.cos(phase) * strength * np.float32(2 * np.pi / pitch_m)
    return slope


@dataclass(frozen=True)
class Clay:
    """Unglazed ware: biscuit, stoneware or raw clay; grog, finger marks, a scorch of flashing towards the fire."""

    reflectance: float = 0.35
    grog: float = 0.12
    relief_m: float = 5e-5
    ring_m: float = 7e-5
    ring_pitch_m: float = 0.0085
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        flash = noise.stain(p, 0.43, self.shift)
        fine = noise.stain(p, 0.045, self.shift + 1)
        speck = between(noise.relief(p, 0.013, self.shift + 2)[0], 1.8, 2.5)
        _, g = noise.relief(p, 0.022, self.shift + 3)
        _, g_broad = noise.relief(p, 0.13, self.shift + 4)
        slope = g * np.float32(self.relief_m) + g_broad * np.float32(self.relief_m * 3.5)
        slope += _throwing(p, self.ring_pitch_m, self.ring_m, noise, self.shift)
        stops = flash * np.float32(0.17) + fine * np.float32(self.grog) - speck * np.float32(4 * self.grog)
        return Skin(tone(self.reflectance, stops), slope, full(p, 0.0), full(p, 1.0), full(p, 0.0))


@dataclass(frozen=True)
class Glaze:
    """A glaze over clay down to a wavy line with runs; it breaks paler (or darker) where it lies thin on edges.

    Relief of the glaze is long-waved (10-20 mm) and shallow: shorter waves break the mirrored window into specks.
    `gloss` is F0 (0.045 for glass, index about 1.54); `rough` the spread of the reflection (0.01 bright, 0.2 satin).
    `speckle` > 0 puts iron spots; `line_m` is the height of the glaze line above the foot.
    """

    reflectance: float = 0.60
    under: float = 0.30
    line_m: float = 0.03
    run_m: float = 0.010
    breaks: float = 0.5
    gloss: float = 0.045
    rough: float = 0.012
    speckle: float = 0.3
    depth_stops: float = 0.22
    ring_m: float = 6e-5
    shift: float = 0.0
    lip_m: float = 1.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        clay = Clay(self.under, shift=self.shift + 40).skin(p, n, noise)
        # Runs hang down: noise read on the circumference only, so a whole stripe drops together.
        around = p * np.array([[1.0], [0.12], [1.0]], np.float32)
        drop = noise.stain(around, 0.23, self.shift + 11)
        edge = p[1] - np.float32(self.line_m) + np.float32(self.run_m) * drop
        cover = between(edge, -0.0006, 0.0010)
        roll = cover * (1 - between(edge, 0.001, 0.005))
        pool = noise.stain(p, 0.27, self.shift + 12)
        cloud = noise.stain(p, 0.071, self.shift + 13)
        spots = between(noise.relief(p, 0.019, self.shift + 14)[0] + np.float32(0.3) * pool, 2.0, 2.6) * np.float32(
            self.speckle
        )
        thin = between(np.abs(n[1]), 0.86, 0.99) * (p[1] > self.lip_m - 0.014) + _ring_edges(
            p, self.ring_m, noise, self.shift
        )
        stops = np.float32(self.depth_stops) * (pool * np.float32(0.8) + cloud * np.float32(0.45)) - spots * 2
        stops = stops + np.float32(self.breaks) * thin - roll * np.float32(0.35 * np.sign(self.breaks))
        _, g = noise.relief(p, 0.085, self.shift + 15)
        _, g_orange = noise.relief(p, 0.24, self.shift + 16)
        slope = g * np.float32(1.6e-5) + g_orange * np.float32(1.8e-4)
        slope += _throwing(p, 0.0095, self.ring_m, noise, self.shift)
        f0 = np.float32(self.gloss) * cover
        rough = np.float32(self.rough) * (1 + np.float32(0.2) * np.abs(pool))
        return Skin(
            mixed(clay.reflectance, tone(self.reflectance, stops), cover),
            mixed(clay.slope, slope, cover),
            f0,
            rough.astype(np.float32),
            full(p, 0.0),
        )


def _ring_edges(p: F32, ring_m: float, noise: Noise, shift: float) -> F32:
    """Thinness (about -0.3..0.3) on the crests of the throwing rings, where glaze drains away."""
    if ring_m <= 0:
        return full(p, 0.0)
    wander, _ = noise.relief(p, 0.31, shift + 31)
    turn = np.arctan2(p[2], p[0]) / np.float32(2 * np.pi)
    return np.asarray(
        np.sin(np.float32(2 * np.pi) * (p[1] / np.float32(0.0095) + turn) + wander * np.float32(1.9)) * np.float32(0.16)
    )


@dataclass(frozen=True)
class Hot:
    """Something glowing: luminance by its temperature, uneven as a kiln is; also a little reflectance."""

    glow: float
    uneven_stops: float = 0.25
    reflectance: float = 0.4
    period_m: float = 0.4
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return self.glow

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        wave = noise.stain(p, self.period_m, self.shift)
        fine = noise.stain(p, self.period_m * 0.17, self.shift + 3)
        glow = np.float32(self.glow) * np.exp2(np.float32(self.uneven_stops) * (wave + np.float32(0.5) * fine))
        return Skin(full(p, self.reflectance), np.zeros_like(p), full(p, 0.0), full(p, 1.0), glow.astype(np.float32))
