"""What a learner was given to do: the assignment of a bundle, a folder handed out in a course."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from sim.reading import read_toml

ASSIGNMENT_FILE = "assignment.toml"


@dataclass(frozen=True)
class Assignment:
    """Who does which exercise on which negatives, until when (text in the course's time zone; empty: no date).

    ``attempts`` and ``sheets`` are how many may be handed in and how much paper there is; 0: no limit, the exercise's box.
    """

    course: str
    exercise: str
    learner: str
    negatives: tuple[str, ...]
    due: str = ""
    attempts: int = 0
    sheets: int = 0
    points: float = 100.0


class _AssignmentFile(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")
    format: Literal[1]
    course: Annotated[str, Field(max_length=64)]
    exercise: Annotated[str, Field(max_length=64)]
    learner: Annotated[str, Field(min_length=1, max_length=200)]
    negatives: Annotated[list[Annotated[str, Field(max_length=200)]], Field(min_length=1, max_length=12)]
    due: Annotated[str, Field(max_length=80)] = ""
    attempts: Annotated[int, Field(ge=0, le=1000)] = 0
    sheets: Annotated[int, Field(ge=0, le=500)] = 0
    points: Annotated[float, Field(gt=0.0, le=10_000.0)] = 100.0


def read_assignment(folder: Path) -> Assignment:
    """Return the assignment of a bundle. Raises OutsideError."""
    data = read_toml(folder / ASSIGNMENT_FILE, _AssignmentFile)
    kept = data.model_dump(exclude={"format", "negatives"})
    return Assignment(**kept, negatives=tuple(data.negatives))


def assignment_in(folder: Path) -> Assignment | None:
    """Return the assignment of a folder, None where it holds none. Raises OutsideError."""
    return read_assignment(folder) if (folder / ASSIGNMENT_FILE).is_file() else None
