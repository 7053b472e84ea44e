"""One evening replayed: its file read, its sheets printed again, the nominated ones judged. What a worker does.

Whatever the file holds ends as a result with a state; nothing is raised but what a worker cannot survive. The mark
comes from the records alone; a number the file states about itself is never looked at.
"""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from sim.evening.handing_in import Doubt, Submission, read_submission
from sim.marking.evening_signs import signs_of
from sim.marking.kept_work import MARKER_VERSION, Marked
from sim.marking.mark_of_submission import AtTheEnlarger, judged_evening
from sim.marking.results import SubmissionResult
from sim.marking.statuses import Limit, Status
from sim.marking.worker_walls import TimeLimitReached, time_limit
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.notebook.doubt_words import doubt_words
from sim.notebook.lock_words import locked_words
from sim.printing.possible import why_impossible
from sim.reading import OutsideError
from sim.refusals import Refused
from sim.scoring.exercise import Exercise
from sim.scoring.start import locked_changes
from sim.shelf import SHIPPED
from sim.words import Words

MOST_REASONS, MOST_REASON_CHARACTERS = 12, 300


@dataclass(frozen=True)
class Task:
    """What a worker needs to mark one evening, on whatever machine it runs.

    ``exercise`` stands on the negatives this learner was given; None when the file belongs to no exercise of the course.
    ``digests`` are those of today's exercise as learners may have got it; evenings of ``accepted_versions`` of it are marked
    by today's, with a note. ``settled``: a person has looked, and what is doubtful is marked with a note.
    """

    key: str
    content: str
    data: bytes
    exercise: Exercise | None
    digests: tuple[str, ...] = ()
    time_limit_s: float = 20.0
    accepted_versions: tuple[int, ...] = ()
    settled: bool = False


def mark_evening(task: Task) -> Marked:
    """Return what the replay of an evening gives. Raises MemoryError only: its process should not be used again."""
    try:
        with time_limit(task.time_limit_s):
            return _marked(task)
    except TimeLimitReached:
        return stopped(task, "time", f"marking it took more than {task.time_limit_s:g} s of a processor's time")
    except MemoryError:
        raise
    except Exception as error:  # a fault of ours that this file brings out: a row for a person, and the batch goes on
        return stopped(task, "crash", f"marking it stopped with {type(error).__name__}")


def prepare_worker() -> None:
    """Import in a fresh worker what every evening needs, so that the first one's time limit does not pay for it."""
    import PIL.Image
    import scipy.fft
    import scipy.interpolate
    import scipy.ndimage
    import scipy.optimize

    assert all((PIL.Image, scipy.fft, scipy.interpolate, scipy.ndimage, scipy.optimize))


def stopped(task: Task, limit: Limit, reason: str) -> Marked:
    """Return the result of work that a limit has ended."""
    return Marked(_result(task, "failed", [reason], limit))


def _result(task: Task, status: Status, reasons: Sequence[str], limit: Limit = "") -> SubmissionResult:
    short = [reason[:MOST_REASON_CHARACTERS] for reason in reasons[:MOST_REASONS]]
    digest = task.exercise.digest if task.exercise else ""
    return SubmissionResult(
        content=task.content, status=status, limit=limit, reasons=short, exercise_digest=digest,
        marker_version=MARKER_VERSION,
    )  # fmt: skip


def _marked(task: Task) -> Marked:
    exercise = task.exercise
    with TemporaryDirectory() as folder:
        file = Path(folder) / "evening.jsonl"
        file.write_bytes(task.data)
        try:
            version = exercise.version if exercise else None
            submission = read_submission(file, version, task.digests, SHIPPED)
        except OutsideError as error:
            return Marked(_result(task, "unreadable", [str(problem) for problem in error.problems]))
    if submission.tampered:
        return Marked(_result(task, "tampered", _said(*submission.tampered)))
    if exercise is None:
        return Marked(_result(task, "needs-person", []))
    beyond = [*_said(*submission.impossible), *_beyond_the_exercise(exercise, submission)]
    if beyond:
        return Marked(_result(task, "out-of-range", beyond))
    try:
        return _printed(task, exercise, submission)
    except Refused as error:  # what no enlarger, paper or densitometer does was asked for: the file's fault, not the marker's
        return Marked(_result(task, "out-of-range", [str(error)]))


