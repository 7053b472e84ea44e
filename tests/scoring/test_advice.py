"""Advice separates what is off: exposure, contrast, one place, focus, size, development, paper; by the size it was made by."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.enlarger.filters import FilterSetting
from sim.notebook.advice_words import advice_words
from sim.paper.development import Development
from sim.printing.record import PrintingRecord
from sim.scoring.advice import Advice, advice_data, advise, advise_on_one
from sim.scoring.exercise import Exercise
from sim.scoring.marks import score
from sim.scoring.start import with_card
from sim.scoring.trial import with_card_stops, with_light
from sim.words import Words

from .small_exercise import FILM, as_printed, behind, criterion, exercise, held_still, judged, record

ENDS = ("patch-1", "patch-3", "patch-5")
ANSWER = record(time_s=7.0)


def told(task: Exercise, one: PrintingRecord, used: float = 1.0) -> tuple[Advice, ...]:
    print_of = judged(task, one, used=used)
    return advise(task, print_of, score(print_of, task))


def test_a_print_that_earns_all_gets_no_advice() -> None:
    assert told(exercise(*as_printed(ANSWER, *ENDS)), ANSWER) == ()


@settings(max_examples=25, deadline=None)
@given(st.floats(0.2, 2.75), st.sampled_from((-1, 1)))  # beyond, under a second is left and the lamp's coming takes a tenth
def test_an_exposure_error_is_called_by_its_stops(size: float, side: int) -> None:
    first, *more = told(exercise(*as_printed(ANSWER, *ENDS)), with_light(ANSWER, side * size))
    assert (first.cause, first.direction) == ("exposure", "less-light" if side > 0 else "more-light")
    assert first.size == pytest.approx(size, rel=0.1, abs=0.03)
    assert more == []


@pytest.mark.parametrize("stops", [-0.4, -0.2, 0.2, 0.4])
def test_light_is_shown_at_the_lightest_tone_though_a_darker_one_is_further_off(stops: float) -> None:
    """The lightest place sets the time: a learner who was taught that must not be shown a dark one instead."""
    task = exercise(*as_printed(ANSWER, *ENDS))
    made = with_light(ANSWER, stops)
    first, *_ = told(task, made)
    tones = [mark for mark in score(judged(task, made), task).marks if mark.kind == "tone"]
    lightest = min((mark for mark in tones if abs(mark.miss) > mark.tolerance), key=lambda mark: mark.wanted)
    assert first.evidence[0].places == (lightest.place,)


@pytest.mark.parametrize(("name", "direction", "grades"), [("4", "softer", 2.0), ("0", "harder", 2.0), ("3", "softer", 1.0)])
def test_a_filter_error_is_called_by_its_grades(name: str, direction: str, grades: float) -> None:
    first, *_ = told(exercise(*as_printed(ANSWER, *ENDS)), behind(ANSWER, name))
    assert (first.cause, first.direction, first.size) == ("contrast", direction, grades)


@settings(max_examples=10, deadline=None)
@given(st.floats(1.0, 2.94))
def test_a_short_time_is_called_by_the_seconds_that_are_missing(size: float) -> None:
    """One stop is twice the dialled time: what a lamp's slow coming takes of a short exposure is in the stops that are told."""
    first, *_ = told(exercise(*as_printed(ANSWER, *ENDS)), with_light(ANSWER, -size))
    assert (first.cause, first.direction) == ("exposure", "more-light")
    assert first.size == pytest.approx(size, abs=0.06)


@settings(max_examples=15, deadline=None)
@given(st.sampled_from(("0", "1", "3", "4")), st.floats(0.55, 1.5), st.sampled_from((-1, 1)))  # see the next test for less
def test_exposure_and_contrast_are_told_apart(name: str, stops: float, side: int) -> None:
    """Light is told as the print shows it: filter 4 takes a stop, which belongs to the change of filter, not to the light."""
    found = {a.cause: a for a in told(exercise(*as_printed(ANSWER, *ENDS)), with_light(behind(ANSWER, name), side * stops))}
    assert found["contrast"].size == pytest.approx(abs(float(name) - 2.0))
    assert found["contrast"].direction == ("softer" if float(name) > 2 else "harder")
    light = found.get("exposure")
    signed = 0.0 if light is None else light.size if light.direction == "more-light" else -light.size
    assert signed == pytest.approx((1.0 if name == "4" else 0.0) - side * stops, rel=0.15, abs=0.05)


