"""The negatives that were given out in a course to whoever works here: those a solver leaves alone.

Kept beside evenings and progress when an assignment is opened. It is a promise, not a lock: the file is the learner's own.
"""

from __future__ import annotations

import contextlib
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from pydantic import Field

from sim.evening.assignment import Assignment
from sim.reading import MAX_TOML_BYTES, OUTSIDE_RULES, parse_as, parse_json, read_text
from sim.refusals import Refusal
from sim.shelf import VARIANT_MARK
from sim.writing import WritingFailed, write_text

GIVEN_OUT_FILE = "given-out.json"
MOST_KEPT = 400


@dataclass(frozen=True)
class _GivenOut:
    __pydantic_config__ = OUTSIDE_RULES
    negatives: Annotated[tuple[Annotated[str, Field(max_length=200)], ...], Field(max_length=MOST_KEPT)] = ()


def negatives_given_out(folder: Path) -> tuple[str, ...]:
    """Return the negatives that were given out to whoever keeps evenings in a folder; none where the list cannot be read."""
    file = folder / GIVEN_OUT_FILE
    if not file.is_file():
        return ()
    try:
        return parse_as(file, parse_json(file, read_text(file, MAX_TOML_BYTES)), _GivenOut).negatives
    except Refusal:
        return ()


def keep_given_out(folder: Path, assignment: Assignment) -> None:
    """Remember the negatives of an assignment. A folder that cannot be written to keeps nobody from working."""
    known = negatives_given_out(folder)
    both = tuple(dict.fromkeys((*known, *assignment.negatives)))[-MOST_KEPT:]
    if both != known:
        with contextlib.suppress(WritingFailed, OSError):
            write_text(folder / GIVEN_OUT_FILE, json.dumps({"negatives": both}, indent=1) + "\n")


def is_given_out(negative: str, given: tuple[str, ...]) -> bool:
    """Tell whether a negative, or another variant of the same sleeve, was given out."""
    base = negative.partition(VARIANT_MARK)[0]
    return base in {one.partition(VARIANT_MARK)[0] for one in given}
