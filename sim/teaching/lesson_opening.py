"""Taking up an exercise for an attempt: which negatives, how much is shown, and the evening's seed."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from sim.evening.assignment import ASSIGNMENT_FILE
from sim.refusals import Refused
from sim.scoring.derived import read_shown
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import exercise_at
from sim.scoring.syllabus import read_syllabus
from sim.scoring.variants import is_of_a_course
from sim.teaching.worked_example import mode_for, read_references


def seed_for(exercise: str, learner: str, attempt: int) -> int:
    """Return the evening's seed: the same learner and attempt always meet the same lamp and timer."""
    digest = hashlib.sha256(f"{exercise}\n{learner}\n{attempt}".encode("utf-8", "replace")).digest()
    return int.from_bytes(digest[:4], "big")


def exercise_in(name_or_folder: str, name: str = "") -> tuple[Path, Exercise]:
    """Return folder and exercise; ``name`` is the exercise's own where its folder is called otherwise (a bundle)."""
    folder, exercise = exercise_at(name_or_folder)
    if any(map(is_of_a_course, exercise.negatives)) and not (folder / ASSIGNMENT_FILE).is_file():
        raise Refused(f"{folder.name} was given out in a course, but holds no {ASSIGNMENT_FILE}: open the bundle as it came")
    return folder, replace(exercise, name=name) if name else exercise


def mode_of(
    folder: Path, exercise: Exercise, negatives: Sequence[str], attempt: int, clean_successes: int = 0, mode: str = ""
) -> str:
    """Return how an attempt is worked. Where no reference for these negatives is there, nothing can be shown: solo."""
    chosen = mode or mode_for(exercise.mode, attempt, clean_successes)
    if chosen not in ("example", "completion", "solo"):
        raise Refused(f"mode must be example, completion or solo, got {chosen[:40]!r}")
    known = {record.negative for record in (*read_references(folder), *read_shown(folder))} if chosen != "solo" else set()
    return chosen if set(negatives) <= known else "solo"


def is_graded(folder: Path, exercise: str) -> bool:
    """Tell whether an exercise is marked for others: handed out in a course, or a graded lesson of the syllabus."""
    if (folder / ASSIGNMENT_FILE).is_file():
        return True
    return any(lesson.slug == exercise and lesson.kind == "graded" for lesson in read_syllabus().lessons)
