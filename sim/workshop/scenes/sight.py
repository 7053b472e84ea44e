"""What the camera sees first: the nearest thing along each ray, found by walking only inside that thing's own box."""

import numpy as np
import numpy.typing as npt

from sim.workshop.scenes.camera import Camera
from sim.workshop.scenes.grid import box_span
from sim.workshop.scenes.sdf import F32, Smooth, normal_by_difference
from sim.workshop.scenes.stage import Thing

STEPS = 96
TOUCH = 1.2e-4  # a ray has arrived within this fraction of its length (0.2 mm at 1.7 m, a fifth of a pixel)


def things_in_view(things: tuple[Thing, ...], camera: Camera, window: tuple[float, float, float, float]) -> list[int]:
    """Indices of things whose box, spread by its blur, may touch the part (x0, y0, x1, y1) of the frame; nearest first."""
    found: list[tuple[float, int]] = []
    wide, high = camera.sheet_m()
    boxes = np.array([thing.world_box() for thing in things], np.float32)  # [thing, low or high, axis]
    corners = np.stack([boxes[:, (k >> a) & 1, a] for a in range(3) for k in range(8)]).reshape(3, -1)
    xs, ys, depths = (v.reshape(8, -1).T for v in camera.project(corners))
    for index, (x, y, depth) in enumerate(zip(xs, ys, depths, strict=True)):
        if depth.max() <= 0 or not things[index].seen:
            continue
        if depth.min() > 0.05:
            blur = max(camera.blur_fraction(float(depth.min())), camera.blur_fraction(float(depth.max()))) + 0.004
            tall = blur * wide / high
            if (
                x.max() + blur < window[0]
                or x.min() - blur > window[2]
                or y.max() + tall < window[1]
                or y.min() - tall > window[3]
            ):
                continue
        found.append((float(depth.min()), index))
    return [index for _, index in sorted(found)]


def nearest_hit(things: tuple[Thing, ...], order: list[int], o: F32, d: F32) -> tuple[F32, npt.NDArray[np.int32]]:
    """Distance (N,) to the nearest thing along rays (3, N), inf if none, and its index (-1 if none)."""
    best = np.full(o.shape[1], np.inf, np.float32)
    owner = np.full(o.shape[1], -1, np.int32)
    grow = np.float32(0.0005)
    for index in order:
        thing = things[index]
        lo, hi = thing.shape.box()
        # Slab test in the thing's own frame: its box is tightest there.
        lo_c, hi_c = (lo - grow)[:, None], (hi + grow)[:, None]
        local_o, local_d = thing.to_local(o), thing.direction_to_local(d)
        near, far = box_span(local_o, local_d, lo_c, hi_c)
        near = np.maximum(near, 0)
        far = np.minimum(far, best)
        rays = np.nonzero(near < far)[0]
        if rays.size == 0:
            continue
        t = _walk(thing, local_o[:, rays], local_d[:, rays], near[rays], far[rays])
        hit = t < best[rays]
        best[rays[hit]] = t[hit]
        owner[rays[hit]] = index
    return best, owner


def _walk(thing: Thing, o: F32, d: F32, t: F32, far: F32) -> F32:
    out = np.full(t.size, np.inf, np.float32)
    live = np.arange(t.size)
    slack = np.float32(thing.slack)
    for _ in range(STEPS):
        gap = thing.shape.distance(o + d * t)
        hit = gap < np.float32(TOUCH) * np.maximum(t, np.float32(0.5))
        if hit.any():
            out[live[hit]] = t[hit]
        t = t + gap * slack
        keep = ~hit & (t < far)
        if not keep.all():
            live, o, d, t, far = live[keep], o[:, keep], d[:, keep], t[keep], far[keep]
            if live.size == 0:
                return out
    # Rays that graze a skin for long run out of steps: count them as arrived if they are all but touching.
    close = gap[keep] < np.float32(0.004)
    out[live[close]] = t[close]
    return out


def near_others(
    things: tuple[Thing, ...], order: list[int], owner: npt.NDArray[np.int32], p: F32, reach_m: float
) -> list[tuple[Thing, npt.NDArray[np.int64]]]:
    """For each thing the points (3, N) of other things' skins that lie within `reach_m` of its box."""
    out: list[tuple[Thing, npt.NDArray[np.int64]]] = []
    low, high = p.min(axis=1) - reach_m, p.max(axis=1) + reach_m
    for index in order:
        lo, hi = things[index].world_box()
        if (lo > high).any() or (hi < low).any():
            continue
        lo_c, hi_c = (lo - np.float32(reach_m))[:, None], (hi + np.float32(reach_m))[:, None]
        near = np.nonzero(((p > lo_c) & (p < hi_c)).all(axis=0) & (owner != index))[0]
        if near.size:
            out.append((things[index], near))
    return out


def openness(others: list[tuple[Thing, npt.NDArray[np.int64]]], p: F32, n: F32, reach_m: float) -> F32:
    """Share (N,) of the reflected light that reaches points beside other things: clearance over `reach_m`, by eye."""
    share = np.ones(p.shape[1], np.float32)
    for thing, rays in others:
        clear = thing.shape.distance(thing.to_local(p[:, rays] + n[:, rays] * np.float32(reach_m))) / np.float32(
            reach_m
        )
        share[rays] = np.minimum(share[rays], np.clip(clear, 0, 1))
    return share


def touched(
    others: list[tuple[Thing, npt.NDArray[np.int64]]], p: F32, d: F32, rays: npt.NDArray[np.int64], reach_m: float
) -> npt.NDArray[np.bool_]:
    """Whether rays from points p[:, rays] along d are stopped by another thing within `reach_m`, too near for the grid."""
    blocked = np.zeros(p.shape[1], bool)
    towards = np.zeros_like(p)
    towards[:, rays] = d
    for thing, near in others:
        lit = near[towards[:, near].any(axis=0)]
        if lit.size == 0:
            continue
        o, way = thing.to_local(p[:, lit]), thing.direction_to_local(towards[:, lit])
        for part in (0.08, 0.22, 0.4, 0.65, 1.0):
            blocked[lit] |= thing.shape.distance(o + way * np.float32(part * reach_m)) < 0
    return blocked[rays]


def local_normal(thing: Thing, p: F32) -> F32:
    """Outward normals (3, N) of a thing at local points near its skin."""
    if isinstance(thing.shape, Smooth):
        return thing.shape.normal(p)
    return normal_by_difference(thing.shape, p)
