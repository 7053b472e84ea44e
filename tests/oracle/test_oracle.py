"""Prints against the brute-force oracle: every kind of light, film, paper and work.

The lens's blur mixes neighbours and is no matter of a single pixel, so it is taken away for the comparison (the picture
of light goes through unchanged); then every point of the sheet must agree. With the lens in place, places where the light
is even must agree too.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from sim.enlarger import lens_image
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print

from .brute_force import even_places, oracle_density
from .cases import CASES, scene

AGREES_WITHIN = 0.002
AGREES_THROUGH_LENS_WITHIN = 0.004


@pytest.fixture
def perfect_lens(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take the lens's blur away, and nothing else."""
    monkeypatch.setattr(lens_image, "blurred", lambda light, *_: light)


@cache
def expected(name: str) -> tuple[np.ndarray, np.ndarray]:
    """Return the oracle's densities of a case, and where the light is even."""
    stain, record, wet = CASES[name]
    return oracle_density(scene(stain), record, wet), even_places(scene(stain), record)


def differences(name: str, stock=None) -> np.ndarray:
    """Return how far the product's print of a case is from the oracle, at every point [row, col]."""
    stain, record, wet = CASES[name]
    sheet = make_print(scene(stain), record, stock or find_stock(record.sheet.paper), wet=wet)
    density, _ = expected(name)
    assert sheet.density.shape == density.shape
    return np.abs(sheet.density - density)


@pytest.mark.usefixtures("perfect_lens")
@pytest.mark.parametrize("name", CASES)
def test_print_agrees_everywhere_with_integration_over_every_wavelength_and_grain_class(name: str) -> None:
    worst = differences(name).max()
    assert worst <= AGREES_WITHIN, f"{worst:.5f}"


@pytest.mark.parametrize("name", CASES)
def test_print_through_the_lens_agrees_where_the_light_is_even(name: str) -> None:
    even = expected(name)[1]
    worst = differences(name)[even].max()
    assert even.mean() > 0.7
    assert worst <= AGREES_THROUGH_LENS_WITHIN, f"{worst:.5f}"


@pytest.mark.parametrize("name", CASES)
def test_case_shows_enough_tones_for_the_comparison_to_mean_something(name: str) -> None:
    density, _ = expected(name)
    assert len(np.unique(np.round(density, 2))) > 60
    assert (density > density.min() + 0.02).mean() > 0.08
