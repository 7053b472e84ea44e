"""Opening evenings for the window: a free one, or one that belongs to a lesson; and what is known of each lesson."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.bench.darkroom import LOG_NAME, Darkroom
from sim.bench.house_rules import FreeWork
from sim.evening.assignment import Assignment, assignment_in
from sim.evening.evening import Evening
from sim.evening.given_out import keep_begun, keep_given_out, refuse_another_evening
from sim.evening.log import read_log
from sim.locking import OpenElsewhere
from sim.refusals import OutsideError, Refusal
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import exercise_at, exercise_names, find_exercise
from sim.scoring.hints import brief_of
from sim.scoring.syllabus import read_syllabus
from sim.teaching.lesson import LessonRun
from sim.teaching.lesson_opening import exercise_in
from sim.teaching.lesson_rules import darkroom_of
from sim.teaching.progress import (
    NEGATIVES_FOR_MASTERY,
    Progress,
    change_progress,
    evening_done,
    is_open,
    needed_for,
    next_lesson,
    next_negatives,
    opening_hash,
    passed_once,
    read_progress,
    retrieval_items,
    with_evening,
)
from sim.window.evenings import forget_task, keep_task, kept_evenings, new_evening, task_of
from sim.writing import WritingFailed


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

    One that somebody else has in hand, or that cannot be written, is opened to be looked at. Raises OutsideError,
    WritingFailed or Refused, in words.
    """
    named = task_of(folder) or exercise_of(folder)
    if named:
        return open_lesson(folder, task_in(named))
    try:
        return Darkroom.open(folder, **box), None
    except Refusal as error:
        forget_task(folder, LOG_NAME)
        return look_at(folder, None, error)


def look_at(folder: Path, task: Task | None, why: Refusal) -> tuple[Darkroom, LessonRun | None]:
    """Return an evening to be looked at, because it is open elsewhere or cannot be written; raises any other ``why``."""
    if not isinstance(why, OpenElsewhere | WritingFailed) or not (folder / LOG_NAME).exists():
        raise why
    evening = Evening.look(folder / LOG_NAME, "it is open elsewhere" if isinstance(why, OpenElsewhere) else str(why))
    run = LessonRun.over(evening, task.folder, task.exercise) if task else None
    darkroom = darkroom_of(run) if run else Darkroom(evening, FreeWork())
    darkroom.damage = "; ".join(filter(None, (str(why), darkroom.damage)))
    return darkroom, run


def begin_evening(folder: Path, **box: Any) -> tuple[Darkroom, LessonRun | None]:
    """Open a free evening in a folder of its own among those kept. Raises what ``open_evening`` does."""
    return open_evening(new_evening(folder), **box)


@dataclass(frozen=True)
class Task:
    """An exercise to be worked: where it lies, what it is called, whether in a folder of one's own, and what was assigned."""

    folder: Path
    exercise: Exercise
    own: bool
    assignment: Assignment | None = None

    @property
    def where(self) -> str:
        """The folder of one's own in full; empty for a lesson from the shelf."""
        return str(self.folder.resolve()) if self.own else ""


def task_in(name_or_folder: str) -> Task:
    """Return the task of a lesson's name, an exercise folder or a bundle. Raises OutsideError."""
    folder, _ = exercise_in(name_or_folder)
    assignment = assignment_in(folder)
    _, exercise = exercise_in(name_or_folder, assignment.exercise if assignment else "")
    shipped = folder.name in exercise_names() and find_exercise(folder.name)[0].resolve() == folder.resolve()
    return Task(folder, exercise, not shipped, assignment)


