"""Flatbed scans made here: a grey scale and strips on a black sheet, leaning, with noise and dust, as a scanner sees them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
SCALE = 0.05 + 0.1 * np.arange(20)


@dataclass(frozen=True)
class Laid:
    """A row of steps on the glass: densities from its left end, its middle, size in px, how it leans, and its black rim."""

    densities: tuple[float, ...]
    middle: tuple[float, float]
    size: tuple[float, float]
    leans_deg: float = 0.0
    rim_px: tuple[float, float] = (0.0, 0.0)


def strip_densities(steps: int, clear_at: float, contrast: float) -> tuple[float, ...]:
    """Return what the strip of an even wedge reads, the clear end first: full black down to paper white."""
    under = np.linspace(0.05, 3.05, steps)
    return tuple(0.06 + 2.1 / (1.0 + np.exp((under - clear_at) / contrast)))


def scanned(
    rows: list[Laid], shape: tuple[int, int] = (1500, 1900), behind: float = 2.3, noise: float = 0.0, dust: int = 0,
    rng: np.random.Generator | None = None, gamma: float = 0.45,
) -> NDArray[np.uint16]:  # fmt: skip
    """Return the 16-bit scan; ``noise`` of a 0 to 1 scale, ``dust`` specks of 2 to 9 px, light and dark."""
    y, x = np.mgrid[: shape[0], : shape[1]].astype(float)
    density = np.full(shape, behind)
    for row in rows:
        lean = np.radians(row.leans_deg)
        dx, dy = x - row.middle[0], y - row.middle[1]
        along, across = dx * np.cos(lean) + dy * np.sin(lean), -dx * np.sin(lean) + dy * np.cos(lean)
        half, wide = row.size[0] / 2, row.size[1] / 2
        rim = (np.abs(along) <= half + row.rim_px[0]) & (np.abs(across) <= wide + row.rim_px[1])
        if max(row.rim_px):
            density[rim] = 2.16
        inside = (np.abs(along) < half) & (np.abs(across) < wide)
        step = np.clip(((along + half) / row.size[0] * len(row.densities)).astype(int), 0, len(row.densities) - 1)
        density[inside] = np.array(row.densities)[step[inside]]
    value = 0.02 + 0.93 * (10.0**-density) ** gamma
    if rng is not None:
        value += noise * rng.standard_normal(shape)
        for _ in range(dust):
            cx, cy, r = rng.uniform(0, shape[1]), rng.uniform(0, shape[0]), rng.uniform(1, 4.5)
            top, left = max(int(cy - 6), 0), max(int(cx - 6), 0)
            box = (slice(top, int(cy + 7)), slice(left, int(cx + 7)))
            value[box][(y[box] - cy) ** 2 + (x[box] - cx) ** 2 < r * r] = rng.choice([0.05, 0.95])
    return np.clip(np.round(65535 * value), 0, 65535).astype(np.uint16)
