"""The Callier effect against readings: one film at three gammas, another at its peak and in a thin deposit."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import brentq

from sim.enlarger.geometry import lens_tangent
from sim.negative import callier
from sim.negative.callier import Scattering, caught_share, grain_exponent

LARGEST_AT_GAMMA = {0.37: 1.261, 0.69: 1.475, 1.20: 1.670}  # Mees, Theory of the Photographic Process, Fig. 179
READ_WITHIN = 0.02
SPECULAR_SHARE = 0.147  # of scattered light caught by instruments such as the readings come from (as callier.py says)
DENSITIES = np.linspace(0.02, 2.0, 991)


def largest(gamma: float) -> tuple[float, float]:
    """Return the largest quotient in directed light, and the density where it stands."""
    quotients = Scattering(grain_exponent(gamma), SPECULAR_SHARE).quotient(DENSITIES)
    return float(quotients.max()), float(DENSITIES[quotients.argmax()])


def range_in_condenser(density_range: float, f_number: float, gamma: float = 0.64) -> float:
    """Return the range that a diffuse range shows in a condenser head of 12 degrees at eight times."""
    scattering = Scattering(grain_exponent(gamma), caught_share(12.0, lens_tangent(f_number, 8.0)))
    return float(scattering.printing_density(np.array([density_range]))[0])


def agrees() -> bool:
    """Tell whether every reading is met."""
    return all(abs(largest(gamma)[0] - read) <= READ_WITHIN for gamma, read in LARGEST_AT_GAMMA.items())


@pytest.mark.parametrize("gamma", LARGEST_AT_GAMMA)
def test_the_largest_quotient_grows_with_development_as_it_was_read(gamma: float) -> None:
    quotient, density = largest(gamma)
    assert quotient == pytest.approx(LARGEST_AT_GAMMA[gamma], abs=READ_WITHIN)
    assert 0.3 <= density <= 0.5


def test_a_thin_deposit_hardly_scatters() -> None:
    """1.04 was read at density 0.055 (Mees), 1.08 at 0.058 of a film that shows 1.557 at its peak (Streiffert)."""
    thin = Scattering(grain_exponent(0.69), SPECULAR_SHARE).quotient(np.array([0.055]))[0]
    assert thin == pytest.approx(1.04, abs=READ_WITHIN)
    exponent = float(brentq(lambda b: Scattering(b, SPECULAR_SHARE).quotient(np.array([0.354]))[0] - 1.557, 1.1, 2.4))
    assert exponent == pytest.approx(1.675, abs=0.03)
    assert Scattering(exponent, SPECULAR_SHARE).quotient(np.array([0.058]))[0] == pytest.approx(1.08, abs=READ_WITHIN)


def test_a_condenser_at_a_usual_aperture_prints_a_range_of_080_to_090_as_105_prints_in_diffuse_light() -> None:
    for f_number in (5.6, 8.0, 11.3):
        fits = float(brentq(lambda d, f=f_number: range_in_condenser(d, f) - 1.05, 0.5, 1.05))
        assert 0.80 <= fits <= 0.90


def test_stopping_the_lens_down_makes_a_condenser_harder_by_less_than_half_a_grade() -> None:
    ranges = [range_in_condenser(0.85, f) for f in (2.8, 4.0, 5.6, 8.0, 11.3, 16.0)]
    assert np.all(np.diff(ranges) > 0.0)
    assert 0.03 < ranges[-1] - ranges[0] < 0.10


@pytest.mark.parametrize(
    "wrong", [lambda gamma: 1.53, lambda gamma: 1.0 + 0.83 * gamma, lambda gamma: grain_exponent(1.3 * gamma)]
)
def test_a_grain_that_grows_otherwise_misses_the_readings(
    wrong: Callable[[float], float], monkeypatch: pytest.MonkeyPatch
) -> None:
    """One quotient for every development, growth in proportion, growth three tenths too fast."""
    assert agrees()
    exponents = {gamma: wrong(gamma) for gamma in LARGEST_AT_GAMMA}
    monkeypatch.setitem(globals(), "grain_exponent", exponents.__getitem__)
    assert not agrees()


def test_the_growth_is_what_the_readings_give() -> None:
    from scipy.optimize import least_squares

    def misses(numbers: np.ndarray) -> list[float]:
        limit, gamma_0 = numbers
        found = [1.0 - limit * np.expm1(-gamma / gamma_0) for gamma in LARGEST_AT_GAMMA]
        peaks = [Scattering(float(b), SPECULAR_SHARE).quotient(DENSITIES).max() for b in found]
        return [float(p - q) for p, q in zip(peaks, LARGEST_AT_GAMMA.values(), strict=True)]

    fitted = least_squares(misses, [1.0, 1.0]).x
    assert pytest.approx(list(fitted), abs=0.05) == [callier.GRAIN_LIMIT, callier.GRAIN_GAMMA]
