"""The one family of refusals: what the program says no to, in words ready to be shown. A fault of the program is none.

Error tree::

    Refusal                 whatever a door may show to the person at it; nothing else is shown politely
      Refused               an act: what was asked for cannot be done (a room may have kinds of its own below it)
      OutsideError          a file: file, key, rule, received is what every message states
        FileRefused         not there, not a regular file, too large, not UTF-8, not an image
        SyntaxRefused       cannot be parsed
        ValueRefused        parsed, but a key breaks a rule (``problems`` lists all of them)
      WritingFailed         what was to be kept could not be written (sim/writing.py)
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from sim.plain_text import INSTEAD, plain

SHOWN_CHARACTERS = 120


@dataclass(frozen=True)
class Problem:
    """One broken rule: which key, what the rule is, what was received."""

    key: str
    rule: str
    received: str

    def __str__(self) -> str:
        where = f"{self.key if self.key.isprintable() else shown(self.key)}: " if self.key else ""
        got = f", got {self.received}" if self.received else ""
        return f"{where}{self.rule}{got}"


class Refusal(Exception):
    """The program says no, and why."""


class Refused(Refusal, ValueError):
    """An act cannot be done as asked; the message states rule and value received.

    It is a ValueError only so that pydantic, which calls the dataclasses' own checks, gathers it with a file's other errors.
    """


class OutsideError(Refusal):
    """Something that came from outside cannot be used; names file, key, rule and value received."""

    def __init__(self, file: str | Path, problems: Iterable[Problem]):
        self.file = str(file)
        self.problems = tuple(problems)
        super().__init__(plain(f"{self.file}: " + "; ".join(str(problem) for problem in self.problems)))


class FileRefused(OutsideError):
    """The file itself cannot be taken in."""


class SyntaxRefused(OutsideError):
    """The file's text cannot be parsed."""


class ValueRefused(OutsideError):
    """The file parses, but one or more keys break a rule."""


def refuse_any(file: str | Path, problems: Sequence[Problem]) -> None:
    """Raise ValueRefused where a file has broken some rules; nothing happens where it has broken none."""
    if problems:
        raise ValueRefused(file, problems)


_SHOULD = re.compile(r"^(Value error, |\w+ should )")
_TABLES = ("model_type", "dataclass_type", "dict_type")


def rule_in_words(kind: str, message: str, context: Mapping[str, object]) -> str:
    """Return a checker's rule as every refusal here puts it: what must be, never what should."""
    if kind in _TABLES:
        return "must be a table of keys and values"
    pattern = str(context.get("pattern", ""))
    if kind == "string_pattern_mismatch" and pattern.startswith("^[a-z0-9"):
        return f"must be small letters, digits and hyphens (pattern {pattern})"
    return _SHOULD.sub(lambda found: "" if found[0].startswith("Value error") else "must ", message)


def shown(value: object) -> str:
    """Return a value as it may stand in a message: printable and short."""
    text = "".join(c if c.isprintable() else INSTEAD for c in repr(value))
    return text if len(text) <= SHOWN_CHARACTERS else text[: SHOWN_CHARACTERS - 1] + "…"
