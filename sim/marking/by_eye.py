"""Criteria that whoever teaches judges by eye, beside the densities: five steps, as a print comes up in the tray.

The course says what is asked and what it is worth; a table of its own holds the step each learner was given. Until a step
is given, the mark stands without it and says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sim.marking.csv_tables import no_repeats, read_table
from sim.reading import Problem, ValueRefused, shown

STEPS = {"blank": 0.0, "faint": 0.25, "coming-up": 0.5, "clear": 0.75, "telling": 1.0}


@dataclass(frozen=True)
class EyeCriterion:
    """What is judged by eye: its name, the question that is put, and its points out of those of the exercise."""

    name: str
    asks: str
    points: float


@dataclass(frozen=True)
class EyeMark:
    """The step a learner's work was given for one of them, and why."""

    learner: str
    exercise: str
    criterion: str
    step: str
    reason: str = ""

    @property
    def share(self) -> float:
        """The share of the criterion's points."""
        return STEPS[self.step]


def read_eye_marks(file: Path) -> tuple[EyeMark, ...]:
    """Return the steps of a CSV with the columns learner, exercise, criterion, step, reason (may be missing).

    Raises OutsideError.
    """
    rows = read_table(file, ("learner", "exercise", "criterion", "step"), ("reason",))
    no_repeats(file, rows, ("learner", "exercise", "criterion"))
    rule = f"must be one of {', '.join(STEPS)}"
    problems = [
        Problem(f"line {row.line}: step", rule, shown(row.cells["step"])) for row in rows if row.cells["step"] not in STEPS
    ]
    if problems:
        raise ValueRefused(file, problems[:40])
    return tuple(
        EyeMark(c["learner"], c["exercise"], c["criterion"], c["step"], c.get("reason", "")) for c in (r.cells for r in rows)
    )


def points_by_eye(criteria: Sequence[EyeCriterion]) -> float:
    """Return what all of them are worth."""
    return sum(one.points for one in criteria)
