"""Criteria that whoever teaches judges by eye, beside the densities: five steps, as a print comes up in the tray.

The course says what is asked and what it is worth; a table of its own holds the step each learner was given. Until a step
is given, the mark stands without it and says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from sim.marking.csv_tables import read_rows

Step = Literal["blank", "faint", "coming-up", "clear", "telling"]
STEPS: dict[Step, float] = {"blank": 0.0, "faint": 0.25, "coming-up": 0.5, "clear": 0.75, "telling": 1.0}


@dataclass(frozen=True)
class EyeCriterion:
    """What is judged by eye: its name, the question that is put, and its points out of those of the exercise."""

    name: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,47}$")]
    asks: Annotated[str, Field(min_length=1, max_length=300)]
    points: Annotated[float, Field(gt=0.0, le=10_000.0)]


@dataclass(frozen=True)
class EyeMark:
    """The step a learner's work was given for one of them, and why."""

    learner: str
    exercise: str
    criterion: str
    step: Step
    reason: str = ""

    @property
    def share(self) -> float:
        """The share of the criterion's points."""
        return STEPS[self.step]


def read_eye_marks(file: Path) -> tuple[EyeMark, ...]:
    """Return the steps of a CSV with the columns learner, exercise, criterion, step, reason (may be missing).

    Raises OutsideError.
    """
    return read_rows(file, EyeMark, ("learner", "exercise", "criterion"))


STEP_WORDS = {
    "blank": "blank: none of the points", "faint": "faint: a quarter of the points",
    "coming-up": "coming up: half of the points",
    "clear": "clear: three quarters of the points", "telling": "telling: all of the points",
}  # fmt: skip


def step_words(step: str) -> str:
    """Return a step as pages show it, with the share of the points that it gives."""
    return STEP_WORDS.get(step, "not judged yet")


def points_by_eye(criteria: Sequence[EyeCriterion]) -> float:
    """Return what all of them are worth."""
    return sum(one.points for one in criteria)
