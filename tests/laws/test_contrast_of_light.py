"""Contrast comes out of the light: pairs equal single filters, harder filters are harder, levels do not matter."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares

from sim.enlarger.easel import sheet_grid
from sim.enlarger.easel_light import project
from sim.enlarger.equipment import find_head, read_equipment
from sim.enlarger.filters import GRADED_NAMES, FilterSetting
from sim.enlarger.settings import set_up
from sim.enlarger.spectra import per_lux
from sim.paper.sensitometry import CharacteristicCurve, characteristic_curve
from sim.printing.paper_family import paper_family

from .dips import deepest_dip
from .small import (
    LAW,
    STEADY,
    STOCKS,
    VARIABLE,
    even,
    filters,
    printed,
    response_of,
    shot,
    steps_of,
    stocks,
    straight,
    times_s,
    variable_stocks,
    wedge,
)

HEADS = tuple(read_equipment()[0])
heads = st.sampled_from(HEADS)


@cache
def exposures(paper: str, head: str, name: str | None) -> tuple[float, float]:
    """Return blue and green exposure per second and lux of a head's light through a filter."""
    spectrum = per_lux(find_head(head).lamp) * FilterSetting(name).densities().transmittance()
    return STOCKS[paper].emulsion.exposures(spectrum)


def pair_for(paper: str, head: str, name: str) -> tuple[float, float]:
    """Return how many seconds of 00 and of 5 make one second of a filter, blue and green alike."""
    rates = [exposures(paper, head, filtration) for filtration in ("00", "5", name)]
    soft, hard = np.linalg.solve(np.transpose(rates[:2]), rates[2])
    assert min(soft, hard) >= -1e-9
    return max(float(soft), 0.0), max(float(hard), 0.0)


@LAW
@given(variable_stocks, filters, times_s)
def test_any_filter_is_matched_over_the_whole_curve_by_a_soft_and_a_hard_exposure(paper, name, light_s) -> None:
    """Neutral negative, reciprocity off, a lamp whose colours come together at the switch."""
    soft, hard = pair_for(paper, STEADY["head"], name)
    film, record = wedge(), straight(paper, **STEADY)
    single = printed(film, record, shot(light_s, name))
    pair = printed(film, record, shot(soft * light_s, "00"), shot(hard * light_s, "5"))
    assert pair == pytest.approx(single, abs=1e-3)


@pytest.mark.parametrize("paper", VARIABLE)
def test_the_harder_the_filter_the_more_of_its_pair_is_hard(paper: str) -> None:
    shares = [hard / (soft + hard) for soft, hard in (pair_for(paper, "diffusion-small", n) for n in GRADED_NAMES)]
    assert np.all(np.diff(shares) > 0)
    assert shares[0] == pytest.approx(0.0, abs=1e-9)
    assert shares[-1] == pytest.approx(1.0, abs=1e-9)


@settings(LAW, max_examples=10)
@given(variable_stocks, filters, st.floats(5.0, 40.0), st.sampled_from((0.2, 0.35)))
def test_a_stained_negative_is_matched_by_a_pair_within_a_hundredth(paper, name, light_s, stain_share) -> None:
    """The stain colours the two lights a little differently, so the best match is close but not exact."""
    film, record = wedge(stain_share=stain_share), straight(paper)
    single = steps_of(printed(film, record, shot(light_s, name)), film)

    def pair(log_s: np.ndarray) -> np.ndarray:
        soft, hard = 10.0**log_s
        return steps_of(printed(film, record, shot(soft, "00"), shot(hard, "5")), film)

    start = np.log10(np.maximum(np.array(pair_for(paper, "diffusion-small", name)) * light_s, 0.01))
    best = least_squares(lambda log_s: pair(log_s) - single, start, diff_step=0.01, max_nfev=8).x
    assert pair(best) == pytest.approx(single, abs=0.01)


@pytest.mark.parametrize("head", HEADS)
@pytest.mark.parametrize("paper", VARIABLE)
def test_iso_range_falls_strictly_with_the_filters_number(paper: str, head: str) -> None:
    ranges = [member.iso_range for member in paper_family(STOCKS[paper], head).members if member.label != "none"]
    assert np.all(np.diff(ranges) < -1.0)


