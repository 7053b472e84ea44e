"""What fine detail loses on its way, on film and on paper alike: diffraction at a lens, scatter in an emulsion.

Frequencies are cycles/mm where the image lies, 0 and above.
"""

from __future__ import annotations

import numpy as np

from sim.bands import bands, look_up
from sim.quantities import Float32Array, FloatArray

SHOWS = 0.97  # a picture so coarse that its finest detail keeps more of its contrast than this is left as it is
SMALL_PX = 262_144  # a picture so small is transformed sooner than a second thread is at work
MIRRORED_PX = 16  # at least, beyond an edge where the picture's own length is slow to transform
FINE_STEPS = 16384  # of frequency, nearest taken: where contrast falls steepest half a step is below 0.0005


def diffraction_mtf(frequency_lp_mm: FloatArray, f_number: float, wavelength_mm: float) -> FloatArray:
    """Return the contrast a faultless round lens passes in incoherent light of one wavelength in mm.

    ``(2/pi)(acos s - s sqrt(1-s**2))``, s = frequency * wavelength * f-number as the image sees it (textbook optics).
    """
    s = np.clip(np.asarray(frequency_lp_mm, dtype=np.float64) * wavelength_mm * f_number, 0.0, 1.0)
    return np.asarray(2.0 / np.pi * (np.arccos(s) - s * np.sqrt(1.0 - s * s)))


def spread_transfer(frequency_lp_mm: FloatArray, half_lp_mm: float) -> FloatArray:
    """Return the contrast that light keeps while it scatters in an emulsion: ``1 / (1 + (nu/nu_half)**2)``.

    A point of light fades exponentially to the sides. 0 stands for no spread. Source of the form: H. Frieser's law of
    the line spread in emulsions (textbook, from memory).
    """
    frequency = np.asarray(frequency_lp_mm, dtype=np.float64)
    return 1.0 / (1.0 + (frequency / half_lp_mm) ** 2) if half_lp_mm > 0.0 else np.ones_like(frequency)


def highest_frequency(px_per_mm: tuple[float, float]) -> float:
    """Return the highest frequency in cycles/mm that pixels can hold, along their diagonal; ``px_per_mm`` down, across."""
    return 0.5 * float(np.hypot(*px_per_mm))


def with_detail_lost(light: Float32Array, px_per_mm: tuple[float, float], passed: FloatArray | Float32Array) -> Float32Array:
    """Return a picture of light [row, col] whose detail has passed with some contrast, the same in all directions.

    ``passed`` is the contrast at even steps from 0 up to ``highest_frequency`` of ``px_per_mm`` (pixels down and across).
    The picture goes on as its mirror image over every edge (cosine transform), so that no false border darkens it and no
    edge knows of the one opposite.
    """
    from scipy import fft

    rows, cols = light.shape
    going_on = _mirrored(light, _transformed(rows), _transformed(cols))
    workers = 2 if light.size > SMALL_PX else 1
    spectrum = fft.dctn(going_on, type=2, workers=workers, overwrite_x=going_on is not light)
    _multiplied(spectrum, px_per_mm, passed)
    out = fft.idctn(spectrum, type=2, workers=workers, overwrite_x=True)[:rows, :cols]
    return np.asarray(out, dtype=np.float32)


def _mirrored(light: Float32Array, down: int, across: int) -> Float32Array:
    """Return a picture that goes on as its mirror image below and to the right, so many rows and columns in all."""
    rows, cols = light.shape
    if (down, across) == (rows, cols):
        return light
    if down > 2 * rows or across > 2 * cols:  # a few pixels: mirrored over and over
        return np.pad(light, ((0, down - rows), (0, across - cols)), mode="symmetric")
    out = np.empty((down, across), dtype=light.dtype)
    out[:rows, :cols] = light
    out[rows:, :cols] = light[2 * rows - down :][::-1]
    out[:, cols:] = out[:, 2 * cols - across : cols][:, ::-1]
    return out


def _multiplied(spectrum: Float32Array, px_per_mm: tuple[float, float], passed: FloatArray | Float32Array) -> None:
    """Multiply the coefficients of a mirrored picture with the contrast at their frequencies, in place."""
    per_step = (FINE_STEPS - 1) / highest_frequency(px_per_mm)
    evenly = np.linspace(0.0, 1.0, FINE_STEPS)
    fine = np.interp(evenly, np.linspace(0.0, 1.0, len(passed)), passed).astype(np.float32)
    down, across = (
        ((np.arange(count) * (pitch * per_step / (2.0 * count))) ** 2).astype(np.float32)
        for count, pitch in zip(spectrum.shape, px_per_mm, strict=True)
    )
    for band in bands(spectrum.shape):
        step = down[band, None] + across[None, :]
        np.sqrt(step, out=step)
        step += np.float32(0.5)
        look_up(fine, step, step)
        spectrum[band] *= step


def _transformed(count: int) -> int:
    """Return how many pixels of a side are transformed: its own where that is quick, else some of its mirror image too."""
    from scipy import fft

    quick = int(fft.next_fast_len(count, real=True))
    return quick if quick == count else int(fft.next_fast_len(count + min(MIRRORED_PX, count), real=True))
