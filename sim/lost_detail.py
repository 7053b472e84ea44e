"""What fine detail loses on its way, on film and on paper alike: diffraction at a lens, scatter in an emulsion.

Frequencies are cycles/mm where the image lies, 0 and above.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Float32Array = NDArray[np.float32]

SHOWS = 0.97  # a picture so coarse that its finest detail keeps more of its contrast than this is left as it is
MIRRORED_PX = 16  # at least, beyond an edge where the picture's own length is slow to transform


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


def detail_frequencies(shape: tuple[int, int], px_per_mm: tuple[float, float]) -> Float32Array:
    """Return the frequency in cycles/mm of every coefficient of a mirrored picture [row, col]; ``px_per_mm`` down, across."""
    down, across = (
        (np.arange(count) * (pitch / (2.0 * count))).astype(np.float32) for count, pitch in zip(shape, px_per_mm, strict=True)
    )
    return np.hypot(down[:, None], across[None, :])


def with_detail_lost(light: Float32Array, passed: Callable[[tuple[int, int]], Float32Array]) -> Float32Array:
    """Return a picture of light [row, col] whose detail has passed with some contrast, the same in all directions.

    ``passed`` gives the contrast on ``detail_frequencies`` of a shape. The picture goes on as its mirror image over every
    edge (cosine transform), so that no false border darkens it and no edge knows of the one opposite.
    """
    from scipy import fft

    rows, cols = light.shape
    down, across = _transformed(rows), _transformed(cols)
    mirrored = np.pad(light, ((0, down - rows), (0, across - cols)), mode="symmetric")
    spectrum = fft.dctn(mirrored, type=2, workers=2, overwrite_x=True)
    spectrum *= passed((down, across))
    out = fft.idctn(spectrum, type=2, workers=2, overwrite_x=True)[:rows, :cols]
    return np.asarray(out, dtype=np.float32)


def _transformed(count: int) -> int:
    """Return how many pixels of a side are transformed: its own where that is quick, else some of its mirror image too."""
    from scipy import fft

    quick = int(fft.next_fast_len(count, real=True))
    return quick if quick == count else int(fft.next_fast_len(count + min(MIRRORED_PX, count), real=True))
