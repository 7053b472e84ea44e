"""Where the light comes from: windows as rectangles of known luminance, and the sun; illuminance in lux."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
import numpy.typing as npt

from sim.workshop.scenes.sdf import F32, Vector, dot, normalise


class Light(Protocol):
    """A light that is sampled directly; rays that wander about the room do not see it, so it is counted once."""

    def illuminance_lux(self, p: F32, n: F32) -> F32:
        """Illuminance (N,) at points (3, N) on surfaces of normal n, as if nothing stood in the way."""
        ...

    def aim(self, p: F32, u: F32) -> tuple[F32, F32, F32]:
        """Directions (3, N), distances (N,) to points of the light chosen by u (2, N), and relative luminance there."""
        ...

    def seen(self, o: F32, d: F32) -> tuple[F32, F32]:
        """Distance (N,) along rays at which the light is met (inf if not) and its luminance in cd/m2."""
        ...

    def spread_sr(self, d: F32, t: F32) -> F32:
        """Solid angle (N,) the whole light would fill if all of it were turned and as far as the point met at d, t."""
        ...

    @property
    def mean_luminance_cd_m2(self) -> float:
        """Luminance that `aim`'s relative luminance is relative to."""
        ...


def rectangle_factor(corners: npt.NDArray[np.float32], p: F32, n: F32) -> F32:
    """Illuminance per luminance (sr) at points (3, N) from a rectangle of uniform luminance, clipped at the horizon.

    Lambert's contour integral: half the sum over edges of the angle an edge subtends times the cosine between the normal
    and the plane of that edge (standard radiometry). Corners (4, 3) run anticlockwise as seen from the lit side.
    """
    v = [normalise(c[:, None] - p) for c in corners]
    h = [dot(x, n) for x in v]
    total = np.zeros_like(h[0])
    leave, enter = np.zeros_like(p), np.zeros_like(p)
    crosses = np.zeros(total.shape, bool)
    for k in range(4):
        a, b, ha, hb = v[k], v[(k + 1) % 4], h[k], h[(k + 1) % 4]
        below_a, below_b = ha < 0, hb < 0
        cut = below_a != below_b
        if cut.any():
            at = a + (ha / np.where(cut, ha - hb, 1)) * (b - a)
            going, coming = cut & below_b, cut & below_a
            leave, enter = np.where(going, at, leave), np.where(coming, at, enter)
            crosses |= cut
            a, b = np.where(coming, at, a), np.where(going, at, b)
        total += np.where(below_a & below_b, 0, _edge(a, b, n))
    if crosses.any():
        total += np.where(crosses, _edge(leave, enter, n), 0)
    return np.asarray(np.maximum(total * np.float32(0.5), 0), np.float32)


def _edge(a: F32, b: F32, n: F32) -> F32:
    cx, cy, cz = a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]
    size = np.sqrt(cx * cx + cy * cy + cz * cz)
    across = cx * n[0] + cy * n[1] + cz * n[2]
    return np.asarray(np.arctan2(size, dot(a, b)) * across / np.maximum(size, np.float32(1e-9)))


