"""From replayed evenings to the course's rows: attempts, late rule, a person's marks. Everything recomputed each time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from pathlib import Path

from sim.marking.attempts import Attempt, Handed, attempts_of
from sim.marking.course import Course, CourseExercise, Policy
from sim.marking.course_tables import CourseTables
from sim.marking.extensions import Extensions, due_of
from sim.marking.handed_files import HandedFile
from sim.marking.kept_work import MARKER_VERSION
from sim.marking.late import Lateness, lateness
from sim.marking.moments import in_utc, is_likely
from sim.marking.overrides import Override
from sim.marking.results import (
    AttemptResult,
    CommentResult,
    CourseResults,
    DecisionResult,
    ExerciseResult,
    EyeResult,
    LateResult,
    NegativeResult,
    OverrideResult,
    RowResult,
    SubmissionResult,
    UnplacedResult,
)
from sim.marking.review import Decision
from sim.marking.roster import Learner
from sim.marking.statuses import MARKED, WEIGHT
from sim.shelf import VARIANT_MARK

POINT_DECIMALS = 2


@dataclass(frozen=True)
class Inputs:
    """All that rows are made of. ``results`` holds what the replay of each file gave, by the file's content.

    Exercises stand in the course's order. ``uploaders`` says of files that are not their learner's own who handed them in.
    """

    course: Course
    learners: tuple[Learner, ...]
    exercises: tuple[ExerciseResult, ...]
    files: tuple[HandedFile, ...]
    results: Mapping[str, SubmissionResult]
    tables: CourseTables = CourseTables()
    anonymous: bool = False
    extensions: Extensions = field(default_factory=dict)
    uploaders: Mapping[Path, str] = field(default_factory=dict)

    @cached_property
    def placed(self) -> Mapping[tuple[str, str], list[HandedFile]]:
        """The files by learner and exercise, as far as they belong to somebody."""
        return _by_row(self)

    def name_of(self, file: HandedFile) -> str:
        """Return a file's name as it may stand in outputs."""
        return f"file-{file.content[:16]}" if self.anonymous else file.name


def course_results(inputs: Inputs, learners: Sequence[Learner] | None = None) -> CourseResults:
    """Return all rows of a course: every learner with every exercise, and the files that belong to nobody.

    With ``learners`` only their rows, and no such files.
    """
    course, placed = inputs.course, inputs.placed
    rows = [row for one in (inputs.learners if learners is None else learners) for row in _rows_of(inputs, one, placed)]
    return CourseResults(
        course=course.name, title=course.title, time_zone=course.time_zone, marker_version=MARKER_VERSION,
        anonymous=inputs.anonymous, exercises=list(inputs.exercises), rows=rows,
        unplaced=files_of_nobody(inputs) if learners is None else [],
    )  # fmt: skip


def files_of_nobody(inputs: Inputs) -> list[UnplacedResult]:
    """Return the files that belong to no row, with the reason."""
    mine = {file.path for files in inputs.placed.values() for file in files}
    found = [_unplaced(inputs, file) for file in inputs.files if file.path not in mine]
    return sorted(found, key=lambda one: (one.file, one.content))


def lean(row: RowResult) -> RowResult:
    """Return a row without what only its learner's page shows: what is kept in mind of very many."""
    result = row.submission
    if result is None:
        return row
    told = [
        sheet.model_copy(update={"changes": [], "steps": [], "picture": ""})
        for sheet in result.sheets
        if sheet.predicted or sheet.observed or sheet.nominated
    ]
    return row.model_copy(update={"submission": result.model_copy(update={"sheets": told, "notes": []})})


def _rows_of(
    inputs: Inputs, learner: Learner, placed: Mapping[tuple[str, str], list[HandedFile]]
) -> Iterator[RowResult]:
    """Yield a learner's rows in the course's order; days of grace are spent in the order of the due times."""
    course, left, rows = inputs.course, inputs.course.days_of_grace, {}
    due = {one.name: due_of(course, inputs.extensions, learner.id, one.name) for one in course.exercises}
    for one in sorted(course.exercises, key=lambda one: due[one.name] or datetime.max):
        files = placed.get((learner.id, one.name), [])
        row = _row(inputs, learner, one, due[one.name], files, 0)
        spent = min(left, row.late.days) if row.late and row.late.percent else 0
        rows[one.name] = _row(inputs, learner, one, due[one.name], files, spent) if spent else row
        left -= spent
    yield from (rows[one.name] for one in course.exercises)


