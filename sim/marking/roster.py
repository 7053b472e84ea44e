"""The roster: who is in the course. Learners are known by an id; names and e-mail addresses are optional."""

from __future__ import annotations

import hashlib
import hmac
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Annotated

from pydantic import Field

from sim.marking.csv_tables import no_repeats, read_table
from sim.marking.pages import file_name
from sim.reading import Problem, shown
from sim.refusals import refuse_any

PART_OF_NAME = "part of name "
CODE_PREFIX = "learner-"
CODE_DIGITS = 16  # 64 bits: among 50,000 learners two codes are alike once in ten thousand million courses


@dataclass(frozen=True)
class Learner:
    """A learner of the roster. ``shown_id`` is what stands in outputs: the id, or a code that says nothing.

    ``more`` are the roster's other columns by their headers, handed on to the gradebook.
    """

    id: str
    name: str = ""
    email: str = ""
    shown_id: str = ""
    more: Mapping[str, str] = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if not self.shown_id:
            object.__setattr__(self, "shown_id", self.id)

    @property
    def title(self) -> str:
        """The name for a heading; the id where no name is given."""
        return self.name or self.shown_id


@dataclass(frozen=True)
class Roster:
    """The learners of a course, sorted by id."""

    learners: tuple[Learner, ...]

    @cached_property
    def by_id(self) -> Mapping[str, Learner]:
        """The learners by id."""
        return {one.id: one for one in self.learners}

    @cached_property
    def known(self) -> frozenset[str]:
        """Every id, and every e-mail address in small letters."""
        return frozenset({one.id for one in self.learners} | {one.email.casefold() for one in self.learners if one.email})

    def learner(self, learner_id: str) -> Learner | None:
        """Return the learner with that id, or None."""
        return self.by_id.get(learner_id)


Header = Annotated[str, Field(min_length=1, max_length=200)]


@dataclass(frozen=True)
class RosterColumns:
    """What a roster's columns are called where they are not called id, name and email; a name may stand in several."""

    id: Header = ""
    name: Annotated[tuple[Header, ...], Field(max_length=4)] = ()
    email: Header = ""


def read_roster(file: Path, columns: RosterColumns | None = None) -> Roster:
    """Return the roster of a CSV file with the columns id, name, email (the last two optional). Raises OutsideError.

    Further columns are handed on. ``columns`` says what they are called in another system's export.
    """
    called = columns or RosterColumns()
    headers = {"id": called.id, "email": called.email, "name": called.name[0] if len(called.name) == 1 else ""}
    headers |= {f"{PART_OF_NAME}{n}": part for n, part in enumerate(called.name) if len(called.name) > 1}
    parts = tuple(key for key in headers if key.startswith(PART_OF_NAME))
    named = {here: there for here, there in headers.items() if there}
    rows = read_table(file, ("id", *parts), ("name", "email"), headers=named, others=True)
    no_repeats(file, rows, ("id",))
    learners = []
    for row in rows:
        name = " ".join(filter(None, (row.cells[part] for part in parts))) if parts else row.cells.get("name", "")
        learners.append(Learner(row.cells["id"], unicodedata.normalize("NFC", name), row.cells.get("email", ""), more=row.more))
    return Roster(tuple(sorted(learners, key=lambda one: one.id)))


def anonymous_code(learner_id: str, secret: bytes) -> str:
    """Return a code for a learner that only whoever holds the secret can lead back to the id."""
    return CODE_PREFIX + hmac.new(secret, b"anonymous\n" + learner_id.encode("utf-8"), hashlib.sha256).hexdigest()[:CODE_DIGITS]


def is_code(name: str) -> bool:
    """Tell whether a name is written as such codes are."""
    digits = name.removeprefix(CODE_PREFIX)
    return name.startswith(CODE_PREFIX) and len(digits) == CODE_DIGITS and set(digits) <= set("0123456789abcdef")


def anonymous(learner: Learner, secret: bytes) -> Learner:
    """Return the learner without name and address, shown under a code; the id stays inside the program."""
    return replace(learner, name="", email="", more={}, shown_id=anonymous_code(learner.id, secret))


def refuse_alike(file: Path, learners: Sequence[Learner]) -> None:
    """Raise ValueRefused naming both learners where two would be shown under one code, or get pages of one name."""
    problems = []
    told_apart_by: tuple[tuple[str, Callable[[Learner], str]], ...] = (
        ("the same code", lambda one: one.shown_id), ("pages of the same name", lambda one: file_name(one.shown_id)),
    )  # fmt: skip
    for what, word_of in told_apart_by:
        seen: dict[str, Learner] = {}
        for one in learners:
            other = seen.setdefault(word_of(one), one)
            if other is not one:
                both = f"{shown(other.id)} and {shown(one.id)}"
                problems.append(Problem("id", f"no two learners may have {what}", f"{both}: {word_of(one)}"))
    refuse_any(file, problems[:40])
