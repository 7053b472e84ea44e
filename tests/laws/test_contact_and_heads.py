"""Contact printing and heads: distance squared under a bare lens, and silver that scatters only in the enlarger."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.enlarger import settings
from sim.enlarger.equipment import find_head
from sim.enlarger.geometry import height_for_magnification_mm, lens_tangent, magnification_at_height
from sim.negative.callier import NONE, Scattering, caught_share, grain_exponent
from sim.negative.film import find_film
from sim.printing.exposure import LightCache
from sim.printing.make_print import make_print

from .small import (
    LAW,
    STEADY,
    STOCKS,
    densities,
    even,
    filters,
    middle,
    printed,
    shot,
    steps_of,
    stocks,
    straight,
    times_s,
    wedge,
)

heights_mm = st.floats(500.0, 1100.0)
GRADED = "graded-fb-2"


def lens_height_mm(height_mm: float, focal_mm: float) -> float:
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
@given(densities, stocks, filters, st.floats(0.3, 20.0), st.floats(620.0, 1400.0), st.floats(620.0, 1400.0))
def test_contact_time_grows_with_the_square_of_the_lenss_height(density, paper, name, light_s, near_mm, far_mm) -> None:
    """On the axis, reciprocity off, a lamp whose colours come together: a filament's short light is short of blue."""
    factor = (lens_height_mm(far_mm, 150.0) / lens_height_mm(near_mm, 150.0)) ** 2
    near, far = (
        straight(paper, **{**STEADY, "height_mm": h}, contact=True, size_mm=(60.0, 60.0)) for h in (near_mm, far_mm)
    )
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
        steps_of(printed(film, record, shot(t, None)), film)
        for record, t in zip((diffuse, condenser), times, strict=True)
    )
    assert other == pytest.approx(one, abs=0.002)


def test_silver_of_which_nothing_is_known_prints_in_a_condenser_as_normally_developed_film() -> None:
    """ISO 6 asks for 0.80 of density over 1.30 of log exposure; the straight line of such film is steeper than the mean."""
    gamma = find_film("medium").gamma(1.0)
    assert 0.80 / 1.30 < gamma < 0.80 / 1.30 + 0.05
    record = straight("glossy-rc-vc", "condenser-small")
    unknown, normal = wedge(0.2, 1.4), replace(wedge(0.2, 1.4), gamma=gamma)
    prints = [steps_of(printed(film, record, shot(4.0)), film) for film in (unknown, normal)]
    assert np.abs(prints[0] - prints[1]).max() < 0.01


