"""What a bath's strength, volume and age do: laws, and one number that is an assumption and stands beside its test."""

from __future__ import annotations

import pytest

from sim.paper.development import Development
from sim.paper.stock import find_stock, stock_names


@pytest.mark.parametrize("paper", stock_names())
def test_strength_volume_and_age_of_a_bath_act_as_time_and_sheets_do(paper: str) -> None:
    progress = find_stock(paper).development.progress
    assert progress(Development(60.0, strength=2.0)) == pytest.approx(progress(Development(120.0)))
    assert progress(Development(90.0, sheets_before=20.0, bath_l=2.0)) == pytest.approx(
        progress(Development(90.0, sheets_before=10.0))
    )
    # half the rate after a day: assumption
    assert progress(Development(90.0, age_h=24.0)) == pytest.approx(progress(Development(45.0)))
    fresh = progress(Development(90.0))
    assert progress(Development(90.0, age_h=1.0)) < fresh
    assert progress(Development(90.0, sheets_before=1.0)) < fresh
