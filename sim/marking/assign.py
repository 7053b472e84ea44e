"""Assigning a course: for every learner of the roster one bundle per exercise, each proven to be printable."""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterable, Iterator
from concurrent.futures import Executor, Future
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sim.evening.assignment import ASSIGNMENT_FILE, Assignment, read_assignment
from sim.marking.bundle import bundled_exercise, learner_negatives, variants_in_turn, with_densities, write_bundle
from sim.marking.course import Course, CourseExercise, exercise_of, read_secret
from sim.marking.course_tables import read_tables
from sim.marking.extensions import course_extensions, due_of
from sim.marking.pages import file_name
from sim.marking.roster import Roster, refuse_alike
from sim.marking.shards import Shard
from sim.marking.zips import INDEX_FILE, index_text, write_zip
from sim.reading import MAX_TOML_BYTES, FileRefused, OutsideError, Problem, read_text
from sim.refusals import Refused
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import EXERCISE_FILE, exercise_toml
from sim.scoring.public_form import wrong_with_public_form
from sim.writing import write_text

MOST_AHEAD = 64  # negatives that are looked for at a time


@dataclass(frozen=True)
class Bundled:
    """One bundle written."""

    learner: str
    exercise: str
    folder: Path
    negatives: tuple[str, ...]


@dataclass(frozen=True)
class CourseTask:
    """An exercise of a course: where it stands, and how it reads, densities in the place of prints to be matched."""

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
        tasks.append(CourseTask(entry, folder, with_densities(exercise)))
    return tuple(tasks)


def negatives_for(task: CourseTask, secret: bytes | None, learner: str) -> tuple[str, ...]:
    """Return the negatives of a learner for an exercise: variants of their own where the course says so."""
    if not task.entry.variants or secret is None:
        return task.exercise.negatives
    return learner_negatives(task.exercise, secret, learner)


def due_in_words(course: Course, due: datetime | None) -> str:
    """Return a due time with the course's own time zone, empty where there is none."""
    return "" if due is None else f"{due:%Y-%m-%d %H:%M} ({course.time_zone})"


def assign(
    course: Course, roster: Roster, out: Path, only: tuple[str, ...] = (), executor: Executor | None = None,
    shard: Shard | None = None,
) -> Iterator[Bundled]:  # fmt: skip
    """Write every learner's bundles under ``out/LEARNER/EXERCISE`` and yield each one written.

    Bundles of learners who are already there are written again, the same; a negative that was found for one of them is not
    looked for again while the exercise is what it was. ``executor`` looks for negatives, else it is done here; with a
    ``shard`` only its learners are served. Raises OutsideError, CannotBeDone, WritingFailed.
    """
    _refuse_roster(course, roster, only)
    extensions = course_extensions(course, roster)
    tasks = course_tasks(course)
    secret = read_secret(course) if any(task.entry.variants for task in tasks) else None
    again = opened_again(course, roster)
    pieces = (
        Piece(learner.id, task, out / file_name(learner.id) / task.exercise.name)
        for learner in roster.learners
        if (not only or learner.id in only) and (shard is None or shard.holds_learner(learner.id))
        for task in tasks
    )
    for piece, negatives in _with_negatives(pieces, secret, executor):
        task, key = piece.task, (piece.learner, piece.task.exercise.name)
        assignment = Assignment(
            course.name, task.exercise.name, piece.learner, negatives, due_in_words(course, due_of(course, extensions, *key)),
            _attempts(task.entry, key in again), task.exercise.box.sheets, task.entry.points, task.entry.exam,
        )  # fmt: skip
        write_bundle(piece.folder, task.folder, task.exercise, assignment)
        yield Bundled(piece.learner, task.exercise.name, piece.folder, negatives)


def opened_again(course: Course, roster: Roster) -> frozenset[tuple[str, str]]:
    """Return the learners and exercises for which a person decided that one more evening may be handed in."""
    if course.review is None:
        return frozenset()
    decided = read_tables(course, [one.id for one in roster.learners]).decided
    return frozenset(key for key, one in decided.items() if one.choice == "re-open")


def _attempts(entry: CourseExercise, again: bool) -> int:
    """Return how many evenings a learner may hand in; 0: no limit."""
    return 0 if entry.attempts is None else entry.attempts + again


def _refuse_roster(course: Course, roster: Roster, only: tuple[str, ...]) -> None:
    unknown = [learner for learner in only if roster.learner(learner) is None]
    if unknown:
        raise FileRefused(course.roster or course.file, [Problem("id", "must be a learner of the roster", unknown[0][:80])])
    if not roster.learners:
        raise FileRefused(course.roster or course.file, [Problem("id", "the roster must name a learner", "none")])
    refuse_alike(course.roster or course.file, roster.learners)


@dataclass(frozen=True)
class Piece:
    """One learner and one exercise, and where their bundle goes."""

    learner: str
    task: CourseTask
    folder: Path


def _with_negatives(
    pieces: Iterable[Piece], secret: bytes | None, executor: Executor | None
) -> Iterator[tuple[Piece, tuple[str, ...]]]:
    """Yield every piece with the negatives its learner gets, in order; a few are looked for at a time."""
    under_way: deque[tuple[Piece, Future[tuple[str, ...]] | tuple[str, ...]]] = deque()
    for piece in pieces:
        given = given_before(piece, secret)
        if given is None and executor is not None and piece.task.entry.variants and secret is not None:
            under_way.append((piece, executor.submit(learner_negatives, piece.task.exercise, secret, piece.learner)))
        else:
            under_way.append((piece, given or negatives_for(piece.task, secret, piece.learner)))
        if executor is None or len(under_way) >= MOST_AHEAD:
            yield _found(*under_way.popleft(), secret)
    while under_way:
        yield _found(*under_way.popleft(), secret)


def _found(
    piece: Piece, negatives: Future[tuple[str, ...]] | tuple[str, ...], secret: bytes | None
) -> tuple[Piece, tuple[str, ...]]:
    if isinstance(negatives, tuple):
        return piece, negatives
    try:
        return piece, negatives.result()
    except Refused:
        raise
    except Exception:  # a worker lost, a cluster gone: one piece more is no great work
        return piece, negatives_for(piece.task, secret, piece.learner)


def given_before(piece: Piece, secret: bytes | None) -> tuple[str, ...] | None:
    """Return the negatives of a bundle that is there already, as long as the secret makes them and the exercise is the same."""
    if secret is None or not piece.task.entry.variants or not (piece.folder / ASSIGNMENT_FILE).is_file():
        return None
    try:
        before = read_assignment(piece.folder)
        text = read_text(piece.folder / EXERCISE_FILE, MAX_TOML_BYTES)
    except OutsideError:
        return None
    exercise, names = piece.task.exercise, before.negatives
    if before.learner != piece.learner or len(names) != len(exercise.negatives):
        return None
    own = all(name in variants_in_turn(exercise, secret, piece.learner, n) for n, name in enumerate(names))
    return names if own and text == exercise_toml(bundled_exercise(exercise, names)) else None


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
