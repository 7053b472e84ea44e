"""Pots from the wheel: an outline turned round, never quite round, with the rings of the fingers, a lip and a foot."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sim.workshop.photographs.form import Form, grid, rod, smooth_line, together
from sim.workshop.photographs.relief import F64, uneven

Outline = Sequence[tuple[float, float]]  # radius and height in m, outside, from the foot up to the lip

CUP: Outline = ((0.026, 0.0), (0.034, 0.012), (0.0395, 0.04), (0.041, 0.07), (0.042, 0.088))
BEAKER: Outline = ((0.030, 0.0), (0.035, 0.01), (0.038, 0.06), (0.040, 0.12))
BOWL: Outline = ((0.035, 0.0), (0.040, 0.010), (0.072, 0.03), (0.098, 0.065), (0.108, 0.088))
WIDE_BOWL: Outline = ((0.050, 0.0), (0.056, 0.012), (0.12, 0.04), (0.165, 0.08), (0.178, 0.095))
TEA_BOWL: Outline = ((0.028, 0.0), (0.031, 0.010), (0.052, 0.022), (0.060, 0.05), (0.0585, 0.078))
JUG: Outline = ((0.050, 0.0), (0.060, 0.015), (0.082, 0.08), (0.080, 0.14), (0.052, 0.20), (0.046, 0.235), (0.053, 0.262))
BOTTLE: Outline = ((0.040, 0.0), (0.047, 0.012), (0.064, 0.08), (0.058, 0.14), (0.025, 0.19), (0.016, 0.235),
    (0.022, 0.272))
FLASK: Outline = ((0.045, 0.0), (0.055, 0.01), (0.088, 0.06), (0.080, 0.11), (0.032, 0.15), (0.018, 0.175), (0.024, 0.205))
JAR: Outline = ((0.065, 0.0), (0.075, 0.015), (0.115, 0.10), (0.122, 0.17), (0.092, 0.235), (0.082, 0.25), (0.090, 0.268))
CROCK: Outline = ((0.090, 0.0), (0.098, 0.012), (0.118, 0.10), (0.122, 0.22), (0.112, 0.29), (0.122, 0.315))
VASE: Outline = ((0.048, 0.0), (0.054, 0.012), (0.078, 0.09), (0.092, 0.19), (0.075, 0.27), (0.044, 0.31), (0.056, 0.345))
DISH: Outline = ((0.075, 0.0), (0.082, 0.008), (0.12, 0.020), (0.150, 0.034), (0.158, 0.042))
CYLINDER: Outline = ((0.070, 0.0), (0.074, 0.01), (0.076, 0.10), (0.075, 0.20), (0.078, 0.235))


def sized(outline: Outline, wide: float, high: float) -> Outline:
    """The outline made wider and higher by two factors."""
    return tuple((r * wide, h * high) for r, h in outline)


def thrown(outline: Outline, thick_m: float = 0.005, seed: int = 1, rings_m: float = 0.00022, off_round: float = 0.006,
        fineness: int = 220, rows: int = 30) -> Form:
    """A pot standing on the ground about the upright axis.

    `rings_m` depth of the throwing rings, `off_round` share of the radius by which it is out of true, `rows` how often the
    wall is cut between two knots of the outline. Values: `up` 0 at the foot to 1 at the lip, `inside` 1 within.
    """
    chance = np.random.Generator(np.random.PCG64(seed))
    side, inside = _section(np.asarray(outline, float), thick_m, rows)
    angle = np.linspace(0, 2 * np.pi, fineness, endpoint=False)
    radius, height = side[:, :1] * np.ones_like(angle), side[:, 1:] * np.ones_like(angle)
    top = max(h for _, h in outline)
    pitch = 0.007 + 0.004 * chance.random()
    wave = np.sin(2 * np.pi * (height / pitch) + angle + 3 * np.sin(height / pitch / 3))
    strength = 0.6 + 0.4 * np.sin(height / 0.031 + chance.random() * 6)
    radius = radius + rings_m * wave * strength * np.clip(height / 0.015, 0, 1)
    lean = off_round * (height / top)
    radius *= 1 + lean * np.cos(2 * (angle - chance.random() * 6)) + 0.4 * lean * np.cos(3 * angle + chance.random() * 6)
    points = np.stack([radius * np.cos(angle), radius * np.sin(angle), height], -1)
    points[..., 2] += 0.25 * off_round * radius * np.cos(angle + chance.random() * 6) * (height / top)
    points += 0.0006 * uneven(points, 0.05, 3, seed)[..., None] * np.clip(radius / 0.01, 0, 1)[..., None]
    form = Form(points.reshape(-1, 3), grid(len(side), fineness, around=True))
    return form.with_value("up", (height / top).ravel()).with_value("inside", np.repeat(inside, fineness))


def _section(outline: F64, thick_m: float, rows: int) -> tuple[F64, F64]:
    """The wall in section, from under the foot over the lip to the middle of the floor; and which part is within."""
    outer = smooth_line(outline, rows)
    ahead = np.gradient(outer, axis=0)
    normal = np.stack([-ahead[:, 1], ahead[:, 0]], 1)
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    thick = thick_m * (0.75 + 0.5 * np.linspace(1, 0, len(outer)) ** 2)
    inner = outer + thick[:, None] * normal
    floor = outline[0, 1] + 1.6 * thick_m
    inner = inner[(inner[:, 1] > floor) & (inner[:, 0] > 0)][::-1]
    turn = np.linspace(0, np.pi, 9)[1:-1, None]
    middle, half = (outer[-1] + inner[0]) / 2, (outer[-1] - inner[0]) / 2
    lip = middle + half * np.cos(turn) + ahead[-1] / np.linalg.norm(ahead[-1]) * np.linalg.norm(half) * np.sin(turn)
    bend = np.linspace(1, 0, 14)[1:, None]
    last = inner[-1]
    bottom = np.concatenate([last[0] * bend, floor + (last[1] - floor) * bend**4], 1)
    ring = outline[0, 0] - 1.3 * thick_m
    foot = np.array([[0.0, 0.35 * thick_m], [ring * 0.5, 0.35 * thick_m], [ring, 0.3 * thick_m], [ring + 0.2 * thick_m, 0.0]])
    edge = outer[0] + np.array([[-0.5 * thick_m, 0.0], [-0.1 * thick_m, 0.02 * thick_m]])
    parts = [foot, edge, outer[1:], lip, inner, bottom]
    inside = np.concatenate([np.full(len(p), k >= 4, float) for k, p in enumerate(parts)])
    return np.concatenate(parts), inside


def handled(pot: Form, low_m: float, high_m: float, reach_m: float, thick_m: float = 0.0105, turn_deg: float = 0.0) -> Form:
    """The pot with a pulled handle between two heights, standing `reach_m` off the wall."""
    a = np.radians(turn_deg)
    out = np.array([np.cos(a), np.sin(a), 0.0])

    def wall(height: float) -> float:
        near = pot.points[np.abs(pot.points[:, 2] - height) < 0.006]
        return float(np.linalg.norm(near[:, :2], axis=1).max()) if len(near) else 0.05

    high, low = wall(high_m), wall(low_m)
    far, tall = max(high, low) + reach_m, high_m - low_m
    knots = [(high - 0.9 * thick_m, high_m - 0.02 * tall), (high + 0.40 * reach_m, high_m + 0.08 * tall),
        (far, high_m - 0.18 * tall), (far - 0.10 * reach_m, low_m + 0.42 * tall), (low + 0.30 * reach_m, low_m + 0.12 * tall),
        (low + 0.02 * reach_m, low_m + 0.01 * tall), (low - 1.1 * thick_m, low_m - 0.06 * tall)]
    path = [out * r + np.array([0, 0, z]) for r, z in knots]
    widths = thick_m * np.array([2.0, 1.3, 1.05, 0.95, 0.95, 1.35, 2.2])  # spread where it is worked into the wall
    strap = rod(path, widths, 28, 14, flat=0.42)
    return together([pot, strap.with_value("up", np.clip(strap.points[:, 2] / pot.points[:, 2].max(), 0, 1))])


def lid(radius_m: float, seed: int = 1) -> Form:
    """A domed lid with a knob, about the axis, its rim at height 0."""
    r = radius_m
    outline = ((r, 0.0), (r * 1.02, 0.004), (r * 0.8, 0.14 * r), (r * 0.4, 0.27 * r), (0.16 * r, 0.31 * r),
        (0.13 * r, 0.38 * r))
    knob = ((0.14 * r, 0.37 * r), (0.22 * r, 0.45 * r), (0.2 * r, 0.55 * r), (0.01 * r, 0.6 * r))
    rings = [thrown(outline, 0.004, seed), thrown(knob, 0.003, seed + 1, 0.0)]
    return together(rings)


def with_spout(pot: Form, turn_deg: float = 180.0, pull_m: float = 0.016) -> Form:
    """The lip pulled into a spout."""
    top = pot.points[:, 2].max()
    a = np.radians(turn_deg)
    angle = np.arctan2(pot.points[:, 1], pot.points[:, 0]) - a
    angle = (angle + np.pi) % (2 * np.pi) - np.pi
    near = np.clip((pot.points[:, 2] - 0.82 * top) / (0.18 * top), 0, 1) ** 1.6
    pull = near * np.exp(-((angle / 0.36) ** 2)) * pull_m
    pinch = near * np.exp(-(((np.abs(angle) - 0.75) / 0.3) ** 2)) * 0.3 * pull_m
    ahead = np.array([np.cos(a), np.sin(a), 0.35])
    radial = pot.points * np.array([1, 1, 0]) / np.maximum(np.linalg.norm(pot.points[:, :2], axis=1, keepdims=True), 1e-6)
    return pot.bent(pot.points + pull[:, None] * ahead - pinch[:, None] * radial)
