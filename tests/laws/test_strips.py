"""Test strips: ways that should agree do, and where they differ the lamp is the reason."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.enlarger.equipment import find_head
from sim.enlarger.filters import FilterSetting
from sim.enlarger.light_given import expected_light_s
from sim.printing.make_print import make_print
from sim.printing.record import Sheet
from sim.printing.strips import Strip, lay_strip, linear_times_s, ring_around, stop_times_s
from sim.viewing.strip_reading import read_strip

from .small import LAW, STEADY, STOCKS, even, filters, middle, negative, printed, shot, stocks, straight

STEPS = 5
STEP_WITHIN = 0.003
strip_times = st.builds(stop_times_s, st.floats(1.0, 8.0), st.floats(0.2, 0.8), st.just(STEPS))


def strip_sheet(paper: str, **head: object):
    """Return a record on a sheet 150 mm wide for strips across it."""
    return replace(straight(paper, **head), sheet=Sheet(paper, 150.0, 60.0))


def readings(film, strip: Strip) -> np.ndarray:
    """Return the density in the middle of every step."""
    sheet = make_print(film, strip.record, STOCKS[strip.record.sheet.paper], px_per_mm=1.0)
    return np.array(read_strip(strip, sheet, 3.0).densities)


def straight_densities(film, record, strip: Strip, *exposure_sets) -> np.ndarray:
    """Return what plain prints read where the strip's steps lie, one set of exposures a step."""
    stock = STOCKS[record.sheet.paper]
    out = []
    for k, exposures in enumerate(exposure_sets):
        sheet = make_print(film, record.with_exposures(*exposures), stock, px_per_mm=1.0)
        out.append(read_strip(strip, sheet, 3.0).densities[k])
    return np.array(out)


@LAW
@given(stocks, filters, st.floats(0.0, 1.2), strip_times, st.sampled_from((0.0, 180.0)))
def test_strips_in_bursts_and_covered_agree_when_the_lamp_loses_nothing(paper, name, density, times, angle_deg) -> None:
    """A diode head: no dead time; reciprocity off."""
    film, record = even(density), strip_sheet(paper, **STEADY)
    bursts, covered = (
        readings(film, lay_strip(record, times, 8.0, FilterSetting(name), way, angle_deg)) for way in ("bursts", "covered")
    )
    assert bursts == pytest.approx(covered, abs=STEP_WITHIN)


@LAW
@given(stocks, filters, st.floats(0.0, 1.2), strip_times)
def test_bursts_lose_the_lamps_dead_time_at_every_step(paper, name, density, times) -> None:
    film, record = even(density), strip_sheet(paper)
    strip = lay_strip(record, times, 8.0, FilterSetting(name), "bursts")
    head = find_head("diffusion-small")
    given = [shot(expected_light_s(float(piece), head), name) for piece in np.diff((0.0, *times))]
    expected = straight_densities(film, record, strip, *(given[: k + 1] for k in range(len(given))))
    assert readings(film, strip) == pytest.approx(expected, abs=STEP_WITHIN)


@LAW
@given(stocks, filters, st.floats(0.0, 1.2), strip_times)
def test_bursts_print_lighter_than_one_burning_of_the_lamp(paper, name, density, times) -> None:
    film, record = even(density), strip_sheet(paper)
    bursts, covered = (
        readings(film, lay_strip(record, times, 8.0, FilterSetting(name), way)) for way in ("bursts", "covered")
    )
    assert np.all(bursts[1:] <= covered[1:] + 1e-3)


@LAW
@given(stocks, filters, strip_times)
def test_a_strip_never_gets_lighter_along_its_growing_times(paper, name, times) -> None:
    densities = readings(even(0.6), lay_strip(strip_sheet(paper), times, 8.0, FilterSetting(name), "covered"))
    assert np.all(np.diff(densities) >= -1e-3)


@settings(LAW, max_examples=5)
@given(stocks, filters, st.integers(0, 10**6), strip_times)
def test_every_step_on_the_same_place_shows_the_same_piece_of_the_picture(paper, name, seed, times) -> None:
    """Each step, carried back, is the plain print of the middle step's place at that step's time."""
    smooth = np.random.Generator(np.random.PCG64(seed)).uniform(-1.0, 1.0, (3, 2))
    x, y = np.linspace(-1.0, 1.0, 75)[None, :], np.linspace(-1.0, 1.0, 60)[:, None]
    waves = sum(a * np.sin(4 * k * x + b) * np.cos(2 * k * y) for k, (a, b) in enumerate(smooth, start=1))
    film, record = negative(0.8 + 0.15 * waves), strip_sheet(paper, **STEADY)
    strip = lay_strip(record, times, 8.0, FilterSetting(name), "same-place")
    px_per_mm = 1.0
    sheet = make_print(film, strip.record, STOCKS[paper], px_per_mm).density
    home_mm = 75.0
    for step in strip.steps:
        plain = make_print(film, record.with_exposures(shot(step.time_s, name)), STOCKS[paper], px_per_mm).density
        here, home = (sheet_columns(x_mm, px_per_mm) for x_mm in (step.x_mm, home_mm))
        assert sheet[5:-5, here] == pytest.approx(plain[5:-5, home], abs=0.012)


def sheet_columns(x_mm: float, px_per_mm: float) -> slice:
    """Return the columns around the middle of a step, clear of its edges."""
    col = round((x_mm - 75.0) * px_per_mm + (150 * px_per_mm - 1) / 2)
    return slice(col - 8, col + 9)


@LAW
@given(st.floats(2.0, 12.0), strip_times, st.floats(0.2, 1.2), st.sampled_from((0.0, 0.3)))
def test_a_hard_strip_laid_over_a_soft_exposure_is_the_sum_of_both(soft_s, times, density, stain_share) -> None:
    film, record = even(density, stain_share), strip_sheet("glossy-fb-vc", **STEADY)
    soft = shot(soft_s, "00")
    strip = lay_strip(record, times, 8.0, FilterSetting("5"), "covered", each=(soft,))
    expected = straight_densities(film, record, strip, *((soft, shot(t, "5")) for t in times))
    assert readings(film, strip) == pytest.approx(expected, abs=STEP_WITHIN)


@LAW
@given(stocks, st.sampled_from(("1", "2", "3")), st.floats(3.0, 30.0), st.floats(0.0, 1.2))
def test_the_middle_of_a_ring_around_is_the_print_itself_and_its_rows_are_stops_apart(paper, name, time_s, density) -> None:
    film = even(density)
    record = straight(paper).with_exposures(replace(shot(time_s, name), light_s=None))
    rows = ring_around(record, 0.5)
    row = next(r for r in rows if r[1].filtration == FilterSetting(name))
    assert np.array_equal(printed(film, row[1].record), printed(film, record))
    lighter, same, darker = (middle(printed(film, cell.record)) for cell in row)
    assert lighter <= same + 1e-6 <= darker + 2e-6


@LAW
@given(st.floats(0.5, 10.0), st.floats(0.1, 1.0), st.integers(2, 20))
def test_times_an_even_number_of_stops_apart_double_after_as_many_steps_as_make_a_stop(first_s, stops, count) -> None:
    times = stop_times_s(first_s, stops, count)
    assert np.diff(np.log2(times)) == pytest.approx(stops)
    even_steps = linear_times_s(first_s, first_s, count)
    assert np.all(np.diff(np.diff(np.log2(even_steps))) < 0)
