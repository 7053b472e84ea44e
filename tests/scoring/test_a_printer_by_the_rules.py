"""A printer who works by the trade's rules, on patches: what can be had is had, by the dials that are open, inside its time."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from sim.reading import OutsideError
from sim.scoring.exercise import Exercise
from sim.scoring.ladder import ByTheRules, Climb, climb, harder
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.start import Dials
from sim.scoring.syllabus import read_syllabus
from sim.scoring.variants import tone_share

from .small_exercise import FILM, LIGHTS, START, as_printed, criterion, exercise, patches, record

ANSWER = record(time_s=8.0)
ENDS = ("patch-1", "patch-3", "patch-5")
TONES = as_printed(ANSWER, *ENDS)


def bench_of(task: Exercise) -> LadderBench:
    return LadderBench(task, (FILM,), LIGHTS)


def worked(task: Exercise, **start: object) -> tuple[Climb, ByTheRules]:
    """Let the printer work at the dials of a start; return how it went, and the printer."""
    bench, printers = bench_of(task), list[ByTheRules]()

    def sit(bench: LadderBench, _dials: list[Dials], rng: np.random.Generator) -> ByTheRules:
        printers.append(ByTheRules(bench, [Dials(replace(START, **start))], rng))  # type: ignore[arg-type]
        return printers[0]

    return climb(bench, np.random.Generator(np.random.PCG64(1)), sit), printers[0]


@pytest.mark.parametrize(("time_s", "strips"), [(20.0, 2), (32.0, 2), (64.0, 3)])
def test_a_time_too_long_is_put_right_by_strips_before_the_first_sheet(time_s: float, strips: int) -> None:
    """A strip of three stops each way and a finer one; two stops off it needs no more, three stops a second coarse one."""
    went, printer = worked(exercise(*TONES), time_s=time_s)
    assert went.passed
    assert went.shares == pytest.approx((1.0,), abs=0.02)
    assert printer.dials[0].start.time_s == pytest.approx(8.0, rel=0.04)
    assert went.sheets == 1.0 + 0.25 * strips


@pytest.mark.parametrize("time_s", [1.0, 2.0])
def test_from_a_time_so_short_that_the_lamp_hardly_comes_it_takes_more_than_one_sheet(time_s: float) -> None:
    went, printer = worked(exercise(*TONES), time_s=time_s)
    assert went.passed
    assert len(went.shares) > 1
    assert list(went.shares) == sorted(went.shares)
    assert printer.dials[0].start.time_s == pytest.approx(8.0, rel=0.04)


@pytest.mark.parametrize("name", ["00", "4"])
def test_a_wrong_filter_is_found_by_what_the_darks_lack(name: str) -> None:
    went, printer = worked(exercise(*TONES), filter=name)
    assert went.passed
    assert printer.dials[0].start.filter in ("1.5", "2", "2.5")
    assert len(went.shares) >= 2


@pytest.mark.parametrize(("start", "right"), [(4.0, 8.0), (16.0, 8.0)])
def test_where_the_time_is_locked_the_mark_gives_the_light(start: float, right: float) -> None:
    went, printer = worked(exercise(*TONES, unlocked=("f_number",)), f_number=start)
    assert went.passed
    assert printer.dials[0].start.f_number == right
    assert printer.dials[0].start.time_s == START.time_s


@pytest.mark.parametrize(
    ("least_s", "most_s", "mark"), [(14.0, 20.0, 11.0), (28.0, 40.0, 16.0), (7.0, 10.0, 8.0), (3.5, 5.0, 5.6)]
)
def test_a_time_that_is_asked_for_is_kept_by_whole_stops_of_the_mark(least_s: float, most_s: float, mark: float) -> None:
    window = criterion("time-window", wanted=least_s, most=most_s, tolerance=0.1 * least_s)
    went, printer = worked(exercise(*TONES, window, unlocked=("time_s", "f_number")), time_s=5.0)
    (dials,) = printer.dials
    assert dials.start.f_number == mark
    assert least_s <= dials.start.time_s <= most_s
    assert went.passed


def test_filters_are_counted_in_half_grades_and_end_at_the_sets_ends() -> None:
    assert [harder("2", grades) for grades in (0.5, -1.0, 9.0, -9.0)] == ["2.5", "1", "5", "00"]
    assert harder("none", 1.0) == "none"


def test_a_negative_on_which_the_tones_can_be_had_is_told_from_one_on_which_they_cannot() -> None:
    """A film denser all over is printed with more light; one of another range needs another filter, or a card."""
    both = exercise(*TONES)
    assert tone_share(both, FILM) == pytest.approx(1.0, abs=0.01)
    assert tone_share(both, patches(shift=0.3)) == pytest.approx(1.0, abs=0.01)
    locked = exercise(*TONES, unlocked=("filter",))
    assert (tone_share(locked, patches(shift=0.3)) or 0.0) < 0.2


def test_a_card_over_a_place_brings_its_tone_where_time_and_filter_leave_it() -> None:
    """The middle patch is wanted as dark as a burn of one stop makes it: only where cards are open can it be had."""
    (darker,) = as_printed(record(time_s=16.0), "patch-3")
    tones = (TONES[0], darker, TONES[2])
    without = tone_share(exercise(*tones), FILM)
    with_cards = tone_share(exercise(*tones, unlocked=("time_s", "filter", "cards")), FILM)
    assert without is not None
    assert with_cards is not None
    assert with_cards == pytest.approx(1.0, abs=0.01)
    assert without < 0.9
    (lighter,) = as_printed(record(time_s=5.0), "patch-3")
    held = tone_share(exercise(TONES[0], lighter, TONES[2], unlocked=("time_s", "filter", "cards")), FILM)
    assert held == pytest.approx(1.0, abs=0.01)


LESSON = '[[lesson]]\nslug = "{slug}"\ntitle = "T"\nskill = "{skill}"\n{more}\n'


@pytest.mark.parametrize(
    ("more", "key"),
    [
        ("", ""), ('habit_from = "first"\nhabit_cause = "contrast"', ""), ('needs = ["light"]', ""),
        ('habit_from = "second"\nhabit_cause = "contrast"', "habit_from"), ('habit_from = "first"', "habit_cause"),
        ('habit_cause = "contrast"', "habit_cause"), ('needs = ["filters"]', "needs"),
    ],
)  # fmt: skip
def test_a_habit_comes_from_an_earlier_lesson_and_a_skill_is_taught_before_it_is_needed(
    more: str, key: str, tmp_path: Path
) -> None:
    file = tmp_path / "syllabus.toml"
    first = LESSON.format(slug="first", skill="light", more="")
    second = LESSON.format(slug="second", skill="filters", more=more)
    file.write_text("format = 1\n" + first + second, encoding="utf-8")
    if not key:
        assert [entry.slug for entry in read_syllabus(file).lessons] == ["first", "second"]
        return
    with pytest.raises(OutsideError, match=rf"lesson\[1\]\.{key}"):
        read_syllabus(file)


def test_a_lesson_stands_only_once(tmp_path: Path) -> None:
    file = tmp_path / "syllabus.toml"
    one = LESSON.format(slug="first", skill="light", more="")
    file.write_text("format = 1\n" + one + one, encoding="utf-8")
    with pytest.raises(OutsideError, match=r"lesson\[1\]\.slug"):
        read_syllabus(file)
