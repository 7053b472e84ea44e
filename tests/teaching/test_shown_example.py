"""What a lesson shows lies on the tone that decides, thinks aloud, and is on a negative that is not practised on."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from sim.enlarger.equipment import read_equipment
from sim.enlarger.filters import FilterSetting
from sim.enlarger.geometry import height_for_magnification_mm
from sim.enlarger.settings import set_up
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record_file import record_data
from sim.quantities import factor_to_stops
from sim.scoring.burn_stops import main_exposures
from sim.scoring.checking import negatives_of
from sim.scoring.derived import DERIVED, SHOWN_FILE, read_reference
from sim.scoring.exercise_file import find_exercise
from sim.scoring.ladder_bench import LadderBench
from sim.teaching.lesson import LessonRun
from sim.teaching.strip_verdict import deciding_place, strip_seen, wanted_tones
from sim.teaching.worked_example import decisions, plan_of, stops_of_light
from sim.workshop.derive.shown import OTHER_LIGHT_STOPS, derived_shown
from sim.workshop.derive.wishes import read_wishes
from tests.scoring.small_exercise import FILM, record

COARSE = 1.5
STRIP = "time-from-a-strip"


@pytest.mark.parametrize("name", [STRIP, "soft-and-hard", "a-card-in-one-exposure", "this-may-go-white"])
def test_a_model_strip_lies_on_the_tone_that_decides_and_holds_the_prints_own_step(name: str) -> None:
    folder, exercise = find_exercise(name)
    (negative,) = negatives_of(exercise)
    reference = read_reference(folder)
    record = plan_of("completion", exercise, [negative], reference)[0].record
    tones = wanted_tones(exercise, negative, 0)
    assert tones[0].place == deciding_place(exercise, negative)
    sheet = make_print(negative, record, find_stock(exercise.paper), COARSE)
    seen = strip_seen(tones[:1], negative, record, sheet)
    assert record.strip is not None
    times = record.strip.times_s
    time_s = reference[0].exposures[main_exposures(reference[0])[0]].time_s
    right = min(range(len(times)), key=lambda k: abs(times[k] / time_s - 1.0)) + 1
    assert 1 < right < len(times)
    assert seen.verdict.step == f"step-{right}", "what the strip is said to show is what the print is made with"


def test_of_a_pair_every_step_gets_the_other_light_as_well() -> None:
    folder, exercise = find_exercise("soft-and-hard")
    reference = read_reference(folder)
    played = plan_of("completion", exercise, negatives_of(exercise), reference)[0]
    assert played.record.strip is not None
    (other,) = played.record.strip.each
    assert other.filter == reference[0].exposures[1].filter
    assert other.time_s == reference[0].exposures[1].time_s
    assert any("as well" in words for words in played.words)


def test_the_example_thinks_aloud_what_was_seen_what_follows_and_what_was_decided(tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", STRIP, mode="example")
    run.predict("step-4")
    run.play(COARSE)
    run.see("step-4")
    run.why("bracketed")
    texts = run.step.texts
    seen = next(text for text in texts if text.startswith("Seen, of the white cup: "))
    assert "is lost in the white of the paper" in seen or "just holds" in seen
    assert not re.search(r"\d\.\d", seen), "what is seen comes before any density"
    assert texts.index(seen) < next(k for k, text in enumerate(texts) if text.startswith("What follows: "))
    assert any(text.startswith("Decided: ") for text in texts)
    assert all(len(text.split()) <= 60 for text in texts)


def test_a_worked_example_is_on_a_negative_that_is_not_practised_on_and_solves_nothing_there(tmp_path: Path) -> None:
    source, exercise = find_exercise(STRIP)
    reference = read_reference(source)
    (record,), stops = derived_shown(exercise, reference, read_wishes(source))
    assert stops == []
    assert record.negative not in (*exercise.negatives, *exercise.also)
    assert record.exposures[0].f_number == reference[0].exposures[0].f_number
    assert abs_stops(record.exposures[0].time_s, reference[0].exposures[0].time_s) >= OTHER_LIGHT_STOPS
    bench = LadderBench(exercise, negatives_of(exercise))
    copied = replace(reference[0], exposures=(replace(reference[0].exposures[0], time_s=record.exposures[0].time_s),))
    assert not bench.marks_of([copied]).passed(exercise), "the example's seconds do not solve the exercise"
    folder = tmp_path / STRIP
    shutil.copytree(source, folder)
    (folder / DERIVED / SHOWN_FILE).write_text(json.dumps([record_data(record)]), "utf-8")
    run = LessonRun.open(tmp_path / "log.jsonl", str(folder), mode="example")
    assert [negative.name for negative in run.negatives] == [record.negative]
    assert len(run.plan) == 2
    run.evening.close()
    again = LessonRun.open(tmp_path / "log.jsonl", str(folder))
    assert [negative.name for negative in again.negatives] == [record.negative]
    practised = LessonRun.open(tmp_path / "second.jsonl", str(folder), mode="completion", attempt=2)
    assert [negative.name for negative in practised.negatives] == list(exercise.negatives)


def abs_stops(one_s: float, other_s: float) -> float:
    return abs(factor_to_stops(one_s / other_s))


@pytest.mark.parametrize(
    ("stops", "words"),
    [
        (0.047, "hardly any other light"), (1.0, "1.0 stop more light"), (-1.5, "1.5 stops less light"),
        (0.84, "0.8 stop more light"), (-1.04, "1.0 stop less light"),
    ],
)  # fmt: skip
def test_a_change_too_small_to_name_is_not_called_nought_stops(stops: float, words: str) -> None:
    assert stops_of_light(stops) == words


def test_the_light_of_other_seconds_at_another_mark_counts_the_lens() -> None:
    """Taught in the lesson on stopping down: four stops of the lens eat most of what 28 times the seconds give."""
    start, made = record(time_s=0.7), record(time_s=20.0)
    start, made = (one.with_exposures(replace(one.exposures[0], f_number=f)) for one, f in ((start, 8.0), (made, 32.0)))
    said = " ".join(decisions(start, made))
    assert "20 s at f/32 instead of 0.7 s at f/8: 0.8 stop more light, chosen for the light tones." in said
    assert "4.8" not in said


def test_other_seconds_for_the_same_light_at_another_mark_are_called_hardly_any_other_light() -> None:
    start, made = record(time_s=10.0), record(time_s=20.0)
    made = made.with_exposures(replace(made.exposures[0], f_number=11.0))
    assert "20 s at f/11 instead of 10 s at f/8: hardly any other light" in " ".join(decisions(start, made))


def test_a_larger_picture_spreads_its_light_and_the_example_counts_it() -> None:
    """Twice the seconds from a head so high that the easel has half the light are hardly any other light."""
    start, made = record(time_s=10.0), record(time_s=20.0)
    bench = set_up(start.enlarger, FILM)
    wanted = (1.0 + bench.magnification) * 2.0**0.5 - 1.0
    height_mm = height_for_magnification_mm(bench.lens.focal_mm, wanted)
    made = replace(made, enlarger=replace(made.enlarger, height_mm=height_mm))
    said = " ".join(decisions(start, made))
    assert "20 s instead of 10 s: hardly any other light on the paper, with what the head's new height does to it" in said


def test_light_behind_another_filter_says_what_it_does_not_count_and_another_head_is_not_counted_at_all() -> None:
    start, made = record(time_s=10.0), record(time_s=20.0)
    behind = made.with_exposures(replace(made.exposures[0], filter=FilterSetting("4")))
    assert "1.0 stop more light, not counting what the other filter does to it, chosen" in " ".join(decisions(start, behind))
    head = next(name for name in read_equipment()[0] if name != made.enlarger.head)
    other = replace(made, enlarger=replace(made.enlarger, head=head))
    said = " ".join(decisions(start, other))
    assert "20 s instead of 10 s, chosen for the light tones: through another set-up it is no count of light." in said
    assert "more light" not in said


def test_of_a_soft_and_a_hard_exposure_one_half_is_not_told_as_the_sheets_light() -> None:
    start, made = record(time_s=12.0), record(time_s=8.4)
    soft = replace(made.exposures[0], filter=FilterSetting("00"))
    said = " ".join(decisions(start, made.with_exposures(soft, replace(soft, filter=FilterSetting("5"), time_s=19.0))))
    assert "8.4 s with filter 00, then 19 s with filter 5" in said
    assert "less light" not in said
