"""What a learner reads of a card too small, or over another place: its size or place first, and nothing that contradicts it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from sim.command.lesson_lines import read_line
from sim.command.printing_lines import print_said
from sim.negative.develop import find_negative
from sim.notebook.advice_words import advice_words
from sim.paper.stock import find_stock
from sim.scoring.advice import advise_on_one
from sim.scoring.exercise_file import find_exercise
from sim.scoring.judged import judge
from sim.scoring.marks import score
from sim.scoring.start import start_record
from sim.words import Words

SKY, FACE, SECOND = "pit-under-clouds", "head-half-lit", "head-half-lit~second"


@cache
def told(lesson: str, film: str, line: str) -> tuple[tuple[str, ...], tuple[tuple[str, str], ...]]:
    """Return the lines about a print, and cause and direction of all that a true answer may name."""
    exercise = replace(find_exercise(lesson)[1], negatives=(film,))
    negative, act = find_negative(film), read_line(line)
    assert act is not None
    record = print_said(negative, start_record(exercise, negative, find_stock(exercise.paper)), act)
    judged = judge(exercise, (negative,), [record], 0.0, only_places=True)
    first, holds = advise_on_one(exercise, judged, score(judged, exercise))
    return tuple(advice_words(one, Words()) for one in first), tuple((one.cause, one.direction) for one in holds)


@pytest.mark.parametrize(
    "line", ["print time=4 burn=cloud:2:3", "print time=4 burn=cloud:2:10", "print time=3.1 filter=3 burn=cloud:2:3"]
)
def test_a_hole_too_small_is_named_first_and_its_place_is_not_to_be_burnt_less(line: str) -> None:
    lines, holds = told("burning-a-sky", SKY, line)
    assert lines[0] == "The cloud reads 0.05, 0.08 too light: the hole is too small for the cloud and does not cover it."
    assert not any("less" in said and "cloud" in said for said in lines)
    assert not any("too large" in said for said in lines)
    assert ("local", "more-light-here") in holds, "who says that the cloud wants light of its own has seen rightly"


def test_a_time_too_long_is_told_beside_a_hole_too_small() -> None:
    lines, _ = told("burning-a-sky", SKY, "print time=4 burn=cloud:2:3")
    assert lines[1] == "The lit bank reads 0.27, 0.15 too dark: about a third of a stop less light."


@pytest.mark.parametrize("size", ["3", "3:still", "10", "10:still"])
def test_a_tool_too_small_over_a_right_time_asks_for_no_other_time(size: str) -> None:
    """The cheek light reads as wanted: what a larger tool will take of it is seen on the sheet that has the tool."""
    lines, holds = told("holding-back-a-face", FACE, f"print time=6 hold-back=cheek-shadow:1:{size}")
    assert "too dark: the tool is too small for the cheek shadow and does not cover it." in lines[0]
    assert not any("more light" in said or "too large" in said or "cheek light" in said for said in lines)
    assert "exposure" not in {cause for cause, _ in holds}


def test_a_card_over_another_place_comes_before_the_light_that_it_hides() -> None:
    """The cheek light lies within its tolerance under the wrong card; without it the time is half a stop too long."""
    lines, _ = told("holding-back-a-face", SECOND, "print time=6 hold-back=forehead:0.8:38")
    assert lines[0].endswith("the card was held over the forehead and missed the cheek shadow, where it belongs.")
    hidden = "Once the rest is put right, the cheek light would read 0.25, 0.13 too dark: about half a stop less light."
    assert lines[1] == hidden
    assert lines[2].startswith("Once the rest is put right, the cheek shadow would read ")
    assert not any("0.01 too dark" in said for said in lines)
