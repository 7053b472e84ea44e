"""The colours that print: a lamp through a filter as paper weighs it, boiled down to a few wavelengths for the lens.

Diffraction spreads green further than blue, so a hard filter prints finer than a soft one, and no single wavelength
stands for both.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.filters import FilterSetting
from sim.enlarger.spectra import Lamp
from sim.quantities import WAVELENGTHS_NM

WAVELENGTHS_THAT_STAND_FOR_ALL = 7

# How usual variable-contrast paper weighs equal energy, 380-620 nm every 20 nm, 1 at its best: silver halide's own blue
# and the dye's green, which at middle tones counts 1.7 times as much. Assumption of shape: smooth bands, blue ending at
# 480-500 nm, green at about 570 nm (from memory); a test holds it near the papers' own sensitivities.
_WEIGHT_NM = np.arange(380.0, 621.0, 20.0)
_WEIGHT = (0.08, 0.39, 0.57, 0.60, 0.62, 0.58, 0.54, 0.83, 1.00, 0.80, 0.06, 0.0, 0.0)


def paper_weight(wavelength_nm: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how much usual paper makes of equal energy at wavelengths in nm, 0 to 1."""
    return np.interp(wavelength_nm, _WEIGHT_NM, _WEIGHT)


@lru_cache(maxsize=256)
def printing_wavelengths_mm(lamp: Lamp, filtration: FilterSetting) -> tuple[float, ...]:
    """Return the wavelengths in mm that stand for a lamp behind a filter on usual paper, each for an equal share."""
    weight = lamp.spectral_power(WAVELENGTHS_NM) * filtration.densities().transmittance() * paper_weight(WAVELENGTHS_NM)
    below = np.concatenate([[0.0], np.cumsum(weight)])
    edges_nm = np.append(WAVELENGTHS_NM - 2.5, WAVELENGTHS_NM[-1] + 2.5)
    middles = (np.arange(WAVELENGTHS_THAT_STAND_FOR_ALL) + 0.5) / WAVELENGTHS_THAT_STAND_FOR_ALL
    return tuple(float(nm) * 1e-6 for nm in np.interp(middles * below[-1], below, edges_nm))
