"""Lessons as they come with the program, marked by the batch's own worker: what the reference does earns everything."""

from __future__ import annotations

from pathlib import Path

import pytest
from class_room import write_sheet

from sim.evening.evening import Evening
from sim.evening.handing_in import hand_in
from sim.marking.bundle import assigned_exercise
from sim.marking.replaying import Task, mark_evening
from sim.scoring.derived import read_reference
from sim.scoring.exercise_file import find_exercise

# several copies, several negatives, card work with its halo looked for
LESSONS = ("an-edition-of-three", "matching-a-series", "a-card-in-one-exposure")


@pytest.mark.parametrize("lesson", LESSONS)
def test_the_reference_earns_full_marks_through_the_marker_too(lesson: str, tmp_path: Path) -> None:
    folder, exercise = find_exercise(lesson)
    records = read_reference(folder)
    given = assigned_exercise(exercise, exercise.negatives)
    evening = Evening.open(
        tmp_path / "log", exercise.paper, exercise.box.sheets, exercise.box.minutes, 7, exercise=lesson,
        exercise_version=exercise.version, exercise_digest=given.public().digest, learner="a",
        negatives=exercise.negatives,
    )  # fmt: skip
    for record in records:
        write_sheet(evening, record)
    evening.nominate(*range(1, len(records) + 1))
    hand_in(tmp_path / "log", tmp_path / "evening")
    data = (tmp_path / "evening").read_bytes()
    found = mark_evening(Task("k", "c", data, given, (given.public().digest,), 120.0))
    assert (found.result.status, found.result.reasons) == ("marked", [])
    assert found.result.passed
    quality = [one.share for one in found.result.criteria]
    assert quality == [1.0] * len(quality)
    assert {f"sheet-{n}" for n in range(1, len(records) + 1)} <= set(found.pictures)