def open_lesson(
    folder: Path, task: Task, learner: str = "", attempt: int = 1, negatives: tuple[str, ...] = (), clean_successes: int = 0
) -> tuple[Darkroom, LessonRun]:
    """Open an attempt at a lesson in a folder, or carry it on; lesson and darkroom share one evening.

    A bundle is its learner's, on the negatives assigned. What is open elsewhere can be looked at (``look_at``).
    """
    if task.assignment is not None:
        learner, negatives = task.assignment.learner, task.assignment.negatives
    if task.own and task_of(folder) != task.where:
        keep_task(folder, task.folder)
    try:
        run = LessonRun.open(
            folder / LOG_NAME, str(task.folder), learner=learner, attempt=attempt, negatives=negatives,
            name=task.exercise.name, clean_successes=clean_successes,
        )  # fmt: skip
    except Refusal as error:
        forget_task(folder, LOG_NAME)
        darkroom, looked = look_at(folder, task, error)
        assert looked is not None  # a lesson is never looked at without its run
        return darkroom, looked
    return darkroom_of(run), run


def exercise_of(folder: Path) -> str:
    """Return the exercise that an evening's log was opened for; empty for a free evening or a log that cannot be read."""
    file = folder / LOG_NAME
    if not file.exists():
        return ""
    lines = read_log(file).lines
    return str(lines[0].data.get("exercise", "")) if lines else ""


def attempts(folder: Path, name: str, where: str = "") -> list[Path]:
    """Return the evenings spent on a lesson, oldest first; what cannot be read is passed over.

    ``where`` is the exercise's folder where that is one's own; empty: the lesson of the shelf.
    """
    found = []
    for evening in kept_evenings(folder):
        try:
            if exercise_of(evening) == name and task_of(evening) == where:
                found.append(evening)
        except Exception:
            continue
    return found


def start_lesson(
    folder: Path, name: str, learner: str, again: bool, here: Darkroom | None = None
) -> tuple[Darkroom, LessonRun]:
    """Carry on with the last attempt at a lesson, or begin a new one on the negatives whose turn it is.

    ``name`` is a lesson's name, the folder of an exercise, or a bundle; ``here`` is the darkroom that is open so far.
    """
    task = task_in(name)
    if task.assignment is not None:
        keep_given_out(folder, task.assignment)
    before = attempts(folder, task.exercise.name, task.where)
    if before and not again:
        if here is not None and here.folder.resolve() == before[-1].resolve():
            here.close()
        return open_lesson(before[-1], task, learner)
    if task.assignment is not None:
        refuse_another_evening(folder, task.assignment)
    progress = read_progress(folder, task.assignment.learner if task.assignment else learner)
    attempt = progress.attempts(task.exercise.name) + 1  # what was begun and left is no attempt
    clean = progress.clean_successes(task.exercise.skill)
    negatives = () if task.assignment else next_negatives(progress, task.exercise, task.folder)
    evening = new_evening(folder)
    opened = open_lesson(evening, task, learner, attempt, negatives, clean)
    if task.assignment is not None:
        keep_begun(folder, task.assignment, evening / LOG_NAME)
    return opened


def assignment_of(run: LessonRun) -> Assignment | None:
    """Return what was assigned in a course with the lesson under way; None for any other, or where it can't be read."""
    try:
        return assignment_in(run.folder)
    except OutsideError:
        return None


def keep_progress(folder: Path, run: LessonRun, day: int, anew: bool = True) -> Progress:
    """Write down the evening whose marks are shown; return the progress with it. Of an examination nothing is kept.

    Not ``anew``: what was kept of this evening before stays as it is.
    """
    learner, name = run.evening.state.opening.learner, run.exercise.name
    kept = read_progress(folder, learner)
    if run.exam or (not anew and any(one.log == opening_hash(run) for one in kept.evenings.get(name, []))):
        return kept
    done = evening_done(run, day)
    after, _ = change_progress(folder, learner, lambda kept: with_evening(kept, name, done))
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


def due_today(folder: Path, learner: str, day: int) -> tuple[str, ...]:
    """Return the skills that a returning learner should recall today, three at most. Raises OutsideError."""
    return retrieval_items(read_progress(folder, learner), day)


def brief_steps(name: str, language: str = "") -> tuple[str, tuple[str, ...]]:
    """Return title and steps of a lesson's brief, in a language where it stands in it."""
    folder, _ = exercise_at(name)
    brief = brief_of(folder, language)
    return brief.title, tuple(brief.steps)
