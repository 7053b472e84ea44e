"""Soft things: cloth and clay that lies in folds, made of warped sines (interpolated noise would look blocky)."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes.sdf import F32, Box, Shape


@dataclass(frozen=True)
class Rippled:
    """A shape pushed up and down by crossing warped waves of `height_m`, about `wave_m` apart; use slack 0.7 on its Thing."""

    shape: Shape
    height_m: float
    wave_m: float
    phase: float = 0.0

    def distance(self, p: F32) -> F32:
        k = np.float32(2 * np.pi / self.wave_m)
        a = np.float32(self.phase)
        x, z = p[0] * k, p[2] * k
        bend = np.sin(z * np.float32(0.61) + a) * np.float32(1.1) + np.sin(x * np.float32(0.37) - a * 2) * np.float32(
            0.7
        )
        wave = np.sin(x * np.float32(0.83) + z * np.float32(0.45) + bend) + np.float32(0.6) * np.sin(
            z * np.float32(1.27) - x * np.float32(0.5) + bend * 2 + a
        )
        moved = p.copy()
        moved[1] -= np.float32(self.height_m * 0.6) * wave
        moved[0] += np.float32(self.height_m * 0.35) * np.sin(p[1] * k * np.float32(1.4) + bend)
        return self.shape.distance(moved)

    def box(self) -> tuple[F32, F32]:
        lo, hi = self.shape.box()
        grow = np.array([0.4, 1.0, 0.1], np.float32) * np.float32(self.height_m)
        return lo - grow, hi + grow


@dataclass(frozen=True)
class Hanging:
    """A cloth hung from its top middle: half width and half height (m), folds running down and opening out below."""

    half_x_m: float
    half_y_m: float
    fold_m: float
    folds: float
    phase: float = 0.0

    def distance(self, p: F32) -> F32:
        down = np.clip((np.float32(self.half_y_m) - p[1]) / np.float32(2 * self.half_y_m), 0, 1)
        spread = np.float32(0.55) + np.float32(0.45) * np.sqrt(down)
        across = p[0] / (np.float32(self.half_x_m) * spread)
        turn = (
            np.float32(np.pi * self.folds) * across
            + np.float32(0.9) * np.sin(down * 3 + self.phase) * across
            + np.float32(self.phase)
        )
        depth = np.float32(self.fold_m) * (np.float32(0.45) + np.float32(0.55) * down)
        wave = depth * (np.sin(turn) + np.float32(0.45) * np.sin(turn * np.float32(2.3) + down * 4 + 1))
        hem = np.float32(0.008) * np.sin(across * 5 + np.float32(self.phase))
        qx = np.abs(p[0]) - np.float32(self.half_x_m) * spread
        qy = np.maximum(
            p[1] - np.float32(self.half_y_m) + np.float32(0.02) * np.abs(across),
            -p[1] - np.float32(self.half_y_m) + hem,
        )
        qz = np.abs(p[2] - wave) - np.float32(0.0022)
        inner = np.minimum(np.maximum(qx, np.maximum(qy, qz)), 0)
        return np.asarray(
            np.sqrt(np.maximum(qx, 0) ** 2 + np.maximum(qy, 0) ** 2 + np.maximum(qz, 0) ** 2)
            + inner
            - np.float32(0.001),
            np.float32,
        )

    def box(self) -> tuple[F32, F32]:
        h = np.array([self.half_x_m + 0.004, self.half_y_m + 0.012, 1.5 * self.fold_m + 0.004], np.float32)
        return -h, h


def folded_cloth(
    half_x_m: float, half_z_m: float, layers: int, phase: float
) -> list[tuple[Shape, tuple[float, float, float], float]]:
    """Layers of a folded cloth, lowest first: (shape, place of its centre above the table, yaw in degrees)."""
    out: list[tuple[Shape, tuple[float, float, float], float]] = []
    for i in range(layers):
        shrink = 1 - 0.06 * i
        slab = Box((half_x_m * shrink, 0.0058, half_z_m * (1 - 0.04 * i)), 0.0055)
        shape = Rippled(slab, 0.0035 + 0.0012 * i, 0.11, phase + 1.7 * i)
        out.append((shape, (0.006 * i - 0.004, 0.006 + 0.0095 * i, 0.004 * (i % 2)), 5.0 * (i % 3) - 4.0))
    return out
