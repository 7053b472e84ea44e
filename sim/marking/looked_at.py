"""What waits for a person: each work and file with whose it is, which exercise, why it waits, and what can be decided."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sim.marking.results import CourseResults, RowResult, UnplacedResult
from sim.marking.set_aside import what_can_be_done
from sim.marking.statuses import ONE_OF_A_NAME, SAME_AGAIN, SETTLED, said_status
from sim.plain_text import as_written, bare


@dataclass(frozen=True)
class ToLookAt:
    """One line of the queue, in words; ``may`` is what the table of decisions can say about it.

    ``who`` is a learner or a file; ``whose`` says of a file, in words and names, who has to do with it.
    """

    who: str
    exercise: str
    state: str
    why: str
    may: str
    whose: tuple[tuple[str, str], ...] = ()


def to_look_at(results: CourseResults) -> list[ToLookAt]:
    """Return what waits for a person: learners' work first, then files that are nobody's attempt."""
    titles = {exercise.name: exercise.title for exercise in results.exercises}
    names = {row.learner: called(row) for row in results.rows}
    rows = [
        ToLookAt(
            names[row.learner], titles[row.exercise], _state(row),
            "; ".join([*row.reasons, *_unsettled(row)]), _may(row),
        )
        for row in results.rows
        if (row.status not in SETTLED and row.override is None and row.attempts)  # without, it is the files below that wait
        or row.waiting_beside
    ]
    return rows + [_of_file(one, names, titles) for one in results.unplaced if not one.settled]


def called(row: RowResult) -> str:
    """Return a learner's name with the id that tables know; the id alone where there is no name."""
    return f"{row.name} ({as_written(row.learner)})" if row.name else as_written(row.learner)


def _state(row: RowResult) -> str:
    """Return the state of what waits; beside an evening that counts how many others do."""
    beside = len(row.waiting_beside)
    return f"{said_status(row.status, row.limit)}; {beside} beside it wait{'s' if beside == 1 else ''}" if beside else (
        said_status(row.status, row.limit))  # fmt: skip


def _unsettled(row: RowResult) -> list[str]:
    """Return why a decision has settled nothing."""
    return [row.decision.unsettled] if row.decision is not None and row.decision.unsettled else []


def _may(row: RowResult) -> str:
    """Return what can be decided; ``accept`` where something waits that it would settle, by its name where several do."""
    waiting = dict.fromkeys(one.file for one in row.attempts if one.status == "needs-person" and one.note != SAME_AGAIN)
    files = f" (file: {' or '.join(waiting)})" if len(waiting) > 1 or row.waiting_beside or _unsettled(row) else ""
    choices = f"accept{files}, partial, re-open or excused" if waiting else "partial, re-open or excused"
    exercise, learner = as_written(row.exercise), as_written(row.learner)
    if any(ONE_OF_A_NAME in reason for reason in row.reasons):
        return f"for {exercise}: {choices} under {learner}; accept with the other file of its name sets this one aside"
    return f"for {exercise}: {choices} under {learner}"


def _of_file(one: UnplacedResult, names: Mapping[str, str], titles: Mapping[str, str]) -> ToLookAt:
    whose = []
    if one.uploaders:
        whose.append((", handed in by", " / ".join(names.get(uploader, uploader) for uploader in one.uploaders)))
    if one.learner:
        said = ", it says that it is the work of" if one.uploaders else ", it concerns"
        whose.append((said, names.get(one.learner, one.learner)))
    if one.code and one.code != bare(one.file):
        whose.append((", on whose page it is called", one.code))
    concerns = dict.fromkeys((*filter(None, (one.learner,)), *one.uploaders))
    return ToLookAt(
        one.file, titles.get(one.exercise, "cannot be told"), said_status(one.status), "; ".join(one.reasons),
        what_can_be_done(as_written(one.exercise), [as_written(who) for who in concerns],
                         [as_written(who) for who in one.uploaders], as_written(one.learner)), tuple(whose),
    )  # fmt: skip