@pytest.mark.parametrize("stops", [0.5, 0.505])
def test_only_light_is_told_where_a_softer_filter_leaves_the_dark_end_as_wanted_by_chance(stops: float) -> None:
    """Half a stop too much light behind filter 1 brings the darkest patch to where it should be: one end shows no contrast."""
    causes = [a.cause for a in told(exercise(*as_printed(ANSWER, *ENDS)), with_light(behind(ANSWER, "1"), stops))]
    assert causes == ["exposure"]


def test_light_is_a_true_answer_by_the_lights_though_the_filter_alone_is_told() -> None:
    """A stop more light hides what filter 4 takes but for a third of a stop at the lightest tone: who reads that is right."""
    task, one = exercise(*as_printed(ANSWER, *ENDS)), with_light(behind(ANSWER, "4"), 1.0)
    print_of = judged(task, one)
    first, true = advise_on_one(task, print_of, score(print_of, task))
    assert [(a.cause, a.direction) for a in first] == [("contrast", "softer")]
    assert [(a.cause, a.direction) for a in true] == [("contrast", "softer"), ("exposure", "more-light")]
    assert true[1].size == pytest.approx(0.3, abs=0.05)
    assert advise_on_one(task, judged(task, ANSWER), score(judged(task, ANSWER), task)) == ((), ())


def test_a_locked_contrast_is_never_advised() -> None:
    task = exercise(*as_printed(ANSWER, *ENDS), unlocked=("time_s",))
    assert {advice.cause for advice in told(task, behind(ANSWER, "4"))} <= {"exposure"}


@pytest.mark.parametrize(("stops", "change", "direction"), [
    (-0.9, 0.4, "more-hold-back"), (-0.9, -0.5, "less-hold-back"), (1.2, -0.5, "more-burn"), (1.2, 0.6, "less-burn"),
])  # fmt: skip
def test_one_place_is_told_by_its_stops_and_its_card(stops: float, change: float, direction: str) -> None:
    answer = with_card(FILM, ANSWER, FILM.place("patch-2"), stops)
    task = exercise(*as_printed(answer, "patch-1", "patch-2", "patch-3", "patch-5"), unlocked=("time_s", "cards"))
    first, *more = told(task, with_card_stops(answer, change))
    assert (first.cause, first.place, first.direction) == ("local", "patch-2", direction)
    assert first.size == pytest.approx(abs(change), rel=0.2)
    assert more == []


def test_soft_and_hard_exposures_are_named() -> None:
    soft = replace(ANSWER.exposures[0], filter=FilterSetting("0"), time_s=4.0)
    hard = replace(ANSWER.exposures[0], filter=FilterSetting("5"), time_s=5.0)
    answer = ANSWER.with_exposures(soft, hard)
    task = exercise(*as_printed(answer, *ENDS), unlocked=("time_s", "exposures"))
    first, *_ = told(task, with_light(answer, -0.8, exposure=1))
    assert (first.cause, first.direction, first.exposure) == ("exposure", "more-light", "hard")
    assert first.size == pytest.approx(0.8, rel=0.1)
    first, *_ = told(task, with_light(answer, 0.6, exposure=0))
    assert (first.direction, first.exposure) == ("less-light", "soft")


def test_a_pulled_sheet_is_told_from_a_light_one() -> None:
    task = exercise(*as_printed(ANSWER, "patch-2", "patch-4", "patch-6"), unlocked=("time_s", "development_time_s"))
    first, *_ = told(task, replace(ANSWER, development=Development(27.0)))
    assert (first.cause, first.direction) == ("development", "longer-development")
    assert first.size == pytest.approx(1.0 - 27.0 / 60.0, abs=0.01)


