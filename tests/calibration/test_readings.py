"""What the fit reads is whole, and an error of reading grows where a curve is steep."""

from __future__ import annotations

import numpy as np
import pytest

from sim.calibration import readings
from sim.calibration.readings import read_family
from sim.reading import OutsideError

from .papers import READINGS


def test_five_settings_are_read_softest_first() -> None:
    assert [setting.iso_range for setting in READINGS.setting] == sorted((177, 124, 95, 70, 55), reverse=True)
    for setting in READINGS.setting:
        assert np.all(np.diff(setting.log_exposure) > 0)


def test_the_ranges_read_agree_with_the_readings_themselves() -> None:
    """ISO R is 100 times the log exposure from net 0.04 to 0.9 of net Dmax (2.20 to 2.23 read at every setting)."""
    for setting in READINGS.setting:
        top = np.interp(0.9 * 2.21, READINGS.net_density, setting.log_exposure)
        assert 100.0 * (top - setting.log_exposure[0]) == pytest.approx(setting.iso_range, abs=3.0)


def test_a_reading_is_less_sure_where_the_curve_is_steep() -> None:
    hard, soft = READINGS.errors(READINGS.setting[-1]), READINGS.errors(READINGS.setting[0])
    assert hard[READINGS.net_density.index(1.6)] > 2 * soft[READINGS.net_density.index(1.6)]
    assert min(hard.min(), soft.min()) >= READINGS.density_error


def test_a_setting_with_a_reading_missing_is_refused(tmp_path, monkeypatch) -> None:
    text = readings.FAMILY_FILE.read_text(encoding="utf-8").replace("-0.42, -0.34, ", "-0.42, ", 1)
    file = tmp_path / "paper_family.toml"
    file.write_text(text, encoding="utf-8")
    monkeypatch.setattr(readings, "FAMILY_FILE", file)
    with pytest.raises(OutsideError, match=r"setting 3 must have a log_exposure for each of 13 densities, got 12"):
        read_family()


def test_readings_without_one_setting_keep_the_others() -> None:
    assert [s.iso_range for s in READINGS.without(2).setting] == [177, 124, 70, 55]
