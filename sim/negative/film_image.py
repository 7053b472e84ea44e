"""What fine detail is left when the light lies in the film: the camera lens's diffraction and the film's own spread.

Both act on light, before the film's curve; grain comes after. Frequencies are cycles/mm on the film.
"""

from __future__ import annotations

import numpy as np

from sim.lost_detail import SHOWS, diffraction_mtf, highest_frequency, spread_transfer, with_detail_lost
from sim.quantities import Float32Array, FloatArray

TABLE_STEPS = 4096
DAYLIGHT_MM = 0.55e-3  # the middle of what a panchromatic film sees


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
    pitch = (pitch_y, pitch_x)
    passed = _transfer(np.linspace(0.0, highest_frequency(pitch), TABLE_STEPS), f_number, half_lp_mm)
    out = with_detail_lost(light, pitch, passed)
    return np.maximum(out, np.float32(light.min()), out=out)
