"""Marks come from readings of the nominated prints: every kind, one-sided or not, and never more for being further off."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.notebook.advice_words import advice_words
from sim.paper.development import Development
from sim.scoring.advice import advise
from sim.scoring.judged import judge
from sim.scoring.marks import score
from sim.scoring.start import with_card
from sim.scoring.trial import with_light
from sim.words import Words

from .small_exercise import FILM, LIGHTS, as_printed, criterion, exercise, held_still, judged, patches, record

STOPS = (-2.0, -1.0, -0.5, 0.0, 0.5, 1.0, 2.0)


def shares(task, records) -> list[float]:
    return [score(judged(task, one), task).share for one in records]


def test_a_tone_earns_all_at_its_aim_and_falls_to_both_sides() -> None:
    task = exercise(*as_printed(record(), "patch-3"))
    got = shares(task, [with_light(record(), stops) for stops in STOPS])
    assert got[3] == 1.0
    assert got[0] == got[-1] == 0.0
    assert np.all(np.diff(got[:4]) >= 0)
    assert np.all(np.diff(got[3:]) <= 0)


@pytest.mark.parametrize(("kind", "dark", "light"), [("at-least", 1.0, 0.0), ("at-most", 0.0, 1.0)])
def test_one_sided_tones_do_not_mind_the_other_side(kind: str, dark: float, light: float) -> None:
    (aim,) = as_printed(record(), "patch-3")
    task = exercise(replace(aim, kind=kind))
    assert shares(task, [with_light(record(), 2.0), with_light(record(), -2.0)]) == [dark, light]


def test_places_that_may_go_white_or_black_never_cost() -> None:
    task = exercise(
        *as_printed(record(), "patch-3"), criterion("may-go-white", "patch-1", points=0.0),
        criterion("may-go-black", "patch-6", points=0.0),
    )  # fmt: skip
    marks = score(judged(task, record()), task)
    assert marks.share == 1.0
    assert [mark.full_points for mark in marks.marks] == [4.0, 0.0, 0.0]


def test_separation_wants_two_places_apart() -> None:
    task = exercise(criterion("separation", "patch-1", "patch-3", wanted=0.4, tolerance=0.03))
    flat, printed = with_light(record(), -4.0), with_light(record(), 1.0)
    assert shares(task, [printed, flat]) == [1.0, 0.0]


def test_black_and_white_are_measured_against_the_paper_developed_to_the_end() -> None:
    """A pulled sheet's own black is no black."""
    task = exercise(
        criterion("black", "patch-6", wanted=0.9, tolerance=0.05), criterion("white", "patch-1", wanted=0.04, tolerance=0.01)
    )
    full = with_light(record(), 5.0)
    pulled = replace(full, development=Development(25.0))
    black = [score(judged(task, one), task).marks[0].share for one in (full, pulled)]
    assert black[0] == 1.0
    assert black[1] < 0.6
    assert score(judged(task, with_light(record(), -5.0)), task).marks[1].share == 1.0
    assert score(judged(task, full), task).marks[1].share == 0.0


def test_sharpness_falls_with_focus_and_size_with_height() -> None:
    task = exercise(
        criterion("sharp", "patch-2", wanted=0.6, tolerance=0.03),
        criterion("size", wanted=0.0, magnification=2.5, tolerance=2.0),
    )
    near = record(column_mm=80.0 * (2 + 2.5 + 1 / 2.5), lens="80-mm")
    off = replace(near, enlarger=replace(near.enlarger, focus_offset_mm=1.5))
    high = replace(near, enlarger=replace(near.enlarger, height_mm=near.enlarger.height_mm + 40.0))
    first, second, third = (score(judged(task, one), task).marks for one in (near, off, high))
    assert [mark.share for mark in first] == [1.0, 1.0]
    assert second[0].share == 0.0
    assert third[1].share == 0.0
    assert third[1].unit == "mm"
    assert first[1].measured == pytest.approx(2.5 * 56.25, abs=0.2)


def test_a_card_held_still_shows_its_edge_and_one_kept_moving_does_not() -> None:
    task = exercise(criterion("even", "patch-2", wanted=0.06, tolerance=0.02), unlocked=("time_s", "cards"))
    moved = with_card(FILM, record(), FILM.place("patch-2"), -0.9, tool=1.0)
    moving, still, none = (score(judged(task, one), task).marks[0] for one in (moved, held_still(moved), record()))
    assert still.measured > 2.0 * moving.measured
    assert (moving.share, still.share < 0.5) == (1.0, True)
    assert (none.measured, none.share) == (0.0, 1.0)


def test_a_time_outside_its_window_costs() -> None:
    task = exercise(criterion("time-window", wanted=10.0, most=20.0))
    assert shares(task, [record(time_s=t) for t in (5.0, 9.8, 15.0, 20.5, 40.0)]) == [0.0, 1.0, 1.0, 1.0, 0.0]


def test_a_series_is_marked_by_its_largest_difference() -> None:
    films = (patches("one"), patches("two", shift=0.1))
    task = replace(exercise(criterion("match-series", "patch-3", tolerance=0.04)), negatives=("one", "two"))
    first, second = record(films[0]), record(films[1])
    apart = score(judged(task, first, second, films=films), task)
    matched = score(judged(task, first, with_light(second, 0.1 / 0.30103), films=films), task)
    assert apart.share < 0.5
    assert matched.share > 0.9
    assert score(judged(task, first, films=films), task).marks[0].missing


