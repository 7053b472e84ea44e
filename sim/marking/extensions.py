"""More time for single learners, as a table beside the course file: who, for which exercise, until when, and why."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sim.marking.course import Course
from sim.marking.csv_tables import TableRow, no_repeats, read_table
from sim.marking.roster import Roster
from sim.reading import Problem, ValueRefused, shown
from sim.refusals import refuse_any


@dataclass(frozen=True)
class Extension:
    """A due time of a learner's own, local time of the course; ``reason`` is for whoever teaches and stands on no page."""

    due: datetime
    reason: str = ""


Extensions = Mapping[tuple[str, str], Extension]


def read_extensions(file: Path, course: Course, known_ids: Collection[str]) -> dict[tuple[str, str], Extension]:
    """Return the extensions by learner and exercise from a CSV with the columns learner, exercise, due and reason.

    ``due`` is local time of the course, such as 2026-12-08T18:00. Raises OutsideError for a bad line, a learner who is not
    on the roster, or an exercise without a due time.
    """
    rows = read_table(file, ("learner", "exercise", "due"), ("reason",))
    no_repeats(file, rows, ("learner", "exercise"))
    found, problems = {}, []
    for row in rows:
        wrong = _wrong_names(row, course, known_ids)
        due = _local_time(row.cells["due"])
        if due is None:
            wrong.append(Problem(f"line {row.line}: due", "must be a local time such as 2026-12-08T18:00",
                                 shown(row.cells["due"])))  # fmt: skip
        else:
            found[row.cells["learner"], row.cells["exercise"]] = Extension(due, row.cells.get("reason", ""))
        problems += wrong
    refuse_any(file, problems[:40])
    return found


def _wrong_names(row: TableRow, course: Course, known_ids: Collection[str]) -> list[Problem]:
    problems = []
    if row.cells["learner"] not in known_ids:
        problems.append(Problem(f"line {row.line}: learner", "must be a learner of the course", shown(row.cells["learner"])))
    exercise = course.exercise(row.cells["exercise"])
    if exercise is None or exercise.due is None:
        rule = "must be an exercise of the course that has a due time"
        problems.append(Problem(f"line {row.line}: exercise", rule, shown(row.cells["exercise"])))
    return problems


def _local_time(text: str) -> datetime | None:
    try:
        due = datetime.fromisoformat(text)
    except ValueError:
        return None
    return due if due.tzinfo is None and 1970 < due.year < 9000 else None


def due_of(course: Course, extensions: Extensions, learner: str, exercise: str) -> datetime | None:
    """Return when a learner's work is due: the course's time, or the learner's own."""
    own = extensions.get((learner, exercise))
    entry = course.exercise(exercise)
    return own.due if own else (entry.due if entry else None)


def course_extensions(course: Course, roster: Roster | None) -> Extensions:
    """Return the extensions of a course, once they and the late rules name nobody who is not in it. Raises OutsideError.

    Without a roster nobody is known, and names are taken as they stand.
    """
    named = {name for one in course.exercises for name in one.late.exempt}
    known = named if roster is None else {one.id for one in roster.learners}
    refuse_unknown_exempt(course, known)
    if course.extensions is None:
        return {}
    if roster is None:
        raise ValueRefused(course.file, [Problem("extensions", "needs a roster that says who is in the course", "none")])
    return read_extensions(course.extensions, course, known)


def refuse_unknown_exempt(course: Course, known_ids: Collection[str]) -> None:
    """Raise ValueRefused where a late rule spares somebody who is not in the course: a slip that would cost them points."""
    problems = [
        Problem(f"exercise[{index}].late.exempt", "must name learners of the course", shown(name))
        for index, one in enumerate(course.exercises)
        for name in one.late.exempt
        if name not in known_ids
    ]
    refuse_any(course.file, problems[:40])
