"""The course file: which exercises, due when, how many attempts, what lateness costs, and where the roster is.

An instructor writes it as TOML. Due times are local times of the course's own time zone, never of the machine that
marks. The secret from which every learner's variant follows stands in a file of its own beside the course file.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Annotated, Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import AfterValidator, BeforeValidator, Field, PlainValidator

from sim.marking.by_eye import EyeCriterion, points_by_eye
from sim.marking.roster import RosterColumns
from sim.marking.uploader_names import wrong_with_pattern
from sim.reading import FileRefused, Problem, read_bytes, read_toml, shown
from sim.refusals import Refused, refuse_any
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import EXERCISE_FILE, exercise_names, find_exercise, read_exercise
from sim.shelf import VARIANT_MARK
from sim.words import SOURCE, languages

LEAST_SECRET_BYTES, MOST_SECRET_BYTES = 16, 4096
MOST_NAME = 400
BESIDE = (
    "secret_file", "roster", "received", "extensions", "overrides", "review", "comments", "comment_bank", "by_eye"
)  # fmt: skip


def _due(value: object) -> datetime:
    """Return a due time as the file has it: TOML's own date and time, local to the course."""
    text = str(value.get("date")) if isinstance(value, dict) else ""  # how a date of a TOML file is handed on
    if ":" not in text or "-" not in text:
        rule = "must be a date and a time, without quotation marks, such as 2026-12-01T18:00:00"
        raise Refused(f"{rule}, got {text or shown(value)}")
    due = datetime.fromisoformat(text)
    if due.tzinfo is not None:
        raise Refused(f"must be a local time of the course's time_zone, without an offset, got {due}")
    if not 1970 < due.year < 9000:  # outside, no time zone reckons
        raise Refused(f"must lie between the years 1971 and 8999, got {due}")
    return due


def _time_zone(value: str) -> str:
    try:
        ZoneInfo(value)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise Refused(f"must be the name of a time zone such as UTC or Europe/Lisbon, got {value!r}") from None
    return value


def _language(value: str) -> str:
    if value not in languages():
        raise Refused(f"must be one of {', '.join(languages())}, got {value!r}")
    return value


def _pattern(value: str) -> str:
    if wrong := wrong_with_pattern(value):
        raise Refused(f"{wrong}, got {shown(value)}")
    return value


def _file_name(value: object) -> object:
    if isinstance(value, str) and not 1 <= len(value) <= MOST_NAME:
        raise Refused(f"must have 1 to {MOST_NAME} characters, got {shown(value)}")
    return value


Beside = Annotated[Path, BeforeValidator(_file_name)]  # a file beside the course file
Percent = Annotated[float, Field(ge=0.0, le=100.0)]
Id = Annotated[str, Field(min_length=1, max_length=200)]
Policy = Literal["best", "last", "first"]


@dataclass(frozen=True)
class LateRule:
    """What handing in late costs: per started day or started hour, in percent of the points earned.

    ``grace_minutes`` forgives a short delay altogether; beyond it lateness counts from the due time. ``cap_percent`` is
    the most that is taken off, until ``zero_after_days`` takes everything. ``exempt`` learners lose nothing.
    """

    grace_minutes: Annotated[float, Field(ge=0.0, le=10_080.0)] = 0.0
    percent_per_day: Percent = 0.0
    percent_per_hour: Percent = 0.0
    cap_percent: Percent = 100.0
    zero_after_days: Annotated[float, Field(ge=0.0, le=400.0)] | None = None
    exempt: Annotated[tuple[Id, ...], Field(max_length=256)] = ()

    def __post_init__(self) -> None:
        if self.percent_per_day and self.percent_per_hour:
            raise Refused(f"percent_per_hour must not stand beside percent_per_day, got {self.percent_per_hour!r}")


