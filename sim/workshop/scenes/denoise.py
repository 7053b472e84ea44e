"""Smoothing the noisy ratios: edge-aware small kernels over shadow share and reflected light, never over texture."""

import numpy as np

from sim.workshop.scenes.sdf import F32
from sim.workshop.scenes.tracer import ROW

STEPS = (1, 2, 4, 8)
SHADOW_STEPS = 2  # steps used for shadows: more would wash out contact shadows
REACH_PX = sum(STEPS)


def compose(layers: F32) -> F32:
    """Luminance (rows, cols) in cd/m2 from layers: exact parts times smoothed ratios, plus mirror, satin and own light."""
    smooth = _smooth(layers)
    straight = layers[ROW["straight"]] * _ratio(smooth["straight_lit"], smooth["straight"])
    even = layers[ROW["even"]] * _ratio(smooth["found"], smooth["even_flat"])
    total = straight + even + layers[ROW["mirror"]] + smooth["satin"] + layers[ROW["own"]]
    return np.asarray(np.maximum(total, np.float32(1e-5)), np.float32)


def raw(layers: F32) -> F32:
    """The same without any smoothing, for checking."""
    total = layers[ROW["straight_lit"]] + layers[ROW["mirror"]] + layers[ROW["satin"]] + layers[ROW["own"]]
    return np.asarray(total + layers[ROW["even"]] * _ratio(layers[ROW["found"]], layers[ROW["even_flat"]]), np.float32)


def _ratio(top: F32, bottom: F32) -> F32:
    return np.asarray(np.where(bottom > 1e-9, top / np.maximum(bottom, np.float32(1e-9)), 0), np.float32)


def _smooth(layers: F32) -> dict[str, F32]:
    names = ("straight", "straight_lit", "satin", "even_flat", "found")
    values = np.stack([layers[ROW[name]] for name in names])
    normal = layers[ROW["nx"] : ROW["nz"] + 1]
    place = layers[ROW["px"] : ROW["pz"] + 1]
    depth = np.sqrt((place * place).sum(axis=0))
    # A pixel's own size at unit depth: positions may leave the plane of the pixel by a few of these.
    footprint = _footprint(place, depth)
    fixed: F32 | None = None
    for level, step in enumerate(STEPS):
        if level == SHADOW_STEPS:
            fixed = values[:3].copy()
            values = values[3:]
        values = _level(values, normal, place, footprint, step)
    assert fixed is not None
    return dict(zip(names, (*fixed, *values), strict=True))


def _footprint(place: F32, depth: F32) -> F32:
    wide = np.abs(np.diff(place, axis=2, append=place[:, :, -1:]))
    return np.asarray(0.0015 * depth + 0.25 * np.sqrt((wide * wide).sum(axis=0)).clip(0, 0.01 * depth), np.float32)


def _level(values: F32, normal: F32, place: F32, footprint: F32, step: int) -> F32:
    """One 3 x 3 kernel (1 2 1) with holes of `step`, weighted by likeness of normal and closeness to the pixel's plane."""
    total = values.copy()
    # A pixel on an outline averages several normals, so its own is short; it takes what it can from either side.
    firm = 1 / (1 + np.float32(60) * np.maximum(1 - (normal * normal).sum(axis=0), 0))
    weight_sum = np.ones(values.shape[1:], np.float32)
    rows, cols = values.shape[1:]
    for dy in (-step, 0, step):
        for dx in (-step, 0, step):
            if (dy == 0 and dx == 0) or abs(dy) >= rows or abs(dx) >= cols:
                continue
            here = (slice(max(0, -dy), rows - max(0, dy)), slice(max(0, -dx), cols - max(0, dx)))
            there = (slice(max(0, dy), rows - max(0, -dy)), slice(max(0, dx), cols - max(0, -dx)))
            n = normal[:, here[0], here[1]]
            turn = n - normal[:, there[0], there[1]]
            gap = place[:, there[0], there[1]] - place[:, here[0], here[1]]
            off = np.abs((gap * n).sum(axis=0)) / (footprint[here] * np.float32(1.0 + 0.35 * step))
            likeness = np.exp(
                -np.minimum(((turn * turn).sum(axis=0) * np.float32(14) + off * off) * firm[here], np.float32(20))
            )
            weight = likeness * np.float32(0.5 if dy == 0 or dx == 0 else 0.25)
            total[:, here[0], here[1]] += values[:, there[0], there[1]] * weight
            weight_sum[here] += weight
    return np.asarray(total / weight_sum, np.float32)
