"""Solid shapes by signed distance: how far a point is from the nearest skin, negative inside.

Every shape works on points of shape (3, N) float32 in its own coordinates (metres, y up) and answers with N distances
in metres. The formulas are elementary geometry; where the answer is only a lower bound of the distance it says so.
"""

from dataclasses import dataclass
from typing import Protocol, runtime_checkable

import numpy as np
import numpy.typing as npt

F32 = npt.NDArray[np.float32]
Vector = tuple[float, float, float]


class Shape(Protocol):
    """Anything a ray can meet."""

    def distance(self, p: F32) -> F32:
        """Signed distance in metres for points (3, N) in metres."""
        ...

    def box(self) -> tuple[F32, F32]:
        """Lowest and highest corner of an axis-aligned box holding the shape, metres, shape (3,) each."""
        ...


@runtime_checkable
class Smooth(Protocol):
    """A shape that knows its own normals (tables: differences of interpolated distances would show facets)."""

    def normal(self, p: F32) -> F32:
        """Outward normals (3, N) at points (3, N) near the skin."""
        ...


def normal_by_difference(shape: Shape, p: F32, reach_m: float = 4e-4) -> F32:
    """Outward normals (3, N) at points near the skin, from four distances at the corners of a tetrahedron."""
    out = np.zeros_like(p)
    for sx, sy, sz in ((1, -1, -1), (-1, -1, 1), (-1, 1, -1), (1, 1, 1)):
        step = np.array([[sx], [sy], [sz]], np.float32)
        out += step * shape.distance(p + step * np.float32(reach_m))
    return normalise(out)


def normalise(v: F32) -> F32:
    """Vectors (3, N) brought to length one; a zero vector stays zero."""
    return np.asarray(v / np.maximum(np.sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2]), np.float32(1e-12)))


def dot(a: F32, b: F32) -> F32:
    """Scalar products of two sets of vectors (3, N)."""
    return np.asarray(a[0] * b[0] + a[1] * b[1] + a[2] * b[2])


def smooth_min(a: F32, b: F32, blend_m: float) -> F32:
    """The nearer of two distances with the crease filled to a fillet of about blend_m metres (quadratic fillet)."""
    k = np.float32(max(blend_m, 1e-6))
    h = np.maximum(k - np.abs(a - b), 0) / k
    return np.asarray(np.minimum(a, b) - h * h * k * np.float32(0.25))


def smooth_max(a: F32, b: F32, blend_m: float) -> F32:
    """The farther of two distances with the edge rounded off over about blend_m metres."""
    return -smooth_min(-a, -b, blend_m)


def _column(v: Vector) -> F32:
    return np.array(v, np.float32)[:, None]


@dataclass(frozen=True)
class Box:
    """A board or block: half sizes in metres, edges rounded by `edge_m`, perhaps bowed by `bow_m` along its length (x)."""

    half: Vector
    edge_m: float = 0.002
    bow_m: float = 0.0

    def distance(self, p: F32) -> F32:
        y = p[1]
        if self.bow_m:
            y = y + np.float32(self.bow_m) * (1 - (p[0] / np.float32(self.half[0])) ** 2)
        e = np.float32(self.edge_m)
        qx = np.abs(p[0]) - (np.float32(self.half[0]) - e)
        qy = np.abs(y) - (np.float32(self.half[1]) - e)
        qz = np.abs(p[2]) - (np.float32(self.half[2]) - e)
        inner = np.minimum(np.maximum(qx, np.maximum(qy, qz)), 0)
        np.maximum(qx, 0, out=qx)
        np.maximum(qy, 0, out=qy)
        np.maximum(qz, 0, out=qz)
        return np.asarray(np.sqrt(qx * qx + qy * qy + qz * qz) + inner - e)

    def box(self) -> tuple[F32, F32]:
        h = np.array(self.half, np.float32) + np.array([0, abs(self.bow_m), 0], np.float32)
        return -h, h


