"""Seven numbers make an emulsion, and the grid they are summed on leaves no ripple."""

from __future__ import annotations

import numpy as np
import pytest

from sim.calibration import grain_parts
from sim.calibration.curve_fit import curve_of
from sim.calibration.grain_parts import DyedGrains, spread_of_speed

from .papers import SHEETS

GRAINS = DyedGrains(9.0, 0.9, undyed=0.25, little=0.49, little_at=-0.65, little_spread=0.40, much_spread=0.21)
SHEET = SHEETS["glossy-fb-vc"]


def test_shares_of_the_parts_come_back_from_the_classes() -> None:
    emulsion = GRAINS.emulsion(2.5)
    nodes, weights = np.array(emulsion.green_nodes), np.array(emulsion.green_weights)
    assert weights.sum() == pytest.approx(1.0, abs=1e-6)
    assert weights[0] == pytest.approx(0.25, abs=1e-3)
    assert float(nodes[1:] @ weights[1:]) == pytest.approx(0.49 * -0.65, abs=2e-3)


def test_numbers_of_a_search_give_shares_that_add_to_one() -> None:
    grains = DyedGrains.from_free(np.array([8.0, 0.1, 0.3, -0.5, -0.6, -1.0, -1.6]))
    assert grains.undyed + grains.little + grains.much == pytest.approx(1.0)
    assert grains.undyed / grains.much == pytest.approx(np.exp(0.3))


@pytest.mark.parametrize("log_ratio", [-3.0, 0.0, 0.5, 1.0, 1.6, 2.4])
def test_the_local_gradient_shows_no_ripple_of_the_grid(log_ratio: float, monkeypatch) -> None:
    """At every 0.005 log exposure, against a grid four times as fine: within half a hundredth of the steepest gradient."""
    curve = curve_of(GRAINS.emulsion(SHEET.image_density), SHEET, 1.0, 10.0**log_ratio)
    monkeypatch.setattr(grain_parts, "NODES", 0.025 * np.arange(-88, 33))
    monkeypatch.setattr(grain_parts, "TOO_FEW", 2e-5)
    fine = GRAINS.emulsion(SHEET.image_density)
    smooth = curve_of(fine, SHEET, 1.0, 10.0**log_ratio)
    assert np.abs(curve.density - smooth.density).max() < 0.0005
    assert np.abs(curve.gradient() - smooth.gradient()).max() < 0.005 * smooth.gradient().max()


def test_grains_of_one_speed_are_the_class_curve_and_a_wider_spread_is_softer() -> None:
    ranges = [
        curve_of(spread_of_speed(9.0, 0.9, SHEET.image_density, s), SHEET, 1.0, 0.0).iso_range()
        for s in (0.02, 0.2, 0.4)
    ]
    single = curve_of(GRAINS.emulsion(SHEET.image_density), SHEET, 1.0, 0.0).iso_range()
    assert ranges[0] == pytest.approx(single, abs=0.1)
    assert np.all(np.diff(ranges) > 15.0)
