"""How exposures add up: more is never lighter, order and cutting do not matter, stops are stops."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.enlarger.geometry import height_for_magnification_mm
from sim.printing.record import Card, Still

from .small import (
    LAW,
    STEADY,
    densities,
    even,
    filters,
    middle,
    negative,
    printed,
    scenes,
    shot,
    stocks,
    straight,
    times_s,
)

CODES_WITHIN = 5e-4  # two prints by the same path
PATHS_WITHIN = 1.5e-3  # one print through light codes, one through planes

shots = st.builds(shot, times_s, filters)
SHADE = Card("edge", Still(70.0, 60.0), 100.0, angle_deg=20.0)


@LAW
@given(scenes, stocks, st.lists(shots, min_size=1, max_size=3), shots, st.sampled_from((0.0, 0.3)))
def test_more_light_never_prints_lighter(silver, paper, exposures, more, stain_share) -> None:
    film, record = negative(silver, stain_share), straight(paper)
    before = printed(film, record, *exposures)
    after = printed(film, record, *exposures, more)
    assert (after - before).min() >= -1e-4


@LAW
@given(scenes, stocks, filters, times_s, st.floats(1.0, 8.0))
def test_longer_never_prints_lighter(silver, paper, name, light_s, factor) -> None:
    film, record = negative(silver), straight(paper)
    difference = printed(film, record, shot(light_s * factor, name)) - printed(film, record, shot(light_s, name))
    assert difference.min() >= -1e-4


@LAW
@given(
    scenes, stocks, st.lists(shots, min_size=2, max_size=4), st.booleans(), st.sampled_from((0.0, 0.3)), st.randoms()
)
def test_order_of_exposures_does_not_matter(silver, paper, exposures, reciprocity, stain_share, random) -> None:
    film, record = negative(silver, stain_share), replace(straight(paper), reciprocity=reciprocity)
    exposures[0] = replace(exposures[0], cards=(SHADE,))
    other = list(exposures)
    random.shuffle(other)
    assert printed(film, record, *other) == pytest.approx(printed(film, record, *exposures), abs=CODES_WITHIN)


@LAW
@given(scenes, stocks, filters, times_s, st.floats(0.05, 0.95), st.booleans(), st.booleans())
def test_cutting_an_exposure_in_two_changes_nothing_when_the_lamp_loses_nothing(
    silver, paper, name, light_s, share, reciprocity, shaded
) -> None:
    film, record = negative(silver), replace(straight(paper, **STEADY), reciprocity=reciprocity)
    cards = {"cards": (SHADE,)} if shaded else {}
    whole = printed(film, record, shot(light_s, name, **cards))
    halves = printed(film, record, shot(light_s * share, name, **cards), shot(light_s * (1 - share), name, **cards))
    assert halves == pytest.approx(whole, abs=CODES_WITHIN)


@LAW
@given(densities, stocks, filters, times_s, st.sampled_from(("diffusion-small", "condenser-small")))
def test_cutting_an_exposure_in_two_prints_lighter_when_the_lamp_loses_time(density, paper, name, time_s, head) -> None:
    film, record = even(density), straight(paper, head)
    whole = replace(shot(time_s, name), light_s=None)
    half = replace(whole, time_s=time_s / 2)
    assert middle(printed(film, record, half, half)) <= middle(printed(film, record, whole)) + 1e-6


@LAW
@given(densities, stocks, filters, times_s, st.sampled_from((5.6, 8.0, 11.0, 16.0)), st.sampled_from((0.0, 0.35)))
def test_one_stop_more_time_equals_one_stop_wider_on_the_axis(density, paper, name, light_s, wide, stain_share) -> None:
    """Diffuse light, an even negative, reciprocity off."""
    film, record = even(density, stain_share), straight(paper, **STEADY)
    narrow = {5.6: 8.0, 8.0: 11.0, 11.0: 16.0, 16.0: 22.0}[wide]
    opened = middle(printed(film, record, shot(light_s, name, wide)))
    longer = middle(printed(film, record, shot(light_s * 2, name, narrow)))
    assert longer == pytest.approx(opened, abs=CODES_WITHIN)


@LAW
@given(densities, filters, times_s)
def test_with_reciprocity_failure_the_longer_of_two_equal_exposures_prints_lighter(density, name, light_s) -> None:
    film, record = even(density), replace(straight(), reciprocity=True)
    opened = middle(printed(film, record, shot(light_s, name, 5.6)))
    longer = middle(printed(film, record, shot(light_s * 4, name, 11.0)))
    assert longer <= opened + 1e-6


@LAW
@given(densities, stocks, filters, times_s, st.sampled_from((0.0, 0.35)))
def test_neutral_density_of_one_stop_cancels_twice_the_time(density, paper, name, light_s, stain_share) -> None:
    record = straight(paper, **STEADY)
    plain = printed(even(density, stain_share), record, shot(light_s, name))
    denser = printed(even(density, stain_share, base=0.25 + np.log10(2.0)), record, shot(light_s * 2, name))
    assert denser == pytest.approx(plain, abs=CODES_WITHIN)


@LAW
@given(densities, stocks, filters, st.floats(1.0, 2.0), st.floats(1.0, 30.0))
def test_doubling_magnification_plus_one_costs_two_stops(density, paper, name, magnification, light_s) -> None:
    """Same lens and aperture, diffuse light, on the axis."""
    film, larger = even(density), 2.0 * (magnification + 1.0) - 1.0
    low = straight(paper, **{**STEADY, "height_mm": height_for_magnification_mm(150.0, magnification)})
    high = straight(paper, **{**STEADY, "height_mm": height_for_magnification_mm(150.0, larger)})
    near = middle(printed(film, low, shot(light_s, name)))
    far = middle(printed(film, high, shot(light_s * 4.0, name)))
    assert far == pytest.approx(near, abs=CODES_WITHIN)


@LAW
@given(densities, stocks, filters, times_s)
def test_dodging_for_half_the_time_is_one_stop_less_there(density, paper, name, time_s) -> None:
    record = straight(paper, **STEADY)
    shade = Card("edge", Still(75.0, 60.0), 5.0, angle_deg=0.0, stop_s=time_s / 2)
    dodged = printed(even(density), record, shot(time_s, name, cards=(shade,)))
    full, half = (printed(even(density), record, shot(seconds, name)) for seconds in (time_s, time_s / 2))
    row = dodged.shape[0] // 2
    assert dodged[row, 3] == pytest.approx(full[row, 3], abs=PATHS_WITHIN)
    assert dodged[row, -4] == pytest.approx(half[row, -4], abs=PATHS_WITHIN)


@LAW
@given(scenes, densities, stocks, filters, times_s, st.sampled_from((0.0, 0.3)))
def test_tone_does_not_depend_on_how_much_of_the_image_the_sheet_catches(
    silver, density, paper, name, light_s, stain_share
) -> None:
    """Stray light comes from the whole frame, whatever piece of it lies on the paper."""
    surroundings = np.kron(silver, np.ones((4, 4)))
    surroundings[6:18, 9:23] = density
    film = negative(surroundings, stain_share)
    whole, wide, piece = (
        middle(printed(film, straight(paper, size_mm=size_mm), shot(light_s, name)))
        for size_mm in ((150.0, 120.0), (300.0, 260.0), (60.0, 60.0))
    )
    assert (wide, piece) == pytest.approx((whole, whole), abs=PATHS_WITHIN)
