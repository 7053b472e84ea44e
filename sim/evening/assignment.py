"""What a learner was given to do: the assignment of a bundle, a folder handed out in a course."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from pydantic import Field

from sim.reading import OUTSIDE_RULES, read_toml_of_format

ASSIGNMENT_FILE = "assignment.toml"


@dataclass(frozen=True)
class Assignment:
    """Who does which exercise on which negatives, until when (text in the course's time zone; empty: no date).

    ``attempts`` and ``sheets`` are how many may be handed in and how much paper there is; 0: no limit, the exercise's box.
    In an ``exam`` the lesson gives neither marks nor hints nor a second evening; whoever teaches gives the marks out.
    """

    __pydantic_config__ = OUTSIDE_RULES
    course: Annotated[str, Field(max_length=64)]
    exercise: Annotated[str, Field(max_length=64)]
    learner: Annotated[str, Field(min_length=1, max_length=200)]
    negatives: Annotated[tuple[Annotated[str, Field(max_length=200)], ...], Field(min_length=1, max_length=12)]
    due: Annotated[str, Field(max_length=80)] = ""
    attempts: Annotated[int, Field(ge=0, le=1000)] = 0
    sheets: Annotated[int, Field(ge=0, le=500)] = 0
    points: Annotated[float, Field(gt=0.0, le=10_000.0)] = 100.0
    exam: bool = False


def read_assignment(folder: Path) -> Assignment:
    """Return the assignment of a bundle. Raises OutsideError."""
    return read_toml_of_format(folder / ASSIGNMENT_FILE, Assignment)


def assignment_in(folder: Path) -> Assignment | None:
    """Return the assignment of a folder, None where it holds none. Raises OutsideError."""
    return read_assignment(folder) if (folder / ASSIGNMENT_FILE).is_file() else None
