"""Out of doors as seen through a window: overcast sky, a line of trees, a field; far enough to have direction only."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes.materials import between, mixed
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32
from sim.workshop.scenes.stage import Room

SKY_CD_M2 = 6500.0  # overcast sky near the zenith of a bright dull day: 2-8 kcd/m2 (common practice)


@dataclass(frozen=True)
class Country:
    """Luminances in cd/m2: sky (brighter upward as the standard overcast sky is), far trees, near trees, field."""

    sky: float = SKY_CD_M2
    far_trees: float = 1500.0
    near_trees: float = 480.0
    field: float = 2300.0
    eye_m: float = 1.5

    def luminance_cd_m2(self, d: F32, noise: Noise) -> F32:
        """Luminance (N,) in the directions d (3, N); -z is the view."""
        flat = np.maximum(np.hypot(d[0], d[2]), np.float32(1e-4))
        rise = d[1] / flat
        side = np.arctan2(d[0], -d[2])
        out = self._sky(side, rise, d, noise)
        # Far wood: a ragged ridge of crowns; near trees stand before it in two clumps.
        ridge = self._crowns(side, 0.055, 0.020, 3.0, noise)
        leaf = noise.stain(_flat_point(side, rise, 0.0), 0.21, 3)
        out = mixed(
            out, np.float32(self.far_trees) * np.exp2(leaf * np.float32(0.22)), between(ridge - rise, -0.004, 0.004)
        )
        for centre, wide, tall, share in (
            (-0.20, 0.10, 0.155, 7.0),
            (0.29, 0.085, 0.21, 9.0),
            (0.06, 0.05, 0.062, 11.0),
        ):
            crown = _crown(side - np.float32(centre), rise, wide, tall, noise, share)
            tree = np.float32(self.near_trees) * np.exp2(
                leaf * np.float32(0.45) + np.float32(0.5) * rise / np.float32(tall)
            )
            out = mixed(out, tree.astype(np.float32), crown)
        return mixed(out, self._field(d, side, rise, noise), between(-rise, -0.0015, 0.0015))

    def _sky(self, side: F32, rise: F32, d: F32, noise: Noise) -> F32:
        # Standard overcast sky: (1 + 2 sin elevation) / 3 of the zenith; clouds drawn out along the horizon.
        dome = self.sky * (1 + 2 * np.clip(d[1], 0, 1)) / 2.1
        spread = 1 / (np.abs(rise) + np.float32(0.22))
        cloud = noise.stain(np.stack([side * spread, spread, np.zeros_like(side)]).astype(np.float32), 2.6, 1)
        return np.asarray(dome * np.exp2(np.float32(0.26) * cloud), np.float32)

    def _crowns(self, side: F32, height: float, ragged: float, shift: float, noise: Noise) -> F32:
        line = noise.stain(_flat_point(side, np.zeros_like(side), 0.0), 0.5, shift)
        swell = np.sin(side * np.float32(9.0) + np.float32(shift)) * np.float32(0.4)
        return np.asarray(np.float32(height) + np.float32(ragged) * (line * np.float32(0.6) + swell), np.float32)

    def _field(self, d: F32, side: F32, rise: F32, noise: Noise) -> F32:
        reach = np.float32(self.eye_m) / np.maximum(-d[1], np.float32(0.004))
        ground = np.stack([d[0] * reach, np.zeros_like(reach), d[2] * reach]).astype(np.float32)
        rows = noise.stain(ground, 40.0, 5, stretch=(0.35, 1.0, 3.0))
        patch = noise.stain(ground, 90.0, 6)
        hedge = np.exp(-(((rise + np.float32(0.028)) / np.float32(0.006)) ** 2)) * np.float32(1.1)
        haze = np.exp(-reach / np.float32(140.0))
        near = np.float32(self.field) * np.exp2((rows * np.float32(0.4) + patch * np.float32(0.3)) * haze - hedge)
        return mixed(
            np.float32(self.far_trees) * np.ones_like(reach),
            near.astype(np.float32),
            np.float32(0.35) + np.float32(0.65) * haze,
        )


def _flat_point(side: F32, rise: F32, depth: float) -> F32:
    return np.stack([side, rise, np.full_like(side, depth)]).astype(np.float32)


def _crown(side: F32, rise: F32, wide: float, tall: float, noise: Noise, shift: float) -> F32:
    """Cover 0..1 of a tree about `wide` and `tall` (tangents), its outline broken by leaves, on a short trunk."""
    lumps = noise.stain(_flat_point(side, rise, 0.3), 0.16, shift)
    x, y = side / np.float32(wide), (rise - np.float32(0.56 * tall)) / np.float32(0.46 * tall)
    body = 1 - np.sqrt(x * x + y * y) + np.float32(0.22) * lumps
    trunk = (np.abs(side) < np.float32(0.07 * wide)) & (rise < np.float32(0.4 * tall)) & (rise > 0)
    return np.asarray(np.maximum(between(body, -0.05, 0.12) * np.float32(0.97), trunk * np.float32(0.9)), np.float32)


@dataclass(frozen=True)
class RoomWithView:
    """A room whose window wall looks at -z: rays leaving that way see the country, all others the room's walls."""

    room: Room
    country: Country

    def luminance_cd_m2(self, o: F32, d: F32, noise: Noise) -> F32:
        out = self.room.glow_cd_m2(o, d)
        away = np.nonzero(d[2] < -0.05)[0]
        if away.size:
            out[away] = self.country.luminance_cd_m2(d[:, away], noise)
        return out

    def glow_cd_m2(self, o: F32, d: F32) -> F32:
        return self.room.glow_cd_m2(o, d)
