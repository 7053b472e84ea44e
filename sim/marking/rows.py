"""From replayed evenings to the course's rows: attempts, late rule, a person's marks. Everything recomputed each time."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from pathlib import Path

from sim.marking.accepted import Accepted, hidden_name
from sim.marking.attempts import Attempt, Handed, attempts_of, which_counts
from sim.marking.course import Course, CourseExercise
from sim.marking.course_tables import CourseTables
from sim.marking.extensions import Extensions, due_of
from sim.marking.handed_files import HandedFile
from sim.marking.kept_work import MARKER_VERSION
from sim.marking.late import Lateness, lateness
from sim.marking.moments import in_utc, is_likely
from sim.marking.overrides import Override
from sim.marking.results import (
    GIVEN_BY_A_PERSON,
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
    WaitingResult,
)
from sim.marking.review import Decision
from sim.marking.roster import Learner
from sim.marking.set_aside import SetAside, set_aside, words_for
from sim.marking.statuses import MARKED, SAME_AGAIN, WEIGHT, Status, said_status
from sim.shelf import VARIANT_MARK

POINT_DECIMALS = 2


@dataclass(frozen=True)
class Inputs:
    """All that rows are made of. ``results`` holds what the replay of each file gave, by the file's content.

    Exercises stand in the course's order. ``uploaders`` says of files that are not their learner's own who handed them in;
    ``accepted`` what decisions to accept come to, whose attempt such a file is by that among it.
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
    accepted: Accepted = Accepted()

    @cached_property
    def placed(self) -> Mapping[tuple[str, str], list[HandedFile]]:
        """The files by learner and exercise, as far as they belong to somebody."""
        return _by_row(self)

    @cached_property
    def aside(self) -> Mapping[Path, SetAside]:
        """The files that are nobody's attempt, by path."""
        mine = {file.path for files in self.placed.values() for file in files}
        known = frozenset(one.id for one in self.learners)
        exercises = frozenset(one.name for one in self.course.exercises)
        files = (file for file in self.files if file.path not in mine)
        return set_aside(files, self.uploaders, known, exercises, self.tables)

    @cached_property
    def beside(self) -> Mapping[tuple[str, str], list[SetAside]]:
        """The same by learner and exercise; under no exercise those of which it cannot be told."""
        found: dict[tuple[str, str], list[SetAside]] = {}
        for one in self.aside.values():
            for learner in one.concerns:
                found.setdefault((learner, one.exercise), []).append(one)
        return found

    def name_of(self, file: HandedFile) -> str:
        """Return a file's name as it may stand in outputs; whose it has become is not told by it who handed it in."""
        of_another = self.accepted.owners.get(file.path) == file.learner != ""
        return hidden_name(file) if self.anonymous or of_another else file.name

    def name_for(self, one: SetAside, learner: str) -> str:
        """Return the name of a file that is nobody's attempt for a learner's page: another's id may stand in it."""
        handed_in_by = set(one.uploaders) | ({self.uploaders[one.file.path]} if one.file.path in self.uploaders else set())
        return hidden_name(one.file) if handed_in_by - {learner} else self.name_of(one.file)


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
    found = [_unplaced(inputs, one) for one in inputs.aside.values()]
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
        owner = inputs.accepted.owners.get(file.path, file.learner)
        if owner in known and file.exercise in names and file.path not in inputs.uploaders:
            placed.setdefault((owner, file.exercise), []).append(file)
    return placed


def _unplaced(inputs: Inputs, one: SetAside) -> UnplacedResult:
    file, shown = one.file, {learner.id: learner.shown_id for learner in inputs.learners if learner.id in one.concerns}
    reasons, status = _why_unplaced(inputs, file)
    if file.path in inputs.accepted.twice:
        reasons.append("it was accepted both for whom it names and for who handed it in: one of the two must go")
    return UnplacedResult(
        file=inputs.name_of(file), content=file.content, status=status, reasons=reasons,
        uploaders=[shown[who] for who in one.uploaders], learner=shown.get(one.learner, ""), exercise=one.exercise,
        received="" if inputs.anonymous else in_utc(file.received), settled=one.settled,
        code=hidden_name(file) if one.uploaders and one.learner else "",
    )  # fmt: skip


