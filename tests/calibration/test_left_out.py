"""A setting that the fit has never seen is foretold from its ISO range alone: the number that stands beside the stock."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from light_table import once_a_run
from published.test_published_left_out import EACH_LEFT_OUT

from sim.calibration.curve_fit import curve_of, departures, fit_fixed_grade, fit_variable_contrast
from sim.calibration.grain_parts import DyedGrains
from sim.calibration.left_out import LeftOut, behind_lights, error_of, error_of_range, leave_each_out
from sim.calibration.paper_files import GLOSSY_FB, GLOSSY_RC, GRADED_FB, MATT_FB
from sim.calibration.readings import read_family
from sim.paper.stock import find_stock

from .papers import READINGS, fitted
from .test_grain_parts import GRAINS


@cache
def left_out() -> tuple[LeftOut, ...]:
    return once_a_run(EACH_LEFT_OUT, lambda: leave_each_out(READINGS, GLOSSY_FB.sheet, fitted()))


def test_inner_settings_are_foretold_within_three_hundredths() -> None:
    """Mean of the three inner settings; the two ends are printed and have no bar: nothing stands beyond them."""
    for one in left_out():
        print(f"left out ISO R {one.iso_range:.0f}: rms {one.rms:.3f} D, worst {one.worst:.3f} D")
    assert np.mean([one.rms for one in left_out()[1:-1]]) <= 0.03


def test_the_error_beside_the_stock_is_the_one_found() -> None:
    beside, found = find_stock(GLOSSY_FB.name).error, error_of(left_out())
    assert beside is not None
    assert beside.at_ends is not None
    assert beside.worst is not None
    assert beside.along_curve == pytest.approx(found.along_curve, abs=0.001)
    assert (beside.at_ends, beside.worst) == pytest.approx((found.at_ends, found.worst), abs=0.005)


def test_the_error_of_a_paper_that_nobody_read_is_the_glossy_ones_or_follows_from_its_range() -> None:
    """Matt: the same emulsion. Resin-coated: its filters within 10, besides. One grade: anywhere in the band of grade 2."""
    family, glossy = read_family(), find_stock(GLOSSY_FB.name).error
    assert glossy is not None
    assert find_stock(MATT_FB.name).error == glossy
    rc, shape = GLOSSY_RC.sheet, find_stock(GLOSSY_RC.name).emulsion
    filters = family.filters
    by_range = error_of_range(rc, behind_lights(shape, rc), filters.unfiltered_iso_range, filters.iso_range_error)
    assert _along(GLOSSY_RC.name) == pytest.approx(np.hypot(glossy.along_curve, by_range), abs=0.002)
    grains, grade, sheet = fitted().grains, family.fixed_grade, GRADED_FB.sheet
    alone = error_of_range(
        sheet, lambda r: curve_of(fit_fixed_grade(sheet, r, grains), sheet, 1.0, 0.0), grade.iso_range, grade.iso_range_error
    )
    assert _along(GRADED_FB.name) == pytest.approx(alone, abs=0.002)


def _along(name: str) -> float:
    error = find_stock(name).error
    assert error is not None
    return error.along_curve


def test_what_made_readings_comes_out_of_their_fit() -> None:
    """Readings computed from known grains, rounded as printed ones are, give back a curve nobody put in."""
    from .papers import at_setting

    emulsion = GRAINS.emulsion(GLOSSY_FB.sheet.image_density)
    made = []
    for setting in READINGS.setting:
        curve = at_setting(emulsion, setting)
        middle = curve.log_exposure_at_net(0.60)
        log_exposure = [round(curve.log_exposure_at_net(net) - middle, 2) for net in READINGS.net_density]
        made.append(setting.model_copy(update={"log_exposure": log_exposure}))
    found = fit_variable_contrast(READINGS.model_copy(update={"setting": made}), GLOSSY_FB.sheet).grains
    assert isinstance(found, DyedGrains)
    assert found.undyed == pytest.approx(GRAINS.undyed, abs=0.02)
    assert found.little_at == pytest.approx(GRAINS.little_at, abs=0.06)
    unseen = made[1].model_copy(update={"iso_range": 108.0})
    truth = at_setting(emulsion, unseen)
    at = [truth.log_exposure_at_net(net) - truth.log_exposure_at_net(0.60) for net in READINGS.net_density]
    again = at_setting(found.emulsion(GLOSSY_FB.sheet.image_density), unseen)
    assert np.abs(departures(again, READINGS.net_density, at)).max() < 0.015