@pytest.mark.parametrize("head", HEADS)
@pytest.mark.parametrize("paper", VARIABLE)
def test_pure_blue_is_at_least_as_hard_as_filter_5_and_pure_green_as_soft_as_00(paper: str, head: str) -> None:
    family, response = paper_family(STOCKS[paper], head), response_of(paper)
    assert characteristic_curve(response, 1.0, 0.0).iso_range() <= family.member("5").iso_range
    assert characteristic_curve(response, 0.0, 1.0).iso_range() >= family.member("00").iso_range


@LAW
@given(heads, st.sampled_from((None, *GRADED_NAMES)))
def test_a_filter_does_not_change_the_contrast_of_graded_paper(head, name) -> None:
    curve = characteristic_curve(response_of("graded-fb-2"), *exposures("graded-fb-2", head, name))
    bare = characteristic_curve(response_of("graded-fb-2"), *exposures("graded-fb-2", head, None))
    assert curve.iso_range() == pytest.approx(bare.iso_range(), abs=0.05)


@LAW
@given(stocks, filters, st.sampled_from((5.6, 8.0, 16.0)), st.floats(340.0, 700.0))
def test_iso_range_does_not_change_with_aperture_or_height(paper, name, f_number, height_mm) -> None:
    film, emulsion = even(0.5), STOCKS[paper].emulsion
    ranges = []
    for height, mark in ((400.0, 8.0), (height_mm, f_number)):
        record = straight(paper, height_mm=height)
        bench = set_up(record.enlarger, film)
        light = project(film, bench, sheet_grid(film, bench, 150.0, 120.0, 0.0, (0.0, 0.0)), mark)
        rates = emulsion.exposures(light.open_spectrum(FilterSetting(name)))
        ranges.append(characteristic_curve(response_of(paper), *rates).iso_range())
    assert ranges[1] == pytest.approx(ranges[0], abs=1e-3)


def no_dip_but_the_knee(curve: CharacteristicCurve) -> None:
    """The grains without green dye come last in soft light, behind a knee in the darks, as the paper that was read has it."""
    assert deepest_dip(curve, up_to_share=0.22) <= 0.005  # the lights only gain contrast
    assert deepest_dip(curve, up_to_share=0.60) <= 0.25  # grains with much dye and grains with little
    if curve.iso_range() < 95.0:
        assert deepest_dip(curve) <= 0.03


@LAW
@given(heads, variable_stocks, st.floats(0.0, 3.0), st.floats(0.0, 3.0), st.booleans())
def test_in_any_light_the_gradient_dips_only_at_the_knee(head, paper, yellow, magenta, both) -> None:
    setting = FilterSetting(None, yellow, magenta if both else 0.0)
    spectrum = per_lux(find_head(head).lamp) * setting.densities().transmittance()
    no_dip_but_the_knee(characteristic_curve(response_of(paper), *STOCKS[paper].emulsion.exposures(spectrum)))


@pytest.mark.parametrize("name", GRADED_NAMES)
@pytest.mark.parametrize("paper", VARIABLE)
def test_behind_any_graded_filter_the_gradient_dips_only_at_the_knee(paper: str, name: str) -> None:
    for head in HEADS:
        no_dip_but_the_knee(characteristic_curve(response_of(paper), *exposures(paper, head, name)))


@pytest.mark.parametrize("paper", VARIABLE)
def test_the_knee_is_deeper_the_softer_the_filter(paper: str) -> None:
    soft = [deepest_dip(paper_family(STOCKS[paper], "diffusion-small").member(name).curve) for name in ("00", "0", "1", "2")]
    assert np.all(np.diff(soft) < -0.1)
    assert soft[0] > 0.5


def test_graded_paper_has_no_dip() -> None:
    curve = characteristic_curve(response_of("graded-fb-2"), *exposures("graded-fb-2", "diffusion-small", None))
    assert deepest_dip(curve) <= 0.002
