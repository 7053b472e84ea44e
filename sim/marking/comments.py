"""Comments of whoever teaches, on an evening, a print or a criterion. They change no mark.

A comment is written out, or taken from the course's own bank of comments by its word, or both.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from pydantic import Field

from sim.marking.csv_tables import read_table
from sim.reading import Problem, ValueRefused, read_toml_of_format, shown
from sim.refusals import refuse_any

ABOUT_A_SHEET = re.compile(r"sheet-([1-9]\d{0,3})", re.ASCII)
MOST_BANKED = 400


@dataclass(frozen=True)
class Comment:
    """What is said to a learner about an exercise: about a criterion (its name), a print (``sheet-3``) or all of it (empty)."""

    learner: str
    exercise: str
    about: str
    text: str

    @property
    def sheet(self) -> int:
        """The number of the sheet it is about; 0 where it is about something else."""
        found = ABOUT_A_SHEET.fullmatch(self.about)
        return int(found[1]) if found else 0


@dataclass(frozen=True)
class _Banked:
    word: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,47}$")]
    text: Annotated[str, Field(min_length=1, max_length=2000)]


@dataclass(frozen=True)
class _Bank:
    comment: Annotated[tuple[_Banked, ...], Field(max_length=MOST_BANKED)] = ()


def read_bank(file: Path) -> dict[str, str]:
    """Return a course's comments by their words, from a TOML file of ``[[comment]]`` with word and text.

    Raises OutsideError.
    """
    banked = read_toml_of_format(file, _Bank).comment
    words = [one.word for one in banked]
    twice = [word for index, word in enumerate(words) if word in words[:index]]
    if twice:
        raise ValueRefused(file, [Problem("comment.word", "must stand only once", shown(word)) for word in twice[:40]])
    return {one.word: one.text for one in banked}


def read_comments(file: Path, bank: Mapping[str, str]) -> tuple[Comment, ...]:
    """Return the comments of a CSV with the columns learner, exercise, about, says, bank (the last three may be missing).

    Raises OutsideError for a line that says nothing, or a word that the bank has not.
    """
    rows = read_table(file, ("learner", "exercise"), ("about", "says", "bank"))
    found, problems = [], []
    for row in rows:
        word, says = row.cells.get("bank", ""), row.cells.get("says", "")
        if word and word not in bank:
            known = ", ".join(bank) or "the course names no bank of comments"
            problems.append(Problem(f"line {row.line}: bank", f"must be a word of the bank ({known[:300]})", shown(word)))
        elif not word and not says:
            problems.append(Problem(f"line {row.line}: says", "is required where no word of the bank stands", ""))
        else:
            text = " ".join(part for part in (bank.get(word, ""), says) if part)
            found.append(Comment(row.cells["learner"], row.cells["exercise"], row.cells.get("about", ""), text))
    refuse_any(file, problems[:40])
    return tuple(found)
