"""Who handed a file in, from the name that the receiving system gave it: a pattern such as ``*_{id}_*``, or ``{email}/*``.

``{id}`` and ``{email}`` stand for a learner's; a star for any letters but the slash between folders. What the learner wrote
inside a file is a claim, what the system wrote around it is not.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from functools import lru_cache

_PIECES = re.compile(r"(\{id\}|\{email\}|\*)")
_WORD = re.compile(r"[^\W_]+")
MOST_STARS = 8
MOST_WORDS, WORDS_OF_ONE = 40, 10  # of a place; of an id or address in it
OR = " or "


def wrong_with_pattern(pattern: str) -> str:
    """Return in words what keeps a pattern from being used; empty: it can be."""
    pieces = _PIECES.split(pattern)
    if pieces.count("{id}") + pieces.count("{email}") != 1:
        return "must hold {id} or {email} once, as in *_{id}_*"
    if pieces.count("*") > MOST_STARS or "**" in pattern:
        return f"must not hold more than {MOST_STARS} stars, nor two in a row"
    return "must not hold other braces" if any("{" in piece or "}" in piece for piece in pieces[::2]) else ""


def uploader_of(pattern: str, place: str, known: Collection[str] = ()) -> str:
    """Return the id or address that a file's place in the hand-in folder holds; empty where the pattern does not fit.

    ``known`` are ids and addresses (in small letters) of the course: one of them is found whole, whatever letters part it.
    Where one stands in the place but not as the pattern says, the pattern was not made for such a name and nothing is found.
    Where several fit, all are returned: nobody's, so that a person looks.
    """
    if "/" not in pattern:  # about the name alone, in whatever folder it lies
        place = place.rpartition("/")[2]
    if not pattern:
        return ""
    who = dict.fromkeys(one for one in _pieces_of(place) if one in known or one.casefold() in known)
    fitting = [one for one in who if _fits(pattern, one, place)]
    widest = [one for one in fitting if not any(one != other and one in other for other in fitting)]
    if widest:
        return OR.join(widest)
    found = None if who else _compiled(pattern).fullmatch(place)
    return found["who"] if found else ""


def _pieces_of(place: str) -> Iterator[str]:
    """Yield what stands between any two edges of words, the earliest and longest first."""
    words = [found.span() for found in _WORD.finditer(place)][:MOST_WORDS]
    for first, (start, _) in enumerate(words):
        for _, end in reversed(words[first : first + WORDS_OF_ONE]):
            yield place[start:end]


def _fits(pattern: str, who: str, place: str) -> bool:
    """Tell whether a place is written as the pattern says, with this id or address in it."""
    if ("@" in who) != ("{email}" in pattern):
        return False
    pieces = ("[^/]*?" if piece == "*" else re.escape(who if piece[:1] == "{" else piece) for piece in _PIECES.split(pattern))
    return re.fullmatch(_and_below(pattern, "".join(pieces)), place) is not None


def _and_below(pattern: str, written: str) -> str:
    """Return an expression whose last ``*`` also fits folders below: who may write there is who owns the folder above."""
    return f"{written}(?:/.*)?" if "/" in pattern and pattern.endswith("*") else written


@lru_cache(maxsize=8)
def _compiled(pattern: str) -> re.Pattern[str]:
    written = {"{id}": "(?P<who>[^/_]+)", "{email}": "(?P<who>[^/_]+@[^/]+?)", "*": "[^/]*?"}
    pieces = "".join(written.get(piece, re.escape(piece)) for piece in _PIECES.split(pattern))
    return re.compile(_and_below(pattern, pieces))
