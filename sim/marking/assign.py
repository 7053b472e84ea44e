"""Assigning a course: for every learner of the roster one bundle per exercise, each proven to be printable."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sim.evening.assignment import Assignment
from sim.marking.bundle import learner_negatives, write_bundle
from sim.marking.course import Course, CourseExercise, exercise_of, read_secret
from sim.marking.extensions import course_extensions, due_of
from sim.marking.pages import file_name
from sim.marking.roster import Roster, refuse_alike
from sim.marking.zips import INDEX_FILE, index_text, write_zip
from sim.reading import FileRefused, Problem
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import EXERCISE_FILE
from sim.scoring.public_form import wrong_with_public_form
from sim.writing import write_text


@dataclass(frozen=True)
class Bundled:
    """One bundle written."""

    learner: str
    exercise: str
    folder: Path
    negatives: tuple[str, ...]


@dataclass(frozen=True)
class CourseTask:
    """An exercise of a course: where it stands, and how it reads."""

    entry: CourseExercise
    folder: Path
    exercise: Exercise


def course_tasks(course: Course) -> tuple[CourseTask, ...]:
    """Return the exercises of a course, read and checked. Raises OutsideError."""
    tasks = []
    for index, entry in enumerate(course.exercises):
        folder, exercise = exercise_of(course, index)
        if wrong := wrong_with_public_form(exercise):
            rule = "must be an exercise that learners can open without what is kept from them"
            raise FileRefused(folder / EXERCISE_FILE, [Problem("criterion", rule, wrong)])
        tasks.append(CourseTask(entry, folder, exercise))
    return tuple(tasks)


def negatives_for(task: CourseTask, secret: bytes | None, learner: str) -> tuple[str, ...]:
    """Return the negatives of a learner for an exercise: variants of their own where the course says so."""
    if not task.entry.variants or secret is None:
        return task.exercise.negatives
    return learner_negatives(task.exercise, secret, learner)


def due_in_words(course: Course, due: datetime | None) -> str:
    """Return a due time with the course's own time zone, empty where there is none."""
    return "" if due is None else f"{due:%Y-%m-%d %H:%M} ({course.time_zone})"


def assign(course: Course, roster: Roster, out: Path, only: tuple[str, ...] = ()) -> Iterator[Bundled]:
    """Write every learner's bundles under ``out/LEARNER/EXERCISE`` and yield each one written.

    Bundles of learners who are already there are written again, the same. Raises OutsideError, CannotBeDone, WritingFailed.
    """
    unknown = [learner for learner in only if roster.learner(learner) is None]
    if unknown:
        raise FileRefused(course.roster or course.file, [Problem("id", "must be a learner of the roster", unknown[0][:80])])
    if not roster.learners:
        raise FileRefused(course.roster or course.file, [Problem("id", "the roster must name a learner", "none")])
    refuse_alike(course.roster or course.file, roster.learners)
    extensions = course_extensions(course, roster)
    tasks = course_tasks(course)
    secret = read_secret(course) if any(task.entry.variants for task in tasks) else None
    for learner in roster.learners:
        if only and learner.id not in only:
            continue
        for task in tasks:
            negatives = negatives_for(task, secret, learner.id)
            assignment = Assignment(
                course.name, task.exercise.name, learner.id, negatives,
                due_in_words(course, due_of(course, extensions, learner.id, task.exercise.name)),
                task.entry.attempts or 0, task.exercise.box.sheets, task.entry.points, task.entry.exam,
            )  # fmt: skip
            folder = out / file_name(learner.id) / task.exercise.name
            write_bundle(folder, task.folder, task.exercise, assignment)
            yield Bundled(learner.id, task.exercise.name, folder, negatives)


def zip_bundles(roster: Roster, out: Path, learners: Collection[str]) -> None:
    """Write every learner's bundles as one zip ``LEARNER.zip`` beside their folder, and ``index.csv``. Raises WritingFailed."""
    lines = []
    for learner in sorted(learners):
        folder = out / file_name(learner)
        files = {
            file.relative_to(out).as_posix(): file.read_bytes() for file in sorted(folder.rglob("*")) if file.is_file()
        }
        write_zip(out / f"{folder.name}.zip", files)
        known = roster.learner(learner)
        lines.append((learner, known.email if known else "", f"{folder.name}.zip"))
    write_text(out / INDEX_FILE, index_text(("id", "email", "file"), lines))
