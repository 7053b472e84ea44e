"""A paved workshop floor: worn slabs in courses, their joints full of clay dust, slip spilt, dripped and trodden about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from sim.workshop.photographs.form import Form
from sim.workshop.photographs.land import land, step
from sim.workshop.photographs.relief import F64, uneven_plane
from sim.workshop.photographs.surface import Blend, Cells, Cloudy, Material, Pattern, Plus, Times, Value

Spill = tuple[float, float, float, float]  # x, y of the middle, half its width and depth, m
Tread = tuple[float, float, float, float]  # x, y of a foot's middle, m; the way it points, degrees from +y clockwise; 0..1 clay


@dataclass(frozen=True, eq=False)
class Paving:
    """Slabs in courses across x between two y, in m; what was spilt on them and who walked through it.

    Slabs are 0.34-0.62 m (as two people lift them), joints 10 mm, laid within 4 mm of a level (chosen: an old floor).
    """

    from_y: float
    to_y: float
    spills: Sequence[Spill] = ()
    wet: Sequence[Spill] = ()
    treads: Sequence[Tread] = ()
    drops: Sequence[tuple[float, float, float]] = ()
    seed: int = 1

    @cached_property
    def courses(self) -> list[tuple[float, F64]]:
        """Each course's nearer edge and the edges of its slabs along x, m."""
        chance = np.random.Generator(np.random.PCG64(self.seed))
        laid, y = [], self.from_y
        while y < self.to_y:
            laid.append((y, -6.0 + np.cumsum(chance.uniform(0.36, 0.80, 26))))
            y += chance.uniform(0.34, 0.56)
        return laid

    def slabs(self, x: F64, y: F64) -> tuple[F64, F64, F64]:
        """Distance from the nearest joint in m, and for each slab its number and where on it, at points."""
        x, y = np.broadcast_arrays(x + 0.010 * uneven_plane(x, y, 0.20, 3, 61), y + 0.010 * uneven_plane(x, y, 0.22, 3, 62))
        starts = np.array([start for start, _ in self.courses])
        row = np.clip(np.searchsorted(starts, y) - 1, 0, len(starts) - 1)
        ends = np.append(starts[1:], starts[-1] + 0.5)
        far, number, across = np.minimum(y - starts[row], ends[row] - y), np.zeros(x.shape), np.zeros(x.shape)
        for k, (_, edges) in enumerate(self.courses):
            here = row == k
            slab = np.clip(np.searchsorted(edges, x[here]) - 1, 0, len(edges) - 2)
            inside = np.minimum(x[here] - edges[slab], edges[slab + 1] - x[here])
            far[here] = np.minimum(far[here], inside)
            number[here] = 37 * k + slab
            across[here] = x[here] - (edges[slab] + edges[slab + 1]) / 2
        return np.abs(far), number, across

    def height(self, x: F64, y: F64) -> F64:
        """Height of the floor, m: slabs none of which lies true, worn hollows, rounded edges, joints, a skin of slip."""
        return self._height(x, y, *self.slabs(x, y), self.slip(x, y))

    @staticmethod
    def _height(x: F64, y: F64, far: F64, number: F64, across: F64, slip: F64) -> F64:
        high = 0.004 * np.sin(12.9898 * number) + 0.010 * np.sin(78.233 * number) * across
        high += 0.0035 * uneven_plane(x, y, 0.30, 3, 63) + 0.0008 * uneven_plane(x, y, 0.05, 3, 64)
        high -= 0.0014 * np.exp(-((far / 0.014) ** 2)) + 0.0085 * np.exp(-((far / 0.0065) ** 2))
        return np.asarray(high + 0.0012 * step(slip, 0.35, 0.65))

    def slip(self, x: F64, y: F64) -> F64:
        """Spilt slip: 0.5 on its border, rising to 1 over some 2 cm within; runs and drops about it."""
        return np.maximum(_lying(self.spills, x, y, 0.45, 66), self._dripped(x, y))

    def _dripped(self, x: F64, y: F64) -> F64:
        most = np.zeros(np.broadcast(x, y).shape)
        for px, py, radius in self.drops:
            near = (np.abs(x - px) < 2.5 * radius) & (np.abs(y - py) < 2.5 * radius)
            from_it = np.hypot(x[near] - px, y[near] - py) / radius
            most[near] = np.maximum(most[near], np.clip(1.0 - 0.5 * from_it, 0, 1))
        return most

    def damp(self, x: F64, y: F64) -> F64:
        """1 where water still stands or has just gone, 0 where it is dry."""
        return _lying(self.wet, x, y, 0.6, 68)

    def trodden(self, x: F64, y: F64) -> F64:
        """Clay carried on soles: 1 where a nailed sole put it down, less at every step."""
        most = np.zeros(np.broadcast(x, y).shape)
        for px, py, way, clay in self.treads:
            near = np.hypot(x - px, y - py) < 0.17
            nx, ny, a = x[near], y[near], np.radians(way)
            along = (nx - px) * np.sin(a) + (ny - py) * np.cos(a)
            aside = (nx - px) * np.cos(a) - (ny - py) * np.sin(a)
            waist = 0.047 - 0.013 * np.exp(-(((along + 0.025) / 0.035) ** 2))
            sole = (1 - step(np.abs(aside) / waist, 0.82, 1.05)) * (1 - step(np.abs(along) / 0.138, 0.88, 1.02))
            sole *= 1 - 0.9 * np.exp(-(((along + 0.048) / 0.010) ** 2))  # between sole and heel nothing touches
            bars = 0.55 + 0.45 * np.sin(2 * np.pi * along / 0.019)
            most[near] = np.maximum(most[near], clay * sole * bars * (0.6 + 0.7 * uneven_plane(nx, ny, 0.05, 3, 70)))
        return np.clip(most, 0, 1)

    def before(self, eye: tuple[float, float], bearing_deg: tuple[float, float], near_m: float, far_m: float) -> Form:
        """The floor as a camera at `eye` wants it: cut finely near it. Values as `paving_stone` reads them."""
        level = land(lambda x, y: np.zeros_like(x), eye, bearing_deg, near_m, far_m, 900, 760)
        x, y = level.points[:, 0], level.points[:, 1]
        far, number, across = self.slabs(x, y)
        slip = self.slip(x, y)
        form = replace(level, points=np.stack([x, y, self._height(x, y, far, number, across, slip)], -1))
        for name, value in (("slip", slip), ("damp", self.damp(x, y)), ("trodden", self.trodden(x, y)),
                ("tone", 0.5 + 0.5 * np.sin(43.7585 * number + 1.3)), ("joint", 1.0 - step(far, 0.004, 0.012))):
            form = form.with_value(name, value)
        return form


