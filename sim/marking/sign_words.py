"""Signs in words, for whoever teaches: what was seen, and nothing about why."""

from __future__ import annotations

from sim.marking.similar_work import Sign

_WORDS = {
    "same-light": "lamp and timer erred in the same way as in the evening of {other}: one evening may be a copy of the other",
    "same-decisions": "{value:.0f} sheets or more in a row were decided exactly as {other} did",
    "first-sheet": "the very first piece of paper earned {percent:.0f} % of the quality",
    "no-strip": "in {value:.0f} exercises a very good print within two sheets and without a strip",
    "small-card": "a card of {value:g} mm was used on a sheet that counts",
}


def sign_words(sign: Sign, other: str) -> str:
    """Return a sign as a sentence; ``other`` is how the other learner is called."""
    return _WORDS[sign.what].format(other=other, value=sign.value, percent=100.0 * sign.value)