@dataclass(frozen=True)
class Capsule:
    """A round stick from a to b, radius_a_m to radius_b_m thick (the distance is a lower bound when they differ)."""

    a: Vector
    b: Vector
    radius_a_m: float
    radius_b_m: float

    def distance(self, p: F32) -> F32:
        a = _column(self.a)
        ab = _column(self.b) - a
        pa = p - a
        h = np.clip(dot(pa, np.broadcast_to(ab, p.shape)) / np.float32(max(float((ab * ab).sum()), 1e-12)), 0, 1)
        away = pa - ab * h
        radius = np.float32(self.radius_a_m) + np.float32(self.radius_b_m - self.radius_a_m) * h
        length = max(float(np.sqrt((ab * ab).sum())), 1e-9)
        slope = np.float32(1 / np.sqrt(1 + ((self.radius_a_m - self.radius_b_m) / length) ** 2))
        return np.asarray((np.sqrt(dot(away, away)) - radius) * slope)

    def box(self) -> tuple[F32, F32]:
        a, b = np.array(self.a, np.float32), np.array(self.b, np.float32)
        ra, rb = np.float32(self.radius_a_m), np.float32(self.radius_b_m)
        return np.minimum(a - ra, b - rb), np.maximum(a + ra, b + rb)


@dataclass(frozen=True)
class Ellipsoid:
    """An egg of three half axes about a centre; the distance is the usual first-order estimate, exact for a sphere."""

    centre: Vector
    axes: Vector

    def distance(self, p: F32) -> F32:
        q = p - _column(self.centre)
        axes = _column(self.axes)
        u = q / axes
        w = u / axes
        k0 = np.sqrt(dot(u, u))
        k1 = np.sqrt(dot(w, w))
        near_centre = np.float32(min(self.axes))
        return np.asarray(np.where(k1 > 1e-9, k0 * (k0 - 1) / np.maximum(k1, 1e-9), -near_centre))

    def box(self) -> tuple[F32, F32]:
        c, a = np.array(self.centre, np.float32), np.array(self.axes, np.float32)
        return c - a, c + a


@dataclass(frozen=True)
class Disc:
    """A flat round plate, axis upright, centred on its own origin: a wheel head, a bat, a lid of wood."""

    radius_m: float
    half_height_m: float
    edge_m: float = 0.002

    def distance(self, p: F32) -> F32:
        e = np.float32(self.edge_m)
        qr = np.sqrt(p[0] * p[0] + p[2] * p[2]) - (np.float32(self.radius_m) - e)
        qy = np.abs(p[1]) - (np.float32(self.half_height_m) - e)
        inner = np.minimum(np.maximum(qr, qy), 0)
        outer = np.sqrt(np.maximum(qr, 0) ** 2 + np.maximum(qy, 0) ** 2)
        return np.asarray(outer + inner - e)

    def box(self) -> tuple[F32, F32]:
        h = np.array([self.radius_m, self.half_height_m, self.radius_m], np.float32)
        return -h, h


@dataclass(frozen=True)
class Joined:
    """Several shapes grown into one with fillets: a jug and its handle, the limbs of a figure."""

    parts: tuple[Shape, ...]
    blend_m: float

    def distance(self, p: F32) -> F32:
        d = self.parts[0].distance(p)
        for part in self.parts[1:]:
            d = smooth_min(d, part.distance(p), self.blend_m)
        return d

    def box(self) -> tuple[F32, F32]:
        boxes = [part.box() for part in self.parts]
        grow = np.float32(0.3 * self.blend_m)
        return np.min([b[0] for b in boxes], axis=0) - grow, np.max([b[1] for b in boxes], axis=0) + grow


@dataclass(frozen=True)
class Carved:
    """A shape with other shapes cut away from it (a wall with an opening); edges rounded over `edge_m`."""

    whole: Shape
    cuts: tuple[Shape, ...]
    edge_m: float = 0.003

    def distance(self, p: F32) -> F32:
        d = self.whole.distance(p)
        for cut in self.cuts:
            d = smooth_max(d, -cut.distance(p), self.edge_m)
        return d

    def box(self) -> tuple[F32, F32]:
        return self.whole.box()


@dataclass(frozen=True)
class Moved:
    """A shape shifted inside a group, so that parts of Joined and Carved can be placed."""

    shape: Shape
    by: Vector

    def distance(self, p: F32) -> F32:
        return self.shape.distance(p - _column(self.by))

    def box(self) -> tuple[F32, F32]:
        lo, hi = self.shape.box()
        by = np.array(self.by, np.float32)
        return lo + by, hi + by
