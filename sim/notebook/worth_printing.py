"""Frames marked on a proof sheet as worth printing: kept by negative, for every evening to come, in one small file."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from sim.locking import take_hold
from sim.reading import OUTSIDE_RULES, parse_json, read_text, validate
from sim.refusals import Refused
from sim.writing import sweep, write_text

FILE_NAME, MOST_BYTES = "worth-printing.json", 256 * 1024
MOST_MARKED = 256  # as many as one list of an outside file may hold
LONGEST_WAIT_S = 1.0  # for another program that is writing them


@dataclass(frozen=True)
class _Marked:
    __pydantic_config__ = OUTSIDE_RULES
    negatives: Annotated[tuple[Annotated[str, Field(min_length=1, max_length=200)], ...], Field(max_length=MOST_MARKED)] = ()
    format: Literal[1] = 1


def marked_frames(folder: Path) -> tuple[str, ...]:
    """Return the negatives that are marked, in the order in which they were. Raises OutsideError for a file that is damaged."""
    file = folder / FILE_NAME
    if not file.exists():
        return ()
    return validate(file, parse_json(file, read_text(file, MOST_BYTES)), _Marked).negatives


def with_marks(before: Sequence[str], mark: Sequence[str] = (), unmark: Sequence[str] = ()) -> tuple[str, ...]:
    """Return what is marked once some more are, and others are not any more."""
    return tuple(dict.fromkeys(name for name in (*before, *mark) if name not in unmark))


def mark_frames(folder: Path, mark: Sequence[str] = (), unmark: Sequence[str] = ()) -> tuple[str, ...]:
    """Mark negatives, or take their mark away, and keep that; return all that are marked. Raises Refusal."""
    file = folder / FILE_NAME
    folder.mkdir(parents=True, exist_ok=True)
    with take_hold(file, LONGEST_WAIT_S) as hold:
        if hold.locked:
            sweep(file)
        before = marked_frames(folder)
        after = with_marks(before, mark, unmark)
        if len(after) > MOST_MARKED:
            rule = f"frames marked as worth printing must number at most {MOST_MARKED}, got {len(after)}"
            raise Refused(f"{rule}: take the mark of others away")
        if after != before:
            text = json.dumps({"format": 1, "negatives": list(after)}, ensure_ascii=False, indent=2)
            write_text(file, text + "\n")
    return after
