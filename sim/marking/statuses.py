"""The states a piece of handed-in work can be in. A file that cannot be marked has a state, not a nought."""

from __future__ import annotations

from typing import Literal

Status = Literal[
    "marked", "late", "missing", "unreadable", "tampered", "out-of-range", "needs-person", "failed",
    "excused", "given", "open-again", "set-aside",
]
Limit = Literal["", "time", "memory", "crash"]

WORDS: dict[str, str] = {
    "marked": "marked",
    "late": "marked, handed in late",
    "missing": "nothing handed in",
    "unreadable": "the file cannot be read",
    "tampered": "the file is not whole, or not as it was written",
    "out-of-range": "something that was locked was moved, it is another negative than the one given, or no darkroom does this",
    "needs-person": "somebody has to look at it",
    "failed": "marking it broke a limit",
    "excused": "excused: nothing is owed",
    "given": "decided: these points were given by a person",
    "open-again": "decided: one more evening may be handed in",
    "set-aside": "decided: another file of its name counts",
}
SHORT = {"unreadable": "unreadable", "tampered": "tampered", "failed": "failed", "late": "marked, late",
         "out-of-range": "out of range", "needs-person": "needs a person",
         "given": "decided: points given", "open-again": "decided: open again", "set-aside": "decided: set aside"}  # fmt: skip
SAME_AGAIN = "the same file again"
ONE_OF_A_NAME = "the zip holds another file of this name that is not the same"
MARKED = ("marked", "late")
DECIDED = ("given", "open-again")  # by a person, about work that was not marked
SETTLED = (*MARKED, "missing", "excused", *DECIDED)  # nobody has to look
# which state is shown when none of a learner's files could be marked: what a person must look at comes first
WEIGHT = ("needs-person", "tampered", "out-of-range", "failed", "unreadable")


def said_status(status: str, limit: str = "") -> str:
    """Return the state as it stands on pages for people, in a word or two; ``failed(time)`` may come as one word."""
    status, _, inside = status.partition("(")
    limit = limit or inside.rstrip(")")
    words = SHORT.get(status, status)
    return f"{words} ({limit})" if limit else words


def shown_status(status: str, limit: str = "") -> str:
    """Return the state as it stands in tables: ``failed(time)``, else the word itself."""
    return f"{status}({limit})" if limit else status