def test_a_print_is_matched_to_the_start_to_the_first_sheet_or_to_densities() -> None:
    other = with_light(record(), 1.0)
    to_start = exercise(criterion("match-sheet", "patch-3", sheet="start"))
    assert shares(to_start, [record(), other]) == [1.0, 0.0]
    to_first = exercise(criterion("match-sheet", "patch-3", sheet="first"))
    first = judge(to_first, (FILM,), (other,), 1.0, lights=LIGHTS, only_places=True, first=(other,))
    assert score(first, to_first).share == 1.0
    (aim,) = as_printed(other, "patch-3")
    to_print = exercise(criterion("match-print", "patch-3", densities=(aim.wanted,)))
    assert shares(to_print, [record(), other]) == [0.0, 1.0]


def test_a_print_on_another_paper_than_is_asked_for_earns_nothing_for_the_paper_and_is_told_so() -> None:
    task = exercise(criterion("on-paper", wanted=1.0), unlocked=("time_s", "paper"))
    other = replace(record(), sheet=replace(record().sheet, paper="glossy-fb-vc"))
    assert shares(task, [record(), other]) == [1.0, 0.0]
    print_of = judged(task, other)
    (told,) = advise(task, print_of, score(print_of, task))
    assert advice_words(told, Words()) == (
        "The print was to be on another paper: glossy resin-coated variable-contrast paper."
    )


@pytest.mark.parametrize(("each", "passes"), [(0.0, True), (0.665, True), (0.668, False)])
def test_a_good_print_of_one_negative_does_not_make_good_another_that_falls_short_by_itself(each: float, passes: bool) -> None:
    """Two tolerances off earn two thirds; the other print earns everything."""
    films = (FILM, patches("others"))
    (aim,) = as_printed(record(), "patch-3", tolerance=0.02)
    off = replace(aim, wanted=aim.wanted - 0.04, negative=2, name="off")
    task = replace(exercise(replace(aim, negative=1), off), negatives=("patches", "others"), each_share=each)
    marks = score(judged(task, record(), replace(record(), negative="others"), films=films), task)
    assert marks.of_prints() == ((0, 1.0), (1, pytest.approx(2.0 / 3.0, abs=1e-6)))
    assert marks.share == pytest.approx(5.0 / 6.0, abs=1e-6)
    assert marks.passed(task) is passes


def test_of_several_copies_the_one_furthest_off_counts_and_a_missing_one_earns_nothing() -> None:
    task = replace(exercise(*as_printed(record(), "patch-3")), copies=2)
    assert score(judged(task, record(), record()), task).share == 1.0
    assert score(judged(task, record(), with_light(record(), 2.0)), task).share == 0.0
    assert score(judged(task, record()), task).share == 0.5
    assert score(judged(task), task).marks[0].missing


def test_a_mark_that_is_missing_says_of_which_negative_and_one_off_the_sheet_too() -> None:
    """Whoever reads "negative 2" must find the second one of the lesson."""
    films = (FILM, patches("others"))
    (aim,) = as_printed(record(), "patch-3")
    task = replace(exercise(aim), negatives=("patches", "others"))
    other = replace(record(), negative="others")
    first = score(judged(task, record(), films=films), task).marks
    assert [(mark.negative, mark.missing) for mark in first] == [(1, False), (2, True)]
    off = replace(other, sheet=replace(other.sheet, image_shift_mm=(150.0, 0.0)))
    both = score(judged(task, record(), off, films=films), task).marks
    assert [(mark.negative, mark.missing) for mark in both] == [(1, False), (2, True)]


def test_what_was_not_printed_has_saved_no_paper() -> None:
    task = replace(exercise(*as_printed(record(), "patch-3")), copies=2, economy_points=1.0)  # two sheets are expected
    cases = ((2, 2.0), (1, 1.0), (1, 2.0))
    economy = [score(judged(task, *[record()] * made, used=used), task).economy for made, used in cases]
    assert [one.points for one in economy] == pytest.approx([1.0, 0.5, 0.25])
    assert score(judged(task, used=1.0), task).economy.points == 0.0


def test_economy_stands_apart_from_quality() -> None:
    task = replace(exercise(*as_printed(record(), "patch-3")), economy_points=1.0)
    points = [score(judged(task, record(), used=used), task).economy.points for used in (1.0, 2.0, 4.0, 6.0, 9.0)]
    assert points == pytest.approx([1.0, 1.0, 0.5, 0.0, 0.0])
    wasteful = score(judged(task, record(), used=9.0), task)
    assert wasteful.share == 1.0
    assert wasteful.passed(task)
    assert (wasteful.points, wasteful.full_points) == (4.0, 5.0)


def test_whole_prints_and_their_places_alone_read_the_same() -> None:
    """Both ways of judging agree within the tables' error, with and without cards."""
    task = exercise(*as_printed(record(), "patch-1", "patch-3", "patch-6"), criterion("even", "patch-2", wanted=0.05))
    carded = with_card(FILM, record(), FILM.place("patch-2"), -0.7)
    for one in (record(), carded, with_card(FILM, record(), FILM.place("patch-4"), 1.0)):
        whole = score(judge(task, (FILM,), (one,), 1.0), task)
        quick = score(judged(task, one), task)
        for a, b in zip(whole.marks, quick.marks, strict=True):
            assert a.measured == pytest.approx(b.measured, abs=0.003)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(("tone", "at-least", "at-most")), st.floats(-1.0, 1.0), st.floats(0.0, 2.0), st.floats(0.0, 2.0))
def test_marks_never_rise_as_a_tone_moves_away(kind: str, aim_stops: float, near: float, further: float) -> None:
    (aim,) = as_printed(with_light(record(), aim_stops), "patch-3")
    task = exercise(replace(aim, kind=kind))
    for side in (-1.0, 1.0):
        a, b = (
            score(judged(task, with_light(record(), aim_stops + side * off)), task).points for off in (near, near + further)
        )
        assert b <= a + 0.02  # times are set to a hundredth of a second


