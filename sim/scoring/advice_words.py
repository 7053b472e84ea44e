"""Advice in a printer's words: what was measured, how far off, and what the print needs. Never a setting, never an answer."""

from __future__ import annotations

from sim.scoring.causes import Explained
from sim.scoring.possible_causes import Cause
from sim.scoring.sharpness_causes import SettingCause
from sim.scoring.tone_aims import Aim

_FRACTIONS = (
    (1 / 12, "a twelfth of a stop"), (1 / 6, "a sixth of a stop"), (1 / 4, "a quarter of a stop"),
    (1 / 3, "a third of a stop"), (1 / 2, "half a stop"), (2 / 3, "two thirds of a stop"),
    (3 / 4, "three quarters of a stop"), (1.0, "one stop"),
)  # fmt: skip


def stops_in_words(stops: float) -> str:
    """Return a number of stops (sign left out) as printers say it."""
    size = abs(stops)
    if size > 1.1:
        return f"{size:.1f} stops"
    return min(_FRACTIONS, key=lambda pair: abs(pair[0] - size))[1]


def place_in_words(name: str) -> str:
    """Return a place's name as it stands in a sentence."""
    return f"the {name.replace('-', ' ')}" if name else "the print"


def tone_evidence(explained: Explained, cause: Cause, size: float) -> str:
    """Return what shows a cause: the reading furthest off, or for contrast both ends; hidden criteria are not told."""
    seen = [
        (aim, aim.off(explained.readings)) for aim in explained.aims.aims
        if not aim.hidden and (cause.place is None or cause.place in aim.at)
    ]  # fmt: skip
    off = sorted((pair for pair in seen if pair[1]), key=lambda pair: -abs(pair[1]) / pair[0].tolerance)
    if not off:
        return ""
    if cause.kind == "contrast":
        ends = {side: next((p for p in off if (p[1] > 0) == side and len(p[0].at) == 1), None) for side in (False, True)}
        told = [pair for pair in ends.values() if pair] or off[:1]
        return " and ".join(_told(explained, *pair) for pair in told)
    if cause.kind == "exposure":  # only a reading on the side that this light puts right is evidence for it
        off = [pair for pair in off if len(pair[0].at) == 1 and (pair[1] < 0) == (size > 0)]
    return _told(explained, *off[0]) if off else "with the other errors put right"


def _told(explained: Explained, aim: Aim, off: float) -> str:
    names = [place_in_words(explained.aims.places[k].name) for k in aim.at]
    if len(names) == 2:
        apart = explained.readings[aim.at[1]] - explained.readings[aim.at[0]]
        return f"{names[0]} and {names[1]} lie only {apart:.2f} apart, {abs(off):.2f} too little"
    side = "dark" if off > 0 else "light"
    return f"{names[0]} reads {explained.readings[aim.at[0]]:.2f}, {abs(off):.2f} too {side}"


def _sentence(evidence: str, need: str) -> str:
    text = f"{evidence}: {need}." if evidence else f"{need}."
    return text[0].upper() + text[1:]


def exposure_words(direction: str, size: float, which: str, evidence: str) -> str:
    """Return advice on light, contrast or development as a sentence."""
    amount = stops_in_words(size)
    named = f" in the {which} exposure" if which else ""
    steps = f"{abs(size):.1f}".rstrip("0").rstrip(".")
    grades = f"{steps} grade" + ("" if abs(size) <= 1.0 else "s")
    needs = {
        "more-light": f"about {amount} more light{named}",
        "less-light": f"about {amount} less light{named}",
        "harder": f"the scale is too soft; about {grades} harder",
        "softer": f"the scale is too hard; about {grades} softer",
        "longer-development": f"the sheet was pulled, {100 * abs(size):.0f} % short of complete development",
        "shorter-development": "the sheet stayed in so long that fog crept over the whites",
    }
    return _sentence(evidence, needs[direction])


def local_words(direction: str, size: float, place: str, which: str, evidence: str) -> str:
    """Return advice on one place as a sentence."""
    amount, here = stops_in_words(size), place_in_words(place)
    named = f" in the {which} exposure" if which else ""
    needs = {
        "more-burn": f"burn {here} in by about {amount} more{named}",
        "less-burn": f"burn {here} in by about {amount} less{named}",
        "more-hold-back": f"hold {here} back by about {amount} more{named}",
        "less-hold-back": f"hold {here} back by about {amount} less{named}",
    }
    return _sentence(evidence, needs[direction])


def match_words(place: str, off: float) -> str:
    """Return what is left between a print and the one it should match."""
    side = "darker" if off > 0 else "lighter"
    return _sentence("", f"{place_in_words(place)} is still {abs(off):.2f} {side} than on the print to be matched")


def fewer_sheets_words(used: float, expected: float) -> str:
    """Return advice on paper."""
    return f"{used:g} sheets were used where about {expected:g} would do: let a strip decide before a whole sheet."


def setting_words(cause: SettingCause) -> str:
    """Return advice on sharpness, size, evenness or a time as a sentence."""
    if cause.cause == "size":
        side = "narrow" if cause.direction == "larger" else "wide"
        return f"The picture is {cause.measured:.0f} mm wide, {cause.size:.0f} mm too {side}: make it {cause.direction}."
    if cause.cause == "evenness":
        here = place_in_words(cause.place)
        return (
            f"Around {here} the card's work shows by {cause.measured:.2f}, {cause.size:.2f} more than may be seen: "
            "the tool must stay inside the place, and wander there without a halt."
        )
    if cause.cause == "time":
        side = "short to work in" if cause.direction == "longer-time" else "long to be sure of"
        other = "less light a second" if cause.direction == "longer-time" else "more light a second"
        return (
            f"With the light right the exposure runs for {cause.measured:.1f} s, too {side}: "
            f"about {abs_stops(cause)} {other}, the time with it."
        )
    needs = {
        "focus": "focus again with the magnifier",
        "stop-down": "stop the lens down",
        "stop-up": "open the lens up, for it is stopped down past its best",
        "level": "bring easel and negative level",
        "hold-flat": "the film buckles; hold it flat",
    }
    here = place_in_words(cause.place)
    return (
        f"At {here} the lens keeps {100 * cause.measured:.0f} % of contrast at 5 lines a millimetre, "
        f"{100 * cause.size:.0f} % too little: {needs[cause.direction]}."
    )


def abs_stops(cause: SettingCause) -> str:
    """Return a cause's size in stops, in words."""
    return stops_in_words(cause.size)
