"""Looking down on a bench from in front of it: a flat rectangle becomes a trapezoid, nearer edge wider.

The plane runs u 0-1 from left to right and v 0-1 from the far to the near edge; the true perspective of a plane, so that
a print in a tray is foreshortened evenly with the tray it lies in.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pygame
from numpy.typing import NDArray

from sim.refusals import Refused


@dataclass(frozen=True)
class Plane:
    """A rectangle lying on the bench, by its far edge (left, right, y) and its near edge (left, right, y) in pixels."""

    far: tuple[float, float, float]
    near: tuple[float, float, float]

    @property
    def depth(self) -> float:
        """How many times farther the far edge is than the near one."""
        return (self.near[1] - self.near[0]) / max(1e-6, self.far[1] - self.far[0])

    def at(self, u: float, v: float) -> tuple[float, float]:
        """Return the pixel of a point of the plane."""
        k = self.depth
        share = k + (1.0 - k) * v
        y = (self.far[2] * k + (self.near[2] - self.far[2] * k) * v) / share
        left, right = self.edges(y)
        return left + u * (right - left), y

    def edges(self, y: float) -> tuple[float, float]:
        """Return where the left and the right side cross a pixel row."""
        part = (y - self.far[2]) / (self.near[2] - self.far[2])
        return (self.far[0] + part * (self.near[0] - self.far[0]), self.far[1] + part * (self.near[1] - self.far[1]))

    def v_of(self, y: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return v of pixel rows: the inverse of ``at``."""
        k, a = self.depth, self.far[2] * self.depth
        return np.asarray((y * k - a) / (self.near[2] - a - y * (1.0 - k)))

    def part(self, u0: float, v0: float, u1: float, v1: float) -> Plane:
        """Return a rectangle of this plane as a plane of its own."""
        left, far_y = self.at(u0, v0)
        right, _ = self.at(u1, v0)
        near_left, near_y = self.at(u0, v1)
        near_right, _ = self.at(u1, v1)
        return Plane((left, right, far_y), (near_left, near_right, near_y))

    def corners(self) -> list[tuple[float, float]]:
        """Return far left, far right, near right, near left."""
        return [
            (self.far[0], self.far[2]), (self.far[1], self.far[2]), (self.near[1], self.near[2]), (self.near[0], self.near[2]),
        ]  # fmt: skip


class LaidPicture:
    """How a picture of a given size lies in a plane: where every screen pixel looks, worked out once."""

    def __init__(self, plane: Plane, rows: int, cols: int):
        corners = plane.corners()
        self.left = int(np.floor(min(x for x, _ in corners)))
        self.top = int(np.floor(corners[0][1]))
        width = int(np.ceil(max(x for x, _ in corners))) - self.left + 1
        height = int(np.ceil(corners[2][1])) - self.top + 1
        y = self.top + np.arange(height) + 0.5
        v = plane.v_of(np.asarray(y, dtype=np.float64))
        part = (y - plane.far[2]) / (plane.near[2] - plane.far[2])
        left = plane.far[0] + part * (plane.near[0] - plane.far[0])
        right = plane.far[1] + part * (plane.near[1] - plane.far[1])
        x = self.left + np.arange(width) + 0.5
        u = (x[None, :] - left[:, None]) / np.maximum(right - left, 1e-6)[:, None]
        row = np.clip(v * rows - 0.5, 0, rows - 1.001)
        col = np.clip(u * cols - 0.5, 0, cols - 1.001)
        self._row, self._col = row.astype(np.int32), col.astype(np.int32)
        self._down = (row - self._row).astype(np.float32)[:, None]
        self._along = (col - self._col).astype(np.float32)
        inside_x = np.minimum(x[None, :] - left[:, None], right[:, None] - x[None, :]) + 0.5
        inside_y = np.minimum(y - plane.far[2], plane.near[2] - y) + 0.5
        self.alpha = (255 * np.clip(inside_x, 0, 1) * np.clip(inside_y, 0, 1)[:, None]).astype(np.uint8)
        self.shape = (rows, cols)

    def surface(self, levels: NDArray[np.uint8], tint: tuple[int, int, int] = (255, 255, 255)) -> pygame.Surface:
        """Return the picture as it lies, see-through outside its edges. ``levels`` uint8 [row, col] of the size agreed."""
        if levels.shape != self.shape:
            raise Refused(f"the picture must be {self.shape[0]} x {self.shape[1]} px, got {levels.shape}")
        upper, lower = levels[self._row], levels[self._row + 1]
        mixed = upper + self._down * (lower.astype(np.float32) - upper)  # [screen row, picture column]
        rows = np.arange(len(self._row))[:, None]
        near, next_one = mixed[rows, self._col], mixed[rows, self._col + 1]
        grey = near + self._along * (next_one - near)
        out = np.empty((*grey.shape, 4), np.uint8)
        for channel, share in enumerate(reversed(tint)):  # blue first, as the screen has it: blits need not convert
            out[..., channel] = np.round(grey * (share / 255.0))
        out[..., 3] = self.alpha
        return pygame.image.frombuffer(out.tobytes(), (grey.shape[1], grey.shape[0]), "BGRA")
