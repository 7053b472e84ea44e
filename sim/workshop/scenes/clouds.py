"""A big sky of heaped clouds seen against the light: grey bases, bright shoulders, silver edges, paler gaps to the horizon."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes.materials import between, mixed
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32, Vector

# Rows of heaps one behind the other: elevation of their level bases (tangent), size, and shift of their pattern. Farther
# rows are lower, smaller and closer together.
ROWS = ((0.02, 0.05, 3.1), (0.06, 0.09, 11.7), (0.13, 0.17, 5.3), (0.25, 0.30, 21.9), (0.46, 0.45, 14.2))
TALLEST = 1.5  # heaps rise at most this many sizes above their base


@dataclass(frozen=True)
class CloudySky:
    """Luminances in cd/m2: open sky (gaps), shaded cloud, lit cloud; the sun stands behind cloud towards `sun`.

    `behind` is what the rest of the dome sends (away from the sun); `ground` what lies below the horizon sends back.
    """

    gap: float = 2300.0
    base: float = 2500.0
    lit: float = 8200.0
    sun: Vector = (0.55, 0.42, -0.8)
    behind: float = 1500.0
    ground: float = 120.0
    cover: float = 0.30

    def _toward_sun(self, d: F32) -> F32:
        s = np.array(self.sun, np.float32)
        s = s / np.float32(np.linalg.norm(s))
        return np.asarray(d[0] * s[0] + d[1] * s[1] + d[2] * s[2])

    def _heap(self, u: F32, w: F32, shift: float, noise: Noise) -> F32:
        """Thickness of cloud (above 0 = cloud) at (u, w): across and above the base, in sizes of the row's heaps."""
        q = np.stack([u, w, np.full_like(u, shift)]).astype(np.float32)
        # Smooth towers first; the heaps upon them lean and overlap because they are read in both directions.
        tower = noise.relief(q * np.array([[1.0], [0.7], [1.0]], np.float32), 7.5, 2)[0]
        group = noise.relief(q * np.array([[1.0], [0.25], [1.0]], np.float32), 19.0, 6)[0]
        top = np.float32(self.cover) + np.float32(0.30) * tower + np.float32(0.30) * group
        lumps = np.abs(noise.relief(q, 3.1, 3)[0])
        knobs = np.abs(noise.relief(q, 1.3, 4)[0])
        buds = np.abs(noise.relief(q, 0.5, 8)[0])
        fine = noise.stain(q, 0.8, 5)
        puff = np.float32(0.24) * (np.float32(0.8) - lumps) + np.float32(0.11) * (np.float32(0.8) - knobs)
        puff = puff + np.float32(0.045) * (np.float32(0.8) - buds) + np.float32(0.04) * fine
        thick = top - np.maximum(w, 0) * np.float32(0.8) + puff
        # The base is level but not cut with a knife.
        return np.asarray(thick - (1 - between(w + np.float32(0.03) * fine, -0.12, 0.30)) * np.float32(0.9), np.float32)

    def _row(
        self, side: F32, rise: F32, near_sun: F32, row: tuple[float, float, float], noise: Noise
    ) -> tuple[F32, F32]:
        """Luminance and cover 0..1 of one row of heaps."""
        base, size, shift = row
        u, w = side / np.float32(size), (rise - np.float32(base)) / np.float32(size)
        # Bases of neighbouring heaps lie at slightly different levels, and are lost in shade and haze.
        drift = noise.relief(np.stack([u, np.zeros_like(u), np.full_like(u, shift)]).astype(np.float32), 11.0, 12)[0]
        w = w + np.float32(0.14) * drift
        thick = self._heap(u, w, shift, noise)
        s = np.array(self.sun, np.float32) / np.float32(np.linalg.norm(self.sun))
        to_u = np.arctan2(s[0], -s[2]) - side
        to_w = s[1] / np.hypot(s[0], s[2]) - rise
        far = np.maximum(np.hypot(to_u, to_w), np.float32(0.05))
        facing = np.zeros_like(thick)
        for step, gain in ((0.06, 1.7), (0.22, 1.1)):
            ahead = self._heap(u + to_u / far * np.float32(step), w + to_w / far * np.float32(step), shift, noise)
            facing += np.float32(gain) * np.clip(thick - ahead, -0.5, 0.5)
        deep = 1 - np.exp(-np.maximum(thick, 0) * np.float32(2.4))
        light = (
            np.float32(0.70)
            + np.float32(0.8) * facing
            + np.float32(0.30) * np.minimum(w, 1)
            - np.float32(0.30) * (1 - between(w, -0.1, 0.45))
            - np.float32(0.62) * deep
        )
        light = np.float32(0.5) + np.float32(0.55) * np.tanh((light - np.float32(0.5)) * np.float32(1.5))
        shine = np.float32(0.62) + np.float32(0.6) * near_sun
        lum = np.float32(self.base) + np.float32(self.lit - self.base) * light * shine
        return lum.astype(np.float32), between(thick, -0.05, 0.20) * between(w, -0.78, -0.4)

    def luminance_cd_m2(self, o: F32, d: F32, noise: Noise) -> F32:
        rise = np.maximum(d[1], np.float32(0.0)) / np.maximum(np.hypot(d[0], d[2]), np.float32(0.05))
        side = np.arctan2(d[0], -d[2])
        near_sun = np.exp((self._toward_sun(d) - 1) / np.float32(0.11))
        haze = np.exp(-rise / np.float32(0.08))
        veil = noise.stain(np.stack([side * np.float32(1.2), rise * np.float32(4.0), rise * 0]), 2.3, 8)
        gap = np.float32(self.gap) * (1 + np.float32(0.9) * near_sun + np.float32(0.5) * haze)
        out = (gap * np.exp2(np.float32(0.14) * veil)).astype(np.float32)
        for row in ROWS:
            mine = np.nonzero((rise > row[0] - 0.8 * row[1]) & (rise < row[0] + TALLEST * row[1]))[0]
            if mine.size:
                lum, cover = self._row(side[mine], rise[mine], near_sun[mine], row, noise)
                out[mine] = mixed(out[mine], lum, cover)
        pale = np.float32(0.75 * self.gap) * (np.float32(1.6) + near_sun)
        out = mixed(out, pale.astype(np.float32), haze * np.float32(0.55))
        return mixed(out, np.full_like(out, 0.5 * self.ground), between(-d[1], 0.0, 0.012))

    def glow_cd_m2(self, o: F32, d: F32) -> F32:
        near = np.exp((self._toward_sun(d) - 1) / np.float32(0.35))
        sky = np.float32(self.behind) + np.float32(0.62 * self.lit - self.behind) * near
        return np.where(d[1] > 0, sky, np.float32(self.ground)).astype(np.float32)
