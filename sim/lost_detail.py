"""What fine detail loses on its way, on film and on paper alike: diffraction at a lens, scatter in an emulsion.

Frequencies are cycles/mm where the image lies, 0 and above.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

SHOWS = 0.97  # a picture so coarse that its finest detail keeps more of its contrast than this is left as it is


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
