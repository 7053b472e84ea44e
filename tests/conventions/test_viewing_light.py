"""The lights that prints are looked at in, by ISO 3664."""

from __future__ import annotations

import numpy as np
import pytest

from sim.viewing.lightness import CRITICAL_LUX, PRACTICAL_LUX, viewing_gain


def test_the_critical_light_is_two_stops_above_the_practical_one_of_500_lux() -> None:
    assert pytest.approx(500.0) == PRACTICAL_LUX
    assert np.log2(CRITICAL_LUX / PRACTICAL_LUX) == pytest.approx(2.0)


def test_most_of_a_change_of_light_is_lost_on_an_eye_that_gets_used_to_it() -> None:
    """Two stops more light look like less than two thirds of a stop, and never like none."""
    assert 0.0 < np.log2(viewing_gain(CRITICAL_LUX)) < 2.0 / 3.0
