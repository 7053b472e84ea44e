"""Carpentry out of doors: weatherboarded gables, plank doors and slatted crates, each board of its own tone."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes.masonry import scatter
from sim.workshop.scenes.materials import Skin, Wood, between, full
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32, Box, Shape
from sim.workshop.scenes.stage import Thing


@dataclass(frozen=True)
class Gable:
    """A gabled wall standing on y = 0, facing +z: half width, height at the eaves and at the ridge, half depth (m).

    It is clad in lapped boards `board_m` high, each thicker at its lower edge by `lap_m`.
    """

    half_wide_m: float
    eaves_m: float
    ridge_m: float
    half_deep_m: float
    board_m: float = 0.17
    lap_m: float = 0.022

    def distance(self, p: F32) -> F32:
        rise = (self.ridge_m - self.eaves_m) / self.half_wide_m
        slope = np.float32(1 / np.hypot(1.0, rise))
        x = np.abs(p[0])
        roof = (p[1] - np.float32(self.ridge_m) + x * np.float32(rise)) * slope
        sag = np.float32(0.006) * np.sin(p[0] * np.float32(1.7) + np.floor(p[1] / np.float32(self.board_m)) * 2)
        part = (p[1] + sag) / np.float32(self.board_m)
        part = part - np.floor(part)
        face = np.abs(p[2]) - np.float32(self.half_deep_m) + np.float32(self.lap_m) * part
        return np.asarray(
            np.maximum(np.maximum(roof, x - np.float32(self.half_wide_m)), np.maximum(face, -p[1])) * np.float32(0.9)
        )

    def box(self) -> tuple[F32, F32]:
        w, d = self.half_wide_m, self.half_deep_m
        return np.array([-w, 0, -d], np.float32), np.array([w, self.ridge_m, d], np.float32)


@dataclass(frozen=True)
class Crate:
    """An open slatted crate centred on its origin: half sizes (m), `slats` boards to a side with gaps between them."""

    half: tuple[float, float, float]
    slats: int = 3
    thick_m: float = 0.012

    @property
    def pitch_m(self) -> float:
        return 2 * self.half[1] / self.slats

    def row(self, y: F32) -> F32:
        """Which slat, counted from the lowest, a height belongs to."""
        return np.clip(np.floor((y + np.float32(self.half[1])) / np.float32(self.pitch_m)), 0, self.slats - 1)

    def distance(self, p: F32) -> F32:
        hx, hy, hz = self.half
        row = self.row(p[1])
        y = p[1] - (row + np.float32(0.5)) * np.float32(self.pitch_m) + np.float32(hy)
        skew = (scatter(row, row, 4.0) - np.float32(0.5)) * np.float32(0.02)
        half_slat, half_thick = 0.40 * self.pitch_m, self.thick_m / 2
        x, z = np.abs(p[0]), np.abs(p[2])
        side = Box((hx, half_slat, half_thick), 0.0025).distance(
            np.stack([p[0], y + skew * p[0] * np.float32(2), z - np.float32(hz - half_thick)])
        )
        end = Box((half_thick, half_slat, hz - self.thick_m), 0.0025).distance(
            np.stack([x - np.float32(hx - half_thick), y, p[2]])
        )
        post = Box((0.016, hy, 0.016), 0.002).distance(
            np.stack([x - np.float32(hx - self.thick_m - 0.017), p[1], z - np.float32(hz - self.thick_m - 0.017)])
        )
        floor = Box((hx - self.thick_m, half_thick, hz - self.thick_m), 0.002).distance(
            np.stack([p[0], p[1] + np.float32(hy - 2 * half_thick), p[2]])
        )
        return np.minimum(np.minimum(side, end), np.minimum(post, floor))

    def box(self) -> tuple[F32, F32]:
        h = np.array(self.half, np.float32) + np.float32(0.004)
        return -h, h


@dataclass(frozen=True)
class Boards:
    """Weathered boards: wood with each board its own tone, drips from nails, damp rising; `course_m` is a board's height.

    `damp_m` is the height (local y) up to which the wood is dark with wet; `upright` boards count along x instead of y.
    `veil_cd_m2` is mist before them as puddles mirror it (mirrored rays do not pass through the scene's air).
    """

    reflectance: float = 0.16
    course_m: float = 0.17
    upright: bool = False
    spread_stops: float = 0.7
    lap_stops: float = 0.9
    damp_m: float = -9.0
    start_m: float = 0.0
    veil_cd_m2: float = 0.0
    shift: float = 0.0

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return self.veil_cd_m2

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        across = p[0] if self.upright else p[1]
        part = (across - np.float32(self.start_m)) / np.float32(self.course_m)
        row = np.floor(part)
        part = part - row
        salt = row * np.float32(3.7)
        # Boards seen from the end face run along z; their grain is read with x and z exchanged.
        q = np.where(np.abs(n[0]) > 0.7, p[[2, 1, 0]], p)
        q = q + np.stack([salt * np.float32(1.3), salt * np.float32(0.31), salt * np.float32(0.17)])
        wood = Wood(self.reflectance, along=1 if self.upright else 0, shift=self.shift, f0=0.0, relief_m=3e-4).skin(
            q.astype(np.float32), n, noise
        )
        own = (scatter(row, row, 5 + self.shift) - np.float32(0.5)) * np.float32(self.spread_stops)
        edge = np.minimum(part, 1 - part) * np.float32(self.course_m)
        shade = -np.float32(self.lap_stops) * (1 - between(edge, 0.002, 0.012))
        streak = noise.stain(p, 0.7, self.shift + 7, stretch=(0.7, 5.0, 0.7)) * np.float32(0.14)
        wet = between(
            -p[1] + noise.stain(p, 0.9, self.shift + 8) * np.float32(0.12), -self.damp_m - 0.15, 0.1 - self.damp_m
        )
        stops = own + shade + streak - wet * np.float32(0.7)
        tones = np.clip(wood.reflectance * np.exp2(stops), np.float32(0.012), np.float32(0.8)).astype(np.float32)
        return Skin(tones, wood.slope, full(p, 0.0), full(p, 1.0), full(p, 0.0))


@dataclass(frozen=True)
class Tilted:
    """A board tilted about its own z axis (degrees, anticlockwise seen from +z), to be turned and placed afterwards."""

    shape: Box
    deg: float

    def distance(self, p: F32) -> F32:
        c, s = np.float32(np.cos(np.radians(self.deg))), np.float32(np.sin(np.radians(self.deg)))
        return self.shape.distance(np.stack([c * p[0] + s * p[1], c * p[1] - s * p[0], p[2]]))

    def box(self) -> tuple[F32, F32]:
        c, s = abs(np.cos(np.radians(self.deg))), abs(np.sin(np.radians(self.deg)))
        x, y, z = self.shape.half
        h = np.array([c * x + s * y, s * x + c * y, z], np.float32)
        return -h, h


@dataclass(frozen=True)
class OnEdge:
    """A round plate stood on its edge: the axis that was upright (y) lies along z."""

    shape: Shape

    def distance(self, p: F32) -> F32:
        return self.shape.distance(p[[0, 2, 1]])

    def box(self) -> tuple[F32, F32]:
        lo, hi = self.shape.box()
        return lo[[0, 2, 1]], hi[[0, 2, 1]]


def shed(
    at: tuple[float, float, float], yaw_deg: float, gable: Gable, reflectance: float, veil_cd_m2: float, shift: float
) -> list[Thing]:
    """A boarded shed with two roof slopes that stand out over its walls; `at` is the middle of its floor."""
    walls = Boards(reflectance, damp_m=0.35, veil_cd_m2=veil_cd_m2, shift=shift)
    things = [Thing(gable, walls, at=at, yaw_deg=yaw_deg, slack=0.85)]
    rise = gable.ridge_m - gable.eaves_m
    pitch = float(np.degrees(np.arctan2(rise, gable.half_wide_m)))
    turn = np.radians(yaw_deg)
    half = 0.5 * float(np.hypot(rise, gable.half_wide_m)) + 0.12
    for sign in (-1, 1):
        out, up = half * np.cos(np.radians(pitch)), gable.ridge_m - half * np.sin(np.radians(pitch)) + 0.035
        along, away = float(sign * out * np.cos(turn)), float(sign * out * np.sin(turn))
        place = (at[0] + along, at[1] + float(up), at[2] - away)
        roof = Boards(0.65 * reflectance, 0.3, veil_cd_m2=veil_cd_m2, shift=shift + 6 + sign)
        slab = Tilted(Box((half, 0.022, gable.half_deep_m + 0.2), 0.006), -sign * pitch)
        things.append(Thing(slab, roof, at=place, yaw_deg=yaw_deg))
    return things
