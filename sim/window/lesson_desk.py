"""Opening evenings for the window: a free one, or one that belongs to a lesson; and what is known of each lesson."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.bench.darkroom import LOG_NAME, Darkroom
from sim.bench.lesson import LessonRun
from sim.bench.lesson_rules import LessonRules
from sim.bench.progress import (
    NEGATIVES_FOR_MASTERY,
    Progress,
    evening_done,
    is_open,
    needed_for,
    next_lesson,
    next_negatives,
    passed_once,
    read_progress,
    with_evening,
    write_progress,
)
from sim.scoring.exercise_file import find_exercise
from sim.scoring.hints import brief_of
from sim.scoring.syllabus import read_syllabus
from sim.window.evenings import kept_evenings, next_evening


@dataclass(frozen=True)
class ShelfLesson:
    """One lesson as the shelf shows it."""

    slug: str
    title: str
    skill: str
    open: bool
    passed: bool
    best_share: float | None
    negatives_met: int
    negatives_needed: int
    curve: tuple[float, ...]
    needs: tuple[str, ...]

    @property
    def mark(self) -> str:
        """The sign before its title."""
        return "tick" if self.passed else ("ring" if self.open else "lock")


@dataclass(frozen=True)
class Shelf:
    """All lessons in order, and the one that comes next."""

    lessons: tuple[ShelfLesson, ...]
    next_slug: str


def open_evening(folder: Path, **box: Any) -> tuple[Darkroom, LessonRun | None]:
    """Open a free evening, or carry on with the one kept in the folder, with its lesson if it has one.

    Raises OutsideError, WritingFailed or ValueError, in words.
    """
    exercise = exercise_of(folder)
    if exercise:
        return open_lesson(folder, exercise)
    return Darkroom.open(folder, **box), None


def open_lesson(
    folder: Path, name: str, learner: str = "", attempt: int = 1, negatives: tuple[str, ...] = ()
) -> tuple[Darkroom, LessonRun]:
    """Open an attempt at a lesson in a folder, or carry it on; lesson and darkroom share one evening."""
    first = LessonRun.open(folder / LOG_NAME, name, learner=learner, attempt=attempt, negatives=negatives)
    names = [negative.name for negative in first.negatives]
    darkroom = Darkroom.open(folder, exercise=str(first.folder), rules=LessonRules(first), negative=names[0])
    run = LessonRun.over(darkroom.evening, first.folder, find_exercise(str(first.folder))[1])
    darkroom.rules = LessonRules(run)
    return darkroom, run


def exercise_of(folder: Path) -> str:
    """Return the exercise that an evening's log was opened for; empty for a free evening or a log that cannot be read."""
    from sim.bench.log import read_log

    file = folder / LOG_NAME
    if not file.exists():
        return ""
    lines = read_log(file).lines
    return str(lines[0].data.get("exercise", "")) if lines else ""


def attempts(folder: Path, name: str) -> list[Path]:
    """Return the evenings spent on a lesson, oldest first; what cannot be read is passed over."""
    found = []
    for evening in kept_evenings(folder):
        try:
            if exercise_of(evening) == name:
                found.append(evening)
        except Exception:
            continue
    return found


def start_lesson(folder: Path, name: str, learner: str, again: bool) -> tuple[Darkroom, LessonRun]:
    """Carry on with the last attempt at a lesson, or begin a new one on the negatives whose turn it is."""
    _, exercise = find_exercise(name)
    before = attempts(folder, exercise.name)
    if before and not again:
        return open_lesson(before[-1], name, learner)
    progress = read_progress(folder, learner)
    return open_lesson(next_evening(folder), name, learner, len(before) + 1, next_negatives(progress, exercise))


def keep_progress(folder: Path, run: LessonRun, day: int) -> Progress:
    """Write down the evening whose marks are shown; return the progress with it."""
    learner = run.evening.state.opening.learner
    after = with_evening(read_progress(folder, learner), run.exercise.name, evening_done(run, day))
    write_progress(folder, after)
    return after


def shelf_of(folder: Path, learner: str) -> Shelf:
    """Return the lessons with what this learner has shown so far. Raises OutsideError."""
    progress, syllabus = read_progress(folder, learner), read_syllabus()
    needed = needed_for(syllabus)
    lessons = []
    for lesson in syllabus.lessons:
        shares = tuple(one.share for one in progress.evenings.get(lesson.slug, []))
        missing = tuple(s for s in lesson.needs if not progress.mastered(s, needed.get(s, NEGATIVES_FOR_MASTERY)))
        one = ShelfLesson(
            lesson.slug,
            lesson.title,
            lesson.skill,
            is_open(progress, lesson, needed),
            passed_once(progress, lesson.slug),
            max(shares, default=None),
            len(progress.met.get(lesson.skill, [])),
            needed.get(lesson.skill, NEGATIVES_FOR_MASTERY),
            shares,
            missing,
        )
        lessons.append(one)
    following = next_lesson(progress, syllabus, needed)
    return Shelf(tuple(lessons), following.slug if following else "")


def brief_steps(name: str) -> tuple[str, tuple[str, ...]]:
    """Return title and steps of a lesson's brief."""
    folder, _ = find_exercise(name)
    brief = brief_of(folder)
    return brief.title, tuple(brief.steps)
