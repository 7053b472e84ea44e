"""What a strip's steps and a learner's answers are: found again in records, kept in one spelling, held against readings."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from lesson_hands import (
    FILTER_LESSON,
    solo,
    strip,
    timed,
)

from sim.enlarger.filters import FilterSetting
from sim.printing.strips import lay_strip, stop_times_s, strip_in
from sim.teaching.lesson_looks import CONTRAST, LIGHT, Verdict, came_true, checked_choice
from sim.teaching.lesson_texts import WHY_WORDS
from sim.teaching.strip_texts import STRIP_WHY
from sim.teaching.worked_example import strip_across


@pytest.mark.parametrize("way", ["bursts", "covered", "same-place"])
@pytest.mark.parametrize("angle", [0.0, 90.0])
def test_a_strips_steps_are_found_again_in_its_record(way: str, angle: float, tmp_path: Path) -> None:
    run = solo(tmp_path)
    piece = strip_across(run.negatives[0], run.start(), "white-cup")
    laid = lay_strip(piece.record, stop_times_s(2.0, 0.4, 6), 8.0, FilterSetting("2"), way, angle)  # type: ignore[arg-type]
    found = strip_in(laid.record)
    assert found is not None
    assert [s.time_s for s in found.steps] == pytest.approx([s.time_s for s in laid.steps])
    assert [(s.x_mm, s.y_mm) for s in found.steps] == [pytest.approx((s.x_mm, s.y_mm)) for s in laid.steps]


def test_what_is_no_strip_or_laid_by_hand_has_no_steps(tmp_path: Path) -> None:
    run = solo(tmp_path)
    record = timed(run, 8.0)
    assert strip_in(record) is None
    by_hand = strip(run).with_exposures(*record.exposures)
    assert strip_in(by_hand) is None


ANSWERS = {
    "Darker": "darker", "4": "step-4", "step-12": "step-12", "filter-2.5": "filter-2.5", "8.5s": "8.5 s", "8.50 s": "8.5 s",
    " before-first ": "before-first",
}  # fmt: skip


@pytest.mark.parametrize("text", ANSWERS)
def test_answers_are_kept_in_one_spelling(text: str) -> None:
    assert checked_choice(text) == ANSWERS[text]


@pytest.mark.parametrize("text", ["", "blue", "step-0", "step-21", "filter-6", "900 s", "0 s", "1e3 s", "\x00", "21", "٣"])
def test_what_is_no_answer_is_refused_with_those_there_are(text: str) -> None:
    with pytest.raises(ValueError, match="the answer must be lighter"):
        checked_choice(text)


VERDICTS = [
    ("lighter", Verdict("lighter"), True), ("darker", Verdict("lighter"), False), ("lighter", Verdict(), None),
    ("harder", Verdict("right", "harder"), True), ("softer", Verdict("right", "harder"), False),
    ("softer", Verdict("right"), None),
    ("right", Verdict("right", "right"), True), ("right", Verdict("right", "softer"), False), ("right", Verdict(), None),
    ("step-3", Verdict(step="step-3"), True), ("step-3", Verdict(step="after-last"), False),
    ("darker", Verdict(step="step-1"), None),
    ("step-3", Verdict("right"), None),
    ("filter-3", Verdict("right", "softer"), True), ("filter-1", Verdict("right", "softer"), False),
    ("filter-1", Verdict("right", "harder"), True), ("filter-2", Verdict("right", "right"), True),
    ("filter-2", Verdict("right"), None),
    ("20 s", Verdict("lighter", off_stops=1.0), True), ("11 s", Verdict("lighter", off_stops=1.0), False),
    ("20 s", Verdict("lighter"), True), ("5 s", Verdict("lighter"), False), ("5 s", Verdict("darker"), True),
    ("10 s", Verdict("right"), True), ("10 s", Verdict(), None),
]  # fmt: skip


@pytest.mark.parametrize(("choice", "verdict", "expected"), VERDICTS)
def test_a_prediction_is_held_against_the_readings(
    choice: str, verdict: Verdict, expected: bool | None, tmp_path: Path
) -> None:
    run = solo(tmp_path, FILTER_LESSON)
    record = run.start()
    record = record.with_exposures(replace(record.exposures[0], time_s=10.0, filter=FilterSetting("2")))
    assert came_true(choice, verdict, record) is expected


def test_the_lessons_own_texts_keep_to_sixty_words() -> None:
    texts = [*WHY_WORDS.values(), *STRIP_WHY.values(), *LIGHT.values(), *CONTRAST.values()]
    assert max(len(text.split()) for text in texts) <= 60
