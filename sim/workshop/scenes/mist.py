"""Morning mist: what it takes from the light of far things and adds of its own, read along every ray."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes.materials import between
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32, Vector

SAMPLES = 5
FAR_M = 140.0


@dataclass(frozen=True)
class MistySky:
    """The mist's own luminance by direction: `even` cd/m2, brighter by `glow` (relative) about the hidden sun."""

    even: float = 2000.0
    sun: Vector = (-0.3, 0.45, -1.0)
    glow: float = 0.5
    glow_width: float = 0.42

    def of_mist(self, d: F32) -> F32:
        """Luminance (N,) of endless mist in directions (3, N); darker towards the ground, which lights it little."""
        s = np.array(self.sun, np.float32)
        s = s / np.float32(np.linalg.norm(s))
        cos = d[0] * s[0] + d[1] * s[1] + d[2] * s[2]
        wide = np.float32(self.glow_width)
        halo = np.float32(self.glow) * np.exp((cos - 1) / (wide * wide))
        fall = 1 + np.float32(0.22) * np.clip(d[1], -0.6, 0.5)
        return np.asarray(np.float32(self.even) * fall * (1 + halo), np.float32)

    def luminance_cd_m2(self, o: F32, d: F32, noise: Noise) -> F32:
        cloud = noise.stain(d, 1.9, 3)
        return np.asarray(self.of_mist(d) * np.exp2(np.float32(0.07) * cloud), np.float32)

    def glow_cd_m2(self, o: F32, d: F32) -> F32:
        # The bright patch is a light of its own; below the horizon rays meet ground that the grid does not hold.
        return np.where(d[1] > -0.02, np.float32(self.even), np.float32(0.14 * self.even))


@dataclass(frozen=True)
class Mist:
    """Extinction per metre near the ground and above it, drifting in banks of `bank_m`; luminance from the sky.

    Within about `clear_m` of the lens it is thinner, down to half: one sets up in a clearing between two banks.
    """

    sky: MistySky
    low_per_m: float = 0.05
    high_per_m: float = 0.03
    layer_m: float = 2.2
    bank_m: float = 17.0
    bank_stops: float = 0.75
    clear_m: float = 10.0

    def through(self, o: F32, d: F32, t: F32, noise: Noise) -> tuple[F32, F32]:
        reach = np.minimum(t, np.float32(FAR_M))
        depth = np.zeros_like(reach)
        # Midpoints of stretches that grow with distance, because near banks matter most.
        edge = (np.arange(SAMPLES + 1, dtype=np.float32) / np.float32(SAMPLES)) ** np.float32(1.5)
        for k in range(SAMPLES):
            out = reach * np.float32((edge[k] + edge[k + 1]) / 2)
            at = o + d * out
            layer = np.exp(-np.maximum(at[1], 0) / np.float32(self.layer_m))
            sigma = np.float32(self.high_per_m) + np.float32(self.low_per_m - self.high_per_m) * layer
            sigma = sigma * (np.float32(0.45) + np.float32(0.55) * between(out, 0.25 * self.clear_m, self.clear_m))
            bank = noise.stain(at * np.array([[1.0], [2.2], [1.0]], np.float32), self.bank_m * 2.5, 5)
            depth += sigma * np.exp2(np.float32(self.bank_stops) * bank) * reach * np.float32(edge[k + 1] - edge[k])
        clear = np.exp(-depth)
        return clear.astype(np.float32), (self.sky.of_mist(d) * (1 - clear)).astype(np.float32)
