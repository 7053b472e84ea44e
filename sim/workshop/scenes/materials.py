"""Skins of things: reflectance, relief, gloss and glow at a point, from noise looked up in the thing's own coordinates."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32


@dataclass(frozen=True, eq=False)
class Skin:
    """One skin at N points: diffuse reflectance 0..1, slope of the relief (3, N), gloss at normal incidence (F0), its
    roughness (spread of the reflection, radians) and own luminance in cd/m2."""

    reflectance: F32
    slope: F32
    f0: F32
    rough: F32
    glow_cd_m2: F32


class Material(Protocol):
    """A skin that can be asked at points, and its mean values for the light grid."""

    @property
    def mean_reflectance(self) -> float: ...

    @property
    def mean_glow_cd_m2(self) -> float: ...

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        """Skin at local points (3, N) with local outward normals (3, N)."""
        ...


def full(p: F32, value: float) -> F32:
    return np.full(p.shape[1], value, np.float32)


def between(x: F32, low: float, high: float) -> F32:
    """Smooth step from 0 at low to 1 at high."""
    t = np.clip((x - np.float32(low)) / np.float32(high - low), 0, 1)
    return np.asarray(t * t * (3 - 2 * t), np.float32)


def tone(base: F32 | float, stops: F32) -> F32:
    """Reflectance changed by some fraction of a stop, kept physical."""
    return np.clip(base * np.exp2(stops), np.float32(0.01), np.float32(0.88)).astype(np.float32)


@dataclass(frozen=True)
class Plain:
    """One reflectance, a little dirt, no gloss."""

    reflectance: float
    dirt_stops: float = 0.2
    period_m: float = 0.25
    glow: float = 0.0
    f0: float = 0.0
    rough: float = 0.3

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return self.glow

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        shade = tone(self.reflectance, noise.stain(p, self.period_m) * np.float32(self.dirt_stops))
        return Skin(shade, np.zeros_like(p), full(p, self.f0), full(p, self.rough), full(p, self.glow))


@dataclass(frozen=True)
class Plaster:
    """Old lime plaster: trowel marks, damp stains, hairline cracks and chips; or distempered, limewashed, earthen by tone."""

    reflectance: float = 0.55
    relief_m: float = 0.0019
    stain_stops: float = 0.24
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        # Trowel strokes are long and lie at a slant; fine grain is sand.
        broad, g_broad = noise.relief(p, 1.31, self.shift)
        _, g_mid = noise.relief(p, 0.29, self.shift + 3)
        _, g_fine = noise.relief(p, 0.037, self.shift + 5)
        slope = g_broad * np.float32(self.relief_m * 2.2) + g_mid * np.float32(self.relief_m * 0.33)
        slope += g_fine * np.float32(self.relief_m * 0.030)
        damp = noise.stain(p, 1.93, self.shift + 1)
        grain = noise.stain(p, 0.23, self.shift + 2)
        crack = np.abs(noise.stain(p, 1.17, self.shift + 7) - np.float32(0.35))
        hair = np.maximum(1 - crack / np.float32(0.018), 0) * (damp < 0.2)
        chip = between(noise.stain(p, 0.53, self.shift + 9), 2.35, 2.7)
        stops = np.float32(self.stain_stops) * (damp * np.float32(0.8) + grain * np.float32(0.55)) - hair * np.float32(
            0.5
        )
        stops = stops - chip * np.float32(0.45) + broad * np.float32(0.03)
        return Skin(tone(self.reflectance, stops), slope, full(p, 0.0), full(p, 1.0), full(p, 0.0))


@dataclass(frozen=True)
class Wood:
    """A sawn and worn board: grain along the local axis `along` (0 = x, 1 = y, 2 = z), rings, a sheen where hands polish it."""

    reflectance: float = 0.28
    along: int = 0
    relief_m: float = 0.00022
    f0: float = 0.022
    rough: float = 0.22
    shift: float = 0.0
    contrast: float = 1.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        stretch = tuple(14.0 if i == self.along else 1.0 for i in range(3))
        fibre = noise.stain(p, 0.16, self.shift, stretch=(stretch[0], stretch[1], stretch[2]))
        q = p.copy()
        q[self.along] *= np.float32(0.10)
        wander, _ = noise.relief(q, 0.35, self.shift + 2)
        across = [i for i in range(3) if i != self.along]
        heart = np.hypot(p[across[0]] - np.float32(0.03), p[across[1]] + np.float32(0.05)) + wander * np.float32(0.011)
        ring = np.sin(heart * np.float32(2 * np.pi / 0.0085)) * np.float32(0.6) + np.sin(
            heart * np.float32(2 * np.pi / 0.023)
        )
        wear = noise.stain(p, 0.61, self.shift + 3)
        dots = between(noise.stain(p, 0.11, self.shift + 6), 2.2, 2.7)
        stops = (fibre * np.float32(0.26) + ring * np.float32(0.13)) * np.float32(self.contrast) + wear * np.float32(
            0.16
        )
        _, g = noise.relief(q, 0.055, self.shift + 4)
        g[self.along] *= np.float32(0.10)
        g = g * np.float32(self.relief_m)
        sheen = np.float32(self.f0) * np.clip(1 + np.float32(0.5) * wear - np.float32(0.35) * fibre, 0.1, 2.2)
        spread = np.float32(self.rough) * np.clip(1 - np.float32(0.12) * fibre, 0.6, 1.5)
        return Skin(tone(self.reflectance, stops + dots * np.float32(0.5)), g, sheen, spread, full(p, 0.0))


@dataclass(frozen=True)
class Iron:
    """Iron or steel, worn bright in places: little diffuse light, a broad metallic sheen."""

    reflectance: float = 0.06
    f0: float = 0.22
    rough: float = 0.20
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance + 0.5 * self.f0

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        rust = noise.stain(p, 0.19, self.shift)
        _, g = noise.relief(p, 0.05, self.shift + 1)
        worn = np.clip(1 + np.float32(0.16) * rust, 0.5, 1.5)
        return Skin(
            tone(self.reflectance, -rust * np.float32(0.4)),
            g * np.float32(3.5e-5),
            np.float32(self.f0) * worn,
            np.float32(self.rough) / np.sqrt(worn),
            full(p, 0.0),
        )


@dataclass(frozen=True)
class Cloth:
    """A woven rag: fine weave along x and z, worn and stained with slip."""

    reflectance: float = 0.4
    shift: float = 0.0
    thread_m: float = 0.0016

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        slip = noise.stain(p, 0.21, self.shift)
        fuzz = noise.stain(p, 0.033, self.shift + 1)
        k = np.float32(2 * np.pi / self.thread_m)
        weave = np.sin(p[0] * k) * np.sin((p[2] + p[1]) * k)
        _, g = noise.relief(p, 0.03, self.shift + 2)
        stops = slip * np.float32(0.30) + fuzz * np.float32(0.15) + weave * np.float32(0.12)
        return Skin(tone(self.reflectance, stops), g * np.float32(1.3e-4), full(p, 0.0), full(p, 1.0), full(p, 0.0))


def mixed(a: F32, b: F32, share_b: F32) -> F32:
    """Straight mixture of two values by the share of the second."""
    return np.asarray(a + (b - a) * share_b, np.float32)
