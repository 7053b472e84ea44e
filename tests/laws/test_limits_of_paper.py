"""White, black and what lies between: a sheet cannot leave its base, its black or its surface."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.paper.development import Development
from sim.paper.response import Response, with_surface, without_surface

from .small import LAW, STOCKS, even, filters, middle, printed, response_of, shot, stocks, straight

developments = st.builds(Development, st.floats(0.0, 600.0), st.floats(15.0, 26.0), st.floats(0.0, 60.0))
log_exposures = st.floats(-4.0, 4.0)


@LAW
@given(stocks, developments, st.booleans(), st.floats(0.0, 1.0))
def test_density_never_falls_with_exposure(paper, development, wet, green_share) -> None:
    exposure = np.concatenate([[0.0], 10.0 ** np.linspace(-5.0, 6.0, 1101)])
    density = Response(STOCKS[paper], development, wet).density(exposure * (1 - green_share), exposure * green_share)
    assert np.diff(density).min() >= -1e-12


@LAW
@given(stocks, developments, st.booleans(), log_exposures, log_exposures)
def test_density_lies_between_base_and_black_and_black_within_what_the_surface_allows(
    paper, development, wet, log_blue, log_green
) -> None:
    stock = STOCKS[paper]
    response = Response(stock, development, wet)
    density = float(response.density(np.array([10.0**log_blue]), np.array([10.0**log_green]))[0])
    surface = stock.wet_surface_reflection if wet else stock.surface_reflection
    assert response.base_plus_fog - 1e-12 <= density <= response.black + 1e-12
    assert response.black <= -np.log10(surface)


@LAW
@given(stocks, developments, st.booleans())
def test_without_exposure_the_sheet_stays_at_its_base_and_much_light_makes_it_black(paper, development, wet) -> None:
    film, record = even(0.0), replace(straight(paper), development=development)
    response = Response(STOCKS[paper], development, wet)
    none = printed(film, record, shot(0.0), wet=wet)
    much = printed(film, record, shot(600.0, None, 5.6), wet=wet)
    assert none == pytest.approx(response.base_plus_fog, abs=1e-6)
    if development.time_s * 2 > record.development.time_s and response.log_shift > -1.5:
        assert middle(much) == pytest.approx(response.black, abs=0.002)
    assert much.max() <= response.black + 1e-4


@LAW
@given(stocks, filters, st.floats(0.3, 600.0), st.booleans())
def test_no_print_is_deeper_than_its_black_or_lighter_than_its_base(paper, name, light_s, wet) -> None:
    density = printed(even(0.4), straight(paper), shot(light_s, name), wet=wet)
    response = response_of(paper, wet=wet)
    assert density.min() >= response.base_plus_fog - 1e-4
    assert density.max() <= response.black + 1e-4


@LAW
@given(stocks, st.floats(5.0, 300.0), st.floats(1.0, 3.0), log_exposures)
def test_longer_development_never_prints_lighter(paper, time_s, factor, log_exposure) -> None:
    exposure = np.array([10.0**log_exposure])
    stock = STOCKS[paper]
    short, long = (Response(stock, Development(t)).density(exposure, exposure) for t in (time_s, time_s * factor))
    assert long[0] >= short[0] - 1e-9


@LAW
@given(stocks, filters, st.floats(2.0, 40.0))
def test_a_print_dries_darker_in_the_lights_never_lighter_than_wet_there(paper, name, light_s) -> None:
    """Light tones dry down; only blacks near the surface's limit lose depth when a glossier wet surface is gone."""
    film = even(1.0)
    wet, dry = (middle(printed(film, straight(paper), shot(light_s, name), wet=w)) for w in (True, False))
    if dry < 0.8:
        assert dry >= wet - 0.002


@LAW
@given(st.floats(0.0, 1.9), st.floats(0.001, 0.01))
def test_surface_and_back_again(density, reflection) -> None:
    seen = with_surface(np.array([density]), reflection)
    assert without_surface(seen, reflection)[0] == pytest.approx(density, abs=1e-9)
    assert seen[0] <= -np.log10(reflection)


@LAW
@given(stocks, st.floats(0.0, 7200.0), st.sampled_from(("red", "amber")), st.floats(0.5, 4.0))
def test_safelight_never_makes_a_sheet_lighter(paper, time_s, kind, distance_m) -> None:
    from sim.paper.safelight import Safelight

    record = straight(paper)
    lit = replace(record, safelight=Safelight(kind, distance_m, time_s))
    clean, fogged = (middle(printed(even(0.8), r, shot(4.0))) for r in (record, lit))
    assert fogged >= clean - 1e-3
