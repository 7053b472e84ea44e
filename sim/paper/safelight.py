"""Safelight fog: dim coloured light that adds a little blue and green exposure over the whole sheet.

Illuminance falls with the square of the distance. Spectra and level are assumptions: an amber lamp near 600 nm and a
red one near 635 nm, giving 1 lux at 1.2 m, the least distance usually advised for a 15 W lamp (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from sim.control_ranges import checked
from sim.paper.emulsion import Emulsion
from sim.quantities import WAVELENGTH_STEP_NM, WAVELENGTHS_NM
from sim.reading import OUTSIDE_RULES
from sim.refusals import Refused

LUX_AT_REFERENCE = 1.0
REFERENCE_DISTANCE_M = 1.2
# peak nm, full width nm, share of energy leaking as white through the filter, lumens per watt of the band
_LAMPS: dict[str, tuple[float, float, float, float]] = {
    "amber": (600.0, 14.0, 2e-6, 430.0),
    "red": (637.0, 20.0, 1e-7, 190.0),
}


@dataclass(frozen=True)
class Safelight:
    """How long the sheet lay under which safelight, at which distance."""

    __pydantic_config__ = OUTSIDE_RULES

    kind: Literal["amber", "red"] = "red"
    distance_m: float = 1.2
    time_s: float = 0.0

    def __post_init__(self) -> None:
        if self.kind not in _LAMPS:
            raise Refused(f"kind must be one of {', '.join(_LAMPS)}, got {self.kind!r}")
        checked("distance_m", self.distance_m, "safelight_distance_m")
        checked("time_s", self.time_s, "safelight_time_s")

    @property
    def illuminance_lux(self) -> float:
        """Light on the paper, by the inverse square law."""
        return LUX_AT_REFERENCE * (REFERENCE_DISTANCE_M / self.distance_m) ** 2

    def exposures(self, emulsion: Emulsion) -> tuple[float, float]:
        """Return the (blue, green) exposure that the safelight adds."""
        peak_nm, width_nm, leak, efficacy_lm_w = _LAMPS[self.kind]
        sigma_nm = width_nm / 2.3548
        band = np.exp(-0.5 * ((WAVELENGTHS_NM - peak_nm) / sigma_nm) ** 2) / (sigma_nm * np.sqrt(2 * np.pi))
        white = np.full_like(WAVELENGTHS_NM, 1.0 / (len(WAVELENGTHS_NM) * WAVELENGTH_STEP_NM))
        irradiance = self.illuminance_lux / efficacy_lm_w * (band + leak * white)
        return emulsion.exposures(irradiance * self.time_s)
