"""The papers as shipped, held against the readings they were fitted to."""

from __future__ import annotations

from functools import cache

import numpy as np

from sim.calibration.curve_fit import (
    FittedPaper,
    SheetAims,
    curve_of,
    departures,
    fit_variable_contrast,
    light_for_range,
)
from sim.calibration.paper_files import GLOSSY_FB, GLOSSY_RC, GRADED_FB, MATT_FB
from sim.calibration.readings import Readings, Setting, read_family
from sim.enlarger.spectra import Lamp, per_lux
from sim.paper.emulsion import Emulsion
from sim.paper.sensitometry import CharacteristicCurve

SHEETS = {text.name: text.sheet for text in (GLOSSY_RC, GLOSSY_FB, MATT_FB, GRADED_FB)}
READINGS = read_family().readings
FILTERS = read_family().filters


@cache
def fitted() -> FittedPaper:
    """Return the fit to all settings."""
    return fit_variable_contrast(READINGS, GLOSSY_FB.sheet)


def at_setting(emulsion: Emulsion, setting: Setting, sheet: SheetAims = GLOSSY_FB.sheet) -> CharacteristicCurve:
    """Return the curve in the light that is found from the setting's ISO range alone."""
    return curve_of(emulsion, sheet, 1.0, 10.0 ** light_for_range(emulsion, sheet, setting.iso_range))


def off_by(emulsion: Emulsion, setting: Setting) -> np.ndarray:
    """Return how much denser the curve of a setting is than read."""
    return departures(at_setting(emulsion, setting), READINGS.net_density, setting.log_exposure)


def misfit(emulsion: Emulsion, readings: Readings = READINGS) -> float:
    """Return the mean square of all departures over the errors of reading: about 1 where nothing is left to explain."""
    squares = [np.square(off_by(emulsion, setting) / readings.errors(setting)) for setting in readings.setting]
    return float(np.mean(squares))


def without_filter(emulsion: Emulsion, sheet: SheetAims, temperature_k: float = 3200.0) -> CharacteristicCurve:
    """Return the curve in a lamp's light without a filter."""
    blue, green = emulsion.exposures(per_lux(Lamp(temperature_k)))
    return curve_of(emulsion, sheet, 1.0, green / blue)


def best_misfit(emulsion: Emulsion, readings: Readings = READINGS) -> float:
    """Return the same with each setting's light chosen to fit its readings best."""
    from scipy.optimize import minimize_scalar

    def squares(ratio: float, setting: Setting) -> np.ndarray:
        curve = curve_of(emulsion, GLOSSY_FB.sheet, 1.0, 10.0**ratio)
        return np.square(departures(curve, readings.net_density, setting.log_exposure) / readings.errors(setting))

    found = []
    for setting in readings.setting:
        near = light_for_range(emulsion, GLOSSY_FB.sheet, setting.iso_range)
        best = minimize_scalar(
            lambda q, s=setting: squares(q, s).mean(), bounds=(near - 0.4, near + 0.4), method="bounded"
        )
        found.append(float(best.fun))
    return float(np.mean(found))
