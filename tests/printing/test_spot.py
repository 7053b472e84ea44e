"""The densitometer's round spot: centred where it is asked for, of the size that it says, cut at the picture's edge."""

from __future__ import annotations

import numpy as np
import pytest

from sim.printing.spot import spot_on, spot_pixels
from sim.refusals import Refused

RAMP = np.linspace(0.2, 0.8, 61)[None, :] * np.ones((61, 1))


@pytest.mark.parametrize("radius_px", [0.2, 1.0, 2.5, 7.3])
@pytest.mark.parametrize("part", [0.0, 0.17, 0.5, 0.83])
def test_a_spot_moved_by_part_of_a_pixel_reads_that_part_more_of_a_slope(radius_px: float, part: float) -> None:
    step = RAMP[0, 1] - RAMP[0, 0]
    moved = spot_on(RAMP.shape, 30.0 + part, 30.0 + part, radius_px).mean(RAMP)
    assert moved == pytest.approx(RAMP[0, 30] + part * step, abs=0.04 * step)


@pytest.mark.parametrize("radius_px", [1.5, 2.5, 7.3])
def test_a_spot_is_as_large_as_its_radius_wherever_it_lies(radius_px: float) -> None:
    for part in (0.0, 0.3, 0.5):
        area = float(spot_pixels((61, 61), 30.0 + part, 30.0, radius_px).weights.sum())
        assert area == pytest.approx(np.pi * radius_px**2, rel=0.05)


def test_light_is_averaged_and_not_density() -> None:
    halves = np.where(np.arange(61)[None, :] < 30.5, 0.0, 2.0) * np.ones((61, 1))
    read = spot_on(halves.shape, 30.0, 30.5, 6.0).density(halves)
    assert read == pytest.approx(-np.log10(0.5 * (1.0 + 0.01)), abs=0.001)


def test_a_spot_is_cut_at_the_edge_and_refused_beyond_it() -> None:
    half = spot_on(RAMP.shape, 30.0, 0.0, 4.0)
    assert half.cols.min() == 0
    assert half.mean(RAMP) > RAMP[0, 0]
    with pytest.raises(Refused, match=r"the spot must lie on the picture of 61 x 61 px, got row 30.0, column -9.0"):
        spot_on(RAMP.shape, 30.0, -9.0, 4.0)
