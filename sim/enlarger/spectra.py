"""What a lamp sends out, wavelength by wavelength, and how bright the eye calls it.

Everything here is relative spectral power; ``per_lux`` scales a spectrum so that it stands for one lux at the easel.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sim.quantities import WAVELENGTH_STEP_NM, WAVELENGTHS_NM
from sim.radiation import black_body

Spectrum = NDArray[np.float64]

LUMINOUS_EFFICACY_LM_W = 683.0  # K_m at 540 THz, exact by definition of the candela

# The eye's whole range, for photometry; paper sees only WAVELENGTHS_NM.
VISIBLE_NM: Spectrum = np.arange(380.0, 780.0 + WAVELENGTH_STEP_NM / 2, WAVELENGTH_STEP_NM)
VISIBLE_NM.setflags(write=False)

# V(lambda), CIE 1924 photopic luminous efficiency, 380-780 nm every 10 nm (CIE 18.2; checked against a reference
# library in the tests).
_V_10_NM = (
    0.000039, 0.00012, 0.000396, 0.00121, 0.0040, 0.0116, 0.023, 0.038, 0.060, 0.09098, 0.13902, 0.20802, 0.323,
    0.503, 0.710, 0.862, 0.954, 0.99495, 0.995, 0.952, 0.870, 0.757, 0.631, 0.503, 0.381, 0.265, 0.175, 0.107,
    0.061, 0.032, 0.017, 0.00821, 0.004102, 0.002091, 0.001047, 0.00052, 0.000249, 0.00012, 0.00006, 0.00003,
    0.000015,
)  # fmt: skip


def photopic_efficiency(wavelength_nm: Spectrum) -> Spectrum:
    """Return V(lambda) by a smooth curve in log through the tabulated values (within 0.001 of the 1 nm table)."""
    from scipy.interpolate import CubicSpline

    nodes = np.arange(380.0, 781.0, 10.0)
    return np.asarray(10.0 ** CubicSpline(nodes, np.log10(_V_10_NM))(wavelength_nm))


def planck(wavelength_nm: Spectrum, temperature_k: float) -> Spectrum:
    """Return relative spectral radiance of a glowing body, 1 at 560 nm."""
    return black_body(wavelength_nm, temperature_k) / black_body(560.0, temperature_k)


def emission_band(wavelength_nm: Spectrum, peak_nm: float, width_nm: float) -> Spectrum:
    """Return a Gaussian emission band of height 1, ``width_nm`` being its full width at half maximum."""
    sigma_nm = width_nm / 2.3548200450309493
    nm = np.asarray(wavelength_nm, dtype=np.float64)
    return np.asarray(np.exp(-0.5 * ((nm - peak_nm) / sigma_nm) ** 2))


@dataclass(frozen=True)
class Lamp:
    """A lamp as a recipe for its spectrum: a glowing filament, or a sum of bands (peak nm, width nm, energy)."""

    temperature_k: float | None = None
    bands: tuple[tuple[float, float, float], ...] = ()

    def spectral_power(self, wavelength_nm: Spectrum) -> Spectrum:
        """Return relative spectral power at the wavelengths."""
        if self.temperature_k is not None:
            return planck(wavelength_nm, self.temperature_k)
        nm = np.asarray(wavelength_nm, dtype=np.float64)
        total = np.zeros_like(nm)
        for peak_nm, width_nm, energy in self.bands:
            # area, not height, carries the energy of a band
            total += energy / width_nm * emission_band(nm, peak_nm, width_nm)
        return total


def illuminance_of(spectrum_visible: Spectrum) -> float:
    """Return lux of an irradiance spectrum in W/m2/nm on VISIBLE_NM: ``683 * sum(V * E) * step``."""
    weighted = photopic_efficiency(VISIBLE_NM) * spectrum_visible
    return float(LUMINOUS_EFFICACY_LM_W * weighted.sum() * WAVELENGTH_STEP_NM)


@lru_cache(maxsize=64)
def per_lux(lamp: Lamp) -> Spectrum:
    """Return the lamp's irradiance on WAVELENGTHS_NM, in W/m2/nm, when its unfiltered light makes 1 lux."""
    scale = 1.0 / illuminance_of(lamp.spectral_power(VISIBLE_NM))
    made = lamp.spectral_power(WAVELENGTHS_NM) * scale
    made.setflags(write=False)
    return made
