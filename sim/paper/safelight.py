"""Safelight fog: dim coloured light that adds a little blue and green exposure over the whole sheet.

A small bulb glows in a box behind a filter that passes what lies beyond an edge, and next to nothing of the rest; light
falls with the square of the distance. What fogs is the foot of the edge, where the paper's green sensitivity ends, and
the filter's leak in the blue. The lamp: 15 W, at 1.2 m the least distance usually advised (common practice); a vacuum
bulb of so few watts burns at about 2450 K (from memory); Planck's law and Lambert's. The filters: assumptions, stated
beside their numbers. The amber edge was taken, of those an amber glass may have, so that a lamp within its rules stays
without effect for some three minutes (K-4, How Safe Is Your Safelight?): that rule is no evidence for the model.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from sim.control_ranges import checked
from sim.paper.emulsion import Emulsion
from sim.quantities import WAVELENGTHS_NM, FloatArray
from sim.radiation import STEFAN_BOLTZMANN_W_M2_K4, black_body
from sim.refusals import Refused

BULB_W, BULB_K = 15.0, 2450.0
BOX_SHARE = 0.4  # of the bulb's light that leaves the box towards the room (assumption)
FURTHEST_COIN_MM = 1000.0
PASSES = 0.85  # of the light beyond the edge (assumption)
# half transmission nm, nm to each tenth below it, leak everywhere. Amber passes from about 590 nm on, red from about 620
# (common practice); the foot of a gelatin edge falls tenfold in about 8 nm (from memory); leak: assumption, density 6
_LAMPS: dict[str, tuple[float, float, float]] = {
    "amber": (610.0, 8.0, 1e-6),
    "red": (635.0, 8.0, 1e-6),
}


@dataclass(frozen=True)
class Safelight:
    """How long the sheet lay under which safelight, at which distance.

    ``coin_mm`` is a coin that lay on it meanwhile, to try the lamp: its middle (mm from the sheet's top left corner) and how
    wide it is. What lies under it gets none of the lamp's light; None: nothing lay on the paper.
    """

    kind: Literal["amber", "red"] = "red"
    distance_m: float = 1.2
    time_s: float = 0.0
    coin_mm: tuple[float, float, float] | None = None

    def __post_init__(self) -> None:
        if self.kind not in _LAMPS:
            raise Refused(f"kind must be one of {', '.join(_LAMPS)}, got {self.kind!r}")
        checked("distance_m", self.distance_m, "safelight_distance_m")
        checked("time_s", self.time_s, "safelight_time_s")
        if self.coin_mm is not None:
            checked("coin_mm, width", self.coin_mm[2], "card_size_mm")
            if not all(abs(at) <= FURTHEST_COIN_MM for at in self.coin_mm[:2]):  # NaN fails this too
                raise Refused(f"coin_mm must lie within {FURTHEST_COIN_MM:g} mm of the sheet, got {self.coin_mm!r}")

    def irradiance(self) -> FloatArray:
        """Return the light on the paper in W/m2/nm on WAVELENGTHS_NM."""
        watts_nm = BOX_SHARE * BULB_W * black_body(WAVELENGTHS_NM, BULB_K) / (STEFAN_BOLTZMANN_W_M2_K4 * BULB_K**4)
        half_nm, tenth_nm, leak = _LAMPS[self.kind]
        passed = PASSES / (1.0 + 10.0 ** ((half_nm - WAVELENGTHS_NM) / tenth_nm)) + leak
        return np.asarray(watts_nm * passed / (np.pi * self.distance_m**2))

    def beside_the_coin(self, x_mm: FloatArray, y_mm: FloatArray, pixel_mm: float) -> FloatArray:
        """Return the share of the lamp's light at points of the sheet (mm): 0 under the coin, its rim a pixel wide."""
        if self.coin_mm is None:
            return np.ones(np.broadcast_shapes(x_mm.shape, y_mm.shape))
        x, y, width = self.coin_mm
        return np.asarray(np.clip(0.5 + (np.hypot(x_mm - x, y_mm - y) - 0.5 * width) / pixel_mm, 0.0, 1.0))

    def exposures(self, emulsion: Emulsion) -> tuple[float, float]:
        """Return the (blue, green) exposure that the safelight adds."""
        return emulsion.exposures(self.irradiance() * self.time_s)
