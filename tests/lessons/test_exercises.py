"""Every lesson is sound: its reference earns full marks, its trials are called by their cause, its texts keep quiet.

Reference, start and trials of every lesson are proved by ``tonewright derive --check``, which continuous testing runs beside
the tests. Here some lessons, drawn anew for every run, show that what was derived is read as derive means it; by night all.
"""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from night import drawn

from sim.negative.sleeve import find_sleeve
from sim.negative.sleeve_contents import seen_through
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.record import PrintingRecord
from sim.reading import OutsideError, data_folder
from sim.scoring.advice import advise
from sim.scoring.checking import (
    first_advice,
    negatives_of,
    read_reference,
    reference_problems,
    text_problems,
)
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import exercise_names, find_exercise, read_exercise
from sim.scoring.hints import MOST_WORDS, brief_of, hints_of
from sim.scoring.judged import judge
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.marks import score
from sim.scoring.start import start_record
from sim.scoring.syllabus import read_syllabus
from sim.scoring.trial import read_trials

LESSONS = exercise_names()
FOLDERS = data_folder("lessons")
TRIED = drawn(LESSONS, 3, "lessons whose claims are tried")
HABITS = drawn([entry.slug for entry in read_syllabus().lessons if entry.habit_from], 9, "lessons whose habit is tried")


def bench_of(name: str) -> LadderBench:
    """Return a lesson's bench. Its lights take hundreds of megabytes: it is let go before the next is set up."""
    exercise = find_exercise(name)[1]
    return LadderBench(exercise, negatives_of(exercise), LightCache(most=8))


@pytest.fixture(scope="module", params=TRIED)
def tried(request: pytest.FixtureRequest) -> LadderBench:
    """A lesson whose claims are tried; all that is asked of it is asked before the next one's turn."""
    return bench_of(request.param)


def starts(bench: LadderBench) -> list[PrintingRecord]:
    stock = find_stock(bench.exercise.paper)
    return [start_record(bench.exercise, bench.negatives[index], stock) for index in bench.slots()]


def test_syllabus_and_folders_agree() -> None:
    entries = read_syllabus().lessons
    assert sorted(entry.slug for entry in entries) == sorted(LESSONS)
    for entry in entries:
        exercise = find_exercise(entry.slug)[1]
        assert (exercise.skill, exercise.title) == (entry.skill, entry.title)
    assert all(read_trials(FOLDERS / name) for name in LESSONS)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('habit_cause = "exposure"', ""),
        ('habit_cause = "exposure"', 'habit_cause = "bad-luck"'),
        ('habit_from = "time-from-a-strip"', ""),
    ],
)
def test_a_habit_without_its_cause_is_refused(old: str, new: str, tmp_path: Path) -> None:
    file = tmp_path / "syllabus.toml"
    file.write_text((FOLDERS / "syllabus.toml").read_text(encoding="utf-8").replace(old, new, 1), encoding="utf-8")
    with pytest.raises(OutsideError, match="habit_cause"):
        read_syllabus(file)


def test_the_reference_earns_full_marks_with_unlocked_controls_only(tried: LadderBench) -> None:
    assert reference_problems(tried.exercise, tried, read_reference(FOLDERS / tried.exercise.name)) == []


def test_the_start_does_not_pass(tried: LadderBench) -> None:
    assert not tried.marks_of(starts(tried)).passed(tried.exercise)


def test_every_trial_is_called_by_its_cause_and_size(tried: LadderBench) -> None:
    folder = FOLDERS / tried.exercise.name
    reference = read_reference(folder)
    wrong = []
    for trial in read_trials(folder):
        said = first_advice(tried.exercise, tried, reference, trial)
        if said is None or not trial.is_met_by(*said):
            wrong.append((trial.name, said))
    assert wrong == []


@pytest.mark.parametrize("name", LESSONS)
def test_texts_are_short_and_do_not_give_the_answer(name: str) -> None:
    folder = FOLDERS / name
    assert text_problems(folder, find_exercise(name)[1], read_reference(folder)) == []
    assert brief_of(folder).words <= MOST_WORDS
    assert all(hints_of(folder))
    assert all(picture.file.is_file() for picture in brief_of(folder).pictures)


@pytest.mark.parametrize("name", LESSONS)
def test_a_design_says_what_the_lesson_is_for(name: str) -> None:
    text = (FOLDERS / name / "design.md").read_text(encoding="utf-8").lower()
    for heading in ("goal", "objectives", "out of scope", "prerequisites", "habit that fails"):
        assert heading in text


