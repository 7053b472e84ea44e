"""What a learner was given to do: the assignment of a bundle, a folder handed out in a course."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Annotated

from pydantic import Field

from sim.reading import MAX_TOML_BYTES, Problem, ValueRefused, read_text, read_toml_of_format, shown

ASSIGNMENT_FILE, TASK_FILE = "assignment.toml", "exercise.toml"
SEAL_DIGITS = 32


@dataclass(frozen=True)
class Assignment:
    """Who does which exercise on which negatives, until when (text in the course's time zone; empty: no date).

    ``attempts`` and ``sheets`` are how many may be handed in and how much paper there is; 0: no limit, the exercise's box.
    In an ``exam`` the lesson gives neither marks nor hints nor a second evening; whoever teaches gives the marks out.
    ``seal`` fits what was given out: a word changed with an editor shows. Whoever can program can make it anew.
    """

    course: Annotated[str, Field(max_length=64)]
    exercise: Annotated[str, Field(max_length=64)]
    learner: Annotated[str, Field(min_length=1, max_length=200)]
    negatives: Annotated[tuple[Annotated[str, Field(max_length=200)], ...], Field(min_length=1, max_length=12)]
    due: Annotated[str, Field(max_length=80)] = ""
    attempts: Annotated[int, Field(ge=0, le=1000)] = 0
    sheets: Annotated[int, Field(ge=0, le=500)] = 0
    points: Annotated[float, Field(gt=0.0, le=10_000.0)] = 100.0
    exam: bool = False
    seal: Annotated[str, Field(max_length=SEAL_DIGITS)] = ""

    @property
    def evenings(self) -> int:
        """How many evenings may be begun: in an examination as many as may be handed in, else any number (0)."""
        return max(self.attempts, 1) if self.exam else 0

    def sealed_with(self, task: str) -> str:
        """Return the seal of this assignment and the text of its exercise, whatever ends the lines of that."""
        told = json.dumps({**asdict(self), "seal": "\n".join(task.splitlines())}, sort_keys=True)
        return hashlib.sha256(told.encode("utf-8", "replace")).hexdigest()[:SEAL_DIGITS]


def read_assignment(folder: Path) -> Assignment:
    """Return the assignment of a bundle. Raises OutsideError, also where bundle and seal do not fit any more."""
    file = folder / ASSIGNMENT_FILE
    found = read_toml_of_format(file, Assignment)
    if found.seal != found.sealed_with(read_text(folder / TASK_FILE, MAX_TOML_BYTES)):
        rule = f"must fit {ASSIGNMENT_FILE} and {TASK_FILE} as given out; take the bundle as it came, or ask for it again"
        raise ValueRefused(file, [Problem("seal", rule, shown(found.seal))])
    return found


def assignment_in(folder: Path) -> Assignment | None:
    """Return the assignment of a folder, None where it holds none. Raises OutsideError."""
    return read_assignment(folder) if (folder / ASSIGNMENT_FILE).is_file() else None
