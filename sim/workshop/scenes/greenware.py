"""Ware that has not been fired yet: clay drying from the rim down, and boards white with its dust."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes.forms import Profile
from sim.workshop.scenes.materials import Skin, Wood, between, full, mixed, tone
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32, Joined
from sim.workshop.scenes.vessels import Vessel
from sim.workshop.scenes.ware import Clay

# Outer profiles, foot to lip, drawn for this workshop (metres).
MUG: Profile = (
    (0.0, 0.003),
    (0.028, 0.002),
    (0.037, 0.001),
    (0.040, 0.005),
    (0.043, 0.022),
    (0.0405, 0.048),
    (0.0385, 0.072),
    (0.0395, 0.090),
    (0.0425, 0.103),
)
BEAKER: Profile = (
    (0.0, 0.003),
    (0.021, 0.002),
    (0.027, 0.001),
    (0.030, 0.005),
    (0.033, 0.030),
    (0.036, 0.070),
    (0.040, 0.105),
    (0.043, 0.122),
)
PORRINGER: Profile = (
    (0.0, 0.004),
    (0.027, 0.003),
    (0.035, 0.001),
    (0.038, 0.005),
    (0.052, 0.018),
    (0.068, 0.040),
    (0.072, 0.062),
    (0.0685, 0.076),
    (0.0705, 0.083),
)
DISH: Profile = (
    (0.0, 0.003),
    (0.048, 0.002),
    (0.060, 0.001),
    (0.064, 0.004),
    (0.078, 0.014),
    (0.088, 0.034),
    (0.091, 0.046),
    (0.098, 0.051),
)
BELLIED: Profile = (
    (0.0, 0.004),
    (0.036, 0.003),
    (0.046, 0.001),
    (0.050, 0.006),
    (0.068, 0.035),
    (0.078, 0.072),
    (0.071, 0.112),
    (0.052, 0.142),
    (0.045, 0.160),
    (0.050, 0.178),
    (0.057, 0.186),
)


@dataclass(frozen=True)
class Ear:
    """The handle of a cup: half a ring in the x-y plane, roots at (root_x_m, middle_m +- half_high_m), `out_m` proud.

    One look instead of eight sticks: racks hold dozens of them. The distance is exact for a round ear.
    """

    root_x_m: float
    middle_m: float
    half_high_m: float
    out_m: float
    stock_m: float

    def distance(self, p: F32) -> F32:
        x = p[0] - np.float32(self.root_x_m)
        ahead = np.maximum(x, 0) * np.float32(self.half_high_m / self.out_m)
        back = np.minimum(x, 0)
        ring = np.hypot(ahead, p[1] - np.float32(self.middle_m)) - np.float32(self.half_high_m)
        thick = np.float32(self.stock_m) * (np.float32(1.35) - ahead * np.float32(0.4 / self.half_high_m))
        # A strap is wider than it is thick.
        wide = p[2] * np.float32(0.72)
        return np.asarray(np.sqrt(ring * ring + wide * wide + back * back) - thick, np.float32)

    def box(self) -> tuple[F32, F32]:
        r = 1.5 * self.stock_m
        lo = np.array([self.root_x_m - r, self.middle_m - self.half_high_m - r, -r / 0.72], np.float32)
        hi = np.array([self.root_x_m + self.out_m + r, self.middle_m + self.half_high_m + r, r / 0.72], np.float32)
        return lo, hi


def with_ear(pot: Vessel, root_x_m: float, middle_m: float, half_high_m: float, out_m: float) -> Joined:
    """A cup with an Ear grown onto its +x side."""
    return Joined((pot, Ear(root_x_m, middle_m, half_high_m, out_m, 0.0046)), 0.008)


@dataclass(frozen=True)
class Greenware:
    """Raw clay: pale where it is dry, darker by `damp_stops` below a wavering line `dry_from_m` above the foot.

    Clay dries from the rim down and first on the side of the draught, so the line lies aslant. Damp clay has a low sheen.
    """

    reflectance: float = 0.46
    damp_stops: float = 0.9
    dry_from_m: float = 0.03
    soft_m: float = 0.018
    ring_m: float = 1.2e-4
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance * 0.85

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        clay = Clay(self.reflectance, grog=0.07, ring_m=self.ring_m, shift=self.shift).skin(p, n, noise)
        cloud = noise.stain(p, 0.17, self.shift + 6)
        turn = np.arctan2(p[2], p[0])
        aslant = np.cos(turn + np.float32(self.shift)) * np.float32(0.35 * self.soft_m)
        edge = p[1] - np.float32(self.dry_from_m) + cloud * np.float32(0.45 * self.soft_m) + aslant
        damp = 1 - between(edge, -self.soft_m, self.soft_m)
        # Turned feet and wiped rims are smoother and a little paler; slip has dried in streaks under the rim.
        streak = between(noise.stain(p, 0.31, self.shift + 8, stretch=(1.0, 3.0, 1.0)), 1.2, 2.2)
        stops = -np.float32(self.damp_stops) * damp + np.float32(0.16) * streak * (1 - damp)
        shade = clay.reflectance * np.exp2(stops)
        return Skin(
            shade.astype(np.float32),
            clay.slope,
            (np.float32(0.018) * damp).astype(np.float32),
            full(p, 0.24),
            full(p, 0.0),
        )


@dataclass(frozen=True)
class DustyBoard:
    """A ware board: wood under a film of clay dust, with the clean rings `(x, z, radius)` where pots have stood."""

    wood: Wood
    dust: float = 0.42
    cover: float = 0.5
    rings: tuple[tuple[float, float, float], ...] = ()
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.wood.reflectance + 0.4 * self.cover * (self.dust - self.wood.reflectance)

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        skin = self.wood.skin(p, n, noise)
        patch = noise.stain(p, 0.37, self.shift)
        fine = noise.stain(p, 0.05, self.shift + 1)
        lies = between(np.float32(self.cover) * 2 - 1 + patch * np.float32(0.55) + fine * np.float32(0.3), -0.9, 1.1)
        upward = between(n[1], 0.2, 0.9)
        share = lies * (np.float32(0.22) + np.float32(0.78) * upward)
        for x, z, radius in self.rings:
            away = np.hypot(p[0] - np.float32(x), p[2] - np.float32(z)) - np.float32(radius)
            bare = 1 - between(away + fine * np.float32(0.0015), -0.002, 0.002)
            heap = np.exp(-((away / np.float32(0.006)) ** 2))
            share = np.clip(share * (1 - np.float32(0.75) * bare * upward) + np.float32(0.35) * heap * upward, 0, 1)
        pale = tone(self.dust, fine * np.float32(0.12) + patch * np.float32(0.1))
        return Skin(
            mixed(skin.reflectance, pale, share),
            skin.slope * (1 - np.float32(0.6) * share),
            (skin.f0 * (1 - share)).astype(np.float32),
            skin.rough,
            skin.glow_cd_m2,
        )
