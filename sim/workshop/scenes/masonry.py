"""Brickwork: a wall with real joints, arches, and the skin that gives every brick its own tone."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes.materials import Skin, between, full, mixed, tone
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32, Box

BRICK_M = (0.225, 0.076)  # length and height of a brick with its joint (common size of a house brick, rounded)
JOINT_M = 0.010


def course(x: F32, y: F32) -> tuple[F32, F32, F32, F32]:
    """Stretcher bond: offsets (u, v) in metres from the middle of the brick at (x, y), and its column and course."""
    row = np.floor(y / np.float32(BRICK_M[1]))
    shifted = x / np.float32(BRICK_M[0]) + np.float32(0.5) * (row % 2)
    column = np.floor(shifted)
    u = (shifted - column - np.float32(0.5)) * np.float32(BRICK_M[0])
    v = y - (row + np.float32(0.5)) * np.float32(BRICK_M[1])
    return u, v, column, row


def scatter(column: F32, row: F32, salt: float) -> F32:
    """A fixed number in 0..1 for each brick (a mixing function, not a random stream)."""
    mixed_up = np.sin(column.astype(np.float64) * 12.9898 + row.astype(np.float64) * 78.233 + salt * 3.77) * 43758.5453
    return (mixed_up - np.floor(mixed_up)).astype(np.float32)


@dataclass(frozen=True)
class BrickWall:
    """A wall of half sizes `half` (m) whose +z face shows bricks standing `recess_m` proud of their joints, unevenly."""

    half: tuple[float, float, float]
    recess_m: float = 0.006

    def distance(self, p: F32) -> F32:
        hx, hy, hz = self.half
        mortar = Box((hx, hy, hz - self.recess_m), 0.001).distance(p)
        near = np.nonzero(p[2] > hz - 0.06)[0]
        if near.size == 0:
            return mortar
        x, y, z = p[0, near], p[1, near], p[2, near]
        u, v, column, row = course(x, y)
        proud = (scatter(column, row, 1) - np.float32(0.5)) * np.float32(0.005)
        tilt = (scatter(column, row, 2) - np.float32(0.5)) * np.float32(0.03)
        e = np.float32(0.004)
        qx = np.abs(u + v * tilt) - np.float32((BRICK_M[0] - JOINT_M) / 2) + e
        qy = np.abs(v - u * tilt * np.float32(0.4)) - np.float32((BRICK_M[1] - JOINT_M) / 2) + e
        qz = z - np.float32(hz) - proud + u * tilt * np.float32(0.3) + e
        inner = np.minimum(np.maximum(qx, np.maximum(qy, qz)), 0)
        brick = np.sqrt(np.maximum(qx, 0) ** 2 + np.maximum(qy, 0) ** 2 + np.maximum(qz, 0) ** 2) + inner - e
        inside = np.maximum(np.abs(x) - np.float32(hx), np.abs(y) - np.float32(hy))
        mortar[near] = np.minimum(mortar[near], np.maximum(brick, inside))
        return mortar

    def box(self) -> tuple[F32, F32]:
        h = np.array(self.half, np.float32)
        return -h, h + np.array([0, 0, 0.006], np.float32)


@dataclass(frozen=True)
class Arch:
    """An opening along z: half width, height of the springing above its own origin (the sill), half depth."""

    half_width_m: float
    spring_m: float
    half_depth_m: float

    def distance(self, p: F32) -> F32:
        w = np.float32(self.half_width_m)
        above = p[1] - np.float32(self.spring_m)
        round_top = np.hypot(p[0], np.maximum(above, 0)) - w
        outline = np.maximum(round_top, -p[1])
        return np.asarray(np.maximum(outline, np.abs(p[2]) - np.float32(self.half_depth_m)), np.float32)

    def box(self) -> tuple[F32, F32]:
        w, d = self.half_width_m, self.half_depth_m
        return np.array([-w, 0, -d], np.float32), np.array([w, self.spring_m + w, d], np.float32)


@dataclass(frozen=True)
class ArchRing:
    """The ring of wedge bricks over a round arch: about its own origin, from 0 to 180 degrees, `count` bricks."""

    inner_m: float
    outer_m: float
    half_depth_m: float
    count: int

    def distance(self, p: F32) -> F32:
        r = np.hypot(p[0], p[1])
        turn = np.clip(np.arctan2(p[1], p[0]), -0.4, np.float32(np.pi + 0.4))
        step = np.float32(np.pi / self.count)
        cell = np.clip(np.floor(turn / step), 0, self.count - 1)
        proud = (scatter(cell, cell, 3) - np.float32(0.5)) * np.float32(0.006)
        e = np.float32(0.004)
        qt = (
            r * np.abs(turn - (cell + np.float32(0.5)) * step)
            - np.maximum(r * step / 2 - np.float32(JOINT_M * 0.4), np.float32(0.005))
            + e
        )
        qr = (
            np.abs(r - np.float32((self.inner_m + self.outer_m) / 2))
            - np.float32((self.outer_m - self.inner_m) / 2)
            + e
        )
        qz = np.abs(p[2]) - np.float32(self.half_depth_m) - proud + e
        inner = np.minimum(np.maximum(qt, np.maximum(qr, qz)), 0)
        return np.asarray(
            np.sqrt(np.maximum(qt, 0) ** 2 + np.maximum(qr, 0) ** 2 + np.maximum(qz, 0) ** 2) + inner - e, np.float32
        )

    def box(self) -> tuple[F32, F32]:
        r, d = self.outer_m, self.half_depth_m + 0.004
        return np.array([-r, -0.03, -d], np.float32), np.array([r, r, d], np.float32)


@dataclass(frozen=True)
class Brickwork:
    """The skin of BrickWall: each brick of its own tone, pitted; joints of lime; soot rising above `soot_y_m` at `soot_x_m`."""

    reflectance: float = 0.26
    mortar: float = 0.38
    spread_stops: float = 0.9
    soot_stops: float = 0.0
    soot_x_m: float = 0.0
    soot_y_m: float = 0.0
    soot_wide_m: float = 0.25
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        u, v, column, row = course(p[0], p[1])
        rough = noise.stain(p, 0.31, self.shift)
        fine = noise.stain(p, 0.061, self.shift + 1)
        pit, g = noise.relief(p, 0.041, self.shift + 2)
        _, g_broad = noise.relief(p, 0.17, self.shift + 3)
        edge = np.maximum(
            np.abs(u) - np.float32((BRICK_M[0] - JOINT_M) / 2), np.abs(v) - np.float32((BRICK_M[1] - JOINT_M) / 2)
        )
        joint = between(edge + rough * np.float32(0.0012), -0.001, 0.0012)
        own = (scatter(column, row, 5) - np.float32(0.5)) * np.float32(self.spread_stops)
        scorch = between(scatter(column, row, 6), 0.84, 0.9) * np.float32(0.7)
        brick = tone(self.reflectance, own - scorch + rough * np.float32(0.22) + fine * np.float32(0.16))
        # Joints lie in dirt and in their own shade (relief too fine for the light grid).
        lime = tone(self.mortar, rough * np.float32(0.4) + fine * np.float32(0.2) - np.float32(0.8))
        slope = g * np.float32(0.7e-4) + g_broad * np.float32(4.5e-4)
        shade = mixed(brick, lime, joint) * np.exp2(-between(pit, 1.5, 2.3) * np.float32(0.6))
        if self.soot_stops:
            rise = p[1] - np.float32(self.soot_y_m)
            wide = np.float32(self.soot_wide_m) * (1 + np.maximum(rise, 0) * np.float32(0.8))
            plume = (
                np.exp(-(((p[0] - np.float32(self.soot_x_m)) / wide) ** 2))
                * between(rise, -0.12, 0.1)
                * np.exp(-np.maximum(rise, 0) * 1.1)
            )
            shade = shade * np.exp2(-np.float32(self.soot_stops) * plume * (1 + np.float32(0.25) * rough))
        return Skin(shade.astype(np.float32), slope, full(p, 0.0), full(p, 1.0), full(p, 0.0))


@dataclass(frozen=True)
class LooseBrick:
    """One brick on its own, firebrick or common, chipped and stained; or the bricks of an ArchRing of `ring` bricks."""

    reflectance: float = 0.35
    shift: float = 0.0
    ring: int = 0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        rough = noise.stain(p, 0.24, self.shift)
        fine = noise.stain(p, 0.05, self.shift + 1)
        pit, g = noise.relief(p, 0.036, self.shift + 2)
        stops = rough * np.float32(0.24) + fine * np.float32(0.18) - between(pit, 1.4, 2.2) * np.float32(0.6)
        if self.ring:
            cell = np.floor(np.arctan2(p[1], p[0]) * np.float32(self.ring / np.pi))
            stops = stops + (scatter(cell, cell, 8) - np.float32(0.5)) * np.float32(0.8)
        return Skin(tone(self.reflectance, stops), g * np.float32(0.9e-4), full(p, 0.0), full(p, 1.0), full(p, 0.0))
