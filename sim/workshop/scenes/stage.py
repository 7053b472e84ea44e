"""What a scene is made of: things with a material, lights, what lies beyond, air, camera and named places."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from sim.workshop.scenes.camera import Camera
from sim.workshop.scenes.lights import Light
from sim.workshop.scenes.materials import Material
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32, Shape, Vector


@dataclass(frozen=True, eq=False)
class Thing:
    """One object: a shape with a material, standing at a place, turned about the upright (yaw) and leant (tilt about x, z).

    `shadows` False leaves it out of the grid for shadows and reflected light (things too thin for a voxel);
    `seen` False keeps it in that grid only (ground laid a little low, so that flat rays get away from it).
    `slack` shortens the march for shapes whose distance is over-estimated (1 = exact distance).
    """

    shape: Shape
    material: Material
    at: Vector = (0.0, 0.0, 0.0)
    yaw_deg: float = 0.0
    lean_x_deg: float = 0.0
    lean_z_deg: float = 0.0
    shadows: bool = True
    seen: bool = True
    slack: float = 1.0
    turn: F32 = field(init=False, repr=False)

    def __post_init__(self) -> None:
        a, b, c = (np.radians(v) for v in (self.yaw_deg, self.lean_x_deg, self.lean_z_deg))
        yaw = np.array([[np.cos(a), 0, np.sin(a)], [0, 1, 0], [-np.sin(a), 0, np.cos(a)]])
        lean_x = np.array([[1, 0, 0], [0, np.cos(b), -np.sin(b)], [0, np.sin(b), np.cos(b)]])
        lean_z = np.array([[np.cos(c), -np.sin(c), 0], [np.sin(c), np.cos(c), 0], [0, 0, 1]])
        object.__setattr__(self, "turn", (lean_z @ lean_x @ yaw).astype(np.float32))

    @property
    def turned(self) -> bool:
        return bool(self.yaw_deg or self.lean_x_deg or self.lean_z_deg)

    def to_local(self, p: F32) -> F32:
        """World points (3, N) in the thing's own coordinates."""
        q = p - np.array(self.at, np.float32)[:, None]
        return self.turn.T @ q if self.turned else q

    def direction_to_local(self, d: F32) -> F32:
        return self.turn.T @ d if self.turned else d

    def direction_to_world(self, d: F32) -> F32:
        return self.turn @ d if self.turned else d

    def world_box(self) -> tuple[F32, F32]:
        """Axis-aligned box in the world, metres."""
        lo, hi = self.shape.box()
        at = np.array(self.at, np.float32)
        if not self.turned:
            return lo + at, hi + at
        corners = np.array(
            [[(lo, hi)[i][0], (lo, hi)[j][1], (lo, hi)[k][2]] for i in (0, 1) for j in (0, 1) for k in (0, 1)]
        )
        world = corners @ self.turn.T + at
        return world.min(axis=0).astype(np.float32), world.max(axis=0).astype(np.float32)


class Beyond(Protocol):
    """What a ray meets that leaves everything behind: the far walls of a room, or the open country."""

    def luminance_cd_m2(self, o: F32, d: F32, noise: Noise) -> F32:
        """Luminance (N,) along rays (3, N) as the camera sees it."""
        ...

    def glow_cd_m2(self, o: F32, d: F32) -> F32:
        """The same for rays that wander about (no texture needed)."""
        ...


@dataclass(frozen=True)
class Room:
    """A closed room around the set: a box with bare walls of one reflectance, lit by the windows and by itself.

    The walls' light is direct light (unshadowed) plus the evenly spread remainder of an integrating sphere,
    flux x rho / (area x (1 - rho)) (standard photometry; the room is not a sphere, error about 30 %).
    """

    lo: Vector
    hi: Vector
    reflectance: float
    lights: tuple[Light, ...]
    flux_lm: float

    def even_lux(self) -> float:
        """Illuminance from light that has been reflected at least once, taken as the same everywhere."""
        size = np.subtract(self.hi, self.lo)
        area = 2 * float(size[0] * size[1] + size[1] * size[2] + size[0] * size[2])
        return self.flux_lm * self.reflectance / (area * (1 - self.reflectance))

    def glow_cd_m2(self, o: F32, d: F32) -> F32:
        lo, hi = np.array(self.lo, np.float32)[:, None], np.array(self.hi, np.float32)[:, None]
        with np.errstate(divide="ignore", invalid="ignore"):
            far = np.where(d > 0, (hi - o) / d, (lo - o) / d)
        far = np.where(np.abs(d) < 1e-7, np.float32(1e9), far)
        axis = np.argmin(far, axis=0)
        rows = np.arange(o.shape[1])
        t = np.maximum(far[axis, rows], 0)
        n = np.zeros_like(d)
        n[axis, rows] = -np.sign(d[axis, rows])
        p = o + d * t
        lux = np.full(o.shape[1], self.even_lux(), np.float32)
        for light in self.lights:
            lux += light.illuminance_lux(p, n)
        return lux * np.float32(self.reflectance / np.pi)

    def luminance_cd_m2(self, o: F32, d: F32, noise: Noise) -> F32:
        return self.glow_cd_m2(o, d)


class Air(Protocol):
    """Mist or dust between the lens and the things."""

    def through(self, o: F32, d: F32, t: F32, noise: Noise) -> tuple[F32, F32]:
        """Transmittance (N,) and added luminance cd/m2 (N,) along rays up to t metres (inf allowed)."""
        ...


@dataclass(frozen=True)
class GridBox:
    """The part of the world that throws shadows and reflects: corners in metres and the voxel edge."""

    lo: Vector
    hi: Vector
    voxel_m: float


@dataclass(frozen=True, eq=False)
class Scene:
    """Everything one picture needs. `places` are 3-D points a printer would meter, in metres.

    `clamp_cd_m2` bounds one sample of light reflected by a glaze (a cure for single white specks, not for highlights);
    `stops` is the range between the 1st and 99th percentile the scene must have.
    """

    camera: Camera
    things: tuple[Thing, ...]
    lights: tuple[Light, ...]
    beyond: Beyond
    grid: GridBox
    places: Mapping[str, Vector]
    stops: tuple[float, float]
    clamp_cd_m2: float
    air: Air | None = None


SceneMaker = Callable[[], Scene]
