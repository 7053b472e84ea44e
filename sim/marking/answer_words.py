"""What a learner answered before and after a print, as pages say it: in the words that a lesson offers the answers in."""

from __future__ import annotations

import re

from sim.plain_text import as_named, as_written
from sim.viewing.plain_names import plain_name

_CODE = re.compile(
    r"lighter|darker|softer|harder|unsharp|too-small|too-large|card-shows|not-on-it|"
    r"(?:step|filter)[- ][\d.]{1,5}|[\d.]{1,6} ?s",
    re.ASCII,
)
ANSWERS = {
    "right": "as wanted",
    "before-first": "even the first step is too dark",
    "after-last": "even the last step is too light",
    "as-planned": "it came out as planned",
    "exposure": "too much or too little light over the whole sheet",
    "contrast": "the range is wrong: with one end right the other is not",
    "local": "one part needs light of its own",
    "flash": "the flash: too little of it, or too much",
    "sharpness": "focus or aperture",
    "evenness": "the card: how it was cut or held, or a hand at rest",
    "place": "the card was over another place than its own, or in the other exposure",
    "development": "the developer had too little time for its work, or too much",
    "size": "the image has the wrong size",
    "paper": "it is on another paper than was asked for",
    "match": "it does not go with the other print",
    "time": "the seconds lie outside what was asked",
    "bracketed": "the right step lies inside: lighter and darker steps on both sides",
    "begin-longer": "the strip began too short: every step is too light",
    "begin-shorter": "the strip began too long: every step is too dark",
    "other-places": "its steps show different parts of the picture, so they cannot be compared",
}


def side_words(side: str) -> str:
    """Return a side, ``lighter``, ``right`` or ``darker``, as a class's answers are told; right is what was wanted."""
    return ANSWERS["right"] if side == "right" else side


def answer_words(answer: str) -> str:
    """Return an answer as people read it: of a place its name; what the learner wrote, as it was written."""
    code, colon, own = answer.partition(":")
    place, equals, said = code.strip().rpartition("=")
    if said not in ANSWERS and not _CODE.fullmatch(said):
        return as_written(answer)
    of_place = f"{as_named(plain_name(place))}: " if equals and place != "step" else ""
    return of_place + ANSWERS.get(said, plain_name(said)) + (f": {as_written(own.strip())}" if colon else "")