@dataclass(frozen=True)
class Window:
    """A rectangular opening of given mean luminance, shining to one side, divided by bars into panes.

    `side_u` and `side_v` are the full edges (m); light goes towards side_u x side_v. `top_gain` makes the sky at the
    top of the window brighter than at the bottom: luminance runs linearly from 1 - top_gain to 1 + top_gain along v.
    """

    corner: Vector
    side_u: Vector
    side_v: Vector
    luminance_cd_m2: float
    panes: tuple[int, int] = (1, 1)
    bar: float = 0.0
    top_gain: float = 0.0

    def _frame(self) -> tuple[F32, F32, F32, F32]:
        c, u, v = (np.array(x, np.float32) for x in (self.corner, self.side_u, self.side_v))
        normal = np.cross(u, v)
        return c, u, v, (normal / np.linalg.norm(normal)).astype(np.float32)

    def pattern(self, u: F32, v: F32) -> F32:
        """Relative luminance at fractions (u, v) of the opening: mean one, nearly none behind a bar."""
        out = np.ones_like(u)
        open_part = 1.0
        for at, count in ((u, self.panes[0]), (v, self.panes[1])):
            if count > 1 and self.bar > 0:
                near = np.abs(at * count - np.round(at * count))
                behind = (near < self.bar * count / 2) & (np.round(at * count) > 0) & (np.round(at * count) < count)
                out = np.where(behind, np.float32(0.02), out)
                open_part *= 1 - (count - 1) * self.bar
        if self.top_gain:
            out = out * (1 + np.float32(self.top_gain) * (2 * v - 1))
        return np.asarray(out / np.float32(open_part))

    def illuminance_lux(self, p: F32, n: F32) -> F32:
        c, u, v, normal = self._frame()
        front = dot(p - c[:, None], np.broadcast_to(normal[:, None], p.shape)) > 1e-4
        # Seen from the lit side the corners c, c+v, c+u+v, c+u run anticlockwise for Lambert's sum to come out positive.
        corners = np.stack([c, c + v, c + u + v, c + u]).astype(np.float32)
        return np.where(front, rectangle_factor(corners, p, n), 0).astype(np.float32) * np.float32(self.luminance_cd_m2)

    def aim(self, p: F32, u: F32) -> tuple[F32, F32, F32]:
        c, su, sv, _ = self._frame()
        to = c[:, None] + su[:, None] * u[0] + sv[:, None] * u[1] - p
        distance = np.sqrt(dot(to, to))
        return to / np.maximum(distance, 1e-6), distance, self.pattern(u[0], u[1])

    def seen(self, o: F32, d: F32) -> tuple[F32, F32]:
        c, u, v, normal = self._frame()
        slope = d[0] * normal[0] + d[1] * normal[1] + d[2] * normal[2]
        rel = o - c[:, None]
        height = rel[0] * normal[0] + rel[1] * normal[1] + rel[2] * normal[2]
        facing = (slope < -1e-6) & (height > 0)
        t = np.where(facing, height / np.where(facing, -slope, 1), np.float32(np.inf))
        at = rel + d * np.where(facing, t, 0)
        fu = (at[0] * u[0] + at[1] * u[1] + at[2] * u[2]) / np.float32(u @ u)
        fv = (at[0] * v[0] + at[1] * v[1] + at[2] * v[2]) / np.float32(v @ v)
        inside = facing & (fu >= 0) & (fu <= 1) & (fv >= 0) & (fv <= 1)
        lum = np.where(inside, self.pattern(fu, fv) * np.float32(self.luminance_cd_m2), 0)
        return np.where(inside, t, np.float32(np.inf)).astype(np.float32), lum.astype(np.float32)

    def spread_sr(self, d: F32, t: F32) -> F32:
        _, u, v, normal = self._frame()
        area = np.float32(np.linalg.norm(np.cross(u, v)))
        return np.asarray(
            area * np.abs(d[0] * normal[0] + d[1] * normal[1] + d[2] * normal[2]) / np.maximum(t * t, np.float32(1e-4))
        )

    @property
    def mean_luminance_cd_m2(self) -> float:
        return self.luminance_cd_m2


@dataclass(frozen=True)
class Sun:
    """The sun (or a bright patch of thin cloud) as a far disc: direction towards it, half angle, illuminance face on."""

    towards: Vector
    half_angle_deg: float
    normal_illuminance_lux: float

    def _axis(self) -> F32:
        a = np.array(self.towards, np.float32)
        return np.asarray(a / np.linalg.norm(a), np.float32)

    def illuminance_lux(self, p: F32, n: F32) -> F32:
        a = self._axis()
        return np.asarray(
            np.maximum(n[0] * a[0] + n[1] * a[1] + n[2] * a[2], 0) * np.float32(self.normal_illuminance_lux)
        )

    def aim(self, p: F32, u: F32) -> tuple[F32, F32, F32]:
        a = self._axis()
        side = normalise(np.cross(a, [0.31, 0.2, 0.93]).astype(np.float32)[:, None])
        up = np.cross(a, side[:, 0]).astype(np.float32)[:, None]
        radius = np.sqrt(u[0]) * np.float32(np.tan(np.radians(self.half_angle_deg)))
        turn = u[1] * np.float32(2 * np.pi)
        d = normalise(a[:, None] + side * (radius * np.cos(turn)) + up * (radius * np.sin(turn)))
        return d, np.full(p.shape[1], 1e4, np.float32), np.ones(p.shape[1], np.float32)

    def seen(self, o: F32, d: F32) -> tuple[F32, F32]:
        a = self._axis()
        cos = d[0] * a[0] + d[1] * a[1] + d[2] * a[2]
        half = np.radians(self.half_angle_deg)
        hit = cos > np.float32(np.cos(half))
        return np.where(hit, np.float32(1e4), np.float32(np.inf)), np.where(
            hit, np.float32(self.mean_luminance_cd_m2), np.float32(0)
        )

    def spread_sr(self, d: F32, t: F32) -> F32:
        return np.full(t.shape, np.pi * np.sin(np.radians(self.half_angle_deg)) ** 2, np.float32)

    @property
    def mean_luminance_cd_m2(self) -> float:
        return self.normal_illuminance_lux / float(np.pi * np.sin(np.radians(self.half_angle_deg)) ** 2)


def first_light(lights: tuple[Light, ...], o: F32, d: F32) -> tuple[F32, F32, F32]:
    """Nearest light along rays (3, N): distance (inf if none), luminance in cd/m2 and its `spread_sr` there."""
    spread = np.ones(o.shape[1], np.float32)
    t = np.full(o.shape[1], np.inf, np.float32)
    lum = np.zeros(o.shape[1], np.float32)
    for light in lights:
        at, value = light.seen(o, d)
        nearer = at < t
        if nearer.any():
            spread = np.where(nearer, light.spread_sr(d, np.where(nearer, at, 1)), spread)
        t, lum = np.where(nearer, at, t), np.where(nearer, value, lum)
    return t, lum, spread