@dataclass(frozen=True)
class CourseExercise:
    """One exercise of a course. ``due`` is local time, None: never late.

    Evenings done under one of ``accepted_versions`` of the exercise are marked by today's. An ``exam`` is one attempt,
    gives learners nothing but the task, and its marks stand on no page until it is ``given_out``, with the print of
    ``own_print`` (a record beside the course file; empty: the exercise's reference).
    """

    folder: Annotated[str, Field(min_length=1, max_length=MOST_NAME)]
    due: Annotated[datetime | None, PlainValidator(_due)] = None
    attempts: Annotated[int, Field(ge=1, le=1000)] | None = None
    policy: Policy = "best"
    variants: bool = False
    points: Annotated[float, Field(gt=0.0, le=10_000.0)] = 100.0
    exam: bool = False
    given_out: bool = False
    own_print: Annotated[str, Field(min_length=1, max_length=MOST_NAME)] = ""
    by_eye: Annotated[tuple[EyeCriterion, ...], Field(max_length=20)] = ()
    accepted_versions: Annotated[tuple[Annotated[int, Field(ge=1, le=10_000)], ...], Field(max_length=100)] = ()
    late: LateRule = LateRule()

    def __post_init__(self) -> None:
        if self.exam and self.attempts is None:
            object.__setattr__(self, "attempts", 1)

    @property
    def name(self) -> str:
        """The folder's own name."""
        return Path(self.folder).name

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

    ``days_of_grace`` is how many late days of the whole course each learner is forgiven; ``language`` is that of the pages, and
    of nothing else: results and gradebook have the same bytes in every one.
    """

    format: Literal[1]
    file: Path
    name: Annotated[str, Field(validation_alias="course", pattern=r"^[a-z0-9][a-z0-9-]{0,63}$")]
    title: Annotated[str, Field(min_length=1, max_length=200)]
    exercises: Annotated[tuple[CourseExercise, ...], Field(validation_alias="exercise", min_length=1, max_length=200)]
    time_zone: Annotated[str, Field(max_length=64), AfterValidator(_time_zone)] = "UTC"
    secret_file: Beside | None = None
    roster: Beside | None = None
    received: Beside | None = None
    extensions: Beside | None = None
    overrides: Beside | None = None
    review: Beside | None = None
    comments: Beside | None = None
    comment_bank: Beside | None = None
    by_eye: Beside | None = None
    roster_columns: RosterColumns = RosterColumns()
    uploader_in: Annotated[str, Field(min_length=1, max_length=200), AfterValidator(_pattern)] = ""
    days_of_grace: Annotated[int, Field(ge=0, le=100)] = 0
    language: Annotated[str, Field(max_length=20), AfterValidator(_language)] = SOURCE

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

    def is_lesson(self, exercise: CourseExercise) -> bool:
        """Tell whether an exercise comes with the program."""
        folder = self.folder_of(exercise)
        return folder is None or not (folder / EXERCISE_FILE).is_file()


def read_course(file: Path) -> Course:
    """Return the course of a TOML file. Raises OutsideError naming every broken key."""
    course = read_toml(file, Course, file=str(file))
    problems = _contradictions(course.exercises, course.secret_file is not None)
    refuse_any(file, problems)
    named = {key: getattr(course, key) for key in BESIDE}
    return replace(course, **{key: file.parent / name for key, name in named.items() if name is not None})


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

    Raises FileRefused naming course file and key where there is neither, or where a learner's own variant would have to be
    made of what is a variant already; OutsideError for what is wrong in the folder.
    """
    folder, exercise = _found_exercise(course, index)
    made = [name for name in exercise.negatives if VARIANT_MARK in name]
    if course.exercises[index].variants and made:
        rule = f"must be false where the exercise's negatives are variants themselves ({', '.join(made)[:200]}): of these no " \
            "learner can be given one of their own; name the sleeve without what follows the ~, or a second sleeve"
        raise FileRefused(course.file, [Problem(f"exercise[{index}].variants", rule, "true")])
    return folder, exercise


def _found_exercise(course: Course, index: int) -> tuple[Path, Exercise]:
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
