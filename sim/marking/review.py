"""What a person decided about work that waited for one: accepted, given a part, opened again, or excused. A table of its own.

``accept``: what only a person can settle is settled in the learner's favour, and the evening is marked as any other.
``partial``: these points, in the place of marks. ``re-open``: one more evening may be handed in. ``excused``: nothing is owed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Annotated, Literal, get_args

from pydantic import Field, PlainValidator

from sim.marking.csv_tables import read_rows
from sim.marking.moments import moment_in
from sim.reading import shown
from sim.refusals import Refused

Choice = Literal["accept", "partial", "re-open", "excused"]
CHOICES: tuple[str, ...] = get_args(Choice)
MOST_POINTS = 100_000.0


def _points(cell: object) -> float:
    """Return points as a table states them."""
    try:
        value = float(str(cell))
    except ValueError:
        value = math.nan
    if not 0.0 <= value <= MOST_POINTS or "_" in str(cell):
        raise Refused(f"must be a number from 0 to {MOST_POINTS:.0f} with a decimal point, got {shown(cell)}")
    return value


def _when(cell: object) -> datetime | None:
    """Return a moment as a table states it; None for an empty cell."""
    when = moment_in(str(cell)) if cell else None
    if cell and when is None:
        raise Refused(f"must be a time such as 2026-12-01T18:03:00+01:00, got {shown(cell)}")
    return when


Points = Annotated[float, PlainValidator(_points)]


@dataclass(frozen=True)
class Decision:
    """One decision. ``points`` belong to ``partial`` alone; ``reason`` is for the learner, ``private`` for no page of theirs.

    ``learner`` is an id, or the code under which a blind marker sees the learner. ``when`` is when it was decided: what came
    later is the evening that a re-opening was for. Without it that is what did not lie there yet when the decision was first
    read (``reopened.py``). ``file`` names the one file that an ``accept`` is about, where several wait.
    """

    learner: str
    exercise: str
    choice: Annotated[Choice, Field(validation_alias="decision")]
    points: Points | None = None
    reason: str = ""
    private: str = ""
    when: Annotated[datetime | None, PlainValidator(_when)] = None
    file: str = ""

    def __post_init__(self) -> None:
        if (self.choice == "partial") != (self.points is not None):
            raise Refused(f"points belong to partial, and to it alone, got {self.choice} with {self.points}")
        if self.file and self.choice != "accept":
            raise Refused(f"file belongs to accept alone: all else is said of learner and exercise, got {self.choice}")
        if self.choice == "partial" and not self.reason:
            raise Refused("reason is required: say why a person gave these points, got none")


def read_decisions(file: Path) -> tuple[Decision, ...]:
    """Return the decisions of a CSV with the columns learner, exercise, decision, points, reason, private, when, file.

    The last five may be missing. A learner and an exercise stand once, and once more for each file that is named.
    Raises OutsideError.
    """
    return read_rows(file, Decision, ("learner", "exercise", "file"), ("file",))
