"""What speaks against a file handed in, in words."""

from __future__ import annotations

from sim.evening.handing_in import Doubt
from sim.words import Words

_DOUBT_WORDS = {
    "too-many-lines": "the file has more than {allowed} lines",
    "cut-short": "line {line} is not complete: the file was cut short",
    "no-line": "line {line} is no line of an evening's log",
    "line-changed": "line {line} was changed after it was written",
    "line-out-of-order": "line {line} does not follow from the line before it: lines were moved, taken out or added",
    "no-closing-line": "the closing line is missing: the file was cut short, or is a log that was not handed in",
    "refused": "{refused}",
    "too-much-paper": "more paper was used than the box held ({got} of {allowed} sheets)",
    "too-long": "the evening lasted longer than its {allowed} minutes",
    "nothing-nominated": "no sheet is named as the one that counts",
    "other-light": "the light recorded for sheet {sheet} is not what its dialled seconds give",
    "other-version": "made for version {got} of the exercise; today's is {allowed}",
    "other-content": "made for an exercise of the same version whose content differs from today's",
}


def doubt_words(doubt: Doubt, words: Words) -> str:
    """Return what speaks against a file as a sentence."""
    return words.text(
        _DOUBT_WORDS[doubt.what], line=doubt.line, sheet=doubt.sheet, got=_plain(doubt.got), allowed=_plain(doubt.allowed),
        refused=doubt.refused,
    )  # fmt: skip


def _plain(number: float) -> str:
    return str(number) if isinstance(number, int) else f"{number:g}"
