"""A learner's progress: evenings finished, skills met on two negatives, what comes next, and what to recall today.

One JSON file per learner, written durably. Days are numbers that the caller passes in (any count of days will do); there
is no clock in here. A skill counts as met when it has been passed on two different negatives, examples not counted.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from sim.evening.log import read_log
from sim.locking import take_hold
from sim.reading import MAX_RECORD_BYTES, FileRefused, Problem, parse_json, read_text, validate
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import find_exercise
from sim.scoring.syllabus import LessonEntry, Syllabus
from sim.teaching.fresh_negative import fresh_negative
from sim.teaching.lesson import LessonRun
from sim.teaching.own_decisions import NotCounted
from sim.teaching.worked_example import CLEAN_TO_SKIP, mode_for
from sim.writing import sweep, write_durably

MOST_KEPT = 200  # evenings of one exercise, drills of one name: older ones give way, what was met stays met
NEGATIVES_FOR_MASTERY = 2
SPACING_DAYS = (1, 2, 4, 8, 16, 32, 64)  # after so many right answers in a row: doubling; common practice
RETRIEVAL_ITEMS = 3
ERRORS_LOOKED_AT = 5  # the last answers decide how fine the next item is
LONGEST_WAIT_S = 60.0  # for those who are writing it; a hundred who finish at once take half a minute on a busy machine
_PLAIN = re.compile(r"^[a-z0-9][a-z0-9._-]{0,60}$")

_Slug = Annotated[str, Field(min_length=1, max_length=200)]
_Day = Annotated[int, Field(ge=0, le=10_000_000)]


class _Kept(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class EveningDone(_Kept):
    """One attempt with its marks."""

    attempt: Annotated[int, Field(ge=0)]
    log: Annotated[str, Field(max_length=64)]
    day: _Day
    negatives: Annotated[list[_Slug], Field(min_length=1, max_length=64)]
    skill: _Slug
    mode: Literal["example", "completion", "solo"]
    version: Annotated[int, Field(ge=0)]
    share: Annotated[float, Field(ge=0.0, le=1.0)]
    points: Annotated[float, Field(ge=0.0)]
    full_points: Annotated[float, Field(ge=0.0)]
    passed: bool
    hints: Annotated[int, Field(ge=0)]
    sheets: Annotated[float, Field(ge=0.0)]
    expected_sheets: Annotated[float, Field(ge=0.0)]
    not_counted: NotCounted = ""

    @property
    def counts(self) -> bool:
        """Passed by decisions of one's own: not as a worked example, not as a copy of what was shown, not by luck."""
        return self.passed and self.mode != "example" and not self.not_counted

    @property
    def clean(self) -> bool:
        """Passed alone and without a hint."""
        return self.counts and self.mode == "solo" and self.hints == 0


class DrillDone(_Kept):
    """One round of a drill: how far off each item was, in tolerances."""

    day: _Day
    errors: Annotated[list[Annotated[float, Field(ge=0.0, le=1000.0)]], Field(max_length=100)]
    right: Annotated[int, Field(ge=0)]


class Recalled(_Kept):
    """When a skill was last recalled, and how often in a row rightly."""

    day: _Day
    in_a_row: Annotated[int, Field(ge=0, le=1000)]


class Progress(_Kept):
    """All that is kept about one learner."""

    format: Literal[1] = 1
    learner: Annotated[str, Field(max_length=200)] = ""
    evenings: dict[str, Annotated[list[EveningDone], Field(max_length=MOST_KEPT)]] = {}
    met: dict[str, Annotated[list[_Slug], Field(max_length=200)]] = {}
    recalled: dict[str, Recalled] = {}
    drills: dict[str, Annotated[list[DrillDone], Field(max_length=MOST_KEPT)]] = {}

    def evenings_of(self, skill: str) -> tuple[EveningDone, ...]:
        """Return the evenings of a skill, in the order of their days."""
        found = [one for done in self.evenings.values() for one in done if one.skill == skill]
        return tuple(sorted(found, key=lambda one: (one.day, one.attempt)))

    def mastered(self, skill: str, needed: int = NEGATIVES_FOR_MASTERY) -> bool:
        """Tell whether a skill was passed on two different negatives (or on as many as its lessons have)."""
        return len(self.met.get(skill, [])) >= needed

    def clean_successes(self, skill: str) -> int:
        """Return how many evenings in a row, up to the last, were passed alone and without a hint."""
        count = 0
        for one in reversed([e for e in self.evenings_of(skill) if e.mode == "solo"]):
            if not one.clean:
                break
            count += 1
        return count

    def may_skip(self, skill: str) -> bool:
        """Tell whether what is shown of a skill may be skipped: two clean successes."""
        return self.clean_successes(skill) >= CLEAN_TO_SKIP

    def attempts(self, exercise: str) -> int:
        """Return the number of the last attempt at an exercise."""
        return max((one.attempt for one in self.evenings.get(exercise, [])), default=0)

    def recent_errors(self, drill: str) -> tuple[float, ...]:
        """Return how far off the last five items of a drill were, in tolerances."""
        errors = [error for done in self.drills.get(drill, []) for error in done.errors]
        return tuple(errors[-ERRORS_LOOKED_AT:])


