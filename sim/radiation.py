"""What glows: Planck's law and the radiation constants, for every lamp in the darkroom."""

from __future__ import annotations

import numpy as np

from sim.quantities import FloatArray

FIRST_RADIATION_CONSTANT_W_M2 = 3.741771852e-16  # c1 = 2 pi h c**2, CODATA 2018
SECOND_RADIATION_CONSTANT_M_K = 0.014387768775  # c2 = hc/k, CODATA 2018
STEFAN_BOLTZMANN_W_M2_K4 = 5.670374419e-8  # CODATA 2018


def black_body(wavelength_nm: FloatArray | float, temperature_k: FloatArray | float) -> FloatArray:
    """Return what a black body sends out, W/m2/nm, at wavelengths of 200 nm and more and temperatures above 300 K.

    Source: Planck's law, ``c1 / (wavelength**5 (exp(c2 / (wavelength T)) - 1))``. Arrays are broadcast.
    """
    metres = np.asarray(wavelength_nm, dtype=np.float64) * 1e-9
    exponent = SECOND_RADIATION_CONSTANT_M_K / (metres * np.asarray(temperature_k, dtype=np.float64))
    return np.asarray(1e-9 * FIRST_RADIATION_CONSTANT_W_M2 * metres**-5.0 / np.expm1(exponent))