def carried(bench: LadderBench, old: PrintingRecord, controls: set[str]) -> list[PrintingRecord]:
    """Return the earlier lesson's print made here: its settings for some controls, all else as this lesson begins.

    Exposures come with their cards. A height and a focus belong to a lens: with another one, or in contact, the number
    on the column means another size, and stays as this lesson begins.
    """
    out = []
    for index in bench.slots():
        record = start_record(bench.exercise, bench.negatives[index], find_stock(bench.exercise.paper))
        first, now, then = record.exposures[0], record.enlarger, old.enlarger
        fixed = {key: getattr(first, key) for key in ("time_s", "f_number", "filter") if key not in controls}
        exposures = old.exposures if controls & {"cards", "exposures"} else old.exposures[:1]
        alike = (now.lens, now.contact) == (then.lens, then.contact)
        moved = [key for key in ("height_mm", "focus_offset_mm") if key in controls and alike]
        moved += [key for key in ("carrier", "easel_tilt_deg", "negative_tilt_deg") if key in controls]
        development = record.development
        if "development_time_s" in controls:
            development = replace(development, time_s=old.development.time_s)
        enlarger: Any = replace(now, **{key: getattr(then, key) for key in moved})
        record = replace(record, enlarger=enlarger, development=development)
        out.append(record.with_exposures(*(replace(e, **fixed) for e in exposures)))
    return out


@pytest.mark.parametrize("name", HABITS)
def test_the_earlier_lessons_habit_fails_here_for_a_stated_cause(name: str) -> None:
    """Every earlier print, carried in all controls unlocked in either lesson, and in those alone that can be moved here.

    Each is a print that can be made (what cannot be printed raises, and fails this test). Advice names a stated cause first.
    Only where a height that is locked here throws a tone under the easel's blades may it have nothing to say of the wider one.
    """
    bench, entry = bench_of(name), read_syllabus().lesson(name)
    here, there = set(bench.exercise.unlocked), set(find_exercise(entry.habit_from)[1].unlocked)
    for old in read_reference(FOLDERS / entry.habit_from):
        for controls in (here | there, here):
            records = carried(bench, old, controls)
            judged = judge(bench.exercise, bench.negatives, records, 0.0, lights=bench.lights, only_places=True)
            marks = score(judged, bench.exercise)
            assert not marks.passed(bench.exercise), marks.share
            said = advise(bench.exercise, judged, marks)
            if controls != here and not said and "height_mm" in there - here:
                continue
            assert said, "fails, and the coach has nothing to say"
            assert said[0].cause in entry.habit_causes, [(one.cause, one.direction, one.loss_points) for one in said]


@pytest.mark.parametrize("name", LESSONS)
def test_the_other_negatives_of_a_skill_know_the_places(name: str) -> None:
    exercise: Exercise = find_exercise(name)[1]
    for other in exercise.also:
        sleeve = find_sleeve(other)
        places = tuple(seen_through(place, sleeve.crop, sleeve.mirrored) for place in sleeve.places)
        assert all(spot.known_as(places) for c in exercise.criteria for spot in c.spots)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('title = "', 'titel = "', "did you mean 'title'"),
        ("format = 1", "format = 2", "format"),
        ("[box]", "[bocks]", "bocks"),
        ('kind = "tone"', 'kind = "tint"', "kind"),
        ("skill = ", "# skill = ", "skill: is required and missing"),
    ],
)
@pytest.mark.parametrize("name", LESSONS[:3])
def test_a_wrong_key_is_refused_with_file_and_key(name: str, old: str, new: str, words: str, tmp_path: Path) -> None:
    folder = tmp_path / name
    shutil.copytree(FOLDERS / name, folder)
    file = folder / "exercise.toml"
    file.write_text(file.read_text(encoding="utf-8").replace(old, new, 1), encoding="utf-8")
    with pytest.raises(OutsideError, match=words) as caught:
        read_exercise(folder)
    assert str(file) in str(caught.value)


def test_every_skill_has_two_negatives_at_least() -> None:
    """A skill is met on two different negatives: with one alone nobody could meet it."""
    of_skill: dict[str, set[str]] = {}
    for entry in read_syllabus().lessons:
        exercise = find_exercise(entry.slug)[1]
        of_skill.setdefault(entry.skill, set()).update(exercise.negatives, exercise.also)
    assert {skill: sorted(names) for skill, names in of_skill.items() if len(names) < 2} == {}
