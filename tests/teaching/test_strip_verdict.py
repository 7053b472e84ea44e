"""A strip is judged only by what its steps show: the step called right is right by the solver, and nothing else is asked."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sim.command.lesson_lines import read_line
from sim.command.lesson_sheets import strip_record
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.notebook.tone_words import told_strip
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record import PrintingRecord, StripWay
from sim.printing.setup import strip_on, usual_setup
from sim.printing.strips import lay_strip, stop_times_s
from sim.refusals import Refused
from sim.scoring.exercise_file import find_exercise
from sim.teaching.lesson import LessonRun
from sim.teaching.strip_verdict import WantedTone, deciding_place, strip_asked, strip_seen, wanted_tones
from sim.viewing.easel_meter import time_for_density
from sim.viewing.strip_reading import steps_read
from sim.viewing.strip_tones import read_strip_on_tone, steps_that_show

PAPER = find_stock("glossy-rc-vc")
COARSE = 1.5


def laid(
    negative: Negative, place: str, way: StripWay, count: int, first_s: float, angle: float = 0.0,
    start: PrintingRecord | None = None,
) -> PrintingRecord:  # fmt: skip
    start, spot = start or usual_setup(negative, PAPER), negative.place(place)
    piece = strip_on(negative, start, spot.x, spot.y)
    times = stop_times_s(first_s, 0.4, count)
    return lay_strip(
        piece.record, times, 8.0, start.exposures[0].filter, way, angle, home_mm=piece.at_mm
    ).record


def right_time(negative: Negative, place: str, density: float) -> float:
    start = usual_setup(negative, PAPER)
    return time_for_density(negative, start, negative.place(place), PAPER, start.exposures[0], density)


@pytest.mark.parametrize(
    ("sleeve", "place", "wanted", "way", "angle", "counts"),
    [
        ("morning-shelf", "white-cup", 0.13, "same-place", 0.0, (3, 8, 12)),
        ("racks-small-film", "back-wall", 0.8, "covered", 0.0, (4, 5)),
        ("racks-small-film", "back-wall", 0.8, "bursts", 180.0, (3, 6)),
    ],
)
def test_the_step_called_right_is_right_by_the_solver(
    sleeve: str, place: str, wanted: float, way: StripWay, angle: float, counts: tuple[int, ...]
) -> None:
    negative = find_negative(sleeve)
    answer_s, asked = right_time(negative, place, wanted), 0
    for count in counts:
        for right in (1,) if way == "bursts" else (1, count - 2):  # many short bursts each lose the lamp's coming
            record = laid(negative, place, way, count, answer_s * 2.0 ** (-0.4 * right), angle)
            if not all(steps_that_show(negative, record, place)):
                continue
            sheet = make_print(negative, record, PAPER, COARSE)
            seen = strip_seen((WantedTone(place, wanted, 0.02),), negative, record, sheet)
            asked += 1
            assert seen.verdict.step == f"step-{right + 1}", (way, count)
    assert asked >= 2, "the strips of this kind must show the tone in every step"


def test_a_strip_along_a_tone_shows_it_in_every_step_and_one_across_tones_does_not() -> None:
    wall = find_negative("racks-small-film")
    found = steps_that_show(wall, laid(wall, "back-wall", "covered", 5, 4.0), "back-wall")
    assert all(found)
    assert sum(one.itself for one in found if one) == 1, "the place itself lies in one step of a covered strip"
    negative = find_negative("morning-shelf")
    across = laid(negative, "white-cup", "bursts", 7, 4.0)
    lies = [one.step for one in steps_that_show(negative, across, "white-cup") if one]
    assert 0 < len(lies) < 7
    with pytest.raises(Refused, match="must show the tone of 'white-cup'"):
        read_strip_on_tone("white-cup", negative, across, make_print(negative, across, PAPER, COARSE))


def test_a_tone_that_one_step_shows_is_judged_in_that_step_for_its_own_place() -> None:
    negative = find_negative("morning-shelf")
    tone, answer_s = WantedTone("white-cup", 0.13, 0.02), right_time(negative, "white-cup", 0.13)
    for step_is, factor in (("darker", 4.0), ("right", 1.0), ("lighter", 0.25)):
        record = laid(negative, "white-cup", "covered", 7, 1.0)
        asked = strip_asked((tone,), negative, record)
        assert asked.everywhere is None
        ((_, at),) = asked.parts
        record = laid(negative, "white-cup", "covered", 7, answer_s * factor * 2.0 ** (-0.4 * (at.step - 1)))
        seen = strip_seen((tone,), negative, record, make_print(negative, record, PAPER, COARSE))
        assert seen.verdict.step == ""
        assert (seen.verdict.tone, seen.verdict.in_step) == (step_is, at.step)


def test_the_lightest_tone_decides_not_the_one_worth_most_and_a_worked_place_only_where_it_is_all() -> None:
    _, exercise = find_exercise("holding-back-a-face")
    negative = find_negative(exercise.negatives[0])
    assert [tone.place for tone in wanted_tones(exercise, negative, 0)] == ["cheek-light", "cheek-shadow"]
    heavy = replace(exercise, criteria=tuple(
        replace(one, points=9.0) if one.spots[0].name == "cheek-shadow" else one for one in exercise.criteria
    ))  # fmt: skip
    assert deciding_place(heavy, negative) == "cheek-light"
    alone = replace(exercise, criteria=tuple(one for one in exercise.criteria if one.spots[0].name == "cheek-shadow"))
    assert deciding_place(alone, negative) == "cheek-shadow"


def test_in_a_lesson_no_step_is_asked_for_or_taken_where_the_steps_show_other_places(tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", "time-from-a-strip", mode="solo")
    run.predict("step-4")
    run.make(laid(run.negatives[0], "white-cup", "bursts", 9, 4.0, 90.0, start=run.start()), COARSE)
    step = run.step
    assert "Which step" not in step.question
    assert "white cup look in step" in step.question
    assert [choice.key for choice in step.choices] == ["lighter", "right", "darker"]
    with pytest.raises(Refused, match="no step of this strip can be called right"):
        run.see("step-3")
    run.see("darker")
    assert any("cannot decide" in text for text in run.step.texts)
    assert "in step" in run.step.measured
    assert run.step.choices[0].key == "other-places"
    run.why("other-places")
    told = " ".join(run.step.texts)
    assert told.startswith("Yes: its steps show different parts")
    assert "shows the white cup" in told


def test_a_strip_of_other_places_is_asked_for_the_tone_that_runs_through_all_its_steps(tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", "time-from-a-strip", mode="solo")
    run.predict("step-4")
    run.make(laid(run.negatives[0], "plaster", "bursts", 7, 2.0, 90.0, start=run.start()), COARSE)
    step = run.step
    assert step.question == "In which step does the plaster look right to you?"
    assert "A part as dense as the white cup lies in step 7 only." in step.texts, "the cup itself lies in no step whole"
    run.see("step-3")
    densities = [density for _, density in run.step.strip]
    assert densities == sorted(densities), "one tone through all steps, not whatever lies in their middles"
    run.why("bracketed")
    assert "each lost the lamp's coming" in " ".join(run.step.texts)


def test_a_step_that_the_strip_does_not_have_is_refused(tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", "time-from-a-strip", mode="solo")
    run.predict("step-2")
    run.make(laid(run.negatives[0], "white-cup", "same-place", 3, 4.0, start=run.start()), COARSE)
    assert "white cup" in run.step.question
    with pytest.raises(Refused, match="one of this strip's 3"):
        run.see("step-9")
    run.see("step-2")
    assert run.step.strip_shows[0].startswith("white-cup 0.")


def test_a_part_as_dense_as_a_place_is_not_called_it_and_a_number_is_that_of_the_name_beside_it(tmp_path: Path) -> None:
    """The wall itself lies in no step whole: question, reply and measured words say so, as does what is told of the strip."""
    run = LessonRun.open(tmp_path / "log.jsonl", "strip-along-the-tone", mode="solo")
    act = read_line("strip first=2 stops=0.5 steps=6 at=cheek-light way=covered")
    assert act is not None
    run.predict("step-3")
    made = strip_record(run, act)
    run.make(made, COARSE)
    sheet = run.sheet(run.last.number) if run.last else None
    assert sheet is not None
    asked = " ".join((*run.step.texts, run.step.question))
    assert "a part as dense as the wall lies in step 5" in asked
    assert "(the wall lies" not in asked
    assert ", the wall lies" not in asked
    assert "Step 5 shows none of the named places whole." in told_strip(run.negatives[0], made, sheet)
    run.see("darker")
    read = dict(one.split(" ") for one in run.step.strip_shows[2].split(", "))
    own = {name: f"{density:.2f}" for name, density in steps_read(run.negatives[0], made, sheet)[2].shows}
    assert read == own
    assert read["cheek-light"] != f"{run.step.strip[2][1]:.2f}", "the middle of the step is another tone's"
    run.why("other-places")
    assert any(text.startswith("Step 5 shows a part as dense as the wall, darker") for text in run.step.texts)


def test_an_answer_of_the_wrong_kind_is_refused_in_words(tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", "time-from-a-strip", mode="solo")
    run.begin()
    assert "Of a strip say which step will be right; of a print, how it will look." in run.step.texts
    run.predict("step-2")
    run.make(laid(run.negatives[0], "white-cup", "same-place", 3, 4.0, start=run.start()), COARSE)
    with pytest.raises(Refused, match="every step shows the white cup: say in which it looks right"):
        run.see("right")
    run.see("step-2")
    run.why("bracketed")
    run.predict("lighter")
    run.make(run.start(), COARSE)
    with pytest.raises(Refused, match="is a print and has no steps"):
        run.see("step-4")
    shown = LessonRun.open(tmp_path / "shown.jsonl", "time-from-a-strip", mode="example")
    shown.predict("step-4")
    shown.play(COARSE)
    shown.see("step-4")
    shown.why("bracketed")
    with pytest.raises(Refused, match="what is made next is a print and has no steps"):
        shown.predict("step-4")