def test_focus_aperture_and_level_are_told_apart() -> None:
    sharp = criterion("sharp", "patch-1", wanted=0.7, tolerance=0.02)
    off = replace(ANSWER, enlarger=replace(ANSWER.enlarger, focus_offset_mm=0.6))
    first, *_ = told(exercise(sharp, unlocked=("time_s", "f_number", "focus_offset_mm")), off)
    assert (first.direction, first.place) == ("focus", "patch-1")
    assert first.amount == pytest.approx(-0.6, abs=0.15)
    first, *_ = told(exercise(sharp, unlocked=("time_s", "f_number")), off)
    assert first.direction == "stop-down"
    small = ANSWER.with_exposures(replace(ANSWER.exposures[0], f_number=22.0))
    fine = replace(sharp, wanted=0.9)
    assert told(exercise(fine, unlocked=("f_number",)), small)[0].direction == "stop-up"
    tilted = replace(ANSWER, enlarger=replace(ANSWER.enlarger, easel_tilt_deg=10.0))
    assert told(exercise(sharp, unlocked=("easel_tilt_deg",)), tilted)[0].direction == "level"


def test_light_is_told_as_the_print_shows_it_whatever_its_size() -> None:
    """A print too small whose tones are right needs the size alone; too small and too dark for its old time needs both."""
    high = record(column_mm=ANSWER.enlarger.height_mm + 30.0)
    ruler = exercise(criterion("size", wanted=100.0))
    width = score(judged(ruler, high), ruler).marks[0].measured
    low = replace(high, enlarger=ANSWER.enlarger)
    size = criterion("size", wanted=width, tolerance=2.0)
    (alone,) = told(exercise(size, *as_printed(low, *ENDS), unlocked=("time_s", "height_mm")), low)
    assert (alone.cause, alone.direction) == ("size", "larger")
    both = told(exercise(size, *as_printed(high, *ENDS), unlocked=("time_s", "height_mm")), low)
    assert {(one.cause, one.direction) for one in both} == {("size", "larger"), ("exposure", "less-light")}


def test_evenness_and_paper_used_are_named() -> None:
    place = FILM.place("patch-2")
    task = exercise(criterion("even", "patch-2", wanted=0.05, tolerance=0.02), unlocked=("cards",))
    (still,) = told(task, held_still(with_card(FILM, ANSWER, place, -0.8)))
    assert (still.cause, still.direction) == ("hand", "moving")
    assert still.measured > still.wanted
    task = exercise(*as_printed(ANSWER, *ENDS), economy_points=2.0)
    (advice,) = told(task, ANSWER, used=5.0)
    assert (advice.cause, advice.direction, advice.size) == ("economy", "fewer-sheets", 3.0)


def test_words_give_readings_and_never_a_setting() -> None:
    task = exercise(*as_printed(ANSWER, *ENDS))
    for one in (with_light(ANSWER, -1.0), behind(ANSWER, "4"), with_light(behind(ANSWER, "0"), 1.0)):
        for advice in told(task, one):
            data = json.loads(json.dumps(advice_data(advice)))
            assert set(data) >= {"cause", "direction", "size", "unit", "place", "evidence"}
            said = advice_words(advice, Words())
            assert "7 s" not in said
            assert "filter 2" not in said
            assert "f/" not in said
            assert any(digit in said for digit in "0123456789")


def test_hidden_criteria_are_not_named_in_words() -> None:
    hidden = replace(as_printed(ANSWER, "patch-3")[0], hidden=True)
    (advice,) = told(exercise(hidden), with_light(ANSWER, -1.0))
    assert advice.cause == "exposure"
    assert advice.evidence == ()
    assert "patch" not in advice_words(advice, Words())


def test_three_at_most_the_largest_loss_first() -> None:
    task = exercise(*as_printed(ANSWER, *ENDS), criterion("sharp", "patch-1", wanted=0.8, tolerance=0.02),
                    unlocked=("time_s", "filter", "focus_offset_mm"), economy_points=1.0)  # fmt: skip
    bad = with_light(behind(ANSWER, "4"), 1.0)
    bad = replace(bad, enlarger=replace(bad.enlarger, focus_offset_mm=1.0))
    found = told(task, bad, used=6.0)
    assert len(found) == 3
    assert [a.loss_points for a in found] == sorted((a.loss_points for a in found), reverse=True)
