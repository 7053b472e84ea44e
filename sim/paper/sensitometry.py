"""ISO range and ISO speed of a sheet, by the standard's construction from the curve itself.

IDmin is base+fog + 0.04; IDmax is base+fog + 0.9 of the net maximum density; ISO range R is 100 times the log exposure
between them (R. W. Lambrecht, From Exposure to Print, Focal Encyclopedia of Photography 4th ed., p. 679; ISO 6846:1992).
Ninety per cent is taken of NET Dmax; 0.9 of the absolute Dmax would differ by 0.005 density. ISO speed is
P = 1000/Hm, Hm in lux s at net density 0.60 (ISO 6846, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.paper.response import Response
from sim.quantities import FloatArray
from sim.refusals import Refused

NET_IDMIN = 0.04
SHARE_IDMAX = 0.90
NET_SPEED_POINT = 0.60
_LOG_RANGE = np.linspace(-4.0, 4.0, 8001)


@dataclass(frozen=True)
class CharacteristicCurve:
    """Density against log exposure of one light: ``log_exposure`` is in the light's own unit (lux s, or relative)."""

    log_exposure: FloatArray
    density: FloatArray

    @property
    def base_plus_fog(self) -> float:
        """Density without exposure."""
        return float(self.density[0])

    @property
    def net_dmax(self) -> float:
        """Maximum density above base+fog."""
        return float(self.density[-1] - self.density[0])

    def log_exposure_at_net(self, net_density: float) -> float:
        """Return the log exposure that gives a density above base+fog. Raises Refused outside the curve."""
        if not 0.0 < net_density < self.net_dmax:
            raise Refused(f"net density must be between 0 and {self.net_dmax:.2f}, got {net_density!r}")
        net = self.density - self.density[0]
        return float(np.interp(net_density, net, self.log_exposure))

    def log_range(self) -> float:
        """Return the useful log exposure range from IDmin to IDmax (unrounded)."""
        top = self.log_exposure_at_net(SHARE_IDMAX * self.net_dmax)
        return top - self.log_exposure_at_net(NET_IDMIN)

    def iso_range(self) -> float:
        """Return 100 times the log exposure range; the standard prints it rounded to the nearest 10."""
        return 100.0 * self.log_range()

    def iso_speed(self) -> float:
        """Return ISO speed P (unrounded); the curve's exposures must be lux s."""
        return float(1000.0 / 10.0 ** self.log_exposure_at_net(NET_SPEED_POINT))

    def gradient(self) -> FloatArray:
        """Return local gradient dD/dlogH along the curve."""
        return np.asarray(np.gradient(self.density, self.log_exposure))

    def mean_gradient(self, net_low: float, net_high: float) -> float:
        """Return the mean gradient between two densities above base+fog."""
        return (net_high - net_low) / (self.log_exposure_at_net(net_high) - self.log_exposure_at_net(net_low))


def characteristic_curve(response: Response, blue: float, green: float) -> CharacteristicCurve:
    """Return the curve of a light that gives exposures (blue, green) per unit, e.g. per lux s.

    The log exposure axis is centred where the sheet reacts, so that any absolute speed is covered.
    """
    strength = blue + green
    if not strength > 0:
        raise Refused(f"the light must expose the paper, got blue {blue!r} and green {green!r}")
    log_unit = _LOG_RANGE - np.log10(strength)
    exposure = 10.0**log_unit
    return CharacteristicCurve(log_unit, response.density(exposure * blue, exposure * green))
