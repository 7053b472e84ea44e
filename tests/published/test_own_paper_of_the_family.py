"""The fit for a paper of one's own, on a published family: four settings are read, the fifth is foretold from its ISO R.

The paper it begins from is fitted to the same four settings only, so nothing has seen the fifth. Inner settings have a
bar; the ends are printed with their interval, for nothing stands beyond them.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from sim.calibration.curve_fit import departures, fit_variable_contrast, solve
from sim.calibration.own_curves import curve_in_light
from sim.calibration.own_paper import OwnPaper, fit_own_paper, light_behind
from sim.calibration.own_shape import Generic
from sim.calibration.paper_files import GLOSSY_FB
from sim.calibration.readings import Setting, read_family
from sim.calibration.wedge_strips import PaperReadings, StepReading, Strip
from sim.enlarger.equipment import find_head
from sim.paper.sensitometry import NET_SPEED_POINT, CharacteristicCurve
from sim.paper.stock import Stock, find_stock

READINGS = read_family().readings
HEAD = find_head("diffusion-sheet")
INNER = (1, 2, 3)


def _generic(number: int) -> Generic:
    """Return the paper to begin from: the usual form, fitted to the other four settings."""
    sheet, shipped = GLOSSY_FB.sheet, find_stock(GLOSSY_FB.name)
    grains = fit_variable_contrast(READINGS.without(number), sheet).grains.emulsion(sheet.image_density)
    at = shipped.emulsion.green_nodes[0] - grains.green_nodes[0]
    placed = replace(
        grains, log_speed=shipped.emulsion.log_speed, green_nodes=tuple(n + at for n in grains.green_nodes)
    )
    return Generic.of(replace(shipped, emulsion=placed))


def _behind_dials(stock: Stock, setting: str) -> CharacteristicCurve:
    return curve_in_light(stock, *light_behind(stock, HEAD, setting))


def _dials_of_range(stock: Stock, iso_range: float) -> str:
    """Return the dials that print with an ISO range: yellow softens, magenta hardens."""

    def named(at: float) -> str:
        return f"Y{at:.3f}" if at > 0.0 else f"M{-at:.3f}" if at < 0.0 else "none"

    def miss(at: float) -> float:
        return _behind_dials(stock, named(round(at, 3))).iso_range() - iso_range

    ends = miss(-2.9), miss(2.9)
    at = solve(miss, -2.9, 2.9) if ends[0] * ends[1] < 0.0 else (2.9 if abs(ends[1]) < abs(ends[0]) else -2.9)
    return named(round(at, 3))


def _strip(stock: Stock, setting: Setting) -> Strip:
    """Return a published setting as a strip: the exposure of net 0.60 is where the paper begun from has it."""
    name = _dials_of_range(stock, setting.iso_range)
    curve = _behind_dials(stock, name)
    clear, base = curve.log_exposure_at_net(NET_SPEED_POINT) + 2.0, curve.base_plus_fog
    steps = tuple(
        StepReading(k + 1, 2.0 - at, base + net, None, READINGS.density_error, READINGS.log_exposure_error)
        for k, (net, at) in enumerate(zip(READINGS.net_density, setting.log_exposure, strict=True))
    )
    return Strip(name, clear, steps)


@cache
def fitted_without(number: int) -> OwnPaper:
    """Return the paper fitted to all settings but one."""
    generic = _generic(number)
    kept = [s for k, s in enumerate(READINGS.setting) if k != number]
    return fit_own_paper(generic, HEAD, PaperReadings(tuple(_strip(generic.stock, s) for s in kept)))


@cache
def missed(number: int) -> float:
    """Return the rms density by which the setting left out is missed, its light found from its ISO R."""
    own, setting = fitted_without(number), READINGS.setting[number]
    curve = _behind_dials(own.stock, _dials_of_range(own.stock, setting.iso_range))
    off = departures(curve, READINGS.net_density, setting.log_exposure)
    rms = float(np.sqrt(np.mean(off**2)))
    print(f"R {setting.iso_range:.0f} left out: {rms:.3f} D rms, at most {np.abs(off).max():.3f}")
    return rms


@pytest.mark.parametrize("number", INNER)
def test_a_setting_left_out_is_foretold_within_five_hundredths(number: int) -> None:
    assert missed(number) <= 0.05


def test_the_three_together_are_foretold_within_four_hundredths() -> None:
    assert np.sqrt(np.mean([missed(number) ** 2 for number in INNER])) <= 0.04
