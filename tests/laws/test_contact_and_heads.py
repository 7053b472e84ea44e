"""Contact printing and heads: distance squared under a bare lens, and silver that scatters only in the enlarger."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.enlarger.geometry import height_for_magnification_mm, magnification_at_height
from sim.negative.callier import callier_quotient, printing_silver_density

from .small import LAW, densities, even, filters, middle, printed, shot, steps_of, stocks, straight, times_s, wedge

heights_mm = st.floats(500.0, 1100.0)
GRADED = "graded-fb-2"


def lens_height_mm(height_mm: float, focal_mm: float = 80.0) -> float:
    """Return how high the lens stands above the paper when the head stands at a height."""
    return focal_mm * (1.0 + magnification_at_height(focal_mm, height_mm))


def light_s_for(film, record, wanted: float, name: str | None = None) -> float:
    """Return the seconds at which the axis prints to a density, by halving in log time."""
    low, high = -2.0, 2.7
    for _ in range(26):
        half = 0.5 * (low + high)
        low, high = (half, high) if middle(printed(film, record, shot(10.0**half, name))) < wanted else (low, half)
    return float(10.0**low)


@LAW
@given(densities, stocks, filters, st.floats(0.3, 20.0), heights_mm, heights_mm)
def test_contact_time_grows_with_the_square_of_the_lenss_height(density, paper, name, light_s, near_mm, far_mm) -> None:
    """On the axis, reciprocity and lag off."""
    factor = (lens_height_mm(far_mm) / lens_height_mm(near_mm)) ** 2
    near, far = (straight(paper, height_mm=h, contact=True, size_mm=(60.0, 60.0)) for h in (near_mm, far_mm))
    first = middle(printed(even(density), near, shot(light_s, name, 11.0)))
    second = middle(printed(even(density), far, shot(light_s * factor, name, 11.0)))
    assert second == pytest.approx(first, abs=5e-4)


@LAW
@given(densities, st.floats(0.2, 5.0), heights_mm)
def test_in_contact_a_condenser_prints_what_a_diffuser_prints(density, light_s, height_mm) -> None:
    """Blue-sensitive paper (the two lamps differ in colour), times made equal on clear film: whole wedges agree."""
    film = wedge(0.0, 1.8)
    diffuse = straight(GRADED, height_mm=height_mm, contact=True, size_mm=(60.0, 60.0))
    condenser = straight(GRADED, "condenser-small", height_mm=height_mm, contact=True, size_mm=(60.0, 60.0))
    clear = even(density)
    wanted = 0.9
    times = [light_s_for(clear, record, wanted) for record in (diffuse, condenser)]
    one, other = (
        steps_of(printed(film, record, shot(t, None)), film) for record, t in zip((diffuse, condenser), times, strict=True)
    )
    assert other == pytest.approx(one, abs=0.002)


@pytest.mark.parametrize("paper", ["glossy-rc-vc", GRADED])
def test_projected_by_a_condenser_the_same_wedge_prints_harder(paper: str) -> None:
    """Times made equal on clear film; the denser the silver, the lighter it prints.

    The lamps differ in colour, so the first step, which hardly scatters, may differ by what that does to the paper's darks.
    """
    film = wedge(0.0, 1.8)
    soft, hard = (straight(paper, head) for head in ("diffusion-small", "condenser-small"))
    times = [light_s_for(even(0.0), record, 1.8) for record in (soft, hard)]
    diffuse, condenser = (
        steps_of(printed(film, record, shot(t, None)), film) for record, t in zip((soft, hard), times, strict=True)
    )
    assert condenser[0] == pytest.approx(diffuse[0], abs=0.015)
    assert np.all(condenser[2:] <= diffuse[2:] + 1e-6)
    assert (diffuse - condenser).max() > 0.2


@LAW
@given(st.floats(0.0, 3.0), st.floats(0.2, 1.0))
def test_a_head_never_finds_silver_thinner_than_a_densitometer_does(density, scatter_share) -> None:
    quotient = float(callier_quotient(np.array([density]), scatter_share)[0])
    assert 1.0 - 1e-9 <= quotient <= 1.675 + 1e-9
    assert printing_silver_density(np.array([density]), 1.0)[0] == density


@LAW
@given(st.floats(0.2, 0.99))
def test_denser_silver_never_passes_more_light(scatter_share) -> None:
    seen = printing_silver_density(np.linspace(0.0, 4.0, 2001), scatter_share)
    assert seen[0] == pytest.approx(0.0, abs=1e-6)
    assert np.all(np.diff(seen) > 0)


@LAW
@given(st.floats(50.0, 300.0), st.floats(1.0, 20.0))
def test_height_and_magnification_are_inverse(focal_mm, magnification) -> None:
    height_mm = height_for_magnification_mm(focal_mm, magnification)
    assert magnification_at_height(focal_mm, height_mm) == pytest.approx(magnification, rel=1e-6)


@LAW
@given(densities, times_s)
def test_in_contact_rebate_and_bare_light_print_darker_than_any_silver(density, light_s) -> None:
    record = straight(height_mm=600.0, contact=True, size_mm=(90.0, 90.0))
    sheet = printed(even(density), record, shot(light_s / 10.0, "2", 16.0))
    row = sheet.shape[0] // 2
    rebate = sheet[row, (sheet.shape[1] - 15) // 2 - 1]  # one pixel, 3.75 mm, to the left of the frame
    bare = sheet[row, 1]
    assert rebate >= middle(sheet) - 0.01  # the fall-off of the light, no more
    assert bare >= rebate - 0.02


@LAW
@given(densities, filters, times_s)
def test_wide_open_the_corners_print_lighter_than_the_middle_and_stopped_down_less_so(density, name, light_s) -> None:
    film, record = even(density), straight()
    losses = []
    for f_number, factor in ((4.0, 1.0), (8.0, 4.0)):
        sheet = printed(film, replace(record), shot(light_s * factor, name, f_number))
        losses.append(middle(sheet) - sheet[1, 1])
    assert losses[0] >= losses[1] - 2e-3
    assert losses[1] >= -2e-3