def progress_file(folder: Path, learner: str) -> Path:
    """Return where a learner's progress is kept: a plain name as it is, any other by its hash."""
    if not learner:
        return folder / "progress.json"
    digest = hashlib.sha256(learner.encode("utf-8", "replace")).hexdigest()[:16]
    return folder / f"progress-{learner if _PLAIN.match(learner) else digest}.json"


def read_progress(folder: Path, learner: str = "") -> Progress:
    """Return a learner's progress; a new one when there is none. Raises OutsideError for a file that cannot be read."""
    file = progress_file(folder, learner)
    if not file.exists():
        return Progress(learner=learner)
    found = validate(file, parse_json(file, read_text(file, MAX_RECORD_BYTES)), Progress)
    if found.learner != learner:
        raise FileRefused(file, [Problem("learner", f"must be {learner!r}", repr(found.learner)[:80])])
    return found


def write_progress(folder: Path, progress: Progress) -> Path:
    """Write a learner's progress durably, the one before kept beside it; return the file. See ``change_progress``."""
    text = json.dumps(progress.model_dump(mode="json"), indent=1, sort_keys=True, ensure_ascii=False) + "\n"
    file = progress_file(folder, progress.learner)
    write_durably(file, lambda handle: handle.write(text.encode("utf-8")), keep_previous=True)
    return file


def change_progress(folder: Path, learner: str, change: Callable[[Progress], Progress]) -> tuple[Progress, Path]:
    """Change a learner's progress as it is on disk, nobody else meanwhile; return it and its file.

    ``change`` gets the progress as it stands once it is this one's turn. Raises OpenElsewhere when that does not come,
    OutsideError or WritingFailed.
    """
    file = progress_file(folder, learner)
    with take_hold(file, LONGEST_WAIT_S) as hold:
        if hold.locked:
            sweep(file)
        after = change(read_progress(folder, learner))
        return after, write_progress(folder, after)


def evening_done(run: LessonRun, day: int) -> EveningDone:
    """Return what is kept of a lesson whose sheets were nominated. Raises NotNow before."""
    marks, _, _ = run.result()
    state, opening = run.evening.state, run.evening.state.opening
    return EveningDone(
        attempt=opening.attempt, log=opening_hash(run), day=day, negatives=[n.name for n in run.negatives],
        skill=run.exercise.skill, mode=run.mode, version=opening.exercise_version, share=round(marks.share, 4),  # type: ignore[arg-type]
        points=round(marks.points, 3), full_points=round(marks.full_points, 3), passed=marks.passed(run.exercise),
        hints=len(state.said_of("hint")), sheets=state.sheets_used, expected_sheets=run.exercise.box.expected_sheets,
        not_counted=run.not_counted(),
    )  # fmt: skip


def opening_hash(run: LessonRun) -> str:
    """Return what tells this evening from every other: the hash of its log's first line."""
    return read_log(run.evening.file).lines[0].hash


def with_evening(progress: Progress, exercise: str, done: EveningDone) -> Progress:
    """Return the progress with an evening added; the same evening again takes its own place."""
    others = [one for one in progress.evenings.get(exercise, []) if one.log != done.log]
    kept = [*others, done][-MOST_KEPT:]
    met, recalled = dict(progress.met), dict(progress.recalled)
    if done.counts:
        met[done.skill] = list(dict.fromkeys([*met.get(done.skill, []), *done.negatives]))[-MOST_KEPT:]
        recalled.setdefault(done.skill, Recalled(day=done.day, in_a_row=0))
    return progress.model_copy(update={
        "evenings": {**progress.evenings, exercise: kept}, "met": met, "recalled": recalled,
    })  # fmt: skip


