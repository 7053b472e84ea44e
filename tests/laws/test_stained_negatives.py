"""Stained negatives: the same stain is contrast to a blue-sensitive sheet and a yellow filter to a variable-contrast one."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.enlarger.equipment import find_head
from sim.enlarger.spectra import per_lux
from sim.negative.negative import stain_shape
from sim.quantities import WAVELENGTHS_NM

from .small import LAW, STOCKS, even, middle, negative, printed, shot, steps_of, straight, variable_stocks

BLUE_PAPER = "graded-fb-2"
SILVER = np.linspace(0.0, 1.5, 21)
stains = st.sampled_from((0.15, 0.25, 0.35))


@cache
def blue_densities(stain_share: float) -> np.ndarray:
    """Return density in blue of stained silver on SILVER: as a densitometer with the lamp and the blue-sensitive sheet."""
    weighting = per_lux(find_head("diffusion-small").lamp) * STOCKS[BLUE_PAPER].emulsion.weightings()[0]
    density = SILVER[:, None] * (1.0 + stain_share * stain_shape(WAVELENGTHS_NM))
    passed = 10.0**-density @ weighting
    return -np.log10(passed / weighting.sum())


def columns(densities: np.ndarray, stain_share: float = 0.0):
    """Return a negative with one even column, five pixels wide, for each density."""
    return negative(np.broadcast_to(np.repeat(densities, 5), (13, 5 * len(densities))), stain_share)


@LAW
@given(stains, st.floats(2.0, 30.0))
def test_at_equal_blue_density_stained_and_neutral_print_alike_on_blue_sensitive_paper(stain_share, light_s) -> None:
    """No filter, no flare to speak of: the wedge's mean light is alike too."""
    stained, neutral = columns(SILVER, stain_share), columns(blue_densities(stain_share))
    prints = [steps_of(printed(n, straight(BLUE_PAPER), shot(light_s, None)), n) for n in (stained, neutral)]
    assert prints[0] == pytest.approx(prints[1], abs=0.005)


@LAW
@given(stains, variable_stocks, st.sampled_from(("1", "2", "3", "4")), st.floats(8.0, 40.0))
def test_at_equal_blue_density_the_stained_negative_prints_softer_on_variable_contrast_paper(
    stain_share, paper, name, light_s
) -> None:
    stained, neutral = columns(SILVER, stain_share), columns(blue_densities(stain_share))
    soft, hard = (steps_of(printed(n, straight(paper), shot(light_s, name)), n) for n in (stained, neutral))
    assert soft[0] == pytest.approx(hard[0], abs=0.005)  # nothing is stained where there is no silver
    assert np.all(soft >= hard - 2e-3)  # (-0.0012 found at the shoulder) green passes the stain: dense places get more light
    assert (soft - hard).max() > 0.02


@settings(LAW, max_examples=8)
@given(stains, variable_stocks, st.floats(0.4, 1.2))
def test_at_equal_silver_the_stain_is_contrast_to_blue_sensitive_paper_and_less_so_to_a_soft_filter(
    stain_share, paper, silver
) -> None:
    """Contrast added by the stain: the log exposure that a dense place needs beyond the same silver without stain."""

    def added(sheet: str, name: str | None, light_s: float) -> float:
        wanted = middle(printed(even(silver), straight(sheet), shot(light_s, name)))
        low, high = 0.0, 1.0
        for _ in range(14):
            half = 0.5 * (low + high)
            got = middle(printed(even(silver, stain_share), straight(sheet), shot(light_s * 10.0**half, name)))
            low, high = (half, high) if got < wanted else (low, half)
        return low

    blue = added(BLUE_PAPER, None, 0.8 * 10.0**silver)
    green = added(paper, "00", 8.0 * 10.0**silver)
    assert blue > green + 0.02 * silver
    assert green > 0.01
    assert blue <= 1.06 * stain_share * silver  # never more than the stain's own density in the blue


@LAW
@given(stains, st.floats(2.0, 20.0))
def test_a_stain_never_prints_darker_than_the_same_silver_without_it(stain_share, light_s) -> None:
    for paper in STOCKS:
        stained, plain = (
            steps_of(printed(n, straight(paper), shot(light_s, None)), n)
            for n in (columns(SILVER, stain_share), columns(SILVER))
        )
        assert np.all(stained <= plain + 1e-3)
