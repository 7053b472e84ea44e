"""What a scene is: a camera, things of some material standing somewhere, and lights in photometric units."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from sim.workshop.photographs.form import Form, turning
from sim.workshop.photographs.relief import F64
from sim.workshop.photographs.surface import Material, Pattern

Point = tuple[float, float, float]


@dataclass(frozen=True)
class Camera:
    """A camera and its lens: where it stands, what it looks at; z up. Depth of field comes from here and nowhere else.

    `focal_mm` and `film_mm` (wide, high) as on the real camera; `rise` and `cross` shift the film as a share of its longer
    side, as a view camera does to keep uprights upright; `sharp_at` is the point focused on.
    """

    at: Point
    towards: Point
    focal_mm: float
    film_mm: tuple[float, float]
    f_number: float
    sharp_at: Point
    rise: float = 0.0
    cross: float = 0.0

    def axes(self) -> F64:
        """Right, up and ahead of the camera as rows [3, 3]."""
        ahead = np.subtract(self.towards, self.at)
        ahead = ahead / np.linalg.norm(ahead)
        right = np.cross(ahead, [0.0, 0.0, 1.0])
        right /= np.linalg.norm(right)
        return np.array([right, np.cross(right, ahead), ahead])

    def sharp_m(self) -> float:
        """Distance of the plane of sharp focus along the axis, m."""
        return float(np.subtract(self.sharp_at, self.at) @ self.axes()[2])

    def pixel_m(self, long_px: int) -> float:
        """What one pixel covers in the plane of sharp focus, m, where the longer side has so many."""
        return max(self.film_mm) / long_px * self.sharp_m() / self.focal_mm

    def in_frame(self, point: Point) -> tuple[float, float]:
        """A point as fractions (x, y) of the picture, y down."""
        right, up, ahead = self.axes() @ np.subtract(point, self.at)
        longer = max(self.film_mm)
        x_mm = self.focal_mm * right / ahead - self.cross * longer
        y_mm = self.focal_mm * up / ahead - self.rise * longer
        return 0.5 + float(x_mm) / self.film_mm[0], 0.5 - float(y_mm) / self.film_mm[1]


@dataclass(frozen=True, eq=False)
class Thing:
    """A form of some material, put somewhere and turned. `seen` False: it lights and shades but the lens does not see it."""

    form: Form
    material: Material
    at: Point = (0.0, 0.0, 0.0)
    turn_deg: float = 0.0
    lean_deg: float = 0.0
    roll_deg: float = 0.0
    size: float = 1.0
    seen: bool = True

    def matrix(self) -> F64:
        """Matrix [4, 4] from the thing's own points to the room's."""
        m = np.eye(4)
        m[:3, :3] = self.size * turning(self.turn_deg, self.lean_deg, self.roll_deg)
        m[:3, 3] = self.at
        return m


@dataclass(frozen=True, eq=False)
class Many:
    """The same form many times: `matrices` [n, 4, 4]. Grass, straw, leaves, bricks."""

    form: Form
    material: Material
    matrices: F64


@dataclass(frozen=True)
class Panel:
    """A bright surface that lights: a window's opening, a reflector. Luminance in cd/m2, the same in all directions.

    It faces along `facing`; the lens sees it only if `seen`; `sun_behind` lets sun and sky shine through it.
    """

    at: Point
    facing: Point
    wide_m: float
    high_m: float
    luminance_cd_m2: Pattern
    seen: bool = False
    sun_behind: bool = False


@dataclass(frozen=True)
class Sun:
    """Light from far away: lux on a surface that faces it; height and direction (from +y clockwise) in degrees."""

    lux: float
    height_deg: float
    bearing_deg: float
    wide_deg: float = 0.53


Light = Panel | Sun


@dataclass(frozen=True, eq=False)
class Sky:
    """Luminance of the sky in cd/m2 [row, col]: rows from straight up to straight down, columns all round from -y over -x."""

    luminance_cd_m2: F64


def all_round(rows: int) -> F64:
    """Unit directions [rows, 2 rows, 3] of a sky's picture."""
    height = np.radians(90 - (np.arange(rows) + 0.5) / rows * 180)[:, None]
    round_about = np.radians((np.arange(2 * rows) + 0.5) / (2 * rows) * 360 - 180)[None, :]
    x, y = np.cos(height) * np.sin(round_about), np.cos(height) * np.cos(round_about)
    return np.stack(np.broadcast_arrays(x, y, np.sin(height)), -1)


@dataclass(frozen=True)
class Mist:
    """Mist between lens and things: share of light lost per m at the ground, the height at which it is down to 37 %, its own
    luminance in cd/m2; `clear_m` before the lens are free of it. Where the sun stands behind it (height and direction in
    degrees) it is `brighter` times as bright, over some `wide_deg`. `drift` makes it thicker here and thinner there;
    `in_mirrors` veils what water mirrors too. Light scattered twice is left out."""

    per_m: float
    height_m: float
    luminance_cd_m2: float
    clear_m: float = 0.0
    sun_deg: tuple[float, float] = (20.0, 0.0)
    brighter: float = 1.0
    wide_deg: float = 15.0
    drift: Pattern = 1.0
    in_mirrors: bool = False

    def sharpness(self) -> float:
        """How fast the brightness round the sun falls with 1 - cos of the angle from it."""
        return 1.0 / (1.0 - float(np.cos(np.radians(self.wide_deg))))

    def sky(self, rows: int = 256) -> Sky:
        """The sky where nothing but mist is seen."""
        near = np.exp(self.sharpness() * (all_round(rows) @ bearing(*self.sun_deg) - 1.0))
        return Sky(self.luminance_cd_m2 * (1.0 + (self.brighter - 1.0) * near))


@dataclass(frozen=True, eq=False)
class Scene:
    """A place to be photographed. `even_sky_cd_m2` where no sky is given; `places` are named points to be read later."""

    camera: Camera
    things: Sequence[Thing | Many]
    lights: Sequence[Light] = ()
    sky: Sky | None = None
    even_sky_cd_m2: float = 0.0
    mist: Mist | None = None
    places: Mapping[str, Point] = field(default_factory=dict)
    bounces: int = 8


def bearing(height_deg: float, bearing_deg: float) -> F64:
    """Unit direction towards something in the sky; bearing from +y clockwise seen from above."""
    h, b = np.radians([height_deg, bearing_deg])
    return np.array([np.cos(h) * np.sin(b), np.cos(h) * np.cos(b), np.sin(h)])


def about(at: Point, turn_deg: float) -> Callable[[float, float, float], Point]:
    """Where the parts of something stand in the room, given where they are on it: it stands at `at`, turned."""
    c, s = float(np.cos(np.radians(turn_deg))), float(np.sin(np.radians(turn_deg)))
    return lambda x, y, z: (at[0] + c * x - s * y, at[1] + s * x + c * y, at[2] + z)
