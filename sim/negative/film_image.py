"""What fine detail is left when the light lies in the film: the camera lens's diffraction and the film's own spread.

Both act on light, before the film's curve; grain comes after. Frequencies are cycles/mm on the film.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Float32Array = NDArray[np.float32]
FloatArray = NDArray[np.float64]

DAYLIGHT_MM = 0.55e-3  # the middle of what a panchromatic film sees
FILM_SHOWS = 0.97  # a picture so coarse that its finest detail keeps more than this is left as it is


def camera_transfer(frequency_lp_mm: FloatArray, f_number: float) -> FloatArray:
    """Return the contrast a camera lens passes: diffraction alone, at 0.55 um and far subjects.

    ``(2/pi)(acos s - s sqrt(1-s**2))``, s = frequency * wavelength * f-number (textbook optics).
    """
    s = np.clip(np.asarray(frequency_lp_mm, dtype=np.float64) * DAYLIGHT_MM * f_number, 0.0, 1.0)
    return np.asarray(2.0 / np.pi * (np.arccos(s) - s * np.sqrt(1.0 - s * s)))


def film_transfer(frequency_lp_mm: FloatArray, half_lp_mm: float) -> FloatArray:
    """Return the contrast that light keeps while it scatters in the film: ``1 / (1 + (nu/nu_half)**2)``.

    Source of the form: H. Frieser's law of the line spread in emulsions (textbook, from memory).
    """
    return np.asarray(1.0 / (1.0 + (np.asarray(frequency_lp_mm, dtype=np.float64) / half_lp_mm) ** 2))


def spread_in_film(light: Float32Array, frame_mm: tuple[float, float], f_number: float, half_lp_mm: float) -> Float32Array:
    """Return light on the film [row, col] as lens and film leave it; a picture too coarse to show it is given back.

    The picture is continued as a mirror image over its edges.
    """
    from scipy import fft

    rows, cols = light.shape
    pitch_x, pitch_y = cols / frame_mm[0], rows / frame_mm[1]
    finest = np.array([0.5 * max(pitch_x, pitch_y)])
    if float((camera_transfer(finest, f_number) * film_transfer(finest, half_lp_mm))[0]) > FILM_SHOWS:
        return light
    padded = np.pad(light, 8, mode="symmetric")
    shape = tuple(fft.next_fast_len(n, real=True) for n in padded.shape)
    fy = fft.fftfreq(shape[0], 1.0 / pitch_y).astype(np.float32)
    fx = fft.rfftfreq(shape[1], 1.0 / pitch_x).astype(np.float32)
    highest = float(np.hypot(fy.min(), fx.max()))
    nodes = np.linspace(0.0, highest, 4096)
    table = (camera_transfer(nodes, f_number) * film_transfer(nodes, half_lp_mm)).astype(np.float32)
    steps = np.hypot(fy[:, None], fx[None, :]) * np.float32(4095.0 / highest) + np.float32(0.5)
    spectrum = fft.rfft2(padded, shape, workers=2)
    spectrum *= table.take(steps.astype(np.int32), mode="clip")
    out = fft.irfft2(spectrum, shape, workers=2, overwrite_x=True)[8 : 8 + rows, 8 : 8 + cols]
    return np.maximum(out, np.float32(light.min())).astype(np.float32)