def with_drill(progress: Progress, drill: str, done: DrillDone) -> Progress:
    """Return the progress with one round of a drill added."""
    kept = [*progress.drills.get(drill, []), done][-MOST_KEPT:]
    return progress.model_copy(update={"drills": {**progress.drills, drill: kept}})


def with_recall(progress: Progress, skill: str, day: int, right: bool) -> Progress:
    """Return the progress after a skill was recalled: rightly widens its gap, wrongly begins anew."""
    before = progress.recalled.get(skill)
    row = (before.in_a_row if before else 0) + 1 if right else 0
    return progress.model_copy(update={"recalled": {**progress.recalled, skill: Recalled(day=day, in_a_row=row)}})


def due_day(recalled: Recalled) -> int:
    """Return the day on which a skill should be recalled again."""
    return recalled.day + SPACING_DAYS[min(recalled.in_a_row, len(SPACING_DAYS) - 1)]


def retrieval_items(progress: Progress, day: int) -> tuple[str, ...]:
    """Return the skills to recall today: those met before and due, the longest overdue first, three at most.

    A learner who was here earlier the same day is asked nothing.
    """
    due = [(due_day(recalled) - day, skill) for skill, recalled in progress.recalled.items() if progress.met.get(skill)]
    return tuple(skill for late, skill in sorted(due) if late <= 0)[:RETRIEVAL_ITEMS]


def needed_for(syllabus: Syllabus) -> dict[str, int]:
    """Return on how many negatives each skill of the syllabus must be met: two, or all when its lessons have fewer."""
    negatives: dict[str, set[str]] = {}
    for lesson in syllabus.lessons:
        _, exercise = find_exercise(lesson.slug)
        negatives.setdefault(lesson.skill, set()).update((*exercise.negatives, *exercise.also))
    return {skill: min(NEGATIVES_FOR_MASTERY, len(names)) for skill, names in negatives.items()}


def is_open(progress: Progress, lesson: LessonEntry, needed: Mapping[str, int]) -> bool:
    """Tell whether everything a lesson builds on has been met."""
    return all(progress.mastered(skill, needed.get(skill, NEGATIVES_FOR_MASTERY)) for skill in lesson.needs)


def passed_once(progress: Progress, slug: str) -> bool:
    """Tell whether an exercise was passed by decisions of one's own."""
    return any(one.counts for one in progress.evenings.get(slug, []))


def next_lesson(progress: Progress, syllabus: Syllabus, needed: Mapping[str, int]) -> LessonEntry | None:
    """Return the first open lesson that is still to be done; None when all is done.

    A lesson is done when it was passed and its skill is met. Two clean successes at a skill skip what is left of it once the
    skill is met. What was passed but is not met yet comes last: one goes on, and meets it again on another negative.
    """
    once_more: list[LessonEntry] = []
    for lesson in syllabus.lessons:
        if not is_open(progress, lesson, needed):
            continue
        met = progress.mastered(lesson.skill, needed.get(lesson.skill, NEGATIVES_FOR_MASTERY))
        passed = passed_once(progress, lesson.slug)
        if met and (passed or progress.may_skip(lesson.skill)):
            continue
        if not passed:
            return lesson
        once_more.append(lesson)
    return once_more[0] if once_more else None


def next_negatives(progress: Progress, exercise: Exercise, folder: Path | None = None) -> tuple[str, ...]:
    """Return the negatives of the next attempt: one not printed yet in this exercise, in the end a variant of its own.

    A series keeps its negatives; what is shown is made for the exercise's own. ``folder`` is the exercise's, where it is not
    one of the lessons.
    """
    if len(exercise.negatives) > 1:
        return exercise.negatives
    attempt = progress.attempts(exercise.name) + 1
    if mode_for(exercise.mode, attempt, progress.clean_successes(exercise.skill)) != "solo":
        return exercise.negatives
    used = {name for one in progress.evenings.get(exercise.name, []) for name in one.negatives}
    return (fresh_negative(folder or find_exercise(exercise.name)[0], exercise, attempt, used),)
