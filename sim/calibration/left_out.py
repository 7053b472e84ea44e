"""How far a paper's curve is off where nobody measured: every setting is left out of the fit once.

The paper is fitted to the other settings; for the one left out only its light is found, from its ISO range alone. What
then lies between its curve and its readings is the error of a curve between measured settings.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from sim.calibration.curve_fit import (
    FittedPaper,
    SheetAims,
    curve_of,
    departures,
    fit_variable_contrast,
    light_for_range,
)
from sim.calibration.readings import Readings
from sim.paper.emulsion import Emulsion
from sim.paper.sensitometry import NET_SPEED_POINT, CharacteristicCurve
from sim.paper.stock import PaperError

NET_STEPS = 50


@dataclass(frozen=True)
class LeftOut:
    """A setting that was left out: its range and how much denser its curve is than read, reading by reading."""

    iso_range: float
    departures: tuple[float, ...]

    @property
    def rms(self) -> float:
        """Root mean square departure in density along the curve."""
        return float(np.sqrt(np.mean(np.square(self.departures))))

    @property
    def worst(self) -> float:
        """Largest departure in density."""
        return float(np.max(np.abs(self.departures)))


def leave_each_out(readings: Readings, sheet: SheetAims, fitted: FittedPaper) -> tuple[LeftOut, ...]:
    """Return every setting as it is foretold by a fit to the others; each search begins at the fit to all."""
    found = []
    for number, setting in enumerate(readings.setting):
        grains = fit_variable_contrast(readings.without(number), sheet, fitted.without(number)).grains
        emulsion = grains.emulsion(sheet.image_density)
        ratio = light_for_range(emulsion, sheet, setting.iso_range)
        curve = curve_of(emulsion, sheet, 1.0, 10.0**ratio)
        off = departures(curve, readings.net_density, setting.log_exposure)
        found.append(LeftOut(setting.iso_range, tuple(off.tolist())))
    return tuple(found)


def error_of(left_out: tuple[LeftOut, ...]) -> PaperError:
    """Return the error of the paper: along inner settings, at the two ends, and the worst reading of all."""
    inner = float(np.mean([one.rms for one in left_out[1:-1]]))
    ends = float(np.mean([left_out[0].rms, left_out[-1].rms]))
    return PaperError(round(inner, 3), round(ends, 3), round(max(one.worst for one in left_out), 3))


def error_of_range(
    sheet: SheetAims, curve_with: Callable[[float], CharacteristicCurve], iso_range: float, error: float
) -> float:
    """Return the rms density between curves of a range and of the range plus and minus its error, from net 0.60 on."""
    middle = curve_with(iso_range)
    net = np.linspace(0.04, 0.97 * sheet.net_dmax, NET_STEPS)
    at = [middle.log_exposure_at_net(d) - middle.log_exposure_at_net(NET_SPEED_POINT) for d in net]
    off = [departures(curve_with(iso_range + sign * error), net.tolist(), at) for sign in (-1.0, 1.0)]
    return float(np.sqrt(np.mean(np.square(off))))


def behind_lights(emulsion: Emulsion, sheet: SheetAims) -> Callable[[float], CharacteristicCurve]:
    """Return what gives a paper's curve in the light of a range."""
    return lambda iso_range: curve_of(emulsion, sheet, 1.0, 10.0 ** light_for_range(emulsion, sheet, iso_range))
