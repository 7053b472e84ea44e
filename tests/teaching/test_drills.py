"""Drills: true to the engine, quick, finer after near answers, marked with cause and direction."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.enlarger.filters import GRADE_OF_FILTER, FilterSetting
from sim.printing.make_print import make_print
from sim.scoring.syllabus import read_syllabus
from sim.teaching.drill_negatives import drawn_negative, printable_negative
from sim.teaching.drills import (
    DRILLS,
    FIRST_DIFFICULTY,
    MOST_ERROR,
    DrillItem,
    answer_item,
    difficulty,
    draw_item,
    drill_for,
)
from sim.viewing.densitometer import read_place

SEEDS = range(3)
HARD, EASY = [0.0], [9.0]


def rng(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def right_answer(item: DrillItem) -> str:
    parts = []
    if item.answer_s is not None:
        parts.append(f"{item.answer_s:.2f}")
    if item.answer_stops is not None:
        parts.append(f"{item.answer_stops:.2f}")
    if item.answer_filter is not None:
        parts.append(item.answer_filter)
    return " ".join(parts)


def test_the_syllabus_names_only_drills_there_are() -> None:
    syllabus = read_syllabus()
    assert {drill.slug for drill in syllabus.drills} <= set(DRILLS)
    assert {drill_for(skill) for skill in syllabus.skills} <= set(DRILLS)
    assert drill_for("something else") == "read-the-strip"


@pytest.mark.parametrize("errors", [EASY, HARD])
@pytest.mark.parametrize("drill", DRILLS)
def test_the_right_answer_is_right(drill: str, errors: list[float]) -> None:
    for seed in SEEDS:
        item = draw_item(drill, rng(seed), errors)
        marked = answer_item(item, right_answer(item))
        assert marked.right
        assert marked.error < 0.2
        assert marked.words.startswith("Right")
        assert item.question.endswith("?")
        assert item.facts


@pytest.mark.parametrize("drill", DRILLS)
def test_the_same_generator_draws_the_same_item(drill: str) -> None:
    first, second, other = (draw_item(drill, rng(seed)) for seed in (4, 4, 5))
    assert (first.facts, first.answer_s, first.answer_stops, first.answer_filter) == (
        second.facts, second.answer_s, second.answer_stops, second.answer_filter,
    )  # fmt: skip
    assert first.facts != other.facts


def test_items_grow_finer_when_answers_are_near() -> None:
    levels = [difficulty([error] * 5) for error in (5.0, 2.0, 1.0, 0.5, 0.0)]
    assert levels == sorted(levels)
    assert (levels[0], levels[-1]) == (0.0, 1.0)
    assert difficulty([]) == FIRST_DIFFICULTY
    for drill in DRILLS:
        easy, fine = draw_item(drill, rng(3), EASY), draw_item(drill, rng(3), HARD)
        assert (fine.tolerance, fine.filter_tolerance) <= (easy.tolerance, easy.filter_tolerance)
        assert (fine.tolerance, fine.filter_tolerance) != (easy.tolerance, easy.filter_tolerance)


def test_a_strips_right_time_prints_the_tone_that_is_wanted() -> None:
    for seed in SEEDS:
        drawn = drawn_negative(rng(seed))
        item = draw_item("read-the-strip", rng(seed), HARD)
        exposure = replace(drawn.record.exposures[0], time_s=item.answer_s or 0.0, filter=FilterSetting("2"))
        sheet = make_print(drawn.negative, drawn.record.with_exposures(exposure), drawn.stock)
        assert read_place(sheet, drawn.lightest) == pytest.approx(drawn.aims[0], abs=0.01)
        assert item.picture is not None


def test_a_strips_readings_rise_and_bracket_the_tone() -> None:
    for seed in SEEDS:
        item = draw_item("read-the-strip", rng(seed))
        readings = [float(fact.split()[-1]) for fact in item.facts]
        assert readings == sorted(readings)
        wanted = drawn_negative(rng(seed)).aims[0]
        assert readings[0] - 0.01 <= wanted <= readings[-1]


def test_the_filter_found_is_the_one_whose_print_comes_nearest() -> None:
    drawn, name, time_s = printable_negative(rng(2))
    light, dark = drawn.aims
    misses = {}
    for other in ("0", "1", "2", "3", "4", "5", name):
        exposure = replace(drawn.record.exposures[0], filter=FilterSetting(other), time_s=drawn.time_s(light, other))
        sheet = make_print(drawn.negative, drawn.record.with_exposures(exposure), drawn.stock)
        misses[other] = abs(read_place(sheet, drawn.darkest) - dark)
    assert min(misses.values()) == misses[name]
    assert drawn.time_s(light, name) == pytest.approx(time_s)


def test_a_longer_range_wants_a_softer_filter() -> None:
    found = [printable_negative(rng(seed)) for seed in range(8)]
    ranges = [drawn.range_stops for drawn, _, _ in found]
    steps = [GRADE_OF_FILTER[name] for _, name, _ in found]
    assert np.corrcoef(ranges, steps)[0, 1] < -0.9


def time_item(**more: object) -> DrillItem:
    kept = {"answer_s": 10.0, "tolerance": 0.2, "reason": "because"} | more
    return DrillItem("d", "How many?", ("fact",), "seconds, such as 8.5", **kept)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "right", "error", "words"),
    [
        ("10", True, 0.0, "Right: 10.0 s"), ("11 s", True, 0.69, "Right"), ("20s", False, 5.0, "1.0 stops too long"),
        ("5,", False, 5.0, "too short: it needs more light"), ("9999", False, MOST_ERROR, "too long"),
    ],
)  # fmt: skip
def test_a_time_is_marked_with_direction_and_size_in_stops(text: str, right: bool, error: float, words: str) -> None:
    marked = answer_item(time_item(), text)
    assert (marked.right, words in marked.words) == (right, True)
    assert marked.error == pytest.approx(error, abs=0.01)
    assert ("Because." in marked.words) == (not right)


def test_a_burn_and_a_filter_are_marked_in_their_own_units() -> None:
    burn = time_item(answer_s=None, answer_stops=1.0)
    assert "too little burn" in answer_item(burn, "0.5 stops").words
    assert "too much burn" in answer_item(burn, "1.5").words
    assert answer_item(burn, "0").error == 5.0
    filters = time_item(answer_s=None, answer_filter="3")
    assert answer_item(filters, "filter 3").right
    assert "2 filter steps too soft" in answer_item(filters, "1").words
    assert "0.5 filter steps too hard" not in answer_item(filters, "3.5").words
    assert "too hard; right is filter 3" in answer_item(filters, "5").words


def test_of_time_and_filter_the_further_off_decides() -> None:
    both = time_item(answer_filter="2", tolerance=0.5)
    assert answer_item(both, "10 s, filter 2").right
    assert answer_item(both, "10 00").error == pytest.approx(5.0)
    wrong = answer_item(both, "40 2")
    assert "2.0 stops too long" in wrong.words
    assert "Right: filter 2." in wrong.words


@pytest.mark.parametrize("text", ["", "dark", "10 20", "-3", "0", "1e5", "nan", "10 s 2 3", "٣", "\x00"])
def test_what_is_no_answer_is_refused_with_its_form(text: str) -> None:
    with pytest.raises(ValueError, match=r"the answer must be seconds, such as 8\.5"):
        answer_item(time_item(), text)
    if text != "0":  # that is a filter
        with pytest.raises(ValueError, match="the answer must be"):
            answer_item(time_item(answer_s=None, answer_filter="2"), text)


def test_an_unknown_drill_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValueError, match="drill must be one of read-the-strip"):
        draw_item("juggle", rng(1))