@pytest.mark.parametrize("paper", ["glossy-rc-vc", GRADED])
def test_projected_by_a_condenser_the_same_wedge_prints_harder(paper: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Lamps made equal in colour, times on clear film; the denser the silver, the lighter it prints."""
    monkeypatch.setattr(settings, "find_head", lambda name: replace(find_head(name), temperature_k=3000.0))
    film = wedge(0.0, 1.8)
    soft, hard = (straight(paper, head) for head in ("diffusion-small", "condenser-small"))
    times = [light_s_for(even(0.0), record, 1.8) for record in (soft, hard)]
    diffuse, condenser = (
        steps_of(printed(film, record, shot(t, None)), film) for record, t in zip((soft, hard), times, strict=True)
    )
    assert np.all(condenser <= diffuse + 0.005)
    assert (diffuse - condenser).max() > 0.2


gammas = st.floats(0.0, 3.0)
cones_deg = st.floats(0.5, 60.0)
lens_tangents = st.floats(0.005, 0.3)


@LAW
@given(st.floats(0.0, 3.0), gammas, cones_deg, lens_tangents)
def test_a_head_never_finds_silver_thinner_than_a_densitometer_does(density, gamma, cone_deg, lens) -> None:
    exponent = grain_exponent(gamma)
    quotient = float(Scattering(exponent, caught_share(cone_deg, lens)).quotient(np.array([density]))[0])
    assert 1.0 - 1e-9 <= quotient <= exponent + 1e-9
    assert NONE.printing_density(np.array([density]))[0] == density


@LAW
@given(gammas, cones_deg, lens_tangents)
def test_denser_silver_never_passes_more_light(gamma, cone_deg, lens) -> None:
    seen = Scattering(grain_exponent(gamma), caught_share(cone_deg, lens)).printing_density(np.linspace(0.0, 4.0, 2001))
    assert seen[0] == pytest.approx(0.0, abs=1e-6)
    assert np.all(np.diff(seen) > 0)


@LAW
@given(st.floats(0.1, 2.0), st.floats(0.1, 2.0), st.floats(1.05, 2.0), cones_deg, lens_tangents)
def test_longer_development_or_a_narrower_cone_of_lamp_or_lens_prints_harder(
    density, gamma, more, cone_deg, lens
) -> None:
    def seen(gamma: float, cone_deg: float, lens: float) -> float:
        scattering = Scattering(grain_exponent(gamma), caught_share(cone_deg, lens))
        return float(scattering.printing_density(np.array([density]))[0])

    usual = seen(gamma, cone_deg, lens)
    assert seen(gamma * more, cone_deg, lens) >= usual
    assert seen(gamma, cone_deg / more, lens) >= usual - 1e-12
    assert seen(gamma, cone_deg, lens / more) >= usual - 1e-12


@LAW
@given(st.floats(0.0, 3.0), gammas, lens_tangents)
def test_diffuse_light_and_dyes_show_what_a_densitometer_reads(density, gamma, lens) -> None:
    silver = np.array([density])
    assert Scattering(grain_exponent(gamma), caught_share(90.0, lens)).printing_density(silver)[0] == density
    assert Scattering(grain_exponent(0.0), caught_share(12.0, lens)).printing_density(silver)[0] == density


@pytest.mark.parametrize("head", ["diffusion-small", "diffusion-sheet", "led-sheet", "cold-cathode-sheet"])
def test_under_a_diffuse_head_silver_prints_as_a_dye_of_its_diffuse_density(head: str) -> None:
    """Diffuse density is what silver shows in diffuse light (ISO 5-2); a dye does not scatter, and no head tells them apart."""
    record = straight(head=head) if head == "diffusion-small" else straight(**{**STEADY, "head": head})
    silver, dye = replace(wedge(0.0, 1.5), gamma=1.0), replace(wedge(0.0, 1.5), gamma=0.0)
    seen = [steps_of(printed(film, record, shot(4.0)), film) for film in (silver, dye)]
    assert np.ptp(seen[0]) > 1.0
    assert seen[0] == pytest.approx(seen[1], abs=1e-4)


def test_a_light_that_is_kept_knows_the_aperture_under_a_condenser() -> None:
    """The same wedge at f/4 and f/16, light for light: stopped down it prints harder, remembered or not."""
    film, record, kept = wedge(0.0, 1.8), straight(GRADED, "condenser-small"), LightCache()
    open_wide, stopped = (record.with_exposures(shot(t, None, f)) for t, f in ((1.0, 4.0), (16.0, 16.0)))
    stock = STOCKS[GRADED]
    sheets = [make_print(film, one, stock, lights=kept).density for one in (open_wide, stopped, open_wide)]
    alone = [make_print(film, one, stock).density for one in (open_wide, stopped)]
    assert np.array_equal(sheets[0], alone[0])
    assert np.array_equal(sheets[1], alone[1])
    assert np.array_equal(sheets[2], alone[0])
    middle_row = sheets[0].shape[0] // 2
    lighter = sheets[0][middle_row].astype(float) - sheets[1][middle_row]
    assert lighter.max() > 0.02


def test_a_lamp_as_wide_as_the_sky_is_diffuse() -> None:
    assert caught_share(89.9, lens_tangent(5.6, 8.0)) == pytest.approx(1.0, abs=1e-4)


@LAW
@given(st.floats(0.5, 45.0), st.floats(0.5, 45.0))
def test_lamp_and_lens_may_change_places(one_deg, other_deg) -> None:
    """Helmholtz: light takes the same way back."""
    there = caught_share(one_deg, float(np.tan(np.radians(other_deg))))
    assert caught_share(other_deg, float(np.tan(np.radians(one_deg)))) == pytest.approx(there, rel=1e-9)


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
