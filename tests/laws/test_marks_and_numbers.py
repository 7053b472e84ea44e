"""Marks follow the tone, and every conversion leads back to where it began."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.negative.negative import Place
from sim.printing.make_print import make_print
from sim.quantities import (
    ENGRAVED_F_NUMBERS,
    burn_time_s,
    dodge_time_s,
    engraved_f_number,
    exact_f_number,
    factor_to_stops,
)
from sim.scoring.marks import score
from sim.scoring.points import eye_tolerance, share_for_miss
from sim.scoring.target_tones import ToneTarget
from sim.viewing.lightness import lightness

from .small import LAW, STOCKS, even, filters, shot, stocks, straight

kinds = st.sampled_from(("tone", "at-least", "at-most"))
CENTRE = Place("centre", 0.5, 0.5, 6.0)


@LAW
@given(kinds, st.floats(0.05, 2.0), st.floats(0.01, 0.5), st.floats(-1.5, 1.5), st.floats(1.0, 3.0))
def test_marks_never_rise_while_a_tone_moves_away_from_its_target(kind, wanted, tolerance, off, further) -> None:
    target = ToneTarget(CENTRE, wanted, tolerance, 5.0, kind)
    near, far = (share_for_miss(target.miss(wanted + o), tolerance) for o in (off, off * further))
    assert 0.0 <= far <= near <= 1.0


@LAW
@given(kinds, stocks, filters, st.floats(0.5, 1.5), st.lists(st.floats(0.5, 60.0), min_size=4, max_size=6, unique=True))
def test_the_further_a_print_is_from_its_target_the_fewer_its_points(kind, paper, name, density, times_s) -> None:
    """One print is the target; prints with more and more (or less and less) light never gain points."""
    film, record, stock = replace(even(density), places=(CENTRE,)), straight(paper), STOCKS[paper]
    sheets = [make_print(film, record.with_exposures(shot(t, name)), stock) for t in sorted(times_s)]
    middles = [float(sheet.density[sheet.density.shape[0] // 2, sheet.density.shape[1] // 2]) for sheet in sheets]
    aim = len(times_s) // 2
    target = ToneTarget(CENTRE, middles[aim], 0.05, 10.0, kind)
    points = [score(sheet, (target,)).points for sheet in sheets]
    assert points[aim] == pytest.approx(10.0)
    assert np.all(np.diff(points[: aim + 1]) >= -1e-6)
    assert np.all(np.diff(points[aim:]) <= 1e-6)


@LAW
@given(st.floats(0.0, 2.2), st.floats(0.5, 3.0))
def test_a_tolerance_of_the_eye_moves_lightness_by_its_steps(density, steps) -> None:
    tolerance = eye_tolerance(density, steps)
    moved = abs(float(lightness(density + tolerance / 2) - lightness(density - tolerance / 2)))
    assert moved == pytest.approx(steps, rel=0.1)


@LAW
@given(st.floats(0.0, 3.5))
def test_denser_is_darker(density) -> None:
    assert lightness(density + 0.01) < lightness(density)


@LAW
@given(st.floats(0.5, 100.0), st.floats(0.0, 5.0))
def test_dodge_and_burn_times_are_the_stops_they_stand_for(base_s, stops) -> None:
    assert factor_to_stops(1.0 - dodge_time_s(base_s, stops) / base_s) == pytest.approx(-stops, abs=1e-9)
    assert factor_to_stops(1.0 + burn_time_s(base_s, stops) / base_s) == pytest.approx(stops, abs=1e-9)


@LAW
@given(st.sampled_from([mark for mark, _ in ENGRAVED_F_NUMBERS]))
def test_engraved_marks_stand_for_exact_f_numbers_and_lead_back(mark) -> None:
    assert engraved_f_number(exact_f_number(mark)) == mark
    assert exact_f_number(exact_f_number(mark)) == pytest.approx(exact_f_number(mark))
