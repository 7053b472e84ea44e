"""Cloth laid over things and over the edge of a table: soft folds made of warped waves on a rounded body."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes.materials import Skin, full, tone
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32, smooth_max


def fold_wave(across: F32, along: F32, phase: float) -> F32:
    """Height -1..1 of folds met going `across` (radians), wandering as they run `along` (radians): broad hollows between
    narrower ridges, as hanging cloth falls (shape by eye)."""
    a = np.float32(phase)
    bend = np.float32(0.8) * np.sin(along * np.float32(0.7) + a) + np.float32(0.5) * np.sin(
        across * np.float32(0.31) - along * np.float32(0.4) + a * 2
    )
    first = np.sin(across + bend)
    second = np.sin(across * np.float32(1.73) - bend * np.float32(1.3) + a * 3 + along * np.float32(0.3))
    sharp = np.exp(first * np.float32(1.1)) * np.float32(0.78) - np.float32(1.0)
    return np.asarray(sharp * np.float32(0.62) + second * np.float32(0.32), np.float32)


@dataclass(frozen=True)
class Tented:
    """A cloth over a row of round things on a board, hanging over the board's sides and front.

    `poles` are (x, z, radius, height) of the rims it rests on, metres above the board; from each rim it sinks in a hollow
    curve of reach `sag_m` with creases fanning out. `half_x_m`, `back_z_m`, `front_z_m` bound the board; it hangs to
    `hem_m` (negative). The distance is over-estimated on its steep parts: use slack 0.45 on the Thing.
    """

    poles: tuple[tuple[float, float, float, float], ...]
    half_x_m: float
    back_z_m: float
    front_z_m: float
    hem_m: float = -0.06
    sag_m: float = 0.045
    crease_m: float = 0.006
    fold_m: float = 0.007
    phase: float = 0.0

    def height(self, x: F32, z: F32) -> F32:
        """Height of the cloth in metres above the board."""
        k = np.float32(90.0)
        total = np.zeros_like(x)
        for i, (px, pz, radius, high) in enumerate(self.poles):
            dx, dz = x - np.float32(px), z - np.float32(pz)
            away = np.sqrt(dx * dx + dz * dz) - np.float32(radius)
            out = np.maximum(away, 0) / np.float32(self.sag_m)
            turn = np.arctan2(dz, dx)
            fan = fold_wave(turn * 7 + np.float32(i * 1.3), out * 2, self.phase + i)
            dip = np.float32(0.003) * np.clip(-away / np.float32(radius), 0, 1)
            rise = np.float32(high) * np.exp(-out * np.float32(0.9)) - dip
            rise = rise + np.float32(self.crease_m) * fan * out * np.exp(-np.float32(0.75) * out)
            total += np.exp(k * np.clip(rise, -0.05, 0.3))
        crumple = np.sin(x * 61 + 2 * np.sin(z * 37 + np.float32(self.phase))) * np.float32(0.0012)
        return np.asarray(np.log(total + 1) / k + np.float32(0.004) + crumple, np.float32)

    def distance(self, p: F32) -> F32:
        x, y, z = p
        down = np.clip(-y / np.float32(-self.hem_m), 0, 1)
        wave = fold_wave((x + z) * np.float32(2 * np.pi / 0.052), y * 14, self.phase) * np.float32(self.fold_m)
        hang = wave * (np.float32(0.15) + np.float32(0.85) * down)
        mid = np.float32((self.back_z_m + self.front_z_m) / 2)
        half_z = np.float32((self.front_z_m - self.back_z_m) / 2)
        qx, qz = np.abs(x) - np.float32(self.half_x_m) - hang, np.abs(z - mid) - half_z - hang
        side = smooth_max(qx, qz, 0.03)
        under = smooth_max((y - self.height(x, z)) * np.float32(0.8), side, 0.014)
        hem = np.float32(self.hem_m) - y + np.float32(0.006) * np.sin(x * 29 + z * 17 + np.float32(self.phase))
        return np.asarray(np.maximum(under, hem), np.float32)

    def box(self) -> tuple[F32, F32]:
        out = self.half_x_m + 1.3 * self.fold_m
        top = max(pole[3] for pole in self.poles) + 0.018
        lo = np.array([-out, self.hem_m - 0.007, self.back_z_m - 1.3 * self.fold_m], np.float32)
        return lo, np.array([out, top, self.front_z_m + 1.3 * self.fold_m], np.float32)


@dataclass(frozen=True)
class Tablecloth:
    """A cloth over a table and down its front: creased flat on top, hanging in folds that deepen towards the hem.

    The table is a block of half sizes `half` (m) whose top is at y = 0 and whose front is at z = 0, running back along -z.
    `ridges` (x, z, direction in degrees, width, height) are creases left where the cloth was pulled about. Slack 0.5.
    """

    half: tuple[float, float, float]
    drop_m: float
    fold_m: float = 0.022
    wave_m: float = 0.13
    ridges: tuple[tuple[float, float, float, float, float], ...] = ()
    phase: float = 0.0

    def top(self, x: F32, z: F32) -> F32:
        """Height (m) of the creases on the top: soft ridges along given lines (x, z, direction in degrees, width, height)."""
        h = np.sin(x * 19 + 2 * np.sin(z * 13 + np.float32(self.phase))) * np.float32(0.0011)
        h = h + np.sin(z * 27 + 2 * np.sin(x * 9)) * np.float32(0.0007)
        for i, (rx, rz, way_deg, wide, high) in enumerate(self.ridges):
            c, s = np.cos(np.radians(way_deg)), np.sin(np.radians(way_deg))
            dx, dz = x - np.float32(rx), z - np.float32(rz)
            along = dx * np.float32(c) + dz * np.float32(s)
            across = -dx * np.float32(s) + dz * np.float32(c)
            across = across + np.float32(0.018) * np.sin(along * 14 + i) + np.float32(0.12) * along * along
            run = np.exp(-((along / np.float32(0.17)) ** 2))
            body = 1 / (1 + (across / np.float32(wide)) ** 2)
            h = h + np.float32(high) * run * (body * body * np.float32(1.25) - np.float32(0.1) * body)
        return np.asarray(h, np.float32)

    def distance(self, p: F32) -> F32:
        x, y, z = p
        hx, hy, hz = (np.float32(v) for v in self.half)
        e = np.float32(0.016)
        k = np.float32(2 * np.pi / self.wave_m)
        down = np.clip(-y / np.float32(self.drop_m), 0, 1)
        grow = down / (down + np.float32(0.7)) * np.float32(1.7)
        sway = x * k + np.float32(1.1) * np.sin(x * np.float32(7.3) + np.float32(self.phase)) + down * np.sin(x * 5)
        hang = (fold_wave(sway, y * 5, self.phase) + np.float32(0.55)) * np.float32(self.fold_m) * grow
        qx = np.abs(x) - hx + e
        qy = np.abs(y + hy) - hy + e - self.top(x, np.minimum(z, 0)) * np.clip(1 - down * 14, 0, 1)
        qz = np.abs(z + hz) - hz + e - hang * np.clip(z / np.float32(0.02) + 1, 0, 1)
        inner = np.minimum(np.maximum(qx, np.maximum(qy, qz)), 0)
        out = np.sqrt(np.maximum(qx, 0) ** 2 + np.maximum(qy, 0) ** 2 + np.maximum(qz, 0) ** 2)
        hem = -y - np.float32(self.drop_m) + np.float32(0.006) * np.sin(x * 21)
        return np.asarray(np.maximum(out + inner - e, hem), np.float32)

    def box(self) -> tuple[F32, F32]:
        hx, _, hz = self.half
        lo = np.array([-hx - 0.002, -self.drop_m - 0.007, -2 * hz - 0.002], np.float32)
        high = 0.004 + 1.3 * max((ridge[4] for ridge in self.ridges), default=0.0)
        return lo, np.array([hx + 0.002, high, 2.4 * self.fold_m], np.float32)


@dataclass(frozen=True)
class Linen:
    """Washed linen: plain weave with thick and thin threads, soft grey wear, a pressed crease here and there."""

    reflectance: float = 0.62
    thread_m: float = 0.0011
    stain_stops: float = 0.07
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        cloud = noise.stain(p, 0.31, self.shift)
        slub_x = noise.stain(p, 0.05, self.shift + 2, stretch=(12.0, 1.0, 1.0))
        slub_y = noise.stain(p, 0.05, self.shift + 4, stretch=(1.0, 12.0, 12.0))
        k = np.float32(2 * np.pi / self.thread_m)
        weave = np.sin(p[0] * k) * np.sin((p[2] - p[1]) * k)
        _, g = noise.relief(p, 0.05, self.shift + 5)
        stops = cloud * np.float32(self.stain_stops) + (slub_x + slub_y) * np.float32(0.05) + weave * np.float32(0.05)
        return Skin(tone(self.reflectance, stops), g * np.float32(0.6e-4), full(p, 0.0), full(p, 1.0), full(p, 0.0))


@dataclass(frozen=True)
class Backdrop:
    """Canvas brushed with size colour: broad soft clouds, lighter about (light_x_m, light_y_m), a faint weave."""

    reflectance: float = 0.22
    mottle_stops: float = 0.30
    light_x_m: float = 0.0
    light_y_m: float = 0.0
    reach_m: float = 0.5
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        broad, _ = noise.relief(p, 2.1, self.shift)
        mid, _ = noise.relief(p, 0.8, self.shift + 2)
        brush = noise.stain(p, 0.9, self.shift + 4)
        weave = np.sin(p[0] * 2800) * np.sin(p[1] * 2800)
        _, g = noise.relief(p, 1.6, self.shift + 6)
        away = np.hypot(p[0] - np.float32(self.light_x_m), p[1] - np.float32(self.light_y_m))
        glow = np.exp(-((away / np.float32(self.reach_m)) ** 2)) - np.float32(0.5)
        stops = np.float32(self.mottle_stops) * (broad + mid * np.float32(0.55) + brush * np.float32(0.5))
        stops = stops + glow * np.float32(0.7) + weave * np.float32(0.03)
        return Skin(tone(self.reflectance, stops), g * np.float32(0.004), full(p, 0.0), full(p, 1.0), full(p, 0.0))
