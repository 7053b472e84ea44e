"""Seconds for a hand in every exposure, and the developer's full time: what earns, what just does not, what is said."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sim.enlarger.filters import FilterSetting
from sim.notebook.advice_words import advice_words
from sim.paper.development import Development
from sim.printing.record import PrintingRecord
from sim.scoring.advice import Advice, advise, advise_on_one
from sim.scoring.exercise import Criterion, Exercise
from sim.scoring.marks import Mark, score
from sim.words import Words

from .small_exercise import as_printed, criterion, exercise, judged, record

FULL_S = 60.0  # the paper's own time in a fresh bath
ANSWER = record(time_s=7.0)
HALVES = criterion("each-time", wanted=8.0, tolerance=0.4)
TRAY = criterion("developed", wanted=0.97, tolerance=0.05, most=2.0)
AT_ONCE = replace(TRAY, tolerance=0.001)


def halves(soft_s: float, hard_s: float) -> PrintingRecord:
    light = ANSWER.exposures[0]
    return ANSWER.with_exposures(
        replace(light, time_s=soft_s, filter=FilterSetting("00")), replace(light, time_s=hard_s, filter=FilterSetting("5"))
    )


def developed(time_s: float, sheets_before: float = 0.0) -> PrintingRecord:
    return replace(ANSWER, development=Development(time_s, sheets_before=sheets_before))


def mark_of(one: PrintingRecord, *asked: Criterion) -> Mark:
    task = exercise(*asked, unlocked=("time_s", "development_time_s"))
    return score(judged(task, one), task).marks[0]


def told(one: PrintingRecord, task: Exercise) -> tuple[Advice, ...]:
    print_of = judged(task, one)
    return advise(task, print_of, score(print_of, task))


def words(one: PrintingRecord, task: Exercise) -> str:
    return " ".join(advice_words(advice, Words()) for advice in told(one, task))


@pytest.mark.parametrize(
    ("soft_s", "hard_s", "full"),
    [(8.0, 8.0, True), (7.61, 20.0, True), (7.59, 20.0, False), (20.0, 7.59, False), (30.0, 8.0, True), (9.0, 300.0, True)],
)
def test_the_shortest_exposure_of_the_whole_sheet_must_have_its_seconds(soft_s: float, hard_s: float, full: bool) -> None:
    assert (mark_of(halves(soft_s, hard_s), HALVES).share == 1.0) is full


def test_exposures_are_not_counted_and_a_burn_is_no_half() -> None:
    assert mark_of(record(time_s=8.0), HALVES).share == 1.0
    assert mark_of(halves(1.0, 30.0), HALVES).share == 0.0
    two = halves(9.0, 12.0)
    assert mark_of(two, HALVES).measured == 9.0
    assert mark_of(two, HALVES).wanted == 8.0


def test_short_halves_are_told_with_a_smaller_mark_to_come() -> None:
    """The light is right, the seconds are not: what is asked for is less light a second."""
    tones = as_printed(halves(4.0, 4.0), "patch-1", "patch-5")
    task = exercise(*tones, HALVES, unlocked=("time_s", "f_number", "exposures"))
    said = words(halves(4.0, 4.0), task)
    assert "too short to work in" in said
    assert "one stop less light a second" in said
    assert "too long" not in words(halves(40.0, 40.0), exercise(HALVES, unlocked=("time_s", "f_number", "exposures")))


@pytest.mark.parametrize(
    ("time_s", "full"),
    [(0.921 * FULL_S, True), (0.919 * FULL_S, False), (FULL_S, True), (2.049 * FULL_S, True), (2.051 * FULL_S, False)],
)
def test_full_development_earns_within_a_hands_care_with_the_clock(time_s: float, full: bool) -> None:
    assert (mark_of(developed(time_s), TRAY).share == 1.0) is full


def test_a_tired_bath_is_asked_for_its_own_end_not_for_the_clocks() -> None:
    assert mark_of(developed(FULL_S, sheets_before=65.0), TRAY).share == 0.0
    assert mark_of(developed(2.2 * FULL_S, sheets_before=65.0), TRAY).share == 1.0


@pytest.mark.parametrize(
    ("share", "says"),
    [(0.960, "too early"), (0.9745, ""), (1.99, ""), (2.01, "stayed in so long")],
)
def test_pulled_and_left_in_are_told_on_their_side_of_complete_and_not_before(share: float, says: str) -> None:
    task = exercise(AT_ONCE, unlocked=("time_s", "development_time_s"))
    said = words(developed(share * FULL_S), task)
    assert says in said
    assert bool(said) is bool(says)


@pytest.mark.parametrize("with_criterion", [False, True])
def test_a_sheet_left_in_till_fog_came_is_called_so_and_not_too_dark(with_criterion: bool) -> None:
    """Fog lies over the whites like too much light; the clock says which it is."""
    tones = as_printed(ANSWER, "patch-1", "patch-3", "patch-5", tolerance=0.02)
    task = exercise(*tones, *([TRAY] if with_criterion else []), unlocked=("time_s", "development_time_s"))
    found = told(developed(6.0 * FULL_S), task)
    assert [one.cause for one in found] == ["development"], "told once"
    assert found[0].direction == "shorter-development"
    assert "stayed in so long" in advice_words(found[0], Words())


def test_pulled_and_too_dark_are_both_told_and_the_pulled_one_is_no_lack_of_light() -> None:
    tones = as_printed(ANSWER, "patch-1", "patch-3", "patch-5")
    task = exercise(*tones, unlocked=("time_s", "development_time_s"))
    dark = replace(record(time_s=12.0), development=Development(25.0))
    found = {one.cause: one.direction for one in told(dark, task)}
    assert found == {"development": "longer-development", "exposure": "less-light"}


def test_where_the_tray_is_locked_nothing_is_said_of_it() -> None:
    task = exercise(AT_ONCE, *as_printed(ANSWER, "patch-1"), unlocked=("time_s", "temperature_c"))
    assert "too early" in words(developed(30.0), task)
    locked = exercise(*as_printed(ANSWER, "patch-1"), unlocked=("time_s",))
    assert "too early" not in words(developed(30.0), locked)


@pytest.mark.parametrize(("share", "true"), [(0.8, True), (1.0, False)])
def test_a_tray_that_was_too_short_is_a_true_answer_though_the_light_is_far_off(share: float, true: bool) -> None:
    task = exercise(*as_printed(ANSWER, "patch-1", "patch-3"), unlocked=("time_s", "development_time_s"))
    made = replace(record(time_s=ANSWER.exposures[0].time_s / 4.0), development=Development(share * FULL_S))
    one = judged(task, made)
    first, holds = advise_on_one(task, one, score(one, task))
    assert first[0].cause == "exposure"
    assert any(cause.cause == "development" for cause in holds) is true