def _lying(spills: Sequence[Spill], x: F64, y: F64, ragged: float, seed: int) -> F64:
    """What lies on a floor in pools with ragged borders: 0.5 on the border, held at 1 and 0 some 2 cm from it."""
    most = np.zeros(np.broadcast(x, y).shape)
    for k, (px, py, wide, deep) in enumerate(spills):
        away = np.hypot((x - px) / wide, (y - py) / deep)
        near = away < 2.6  # farther out no raggedness reaches
        border = away[near] + ragged * uneven_plane(x[near], y[near], 0.8 * min(wide, deep), 4, seed + k)
        most[near] = np.maximum(most[near], np.clip(0.5 + (1.0 - border) * min(wide, deep) / 0.04, 0, 1))
    return most


def paving_stone(tone: float = 0.20) -> Material:
    """Worn stone under clay dust: a dull shine where feet go, pale joints, spilt slip that dried and cracked, wet patches."""
    body: Pattern = Times(tone, Blend(0.62, 1.30, Value("tone")))
    body = Times(Times(body, Cloudy(0.22, 0.70, 1.25, detail=5)), Times(Cloudy(0.02, 0.82, 1.14, detail=4, harsh=0.7),
        Cells(0.011, 0.55, 1.0, reach=0.16)))
    dust = Times(Cloudy(0.13, 0.0, 1.0, detail=6, harsh=0.68, sharp=1.8), Cloudy(0.7, -0.35, 0.85))
    body = Blend(body, 1.75 * tone, dust)
    joint = Blend(0.42 * tone, 1.9 * tone, Cloudy(0.30, 0.0, 1.0, sharp=2.0))
    body = Blend(body, joint, Value("joint"))
    body = Blend(body, 0.46, Times(Times(2.4, Value("trodden")), Cloudy(0.008, 0.30, 1.0, detail=3, sharp=1.5)))
    body = Times(body, Blend(1.0, 0.50, _bordered("damp", 5.0)))
    spilt = _bordered("slip", 9.0)
    cracks = Cells(0.030, 0.55, 1.0, "crack", 0.045, 1.0, warp=0.4)
    body = Blend(body, Times(Times(0.47, cracks), Cloudy(0.06, 0.80, 1.10, detail=4)), spilt)
    shine = Blend(Blend(Cloudy(0.25, 0.34, 0.62, detail=3), 0.9, dust), 0.16, _bordered("damp", 5.0))
    shine = Blend(Blend(shine, 0.95, Value("joint")), Cloudy(0.05, 0.55, 0.9), spilt)
    relief = (Cloudy(0.035, -0.0009, 0.0009, detail=6, harsh=0.6), Cells(0.011, -0.0006, 0.0, reach=0.18),
        Times(spilt, 0.0008))
    return Material(body, shine, 1.45, relief)


def _bordered(name: str, hard: float) -> Pattern:
    """A number of the form with its border at 0.5 drawn finely: ragged over some millimetres, `hard` times as steep."""
    edge = Plus(Value(name), Cloudy(0.016, -0.16, 0.16, detail=4, harsh=0.6))
    return Blend(0.0, 1.0, Plus(0.5, Times(hard, Plus(edge, -0.5))))
