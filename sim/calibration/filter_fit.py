"""The graded set: as much dye as each filter's range asks for, and neutral density for equal times."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sim.calibration.curve_fit import SheetAims, curve_of, solve
from sim.calibration.readings import FilterAims
from sim.enlarger.filters import GRADED_BLUE_LEAK, FilterDensities
from sim.enlarger.spectra import Lamp, per_lux
from sim.paper.emulsion import Emulsion
from sim.paper.sensitometry import NET_SPEED_POINT, CharacteristicCurve

MOST_DYE = 3.9


def graded(yellow: float = 0.0, magenta: float = 0.0) -> FilterDensities:
    """Return a filter of the set before its neutral density."""
    return FilterDensities(yellow, magenta, 0.0, GRADED_BLUE_LEAK)


def fit_filters(emulsion: Emulsion, sheet: SheetAims, aims: FilterAims) -> dict[str, FilterDensities]:
    """Return the graded set: dye for the range of each filter, neutral density for equal times at net 0.60."""
    lamp = per_lux(Lamp(aims.temperature_k))

    def behind(densities: FilterDensities) -> tuple[CharacteristicCurve, float]:
        blue, green = emulsion.exposures(lamp * densities.transmittance())
        return curve_of(emulsion, sheet, 1.0, green / blue), blue

    def range_of(densities: FilterDensities) -> float:
        return behind(densities)[0].iso_range()

    def log_need(densities: FilterDensities) -> float:
        curve, blue = behind(densities)
        return float(curve.log_exposure_at_net(NET_SPEED_POINT) - np.log10(blue))

    def dye_for(wanted: float) -> FilterDensities:
        if wanted == aims.unfiltered_iso_range:
            return graded()
        if wanted > aims.unfiltered_iso_range:
            return graded(yellow=solve(lambda y: range_of(graded(yellow=y)) - wanted, 0.0, MOST_DYE))
        return graded(magenta=solve(lambda m: range_of(graded(magenta=m)) - wanted, 0.0, MOST_DYE))

    dyes = {name: dye_for(wanted) for name, wanted in zip(aims.names, aims.iso_range, strict=True)}
    late = aims.names.index(aims.double_time_from)
    allowance = {name: (np.log10(2.0) if i >= late else 0.0) for i, name in enumerate(aims.names)}
    slowest = max(log_need(dye) - allowance[name] for name, dye in dyes.items())
    return {name: replace(dye, neutral=float(slowest + allowance[name] - log_need(dye))) for name, dye in dyes.items()}
