"""Skies: clouds modelled as droplets in a box of air, lit by the sun through each other, before a clear sky.

Light: one scattering followed exactly along the sun's way, further ones by wider and weaker copies of it (the usual
approximation of artists and weather simulators; error of some tens of per cent in a cloud's shadow side, none in its
shape). Clear sky: CIE S 011, type 12. Luminances as through the yellow filter given by `blue_share`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter, map_coordinates, shift

from sim.workshop.photographs.form import Form, grid
from sim.workshop.photographs.relief import F64
from sim.workshop.photographs.scene import Sky, Thing, all_round, bearing
from sim.workshop.photographs.surface import Material, Value


@dataclass(frozen=True)
class Weather:
    """A sky: where the sun stands, how much cloud, and where it drifts. Lengths in m, the camera at the middle of the ground.

    `cover` 0..1; `base_m` height of the clouds' flat bottoms, `tall_m` how far they tower; `sun_lux` on a surface facing
    it; `zenith_cd_m2` of the clear sky; `blue_share` what a filter leaves of the blue sky.
    """

    sun_height_deg: float
    sun_bearing_deg: float
    sun_lux: float = 50_000.0
    zenith_cd_m2: float = 1600.0
    blue_share: float = 0.6
    cover: float = 0.5
    base_m: float = 900.0
    tall_m: float = 1500.0
    lump_m: float = 2200.0
    thick_per_m: float = 0.02
    seed: int = 1
    reach_m: float = 14_000.0
    cell_m: float = 55.0
    fine_m: float = 17.0


def _grown(shape: tuple[int, ...], cells: float, chance: np.random.Generator, fade: float = 0.5) -> F64:
    """Smooth noise of mean 0 and spread 1 on a grid: lumps up to `cells` cells wide, each halving `fade` times as strong."""
    square: F64 = np.zeros(())
    for axis, n in enumerate(shape):
        freq = np.fft.rfftfreq(n) if axis == len(shape) - 1 else np.fft.fftfreq(n)
        square = np.asarray(square[..., None] + freq**2)
    strength = (square + 1.0 / cells**2) ** (-(2 * np.log2(1 / fade) + len(shape)) / 4)
    noise = np.fft.irfftn(np.fft.rfftn(chance.standard_normal(shape)) * strength, shape, axes=range(len(shape)))
    return np.asarray((noise - noise.mean()) / noise.std())


class Clouds:
    """A box of air with its droplets and the sunlight that reaches each."""

    def __init__(self, weather: Weather) -> None:
        self.weather = w = weather
        chance = np.random.Generator(np.random.PCG64(w.seed))
        across, up = int(2 * w.reach_m / w.cell_m), int(1.35 * w.tall_m / w.cell_m)
        self.thick = self._droplets((across, across, up), chance)
        self.fine = _grown((96, 96, 96), 16.0, chance, 0.55)  # small curls that eat into every edge, found as the eye looks
        self.sunlit = self._depth_to_sun()
        self.above = np.cumsum(self.thick[:, :, ::-1], 2)[:, :, ::-1] * w.cell_m

    def _droplets(self, shape: tuple[int, int, int], chance: np.random.Generator) -> F64:
        """Heaps of round puffs on a level base, each puff with smaller ones on it, frayed by noise."""
        w = self.weather
        inside = np.full(shape, -1e3)  # how deep within the nearest puff, m
        for x, y, z, radius in self._puffs(chance):
            low = np.floor((np.array([x + w.reach_m, y + w.reach_m, z]) - radius) / w.cell_m).astype(int)
            high = np.minimum(low + int(2 * radius / w.cell_m) + 2, shape)
            low = np.maximum(low, 0)
            if np.any(high <= low):
                continue
            gx, gy, gz = (w.cell_m * (np.arange(a, b) + 0.5) for a, b in zip(low, high))
            away = ((gx - x - w.reach_m) ** 2)[:, None, None] + ((gy - y - w.reach_m) ** 2)[:, None] + (gz - z) ** 2
            part = inside[low[0] : high[0], low[1] : high[1], low[2] : high[2]]
            np.maximum(part, radius - np.sqrt(away), out=part)
        fray = 0.9 * w.cell_m * _grown(shape, 5.0, chance, 0.6)
        base = w.cell_m * (np.arange(shape[2]) - 0.3) + 0.5 * fray
        return w.thick_per_m * np.clip((np.minimum(inside + fray, base)) / (1.6 * w.cell_m), 0, 1)

    def _puffs(self, chance: np.random.Generator) -> list[tuple[float, float, float, float]]:
        """Middles over the base and radii, m: every heap has turrets, highest in its middle, every turret its puffs."""
        w, puffs = self.weather, []
        heaps = int(w.cover * (2 * w.reach_m / w.lump_m) ** 2)
        streets = chance.uniform(-w.reach_m, w.reach_m, (max(2, heaps // 6), 2))  # clouds gather, and leave clear sky between
        for _ in range(heaps):
            size = w.lump_m * (0.18 + 0.82 * chance.random() ** 3)
            x, y = streets[int(chance.integers(len(streets)))] + chance.normal(0, 0.75 * w.lump_m, 2)
            grown = chance.uniform(0.15, 1.0)
            for _ in range(int(chance.integers(5, 12))):
                aside = chance.normal(0, 0.42, 2)
                top = w.tall_m * grown * size / w.lump_m * max(0.12, (1 - float(aside @ aside)) * chance.uniform(0.55, 1.1))
                wide = size * chance.uniform(0.16, 0.30)
                tx, ty = x + size * aside[0], y + size * aside[1]
                for z in np.arange(0.0, max(top - 0.7 * wide, 1.0), 0.55 * wide):
                    r = wide * (1.0 - 0.45 * z / max(top, wide)) * chance.uniform(0.85, 1.15)
                    mx, my = tx + chance.normal(0, 0.25 * wide), ty + chance.normal(0, 0.25 * wide)
                    puffs.append((mx, my, z, r))
                    way = chance.standard_normal((7, 3))
                    way /= np.linalg.norm(way, axis=1, keepdims=True)
                    for a, b, c in way:
                        puffs.append(
                            (mx + 0.8 * r * a, my + 0.8 * r * b, z + 0.8 * r * abs(c), r * chance.uniform(0.3, 0.55)))
        return puffs

    def _depth_to_sun(self) -> F64:
        """Optical depth between every place and the sun: the box worked through slab by slab along the nearer axis."""
        w = self.weather
        to_sun = bearing(w.sun_height_deg, w.sun_bearing_deg)
        axis = int(np.argmax(np.abs(to_sun[:2])))
        step = to_sun / abs(to_sun[axis])
        slabs = np.moveaxis(self.thick, axis, 0)
        order = range(len(slabs)) if step[axis] < 0 else range(len(slabs) - 1, -1, -1)
        sideways = (step[1 - axis], step[2])
        depth, out = np.zeros(slabs.shape[1:]), np.zeros_like(slabs)
        long = w.cell_m * float(np.linalg.norm(step))
        for k in order:
            out[k] = depth + 0.5 * slabs[k] * long
            depth = shift(depth + slabs[k] * long, (-sideways[0], -sideways[1]), order=1, mode="constant")
        return np.moveaxis(out, 0, axis)

    def luminance(self, directions: F64, steps: int = 90) -> F64:
        """Luminance in cd/m2 seen along unit directions [..., 3] from the ground."""
        w = self.weather
        flat = directions.reshape(-1, 3)
        up = np.maximum(flat[:, 2], 0.004)
        near, far = (w.base_m / up,
            np.minimum((w.base_m + 1.3 * w.tall_m) / up, w.reach_m / np.maximum(np.hypot(flat[:, 0], flat[:, 1]), 0.02)))
        far = np.maximum(far, near)
        glow, left = np.zeros(len(flat)), np.ones(len(flat))
        forward = flat @ bearing(w.sun_height_deg, w.sun_bearing_deg)
        chance = np.random.Generator(np.random.PCG64(w.seed + 1)).random(len(flat))
        long = (far - near) / steps
        for k in range(steps):
            alive = np.flatnonzero(left > 0.004)
            at = flat[alive] * (near + long * (k + chance))[alive, None]
            cell = np.stack([at[:, 0] + w.reach_m, at[:, 1] + w.reach_m, at[:, 2] - w.base_m]) / w.cell_m - 0.5
            thick = map_coordinates(self.thick, cell, order=1, mode="constant", prefilter=False)
            eaten = map_coordinates(self.fine, at.T / w.fine_m, order=1, mode="grid-wrap", prefilter=False)
            thick = thick * np.clip(0.5 + 2.0 * (thick / w.thick_per_m - 0.35 - 0.30 * eaten), 0, 1.4)
            met = np.flatnonzero(thick > 1e-5)
            here, cell = alive[met], cell[:, met]
            stopped = 1 - np.exp(-thick[met] * long[here])
            sun = map_coordinates(self.sunlit, cell, order=1, mode="nearest", prefilter=False)
            above = map_coordinates(self.above, cell, order=1, mode="nearest", prefilter=False)
            glow[here] += left[here] * stopped * self._scattered(sun, above, forward[here])
            left[here] *= 1 - stopped
        clear = self.clear(flat)
        haze = np.exp(-near * 4.5e-5)  # far clouds sink into the brightness over the horizon
        seen = (glow + left * clear) * haze + clear * (1 - haze)
        return np.asarray(seen.reshape(directions.shape[:-1]))

    def _scattered(self, sun: F64, above: F64, forward: F64) -> F64:
        w = self.weather
        light, share, wide = np.zeros_like(sun), 1.0, 1.0
        for _ in range(4):
            g = 0.72 * wide
            lobe = (
                0.7 * (1 - g * g) / (1 + g * g - 2 * g * forward) ** 1.5 + 0.3 * (1 - 0.06) / (1.06 + 0.5 * forward) ** 1.5)
            light += share * np.exp(-sun * wide) * lobe / (4 * np.pi)
            share, wide = share * 0.62, wide * 0.42
        sky = 0.75 * w.zenith_cd_m2 * np.exp(-0.010 * above * 10) + 0.32 * w.zenith_cd_m2
        return w.sun_lux * light * 2.1 + sky * 0.8

    def clear(self, directions: F64) -> F64:
        """The sky without clouds, cd/m2: CIE S 011:2003, type 12 (clear, low turbidity)."""
        w = self.weather
        sun = bearing(w.sun_height_deg, w.sun_bearing_deg)
        up = np.maximum(directions[:, 2], 0.02)
        apart = np.arccos(np.clip(directions @ sun, -1, 1))
        a, b, c, d, e = -1.0, -0.32, 10.0, -3.0, 0.45

        def ring(angle: F64 | float) -> F64:
            return np.asarray(1 + c * (np.exp(d * angle) - np.exp(d * np.pi / 2)) + e * np.cos(angle) ** 2)

        zenith_apart = np.pi / 2 - np.radians(w.sun_height_deg)
        share = (1 + a * np.exp(b / up)) * ring(np.minimum(apart, np.pi)) / ((1 + a * np.exp(b)) * ring(zenith_apart))
        white = np.exp(-up / 0.18)  # low down the sky is hazy and the filter holds less of it back
        return np.asarray(w.zenith_cd_m2 * np.minimum(share, 12.0) * (w.blue_share + (1 - w.blue_share) * white))


def sky_all_round(clouds: Clouds, ground_cd_m2: float = 600.0, rows: int = 128) -> Sky:
    """The whole sky, coarse, to light a scene with."""
    look = all_round(rows)
    seen = clouds.luminance(look, 40)
    return Sky(np.where(look[..., 2] > 0, seen, ground_cd_m2))


def backdrop(clouds: Clouds, bearing_deg: tuple[float, float], height_deg: tuple[float, float], per_deg: float = 20.0,
        far_m: float = 9000.0) -> Thing:
    """The part of the sky that the lens sees, fine, as a shining dome far away that lights nothing."""
    rows, cols = int((height_deg[1] - height_deg[0]) * per_deg), int((bearing_deg[1] - bearing_deg[0]) * per_deg)
    h = np.radians(np.linspace(height_deg[0], height_deg[1], rows))[:, None]
    b = np.radians(np.linspace(bearing_deg[0], bearing_deg[1], cols))[None, :]
    look = np.stack(np.broadcast_arrays(np.cos(h) * np.sin(b), np.cos(h) * np.cos(b), np.sin(h)), -1)
    seen = np.concatenate([clouds.luminance(part) for part in np.array_split(look, max(1, rows // 40))])
    seen = gaussian_filter(seen, 0.6)
    form = Form((far_m * look).reshape(-1, 3), grid(rows, cols)).with_value("shine", seen.ravel())
    return Thing(form, Material(0.0, refraction=1.0, glow_cd_m2=Value("shine"), beyond_mist=True))
