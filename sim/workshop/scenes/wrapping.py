"""Skins of the packing table: paper, string, straw, a written label."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes.materials import Skin, between, full, tone
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.packing import Straw, facets
from sim.workshop.scenes.sdf import F32, Vector


@dataclass(frozen=True)
class Paper:
    """Wrapping paper, brown or white: pulp, fine creases worn pale; `seams` draws the overlap and end flaps of a parcel
    of half sizes `half` (m)."""

    reflectance: float = 0.70
    crease_stops: float = 0.10
    ribs_stops: float = 0.0
    half: Vector | None = None
    f0: float = 0.0
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        pulp = noise.stain(p, 0.06, self.shift)
        cloud = noise.stain(p, 0.33, self.shift + 1)
        _, g = noise.relief(p, 0.11, self.shift + 2)
        fold = facets(p, 0.03, int(self.shift) + 11)
        stops = pulp * np.float32(0.07) + cloud * np.float32(0.08) + fold * np.float32(self.crease_stops)
        if self.ribs_stops:
            stops = stops + np.sin(p[0] * np.float32(2 * np.pi / 0.0036)) * np.float32(self.ribs_stops)
        if self.half is not None:
            stops = stops + self._seams(p, n, cloud)
        gloss = full(p, self.f0)
        return Skin(tone(self.reflectance, stops), g * np.float32(0.9e-4), gloss, full(p, 0.25), full(p, 0.0))

    def _seams(self, p: F32, n: F32, cloud: F32) -> F32:
        """A dark line where an edge of the paper casts its shadow, a pale one on the edge itself."""
        assert self.half is not None
        _, hy, hz = self.half
        top = between(np.abs(n[1]), 0.6, 0.9)
        ends = between(np.abs(n[0]), 0.6, 0.9)
        waver = cloud * np.float32(0.0015)
        line = p[2] - np.float32(0.32 * hz) + p[0] * np.float32(0.02) + waver
        flap = (np.abs(p[2]) - np.float32(hz)) * np.float32(0.8) + np.abs(p[1] + np.float32(0.1 * hy)) + waver
        out = np.zeros_like(line)
        for mask, away in ((top, line), (ends, flap)):
            dark = np.exp(-(((away - np.float32(0.0016)) / np.float32(0.0016)) ** 2))
            pale = np.exp(-(((away + np.float32(0.0012)) / np.float32(0.0012)) ** 2))
            out += mask * (pale * np.float32(0.25) - dark * np.float32(0.8))
        return np.asarray(out, np.float32)


@dataclass(frozen=True)
class Twine:
    """Twisted string: oblique dark lines between the strands."""

    reflectance: float = 0.55
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        lay = np.sin((p[0] + p[2] + p[1] * np.float32(1.4)) * np.float32(2 * np.pi / 0.0042))
        fuzz = noise.stain(p, 0.03, self.shift)
        stops = lay * np.float32(0.35) + fuzz * np.float32(0.25)
        return Skin(tone(self.reflectance, stops), np.zeros_like(p), full(p, 0.0), full(p, 1.0), full(p, 0.0))


@dataclass(frozen=True)
class Stalks:
    """The skin of a heap of straw: each stalk of its own tone, darker deep in the heap (too fine for the light grid)."""

    heap: Straw
    reflectance: float = 0.46
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance * 0.7

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        deep = self.heap.top(p[0], p[2]) - p[1]
        own = noise.stain(p, 0.045, self.shift)
        patch = noise.stain(p, 0.20, self.shift + 1)
        shade = between(deep, -0.004, 0.013)
        stops = own * np.float32(0.30) + patch * np.float32(0.15) - shade * np.float32(2.1)
        gloss = (np.float32(0.035) * (1 - shade)).astype(np.float32)
        return Skin(tone(self.reflectance, stops), np.zeros_like(p), gloss, full(p, 0.22), full(p, 0.0))


@dataclass(frozen=True)
class Label:
    """A white label of half sizes (m) in its own x and z, with a ruled border and some lines in ink."""

    half_x_m: float
    half_z_m: float
    reflectance: float = 0.76
    lines: int = 3
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        u, w = p[0] / np.float32(self.half_x_m), p[2] / np.float32(self.half_z_m)
        border = np.abs(np.maximum(np.abs(p[0]) - self.half_x_m, np.abs(p[2]) - self.half_z_m) + np.float32(0.004))
        ink = 1 - between(border, 0.0004, 0.0009)
        pitch = np.float32(1.5 / self.lines)
        row = np.floor((w + np.float32(0.75)) / pitch)
        at = ((w + np.float32(0.75)) / pitch - row - np.float32(0.5)) * pitch * np.float32(self.half_z_m)
        phase = p[0] * np.float32(2 * np.pi / 0.0058) + 2 * np.sin(p[0] * 310 + row * 5)
        hand = at - np.float32(0.0019) * np.sin(phase) * (np.float32(0.6) + np.float32(0.4) * np.sin(p[0] * 190 + row))
        words = np.sin(p[0] * 105 + row * 2.3 + self.shift) > -0.72
        written = (np.abs(u) < 0.70 - 0.12 * (row % 2)) & (row >= 0) & (row < self.lines) & words
        ink = np.maximum(ink, (1 - between(np.abs(hand), 0.0004, 0.0010)) * written)
        pulp = noise.stain(p, 0.08, self.shift)
        stops = pulp * np.float32(0.06) - ink * np.float32(2.2)
        return Skin(tone(self.reflectance, stops), np.zeros_like(p), full(p, 0.0), full(p, 1.0), full(p, 0.0))
