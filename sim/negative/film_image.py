"""What fine detail is left when the light lies in the film: the camera lens's diffraction and the film's own spread.

Both act on light, before the film's curve; grain comes after. Frequencies are cycles/mm on the film.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sim.lost_detail import SHOWS, detail_frequencies, diffraction_mtf, spread_transfer, with_detail_lost

Float32Array = NDArray[np.float32]
FloatArray = NDArray[np.float64]

DAYLIGHT_MM = 0.55e-3  # the middle of what a panchromatic film sees


@lru_cache(maxsize=2)
def _passed(
    shape: tuple[int, int], px_per_mm: tuple[float, float], f_number: float, half_lp_mm: float
) -> Float32Array:
    """Return the contrast that camera lens and film pass at every frequency of a picture's spectrum; kept of the last."""
    frequency = detail_frequencies(shape, px_per_mm)
    highest = float(frequency[-1, -1])
    table = _transfer(np.linspace(0.0, highest, 4096), f_number, half_lp_mm).astype(np.float32)
    steps = frequency * np.float32(4095.0 / highest) + np.float32(0.5)
    out = table.take(steps.astype(np.int32), mode="clip")
    out.setflags(write=False)
    return out


def _transfer(frequency_lp_mm: FloatArray, f_number: float, half_lp_mm: float) -> FloatArray:
    """Return the contrast left: the camera lens's diffraction at far subjects, and the spread in the film."""
    return diffraction_mtf(frequency_lp_mm, f_number, DAYLIGHT_MM) * spread_transfer(frequency_lp_mm, half_lp_mm)


def spread_in_film(light: Float32Array, frame_mm: tuple[float, float], f_number: float, half_lp_mm: float) -> Float32Array:
    """Return light on the film [row, col] as lens and film leave it; a picture too coarse to show it is given back.

    The picture is continued as a mirror image over its edges.
    """
    rows, cols = light.shape
    pitch_x, pitch_y = cols / frame_mm[0], rows / frame_mm[1]
    finest = np.array([0.5 * max(pitch_x, pitch_y)])
    if float(_transfer(finest, f_number, half_lp_mm)[0]) > SHOWS:
        return light
    out = with_detail_lost(light, lambda shape: _passed(shape, (pitch_y, pitch_x), f_number, half_lp_mm))
    return np.maximum(out, np.float32(light.min()))
