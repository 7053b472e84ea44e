"""Who handed a file in, from the name that the receiving system gave it: a pattern such as ``*_{id}_*``, or ``{email}/*``.

``{id}`` and ``{email}`` stand for a learner's; a star for any letters but the slash between folders. What the learner wrote
inside a file is a claim, what the system wrote around it is not.
"""

from __future__ import annotations

import re
from functools import lru_cache

_PIECES = re.compile(r"(\{id\}|\{email\}|\*)")
MOST_STARS = 8


def wrong_with_pattern(pattern: str) -> str:
    """Return in words what keeps a pattern from being used; empty: it can be."""
    pieces = _PIECES.split(pattern)
    if pieces.count("{id}") + pieces.count("{email}") != 1:
        return "must hold {id} or {email} once, as in *_{id}_*"
    if pieces.count("*") > MOST_STARS or "**" in pattern:
        return f"must not hold more than {MOST_STARS} stars, nor two in a row"
    return "must not hold other braces" if any("{" in piece or "}" in piece for piece in pieces[::2]) else ""


def uploader_of(pattern: str, place: str) -> str:
    """Return the id or address that a file's place in the hand-in folder holds; empty where the pattern does not fit."""
    if "/" not in pattern:  # about the name alone, in whatever folder it lies
        place = place.rpartition("/")[2]
    found = _compiled(pattern).fullmatch(place) if pattern else None
    return found["who"] if found else ""


@lru_cache(maxsize=8)
def _compiled(pattern: str) -> re.Pattern[str]:
    written = {"{id}": "(?P<who>[^/_]+)", "{email}": "(?P<who>[^/_]+@[^/]+?)", "*": "[^/]*?"}
    return re.compile("".join(written.get(piece, re.escape(piece)) for piece in _PIECES.split(pattern)))
