"""Sleeves on the light table: what one sees of a negative with the lamp behind it, small."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.negative.develop import find_negative
from sim.viewing.lightness import srgb_encoded


def on_light_table(negative: str, side_px: int) -> NDArray[np.uint8]:
    """Return a negative by name as it looks on a light table: grey levels [row, col], its longer side ``side_px``.

    Light is averaged over each point, not density; film base and fog are in it. Stain is not shown. Raises OutsideError
    for an unknown name.
    """
    film = find_negative(negative)
    return light_seen(film.silver_density, film.base_density, side_px)


def light_seen(density: NDArray[np.float32], base_density: float, side_px: int) -> NDArray[np.uint8]:
    """Return densities above base [row, col] as they look on a light table; see on_light_table."""
    rows, cols = density.shape
    step = max(1, max(rows, cols) // max(1, side_px))
    cut = density[: rows // step * step, : cols // step * step]
    light = 10.0 ** -(cut + np.float32(base_density))
    mean = light.reshape(rows // step, step, cols // step, step).mean(axis=(1, 3))
    shape = [max(1, round(n * side_px / max(rows, cols))) for n in (rows, cols)]
    row, col = (np.minimum(np.arange(n) * m // n, m - 1) for n, m in zip(shape, mean.shape, strict=True))
    return np.asarray(np.round(255.0 * srgb_encoded(mean[np.ix_(row, col)]))).astype(np.uint8)
