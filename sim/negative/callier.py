"""The Callier effect: silver scatters, so directed light finds a negative denser than diffuse light does.

Projection density follows ``10**-Dp = E 10**-D + (1-E) 10**(-b D)`` with b = 1.675 (form of Silberstein and Tuttle,
fitted to readings of Streiffert, J. SMPE 49, 1947, as redrawn by Trumpy and Gschwind, 2015). E is the share of scattered
light that still reaches the lens: 1 in diffuse light. The form is wrong below density 0.2, where the quotient must go
to 1; it is faded out there.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

SCATTER_EXPONENT = 1.675
FADE_DENSITY = 0.149  # gives the measured quotient of 1.08 at density 0.058


def callier_quotient(silver_density: FloatArray, scatter_share: float) -> FloatArray:
    """Return Q = projection density / diffuse density, 1 at density 0."""
    density = np.maximum(np.asarray(silver_density, dtype=np.float64), 1e-9)
    directed = -np.log10(scatter_share * 10.0**-density + (1.0 - scatter_share) * 10.0 ** (-SCATTER_EXPONENT * density))
    fade = -np.expm1(-((density / FADE_DENSITY) ** 2))
    return np.asarray(1.0 + (directed / density - 1.0) * fade)


def printing_silver_density(silver_density: FloatArray, scatter_share: float) -> FloatArray:
    """Return the density that silver shows to a head with the given scatter share."""
    density = np.asarray(silver_density, dtype=np.float64)
    if scatter_share >= 1.0:
        return density
    return density * callier_quotient(density, scatter_share)
