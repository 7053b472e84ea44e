"""The negatives that were given out in a course to whoever works here: those a solver leaves alone.

Kept beside evenings and progress when an assignment is opened. It is a promise, not a lock: the file is the learner's own.
"""

from __future__ import annotations

import contextlib
import json
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Annotated

from pydantic import Field

from sim.evening.assignment import Assignment
from sim.reading import MAX_ENTRIES, MAX_TOML_BYTES, parse_as, parse_json, read_text
from sim.refusals import Refusal, Refused
from sim.shelf import VARIANT_MARK
from sim.writing import WritingFailed, write_text

GIVEN_OUT_FILE = "given-out.json"
MOST_KEPT = MAX_ENTRIES  # what a list from outside may hold: one more, and nothing of it would be read again


@dataclass(frozen=True)
class Begun:
    """An examination's evening that was begun here: of which course and exercise, by whom, and where its log lies."""

    course: Annotated[str, Field(max_length=64)]
    exercise: Annotated[str, Field(max_length=64)]
    learner: Annotated[str, Field(max_length=200)]
    log: Annotated[str, Field(max_length=2000)]


@dataclass(frozen=True)
class _GivenOut:
    negatives: Annotated[tuple[Annotated[str, Field(max_length=200)], ...], Field(max_length=MOST_KEPT)] = ()
    examinations: Annotated[tuple[Begun, ...], Field(max_length=MOST_KEPT)] = ()


def _kept(folder: Path) -> _GivenOut:
    """Return what is kept in a folder; nothing where that cannot be read."""
    file = folder / GIVEN_OUT_FILE
    if not file.is_file():
        return _GivenOut()
    try:
        return parse_as(file, parse_json(file, read_text(file, MAX_TOML_BYTES)), _GivenOut)
    except Refusal:
        return _GivenOut()


def _keep(folder: Path, before: _GivenOut, now: _GivenOut) -> None:
    if before != now:
        with contextlib.suppress(WritingFailed, OSError):
            write_text(folder / GIVEN_OUT_FILE, json.dumps(asdict(now), indent=1) + "\n")


def negatives_given_out(folder: Path) -> tuple[str, ...]:
    """Return the negatives that were given out to whoever keeps evenings in a folder; none where the list cannot be read."""
    return _kept(folder).negatives


def keep_given_out(folder: Path, assignment: Assignment) -> None:
    """Remember the negatives of an assignment. A folder that cannot be written to keeps nobody from working."""
    known = _kept(folder)
    both = tuple(dict.fromkeys((*known.negatives, *assignment.negatives)))[-MOST_KEPT:]
    _keep(folder, known, replace(known, negatives=both))


def evenings_begun(folder: Path, assignment: Assignment) -> tuple[Begun, ...]:
    """Return the evenings of an examination that were begun by whoever keeps evenings in a folder, wherever they lie."""
    told = (assignment.course, assignment.exercise, assignment.learner)
    return tuple(one for one in _kept(folder).examinations if (one.course, one.exercise, one.learner) == told)


def refuse_another_evening(folder: Path, assignment: Assignment) -> None:
    """Raise Refused where an examination has no evening left to begin; what was begun can be gone on with."""
    begun = evenings_begun(folder, assignment)
    if assignment.exam and len(begun) >= assignment.evenings:
        raise Refused(
            f"in an examination evenings are counted, and {len(begun)} of {assignment.evenings} was begun; go on with it, "
            f"in {begun[-1].log}"
        )


def keep_begun(folder: Path, assignment: Assignment, log: Path) -> None:
    """Remember that an examination's evening was begun. Of other work nothing is kept."""
    known, where = _kept(folder), str(log.absolute())
    if assignment.exam and where not in {one.log for one in evenings_begun(folder, assignment)}:
        begun = Begun(assignment.course, assignment.exercise, assignment.learner, where)
        _keep(folder, known, replace(known, examinations=(*known.examinations, begun)[-MOST_KEPT:]))


def is_given_out(negative: str, given: tuple[str, ...]) -> bool:
    """Tell whether a negative, or another variant of the same sleeve, was given out."""
    base = negative.partition(VARIANT_MARK)[0]
    return base in {one.partition(VARIANT_MARK)[0] for one in given}
