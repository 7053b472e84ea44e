"""The camera on its stand: a sheet-film camera with level back, rising front, a lens of given focal length and aperture."""

from dataclasses import dataclass

import numpy as np

from sim.workshop.scenes.sdf import F32, Vector

SHEET_MM = (95.0, 120.0)  # image area of a 4x5-inch sheet in its holder, short and long edge (common practice)


@dataclass(frozen=True)
class Camera:
    """Eye and target in metres; focal length in mm; focus in metres along the axis; `landscape` lays the sheet on its side.

    `level` keeps the back upright (walls stay parallel) and turns the height of the target into rise of the front.
    """

    eye: Vector
    target: Vector
    focal_mm: float
    f_number: float
    focus_m: float
    landscape: bool = False
    level: bool = True

    def axes(self) -> tuple[F32, F32, F32]:
        """Unit vectors right, up and forward, shape (3,)."""
        forward = np.array(self.target, np.float64) - np.array(self.eye, np.float64)
        if self.level:
            forward[1] = 0.0
        forward /= np.linalg.norm(forward)
        right = np.cross(forward, [0.0, 1.0, 0.0])
        right /= np.linalg.norm(right)
        up = np.cross(right, forward)
        return right.astype(np.float32), up.astype(np.float32), forward.astype(np.float32)

    def sheet_m(self) -> tuple[float, float]:
        """Width and height of the sheet in metres."""
        short, long = SHEET_MM[0] / 1000, SHEET_MM[1] / 1000
        return (long, short) if self.landscape else (short, long)

    def _scale(self) -> tuple[float, float]:
        """Image distance in metres for the focus set, and rise of the front as a slope."""
        f = self.focal_mm / 1000
        image = f * self.focus_m / (self.focus_m - f)
        if not self.level:
            return image, 0.0
        to = np.array(self.target) - np.array(self.eye)
        return image, float(to[1] / np.hypot(to[0], to[2]))

    def rays(self, x: F32, y: F32, lens: F32) -> tuple[F32, F32]:
        """Origins and unit directions (3, N) for picture fractions x, y in 0..1 (y down) and points `lens` (2, N) in 0..1.

        The lens point is spread evenly over a round aperture; all rays of one x, y meet again in the plane of focus.
        """
        right, up, forward = self.axes()
        wide, high = self.sheet_m()
        image, rise = self._scale()
        sx = ((x - np.float32(0.5)) * np.float32(wide / image)).astype(np.float32)
        sy = ((np.float32(0.5) - y) * np.float32(high / image) + np.float32(rise)).astype(np.float32)
        through = right[:, None] * sx + up[:, None] * sy + forward[:, None]
        radius = np.float32(self.focal_mm / 2000 / self.f_number) * np.sqrt(lens[0])
        turn = np.float32(2 * np.pi) * lens[1]
        offset = right[:, None] * (radius * np.cos(turn)) + up[:, None] * (radius * np.sin(turn))
        d = through * np.float32(self.focus_m) - offset
        d = d / np.sqrt(d[0] * d[0] + d[1] * d[1] + d[2] * d[2])
        return np.array(self.eye, np.float32)[:, None] + offset, d.astype(np.float32)

    def project(self, p: F32) -> tuple[F32, F32, F32]:
        """Picture fractions x, y (y down) and depth in metres of points (3, N); points behind get depth <= 0."""
        right, up, forward = self.axes()
        wide, high = self.sheet_m()
        image, rise = self._scale()
        q = p - np.array(self.eye, np.float32)[:, None]
        depth = forward @ q
        safe = np.where(depth > 1e-6, depth, 1e-6)
        x = 0.5 + (right @ q) / safe * (image / wide)
        y = 0.5 - ((up @ q) / safe - rise) * (image / high)
        return x.astype(np.float32), y.astype(np.float32), depth.astype(np.float32)

    def blur_fraction(self, depth_m: float) -> float:
        """Diameter of the circle of confusion of a point at a depth, as a fraction of the frame width."""
        image, _ = self._scale()
        wide, _ = self.sheet_m()
        aperture = self.focal_mm / 1000 / self.f_number
        return float(aperture * abs(1 / max(depth_m, 1e-3) - 1 / self.focus_m) * image / wide)