def _by_row(inputs: Inputs) -> dict[tuple[str, str], list[HandedFile]]:
    known = {learner.id for learner in inputs.learners}
    names = {exercise.name for exercise in inputs.course.exercises}
    placed: dict[tuple[str, str], list[HandedFile]] = {}
    for file in inputs.files:
        if file.learner in known and file.exercise in names and file.path not in inputs.uploaders:
            placed.setdefault((file.learner, file.exercise), []).append(file)
    return placed


def _unplaced(inputs: Inputs, file: HandedFile) -> UnplacedResult:
    result = inputs.results.get(file.content)
    reasons = list(result.reasons) if result else []
    status = result.status if result is not None and result.status not in MARKED else "needs-person"
    if not file.learner and not file.exercise:
        reasons = reasons or ["the file does not say whose it is"]
    elif not inputs.course.exercise(file.exercise):
        word = "another exercise" if inputs.anonymous else f"the exercise {file.exercise!r}"
        reasons.append(f"it is for {word}, which is not part of this course")
    elif file.path in inputs.uploaders:
        who = f"{inputs.uploaders[file.path]!r}" if not inputs.anonymous else "somebody else"
        whose = f"{file.learner!r}" if not inputs.anonymous else "another learner"
        reasons.append(f"it says that it is the work of {whose}, but {who} handed it in")
    else:
        reasons.append("its learner is not on the roster" if inputs.anonymous
                       else f"its learner {file.learner!r} is not on the roster")  # fmt: skip
    return UnplacedResult(file=inputs.name_of(file), content=file.content, status=status, reasons=reasons)


def _points(share: float | None, exercise: CourseExercise) -> float | None:
    return None if share is None else share * exercise.points_of_marks


def _row(
    inputs: Inputs, learner: Learner, exercise: CourseExercise, due: datetime | None, files: Sequence[HandedFile],
    grace_days: int,
) -> RowResult:  # fmt: skip
    zone, results = inputs.course.zone, inputs.results
    late_of = {
        file.path: lateness(exercise.late, due, zone, file.received, learner.id, grace_days) for file in files
    }
    by_name = {str(file.path): file for file in files}
    handed = []
    for file in files:
        result = results[file.content]
        points = _points(result.share, exercise) if result.status in MARKED else None
        if points is not None:  # what was judged by eye was judged of the learner's work, whichever evening comes to count
            points += _seen_points(inputs, learner, exercise)
        left = None if points is None else round(late_of[file.path].points_left(points), POINT_DECIMALS)
        handed.append(Handed(str(file.path), file.content, file.received, left))
    decision = inputs.tables.decided.get((learner.id, exercise.name))
    again = decision is not None and decision.choice == "re-open"
    policy: Policy = "last" if again and exercise.policy == "first" else exercise.policy  # what was asked for shall count
    attempts = attempts_of(handed, policy, exercise.attempts + again if exercise.attempts else None)
    listed = [_attempt(inputs, exercise, a, by_name[a.handed.file], late_of[by_name[a.handed.file].path]) for a in attempts]
    own_due = due.isoformat() if due is not None and due != exercise.due and not inputs.anonymous else ""
    return _settled(inputs, learner, exercise, listed, own_due)


def _attempt(
    inputs: Inputs, exercise: CourseExercise, attempt: Attempt, file: HandedFile, late: Lateness
) -> AttemptResult:
    result = inputs.results[file.content]
    marked = result.status in MARKED
    return AttemptResult(
        file=inputs.name_of(file), content=file.content,
        received="" if inputs.anonymous else in_utc(file.received), number=attempt.number,
        status="late" if marked and late.counts else result.status, limit=result.limit,
        share=result.share, points=attempt.handed.points, counted=attempt.counted,
        note=attempt.note or ("" if is_likely(file.received) else "the clock that says when it came was wrong"),
        late=_late(late, inputs.anonymous),
    )  # fmt: skip


def _late(late: Lateness, anonymous: bool) -> LateResult:
    """Return what the late rule said; where names are hidden only what it took off: the minute, or being spared, names one."""
    told = LateResult.model_validate(late)
    if not anonymous:
        return told
    words = f"late: {told.percent:g} % of the points taken off" if told.percent else ""
    return told.model_copy(update={"late_s": 0.0, "words": words})


