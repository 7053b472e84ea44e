"""How bright things glow: Planck's law weighted with the eye's sensitivity."""

from __future__ import annotations

import numpy as np

LUMENS_PER_WATT = 683.0
_C1, _C2 = 1.191043e-16, 1.438777e-2  # 2hc2 (W m2 / sr) and hc/k (m K), CODATA


def eye(wavelength_nm: float | np.ndarray) -> np.ndarray:
    """Sensitivity of the eye, two lobes (Wyman, Sloan and Shirley 2013, eq. 4): within 1 % of its peak."""
    nm = np.asarray(wavelength_nm, float)

    def lobe(middle: float, below: float, above: float) -> np.ndarray:
        return np.exp(-0.5 * ((nm - middle) / np.where(nm < middle, below, above)) ** 2)

    return 0.821 * lobe(568.8, 46.9, 40.5) + 0.286 * lobe(530.9, 16.3, 31.1)


def glow_cd_m2(kelvin: float, emissivity: float = 0.85) -> float:
    """Luminance of a glowing surface at 600..2000 K."""
    nm = np.arange(380.0, 781.0, 2.0)
    m = nm * 1e-9
    radiance = _C1 / (m**5 * np.expm1(_C2 / (m * kelvin)))
    return float(emissivity * LUMENS_PER_WATT * np.sum(radiance * eye(nm)) * 2e-9)
