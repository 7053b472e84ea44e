"""Stops, densities and log exposures: the only conversions.

Sources: density is ``-log10`` of transmittance or reflectance (definition, ISO 5-1); exact f-numbers are
powers of the square root of two while engraved ones are rounded (reference marks as engraved on lenses,
common practice); one stop is a factor of two in light, 0.30103 in log10 exposure (arithmetic).
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from sim.refusals import Refused

FloatArray = NDArray[np.float64]
Float32Array = NDArray[np.float32]

# Printing light is followed from the near ultraviolet that glass still passes to the red where paper is blind.
# Step 5 nm: with filters fixed, 1 nm instead changes ISO R by less than 0.4 and speed by less than 0.005 log.
WAVELENGTH_STEP_NM = 5.0
WAVELENGTHS_NM: FloatArray = np.arange(380.0, 620.0 + WAVELENGTH_STEP_NM / 2, WAVELENGTH_STEP_NM)
WAVELENGTHS_NM.setflags(write=False)

# Engraved marks and the exact f-number each stands for; f/11 and f/22 are rounded by 0.08 stop.
ENGRAVED_F_NUMBERS: tuple[tuple[float, float], ...] = tuple(
    (mark, 2.0 ** (k / 2.0))
    for k, mark in enumerate((1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0, 11.0, 16.0, 22.0, 32.0, 45.0, 64.0))
)


def factor_to_stops(factor: float) -> float:
    """Return the stops in a light factor (> 0): ``log2(factor)``."""
    if not factor > 0:
        raise Refused(f"factor must be above 0, got {factor!r}")
    return math.log2(factor)


def dodge_time_s(base_time_s: float, stops: float) -> float:
    """Return the seconds to hold back so that a place loses ``stops`` (>= 0): ``t(1 - 2**-n)``."""
    return base_time_s * (1.0 - 2.0**-stops)


def burn_time_s(base_time_s: float, stops: float) -> float:
    """Return the extra seconds that give a place ``stops`` more (>= 0): ``t(2**n - 1)``."""
    return base_time_s * (2.0**stops - 1.0)


def exact_f_number(f_number: float) -> float:
    """Return the exact f-number behind an engraved mark; any other number stands for itself."""
    for mark, exact in ENGRAVED_F_NUMBERS:
        if abs(f_number - mark) < 1e-6:
            return exact
    return f_number


def engraved_f_number(f_number: float) -> float:
    """Return the engraved mark nearest to an f-number when within 0.1 stop of it, else the number itself."""
    for mark, exact in ENGRAVED_F_NUMBERS:
        if abs(2.0 * math.log2(f_number / exact)) < 0.1:
            return mark
    return f_number