def _settled(
    inputs: Inputs, learner: Learner, exercise: CourseExercise, attempts: list[AttemptResult], own_due: str = ""
) -> RowResult:
    """Return the row that a learner's attempts, and a person's word, come to."""
    key = (learner.id, exercise.name)
    given, decision = inputs.tables.given.get(key), inputs.tables.decided.get(key)
    counted = next((one for one in attempts if one.counted), None)
    shown = counted or _weightiest(attempts)
    result = inputs.results[shown.content] if shown else None
    before = _points(result.share, exercise) if counted and result else None
    before = None if before is None else before + _seen_points(inputs, learner, exercise)
    excused = decision is not None and decision.choice == "excused"
    points = given.points if given else (counted.points if counted else None)
    return RowResult(
        learner=learner.shown_id, name=learner.name, email=learner.email, exercise=exercise.name,
        status="excused" if excused else (shown.status if shown else "missing"),
        limit=shown.limit if shown and not excused else "",
        points=None if excused else points, full_points=exercise.points,
        points_before_late=before, late=shown.late if shown else None,
        override=_override(given, inputs.anonymous), attempts=attempts,
        reasons=_reasons(inputs, attempts, shown), submission=_shown_result(result, inputs.anonymous), own_due=own_due,
        more=dict(learner.more),
        decision=_decision(decision, inputs.anonymous), by_eye=_by_eye(inputs, learner, exercise),
        comments=_comments(inputs, learner, exercise),
    )  # fmt: skip


def _shown_result(result: SubmissionResult | None, anonymous: bool) -> SubmissionResult | None:
    """Return a result as it may stand in outputs: without what could be traced to a name, or what a learner wrote."""
    if result is None or not anonymous:
        return result
    sheets = [
        sheet.model_copy(update={"observed": sheet.observed.partition(":")[0][:40],
                                 "negative": sheet.negative.partition(VARIANT_MARK)[0]}) for sheet in result.sheets
    ]  # fmt: skip
    negatives = [NegativeResult(name=one.name.partition(VARIANT_MARK)[0], digest="") for one in result.negatives]
    return result.model_copy(update={"signs": None, "notes": [], "sheets": sheets, "negatives": negatives})


def _seen_points(inputs: Inputs, learner: Learner, exercise: CourseExercise) -> float:
    """Return the points that were given by eye so far."""
    return sum(
        one.points * mark.share
        for one in exercise.by_eye
        if (mark := inputs.tables.seen.get((learner.id, exercise.name, one.name))) is not None
    )


def _by_eye(inputs: Inputs, learner: Learner, exercise: CourseExercise) -> list[EyeResult]:
    found = []
    for one in exercise.by_eye:
        mark = inputs.tables.seen.get((learner.id, exercise.name, one.name))
        reason = "" if mark is None or inputs.anonymous else mark.reason
        found.append(EyeResult(name=one.name, asks=one.asks, step=mark.step if mark else "",
                               points=one.points * mark.share if mark else None, full_points=one.points,
                               reason=reason))  # fmt: skip
    return found


def _comments(inputs: Inputs, learner: Learner, exercise: CourseExercise) -> list[CommentResult]:
    """Return what was said to the learner; on anonymous pages only what was written of a code, and so names nobody."""
    said = inputs.tables.said.get((learner.id, exercise.name), ())
    shown = [one for one in said if not inputs.anonymous or one in inputs.tables.by_code]
    return [CommentResult.model_validate(one) for one in shown]


def _decision(decision: Decision | None, anonymous: bool) -> DecisionResult | None:
    if decision is None:
        return None
    return DecisionResult(choice=decision.choice) if anonymous else DecisionResult.model_validate(decision)


def _override(given: Override | None, anonymous: bool) -> OverrideResult | None:
    if given is None:
        return None
    unsaid = "given by a person"  # whoever wrote a reason may have known the name
    return OverrideResult(points=given.points, reason=unsaid) if anonymous else OverrideResult.model_validate(given)


def _weightiest(attempts: list[AttemptResult]) -> AttemptResult | None:
    """Return the attempt whose state the row shows when none counts: what a person must look at first, the latest of it."""
    order = {status: index for index, status in enumerate(WEIGHT)}
    latest_first = list(reversed(attempts))
    return min(latest_first, key=lambda a: order.get(a.status, len(order)), default=None)


def _reasons(inputs: Inputs, attempts: list[AttemptResult], shown: AttemptResult | None) -> list[str]:
    reasons = list(inputs.results[shown.content].reasons) if shown else []
    for one in attempts:
        if one is not shown and one.status not in MARKED and one.note != "the same file again":
            reasons.append(f"{one.file}: {one.status}: {'; '.join(inputs.results[one.content].reasons)}"[:400])
    return reasons
