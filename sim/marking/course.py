"""The course file: which exercises, due when, how many attempts, what lateness costs, and where the roster is.

An instructor writes it as TOML. Due times are local times of the course's own time zone, never of the machine that
marks. The secret from which every learner's variant follows stands in a file of its own beside the course file.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sim.marking.by_eye import EyeCriterion, points_by_eye
from sim.marking.course_form import CourseFile, ExerciseForm, Policy
from sim.marking.roster import RosterColumns
from sim.marking.uploader_names import wrong_with_pattern
from sim.reading import FileRefused, Problem, ValueRefused, read_bytes, read_toml, shown

if TYPE_CHECKING:
    from sim.scoring.exercise import Exercise

LEAST_SECRET_BYTES, MOST_SECRET_BYTES = 16, 4096


@dataclass(frozen=True)
class LateRule:
    """What handing in late costs: per started day or started hour, in percent of the points earned.

    ``grace_minutes`` forgives a short delay altogether; beyond it lateness counts from the due time. ``cap_percent`` is
    the most that is taken off, until ``zero_after_days`` takes everything. ``exempt`` learners lose nothing.
    """

    grace_minutes: float = 0.0
    percent_per_day: float = 0.0
    percent_per_hour: float = 0.0
    cap_percent: float = 100.0
    zero_after_days: float | None = None
    exempt: tuple[str, ...] = ()


@dataclass(frozen=True)
class CourseExercise:
    """One exercise of a course. ``name`` is the folder's own name; ``due`` is local time, None: never late.

    Evenings done under one of ``accepted_versions`` of the exercise are marked by today's. An ``exam`` gives learners nothing
    but the task, and its marks stand on no page until it is ``given_out``, with the print of ``own_print`` (a record beside the
    course file; empty: the exercise's reference).
    """

    name: str
    folder: str
    due: datetime | None = None
    attempts: int | None = None
    policy: Policy = "best"
    variants: bool = False
    points: float = 100.0
    late: LateRule = LateRule()
    accepted_versions: tuple[int, ...] = ()
    exam: bool = False
    given_out: bool = False
    own_print: str = ""
    by_eye: tuple[EyeCriterion, ...] = ()

    @property
    def points_of_marks(self) -> float:
        """What the marks are worth: the points of the exercise without those that are given by eye."""
        return self.points - points_by_eye(self.by_eye)

    @property
    def held_back(self) -> bool:
        """Tell whether its marks are not to be given out yet."""
        return self.exam and not self.given_out


@dataclass(frozen=True)
class Course:
    """A course as its file describes it, with the tables that lie beside it.

    ``days_of_grace`` is how many late days of the whole course each learner is forgiven.
    """

    file: Path
    name: str
    title: str
    time_zone: str
    exercises: tuple[CourseExercise, ...]
    secret_file: Path | None = None
    roster: Path | None = None
    received: Path | None = None
    extensions: Path | None = None
    overrides: Path | None = None
    days_of_grace: int = 0
    review: Path | None = None
    comments: Path | None = None
    comment_bank: Path | None = None
    by_eye: Path | None = None
    roster_columns: RosterColumns = RosterColumns()
    uploader_in: str = ""

    @property
    def zone(self) -> ZoneInfo:
        """The time zone of the due times."""
        return ZoneInfo(self.time_zone)

    def exercise(self, name: str) -> CourseExercise | None:
        """Return the exercise of that name, or None."""
        return next((one for one in self.exercises if one.name == name), None)

    def folder_of(self, exercise: CourseExercise) -> Path | None:
        """Return the exercise's folder beside the course file; None when it is one of the built-in ones."""
        folder = self.file.parent / exercise.folder
        return folder if folder.is_dir() else None


def _exercise(entry: ExerciseForm) -> CourseExercise:
    late = entry.late
    rule = LateRule(
        late.grace_minutes, late.percent_per_day or 0.0, late.percent_per_hour or 0.0, late.cap_percent,
        late.zero_after_days, tuple(late.exempt),
    )  # fmt: skip
    attempts = 1 if entry.exam and entry.attempts is None else entry.attempts
    return CourseExercise(
        Path(entry.folder).name, entry.folder, entry.due, attempts, entry.policy, entry.variants, entry.points, rule,
        tuple(entry.accepted_versions), entry.exam, entry.given_out, entry.own_print or "",
        tuple(EyeCriterion(one.name, one.asks, one.points) for one in entry.by_eye),
    )  # fmt: skip


def read_course(file: Path) -> Course:
    """Return the course of a TOML file. Raises OutsideError naming every broken key."""
    data = read_toml(file, CourseFile)
    exercises = tuple(_exercise(entry) for entry in data.exercise)
    problems = _contradictions(exercises, data.secret_file is not None)
    if data.uploader_in is not None and wrong_with_pattern(data.uploader_in):
        problems.append(Problem("uploader_in", wrong_with_pattern(data.uploader_in), shown(data.uploader_in)))
    if problems:
        raise ValueRefused(file, problems)

    def beside(name: str | None) -> Path | None:
        return None if name is None else file.parent / name

    return Course(
        file, data.course, data.title, data.time_zone, exercises, beside(data.secret_file), beside(data.roster),
        beside(data.received), beside(data.extensions), beside(data.overrides), data.days_of_grace,
        beside(data.review), beside(data.comments), beside(data.comment_bank), beside(data.by_eye),
        RosterColumns(data.roster_columns.id or "", tuple(data.roster_columns.name), data.roster_columns.email or ""),
        data.uploader_in or "",
    )  # fmt: skip


def _contradictions(exercises: Sequence[CourseExercise], has_secret: bool) -> list[Problem]:
    """Return the keys that cannot stand together."""
    problems = []
    for index, one in enumerate(exercises):
        if one.name in {other.name for other in exercises[:index]}:
            problems.append(Problem(f"exercise[{index}].folder", "must not stand twice in a course", shown(one.folder)))
        if one.variants and not has_secret:
            problems.append(Problem(f"exercise[{index}].variants", "needs a secret_file in the course", "none"))
        if (one.given_out or one.own_print) and not one.exam:
            key = "given_out" if one.given_out else "own_print"
            problems.append(Problem(f"exercise[{index}].{key}", "has a meaning only where exam = true", "an exercise"))
        if one.points_of_marks < 0.0:
            rule = f"must not be worth more than the exercise's {one.points:g} points"
            problems.append(Problem(f"exercise[{index}].by_eye", rule, f"{points_by_eye(one.by_eye):g}"))
        if len({eye.name for eye in one.by_eye}) < len(one.by_eye):
            problems.append(Problem(f"exercise[{index}].by_eye.name", "must stand only once", "twice"))
        if one.exam and (one.attempts or 1) > 1:
            problems.append(Problem(f"exercise[{index}].attempts", "must be 1 in an exam", str(one.attempts)))
    return problems


def exercise_of(course: Course, index: int) -> tuple[Path, Exercise]:
    """Return folder and exercise of an entry: a folder beside the course file, else a lesson of that name.

    Raises FileRefused naming course file and key where there is neither, OutsideError for what is wrong in the folder.
    """
    from sim.scoring.exercise_file import EXERCISE_FILE, exercise_names, find_exercise, read_exercise

    entry = course.exercises[index]
    folder = course.folder_of(entry)
    if folder is not None and (folder / EXERCISE_FILE).is_file():
        exercise = read_exercise(folder)  # the course's own, even where it bears a lesson's name
        if exercise.kept_back_points:
            rule = "must be the whole exercise, not the form that learners get"
            raise FileRefused(folder / EXERCISE_FILE, [Problem("kept_back_points", rule, f"{exercise.kept_back_points:g}")])
        return folder, exercise
    if entry.folder not in exercise_names():
        rule = "must be a folder beside the course file with an exercise.toml in it, or the name of a lesson"
        raise FileRefused(course.file, [Problem(f"exercise[{index}].folder", rule, shown(entry.folder))])
    return find_exercise(entry.folder)


def read_secret(course: Course) -> bytes:
    """Return the course's secret, white space around it left out. Raises FileRefused when it is missing or too short."""
    if course.secret_file is None:
        raise FileRefused(course.file, [Problem("secret_file", "is required and missing", "")])
    secret = read_bytes(course.secret_file, MOST_SECRET_BYTES).strip()
    if len(secret) < LEAST_SECRET_BYTES:
        rule = f"must hold at least {LEAST_SECRET_BYTES} bytes of secret"
        raise FileRefused(course.secret_file, [Problem("", rule, f"{len(secret)}")])
    return secret