def _why_unplaced(inputs: Inputs, file: HandedFile) -> tuple[list[str], Status]:
    """Return why a file belongs to no row, and its state."""
    result = inputs.results.get(file.content)
    asked = result is not None and result.status not in MARKED  # of what can be marked its notes ask nobody anything
    reasons = list(result.reasons) if result is not None and asked else []
    status: Status = result.status if result is not None and asked else "needs-person"
    if file.by_name:
        reasons.append("which exercise it is for cannot be told")
    elif not file.learner and not file.exercise:
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
    return reasons, status


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
        handed.append(Handed(str(file.path), file.content, file.received, left, file.path in inputs.accepted.settled))
    decision = inputs.tables.decided.get((learner.id, exercise.name))
    later = _came_after(inputs, decision, files)
    attempts = attempts_of(handed, exercise.policy, exercise.attempts, later)
    listed = [_attempt(inputs, exercise, a, by_name[a.handed.file], late_of[by_name[a.handed.file].path]) for a in attempts]
    own_due = due.isoformat() if due is not None and due != exercise.due and not inputs.anonymous else ""
    since = (by_name[a.handed.file] for a in attempts if a.handed.file in later and a.note != SAME_AGAIN)
    used_by = next(map(inputs.name_of, since), "")
    if used_by:
        listed = _without_what_was_before(listed, attempts, later)
    listed = _with_what_was_decided(inputs, (learner.id, exercise.name), listed)
    meant = _meant(listed, attempts, {str(path) for path in inputs.accepted.settled})
    row = _settled(inputs, learner, exercise, listed, own_due, used_by, meant)
    names = {name: inputs.name_of(file) for name, file in by_name.items()}
    why = "" if row.override else which_counts(attempts, exercise.policy, later, names)
    return row.model_copy(update={"which_counts": why}) if why else row


def _without_what_was_before(
    listed: list[AttemptResult], attempts: Sequence[Attempt], later: Collection[str]
) -> list[AttemptResult]:
    """Return the attempts; beside one that counts, those that a used re-opening was written about wait for nobody any more."""
    if not any(one.counted for one in listed):
        return listed
    before = [one.status == "needs-person" and a.handed.file not in later for one, a in zip(listed, attempts, strict=True)]
    return [one.model_copy(update={"status": "open-again"}) if old else one for one, old in zip(listed, before, strict=True)]


def _with_what_was_decided(inputs: Inputs, key: tuple[str, str], listed: list[AttemptResult]) -> list[AttemptResult]:
    """Return the attempts; where a person gave points or excused all of it, none of them waits for one any more."""
    decision = inputs.tables.decided.get(key)
    decided: Status | None = "given" if key in inputs.tables.given else None
    decided = "excused" if decision is not None and decision.choice == "excused" else decided
    if decided is None:
        return listed
    return [one.model_copy(update={"status": decided}) if one.status == "needs-person" else one for one in listed]


def _meant(
    listed: list[AttemptResult], attempts: Sequence[Attempt], settled: Collection[str]
) -> list[tuple[AttemptResult, bool]]:
    """Return the files that were accepted, and whether each is a file of its own, not the same again as one that is not."""
    own = {a.handed.content for a in attempts if a.note != SAME_AGAIN and a.handed.file in settled}
    return [(one, one.note != SAME_AGAIN or one.content in own) for one, a in zip(listed, attempts, strict=True)
            if a.handed.file in settled]  # fmt: skip


def _came_after(inputs: Inputs, decision: Decision | None, files: Sequence[HandedFile]) -> frozenset[str]:
    """Return the files that came after a person opened the work again: the first of them uses that up."""
    if decision is None or decision.choice != "re-open":
        return frozenset()
    return frozenset(str(one.path) for one in files if inputs.tables.came_after(decision, one.content, one.received))


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
        note=attempt.note or _note(inputs, file),
        late=_late(late, inputs.anonymous),
    )  # fmt: skip


def _note(inputs: Inputs, file: HandedFile) -> str:
    """Return what is to be said of a file beside its state."""
    if file.path in inputs.accepted.owners:
        owner = inputs.accepted.owners[file.path]
        whom = "for whom it names, though somebody else handed it in" if owner == file.learner else "for who handed it in"
        return f"accepted by a person {whom}"
    return "" if is_likely(file.received) else "the clock that says when it came was wrong"