def _said(*doubts: Doubt | None) -> list[str]:
    return [doubt_words(doubt, Words()) for doubt in doubts if doubt is not None]


def _beyond_the_exercise(exercise: Exercise, submission: Submission) -> list[str]:
    """Return what the exercise does not allow: another negative, paper or box than the one given out."""
    opening, reasons = submission.opening, []
    used = {made.record.negative for made in submission.state.sheets} | set(opening.negatives)
    if used - set(exercise.negatives):
        reasons.append("a negative was printed that is not the one given to this learner")
    if opening.paper != exercise.paper:
        reasons.append(f"the box holds {opening.paper[:60]} instead of {exercise.paper}")
    if opening.sheets > exercise.box.sheets:
        reasons.append(f"the box held {opening.sheets} sheets; the exercise gives {exercise.box.sheets}")
    if opening.minutes > exercise.box.minutes + 1e-6:
        reasons.append(f"the evening had {opening.minutes:g} minutes; the exercise gives {exercise.box.minutes:g}")
    return reasons


_this_thread = threading.local()


def _at_the_enlarger(names: tuple[str, ...]) -> AtTheEnlarger:
    """Return negatives developed, and what they project: at hand where the evening before was printed from the same.

    It is taken away from where it lay: only an evening that ends well puts it back (``_put_back``).
    """
    lay: tuple[tuple[str, ...], AtTheEnlarger] | None = _this_thread.__dict__.pop("enlarger", None)
    if lay is not None and lay[0] == names:
        return lay[1]
    lay = None  # given up before the next ones are developed
    return AtTheEnlarger([find_negative(name) for name in names])


def _put_back(names: tuple[str, ...], enlarger: AtTheEnlarger) -> None:
    enlarger.clear_if_large()
    _this_thread.enlarger = names, enlarger


def _printed(task: Task, exercise: Exercise, submission: Submission) -> Marked:
    """Print and judge the nominated sheets, unless a person has to look first."""
    enlarger = _at_the_enlarger(exercise.negatives)
    marked = _judged_or_not(task, exercise, submission, enlarger)
    _put_back(exercise.negatives, enlarger)
    return marked


def _judged_or_not(task: Task, exercise: Exercise, submission: Submission, enlarger: AtTheEnlarger) -> Marked:
    by_name = {negative.name: negative for negative in enlarger.negatives}
    impossible = [
        f"sheet {made.number}: {why}"
        for made in submission.state.sheets
        if (why := why_impossible(by_name[made.record.negative], made.record))
    ]
    if impossible:
        return Marked(_result(task, "out-of-range", impossible))
    nominated = [made for made in submission.state.sheets if made.number in submission.state.nominated]
    locked = [
        f"sheet {made.number}: {locked_words(moved, Words())}"
        for made in nominated
        for moved in locked_changes(exercise, by_name[made.record.negative], made.record)
    ]
    if locked:
        return Marked(_result(task, "out-of-range", locked))
    doubts = _doubts(task, exercise, submission, by_name)
    if doubts and not task.settled:
        waiting = _result(task, "needs-person", doubts)  # what can be told without marks is told
        about = {"signs": signs_of(submission.state), "exercise_version": submission.opening.exercise_version}
        return Marked(waiting.model_copy(update=about))
    notes = [*doubts, *(said for said in _said(submission.stale) if said not in doubts)]
    return judged_evening(_result(task, "marked", notes), exercise, enlarger, submission)


def _doubts(
    task: Task, exercise: Exercise, submission: Submission, negatives: dict[str, Negative]
) -> list[str]:
    """Return what only a person can settle: another version of exercise or negative.

    An exercise whose version stayed while something in it was put right (a tolerance, points) is marked as it is today.
    """
    known = (exercise.version, *task.accepted_versions)
    doubts = _said(submission.stale) if submission.opening.exercise_version not in known else []
    for made in submission.state.sheets:
        wanted = negatives[made.record.negative].digest
        if made.record.negative_digest and made.record.negative_digest != wanted:
            doubts.append(f"sheet {made.number} was printed from other densities than this negative has today")
    return doubts
