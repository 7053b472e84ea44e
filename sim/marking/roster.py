"""The roster: who is in the course. Learners are known by an id; names and e-mail addresses are optional."""

from __future__ import annotations

import hashlib
import hmac
from dataclasses import dataclass, replace
from pathlib import Path

from sim.marking.csv_tables import no_repeats, read_table


@dataclass(frozen=True)
class Learner:
    """A learner of the roster. ``shown_id`` is what stands in outputs: the id, or a code that says nothing."""

    id: str
    name: str = ""
    email: str = ""
    shown_id: str = ""

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

    def learner(self, learner_id: str) -> Learner | None:
        """Return the learner with that id, or None."""
        return next((one for one in self.learners if one.id == learner_id), None)


def read_roster(file: Path) -> Roster:
    """Return the roster of a CSV file with the columns id, name, email (the last two optional). Raises OutsideError."""
    rows = read_table(file, ("id",), ("name", "email"))
    no_repeats(file, rows, ("id",))
    learners = (Learner(r.cells["id"], r.cells.get("name", ""), r.cells.get("email", "")) for r in rows)
    return Roster(tuple(sorted(learners, key=lambda one: one.id)))


def anonymous_code(learner_id: str, secret: bytes) -> str:
    """Return a code for a learner that only whoever holds the secret can lead back to the id."""
    return "learner-" + hmac.new(secret, b"anonymous\n" + learner_id.encode("utf-8"), hashlib.sha256).hexdigest()[:8]


def anonymous(learner: Learner, secret: bytes) -> Learner:
    """Return the learner without name and address, shown under a code; the id stays inside the program."""
    return replace(learner, name="", email="", shown_id=anonymous_code(learner.id, secret))