def _late(late: Lateness, anonymous: bool) -> LateResult:
    """Return what the late rule said; where names are hidden only what it took off: the minute, or being spared, names one."""
    told = LateResult.model_validate(late)
    if not anonymous:
        return told
    words = f"late: {told.percent:g} % of the points taken off" if told.percent else ""
    return told.model_copy(update={"late_s": 0.0, "words": words})


def _settled(
    inputs: Inputs, learner: Learner, exercise: CourseExercise, attempts: list[AttemptResult], own_due: str = "",
    used_by: str = "", meant: Sequence[tuple[AttemptResult, bool]] = (),
) -> RowResult:  # fmt: skip
    """Return the row that a learner's attempts, and a person's word, come to.

    ``meant`` are the files that were accepted, and whether each is a file of its own.
    """
    key = (learner.id, exercise.name)
    given, decision = inputs.tables.given.get(key), inputs.tables.decided.get(key)
    counted = next((one for one in attempts if one.counted), None)
    shown = counted or _weightiest(attempts)
    result = inputs.results[shown.content] if shown else None
    before = _points(result.share, exercise) if counted and result else None
    before = None if before is None else before + _seen_points(inputs, learner, exercise)
    excused = decision is not None and decision.choice == "excused"
    points = given.points if given else (counted.points if counted else None)
    waiting = _waiting(inputs, learner, exercise, bool(attempts))
    status = _status(inputs, key, shown, used_by, any(one.open for one, here in waiting if here))
    return RowResult(
        learner=learner.shown_id, name=learner.name, email=learner.email, exercise=exercise.name,
        status=status, limit=shown.limit if shown and status == shown.status else "",
        points=None if excused else points, full_points=exercise.points,
        points_before_late=before, late=shown.late if shown else None,
        override=_override(given, inputs.anonymous), attempts=attempts,
        reasons=_reasons(inputs, attempts, shown), submission=_shown_result(result, inputs.anonymous), own_due=own_due,
        more=dict(learner.more),
        decision=_decision(inputs, key, used_by, meant if counted else ()), waiting=[one for one, _ in waiting],
        by_eye=_by_eye(inputs, learner, exercise),
        comments=_comments(inputs, learner, exercise, result),
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


def _comments(
    inputs: Inputs, learner: Learner, exercise: CourseExercise, result: SubmissionResult | None
) -> list[CommentResult]:
    """Return what was said to the learner, and whether it is about something that is not there.

    On anonymous pages only what was written of a code, and so names nobody.
    """
    said = inputs.tables.said.get((learner.id, exercise.name), ())
    shown = [one for one in said if not inputs.anonymous or one in inputs.tables.by_code]
    found = [CommentResult.model_validate(one) for one in shown]
    if result is None or result.status not in MARKED:
        return found
    there = {"", *(one.name for one in result.criteria), *(one.name for one in exercise.by_eye)}
    there |= {f"sheet-{sheet.number}" for sheet in result.sheets}
    return [one.model_copy(update={"stray": one.about not in there}) for one in found]


def _decision(
    inputs: Inputs, key: tuple[str, str], used_by: str, meant: Sequence[tuple[AttemptResult, bool]]
) -> DecisionResult | None:
    """Return what was decided about a learner's exercise; of decisions about single files all that was said.

    ``meant`` are the accepted files beside an evening that counts: of those that cannot be marked it is said that they wait.
    """
    decision, of_files = inputs.tables.decided.get(key), inputs.tables.of_files.get(key, ())
    found = [*filter(None, (decision,)), *of_files]
    if not found:
        return None
    unsettled = inputs.accepted.unsettled.get(key, "") or _cannot_be_told(inputs, key, used_by)
    idle = [one.file for one, own in meant if one.status not in MARKED or not own]
    unsettled = unsettled or (f"accepted, but {', '.join(idle)} cannot be marked, or is the same file again" if idle else "")
    files = [one.file for one, _ in meant if one.status in MARKED and one.note != SAME_AGAIN]
    if inputs.anonymous:
        return DecisionResult(choice=found[0].choice, used_by=used_by, unsettled=unsettled, files=files)
    reasons, private = ("; ".join(filter(None, (getattr(one, said) for one in found))) for said in ("reason", "private"))
    return DecisionResult(
        choice=found[0].choice, reason=reasons, private=private, used_by=used_by, unsettled=unsettled, files=files
    )


def _cannot_be_told(inputs: Inputs, key: tuple[str, str], used_by: str) -> str:
    """Say of a re-opening without ``when`` that more than one file lay there when it was first read; else nothing."""
    before, decision = inputs.tables.there_before.get(key, frozenset()), inputs.tables.decided.get(key)
    lay: dict[str, list[str]] = {}
    for one in inputs.placed.get(key, ()):
        if one.content in before:
            lay.setdefault(one.content, []).append(inputs.name_of(one))
    if decision is None or decision.choice != "re-open" or used_by or len(lay) < 2:
        return ""
    names = ", ".join(" = ".join(copies) for copies in lay.values())  # copies of one evening under all their names
    return (f"it has no when: {names} lay there as it was first read, and none of them uses it up; "
            "where one came for it, write when it was decided")  # fmt: skip


def _status(
    inputs: Inputs, key: tuple[str, str], shown: AttemptResult | None, used_by: str, aside: bool
) -> Status:
    """Return the state of a row: what a person decided of work that was not marked, else that of the file shown.

    ``aside``: a file that somebody else handed in has to do with it, and nobody has decided about it.
    """
    given, decision = inputs.tables.given.get(key), inputs.tables.decided.get(key)
    choice = decision.choice if decision is not None else ""
    found: Status = shown.status if shown else ("needs-person" if aside else "missing")
    if choice == "excused":
        return "excused"
    if choice == "partial" or (given is not None and found not in MARKED):
        return "given"
    if choice == "re-open" and not used_by and found not in MARKED:
        return "open-again"
    return found


def _waiting(
    inputs: Inputs, learner: Learner, exercise: CourseExercise, attempted: bool
) -> list[tuple[WaitingResult, bool]]:
    """Return the files that are no attempt but have to do with a row, and whether it is certain that it is this one.

    Where the exercise cannot be told they stand with all of which nothing came in; else with the first.
    """
    first = exercise.name == inputs.course.exercises[0].name
    all_there = all((learner.id, one.name) in inputs.placed for one in inputs.course.exercises)
    unsure = () if attempted and not (first and all_there) else inputs.beside.get((learner.id, ""), ())
    found = []
    for one in (*inputs.beside.get((learner.id, exercise.name), ()), *unsure):
        came, name = "" if inputs.anonymous else in_utc(one.file.received), inputs.name_for(one, learner.id)
        words, waits = words_for(one, learner.id, name), not one.settled_on(learner.id)
        said = WaitingResult(file=name, received=came, words=words, open=waits, upload=bool(one.exercise))
        found.append((said, bool(one.exercise)))
    return found


def _override(given: Override | None, anonymous: bool) -> OverrideResult | None:
    if given is None:
        return None
    # whoever wrote a reason may have known the name
    return OverrideResult(points=given.points, reason=GIVEN_BY_A_PERSON) if anonymous else OverrideResult.model_validate(given)


def _weightiest(attempts: list[AttemptResult]) -> AttemptResult | None:
    """Return the attempt whose state the row shows when none counts: what a person must look at first, the latest of it."""
    order = {status: index for index, status in enumerate(WEIGHT)}
    latest_first = list(reversed(attempts))
    return min(latest_first, key=lambda a: order.get(a.status, len(order)), default=None)


def _reasons(inputs: Inputs, attempts: list[AttemptResult], shown: AttemptResult | None) -> list[str]:
    reasons = list(inputs.results[shown.content].reasons) if shown else []
    if reasons and shown and shown.status not in MARKED and len({one.content for one in attempts}) > 1:
        reasons[0] = f"{shown.file}: {reasons[0]}"
    for one in attempts:
        if one is not shown and one.status not in MARKED and one.note != SAME_AGAIN:
            why = "; ".join(inputs.results[one.content].reasons)
            reasons.append(f"{one.file}: {said_status(one.status, one.limit)}: {why}"[:400])
    return reasons
