"""What is told of focus and mark: the one that was turned, on film that lies free and bows while the lamp burns."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sim.negative.develop import find_negative
from sim.notebook.advice_words import advice_words
from sim.printing.exposure import LightCache
from sim.printing.record import PrintingRecord
from sim.quantities import exact_f_number
from sim.scoring.advice import advise
from sim.scoring.derived import read_reference
from sim.scoring.exercise_file import find_exercise
from sim.scoring.judged import judge
from sim.scoring.marks import score
from sim.words import Words

FOLDER, EXERCISE = find_exercise("focus-and-best-aperture")
RIGHT = read_reference(FOLDER)[0]
LIGHTS = LightCache()


def at_mark(f_number: float, light_kept: bool) -> PrintingRecord:
    first = RIGHT.exposures[0]
    times = (exact_f_number(f_number) / exact_f_number(first.f_number)) ** 2 if light_kept else 1.0
    return RIGHT.with_exposures(replace(first, f_number=f_number, time_s=round(first.time_s * times, 1)))


def said(one: PrintingRecord) -> list[str]:
    print_of = judge(EXERCISE, (find_negative(RIGHT.negative),), (one,), 1.0, lights=LIGHTS, only_places=True)
    return [advice_words(advice, Words()) for advice in advise(EXERCISE, print_of, score(print_of, EXERCISE))]


@pytest.mark.parametrize("f_number", [11.0, 16.0])
def test_a_lens_stopped_down_past_its_best_is_opened_and_not_focused_anew(f_number: float) -> None:
    (only,) = said(at_mark(f_number, light_kept=True))
    assert "open the lens up" in only


def test_a_lens_wide_open_is_stopped_down_and_a_focus_that_was_right_is_left_alone() -> None:
    """The right mark leaves the corner a hair below what is wanted, within its tolerance: that is as sharp as was asked."""
    told = said(at_mark(2.8, light_kept=False))
    assert any("stop the lens down" in line for line in told)
    assert not any("focus" in line for line in told)


def test_a_stage_that_was_moved_is_focused_again_and_the_mark_left_alone() -> None:
    off = replace(RIGHT, enlarger=replace(RIGHT.enlarger, focus_offset_mm=RIGHT.enlarger.focus_offset_mm + 0.2))
    (only,) = said(off)
    assert "focus again" in only


def test_a_stage_moved_and_a_lens_stopped_down_too_far_are_both_told() -> None:
    """Neither alone makes the corner as sharp as was asked, so a learner who put only one right would still lose points."""
    small = at_mark(16.0, light_kept=True)
    told = said(replace(small, enlarger=replace(small.enlarger, focus_offset_mm=small.enlarger.focus_offset_mm + 0.2)))
    assert any("focus again" in line for line in told)
    assert any("open the lens up" in line for line in told)
