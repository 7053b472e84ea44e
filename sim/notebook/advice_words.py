"""Advice in a printer's words: what was measured, how far off ("a third of a stop more light"), and what the print needs.

Never a setting, never an answer. The facts are ``sim/scoring/advice.py``'s; here they become one sentence in a language.
"""

from __future__ import annotations

from sim.paper.stock import find_stock
from sim.scoring.advice import Advice, Evidence
from sim.viewing.plain_names import plain_name
from sim.words import Words

_FRACTIONS = (
    (1 / 12, "a twelfth of a stop"), (1 / 10, "a tenth of a stop"), (1 / 8, "an eighth of a stop"),
    (1 / 6, "a sixth of a stop"), (1 / 4, "a quarter of a stop"),
    (1 / 3, "a third of a stop"), (1 / 2, "half a stop"), (2 / 3, "two thirds of a stop"),
    (3 / 4, "three quarters of a stop"), (1.0, "one stop"),
)  # fmt: skip
_LIGHT_WORDS = {
    "more-light": "about {amount} more light{where}",
    "less-light": "about {amount} less light{where}",
    "more-burn": "burn {place} in by about {amount} more{where}",
    "less-burn": "burn {place} in by about {amount} less{where}",
    "more-hold-back": "hold {place} back by about {amount} more{where}",
    "less-hold-back": "hold {place} back by about {amount} less{where}",
}
_NEW_CARD_WORDS = {  # where nothing was burnt in or held back yet
    "more-burn": "burn {place} in by about {amount}{where}",
    "more-hold-back": "hold {place} back by about {amount}{where}",
}
_EXPOSURE_WORDS = {"soft": " in the soft exposure", "hard": " in the hard exposure"}
_CONTRAST_WORDS = {
    "harder": "the contrast is too soft; about {grades} harder",
    "softer": "the contrast is too hard; about {grades} softer",
}
_DEVELOPMENT_WORDS = {
    "longer-development": "the sheet came out of the developer too early: {percent} % of the full developing time was missing",
    "shorter-development": "the sheet stayed in so long that fog crept over the whites",
}
_FLASH_WORDS = {
    "more-flash": "the faint lights want more flash, about {percent} % of what this paper bears unseen",
    "less-flash": "the flash was too long, by about {percent} % of what this paper bears unseen",
}
_MATCH_WORDS = {
    "lighter": "{place} is still {size} darker than on the print to be matched",
    "darker": "{place} is still {size} lighter than on the print to be matched",
}
_SIZE_WORDS = {
    "larger": "The picture is {measured} mm wide, {size} mm too narrow: make it larger, and its light will spread with it.",
    "smaller": "The picture is {measured} mm wide, {size} mm too wide: make it smaller, and its light will gather with it.",
}
_HAND_WORDS = {
    "smaller": "the {tool} is too large{place}{over}",
    "larger": "the {tool} is too small{place} and does not cover it",
    "lower": "the card was held too high{over}; bring it nearer to the paper",
    "higher": "the card was held too near to the paper, and its edge shows: hold it higher",
    "moving": "the card was held still and left its outline; keep it moving as long as it is in the light",
}
_EVENNESS_WORDS = {
    "keep-texture": "it pushed tones into bare paper or full black; let it do less there, so that their texture stays",
    "wander": "keep the hand wandering there without a halt",
    "fade": "hold the card somewhat higher, so that its edge fades out more slowly",
}
_REACHES_WORDS = {"tool": ", and its shadow reaches over {place}", "hole": ", and its light reaches over {place}"}
_SPREADS_WORDS = {"tool": ", and its shadow spread over {place}", "hole": ", and its light spread over {place}"}
_WORKS_WORDS = {"tool": "held over", "hole": "laid open over"}
_TIME_WORDS = {
    "longer-time": "With the light right the exposure runs for {measured} s, too short to work in: "
    "about {amount} less light a second, the time with it.",
    "shorter-time": "With the light right the exposure runs for {measured} s, too long to be sure of: "
    "about {amount} more light a second, the time with it.",
}
_SHARPNESS_WORDS = {
    "focus": "focus again with the magnifier",
    "stop-down": "stop the lens down",
    "stop-up": "open the lens up, for it is stopped down past its best",
    "level": "bring easel and negative level",
    "hold-flat": "the film buckles; hold it flat",
}


def advice_words(one: Advice, words: Words) -> str:
    """Return one piece of advice as a sentence."""
    told = _OF_CAUSE.get(one.cause)
    said = told(one, words) if told else f"{one.cause} {one.direction} {one.size:g} {one.unit}"
    return f"{_prints(one, words)}{said[0].lower()}{said[1:]}" if one.prints else said


def _prints(one: Advice, words: Words) -> str:
    """Return which prints a line speaks of, where there are several."""
    numbers = [str(number) for number in one.prints]
    if len(numbers) == 1:
        which = words.text("In print {number}", number=numbers[0])
    else:
        listed = words.text("{first} and {last}", first=", ".join(numbers[:-1]), last=numbers[-1])
        which = words.text("In prints {numbers}", numbers=listed)
    film = words.text(" ({negative})", negative=plain_name(one.film)) if one.film else ""
    return f"{which}{film}: "


def stops_in_words(stops: float, words: Words) -> str:
    """Return a number of stops (sign left out) as printers say it."""
    size = abs(stops)
    if size > 1.1:
        return words.text("{stops} stops", stops=words.number(size, 1))
    return words.text(min(_FRACTIONS, key=lambda pair: abs(pair[0] - size))[1])


def place_in_words(name: str, words: Words) -> str:
    """Return a place's name as it stands in a sentence."""
    return words.text("the {place}", place=plain_name(name)) if name else words.text("the print")


def _light(one: Advice, words: Words) -> str:
    """More or less light over the sheet, in the soft or hard exposure, or at one place."""
    where = words.text(_EXPOSURE_WORDS[one.exposure]) if one.exposure else ""
    amount, place = stops_in_words(one.size, words), place_in_words(one.place, words)
    told = _LIGHT_WORDS if one.tool else _LIGHT_WORDS | _NEW_CARD_WORDS
    return _sentence(one, words.text(told[one.direction], amount=amount, place=place, where=where), words)


def _contrast(one: Advice, words: Words) -> str:
    steps = words.number(one.size, 0 if round(one.size, 1) == round(one.size) else 1)
    grades = words.count("{steps} grade", "{steps} grades", 1 if one.size <= 1.0 else one.size, steps=steps)
    return _sentence(one, words.text(_CONTRAST_WORDS[one.direction], grades=grades), words)


def _in_percent(one: Advice, words: Words) -> str:
    """Development or flash: a share that is missing or too much."""
    message = (_DEVELOPMENT_WORDS | _FLASH_WORDS)[one.direction]
    return _sentence(one, words.text(message, percent=words.number(100 * one.size, 0)), words)


def _match(one: Advice, words: Words) -> str:
    place, size = place_in_words(one.place, words), words.number(one.size, 2)
    return _sentence(one, words.text(_MATCH_WORDS[one.direction], place=place, size=size), words)


def _size(one: Advice, words: Words) -> str:
    measured, size = words.number(one.measured, 0), words.number(one.size, 0)
    return words.text(_SIZE_WORDS[one.direction], measured=measured, size=size)


def _place(one: Advice, words: Words) -> str:
    """A card over another place than it belongs, or in the other of two exposures."""
    place = place_in_words(one.place, words)
    if one.direction == "other-exposure":
        other = _EXPOSURE_WORDS[one.exposure or "soft"]
        need = words.text(
            "the card at {place} worked in the wrong exposure; its work belongs{where}", place=place, where=words.text(other)
        )
    elif one.over:
        over, how = place_in_words(one.over, words), words.text(_WORKS_WORDS[one.tool or "tool"])
        need = words.text("the card was {how} {over} and missed {place}, where it belongs", how=how, over=over, place=place)
    elif any(one.place in reading.places for reading in one.evidence):
        need = words.text("the card lay beside {place}, where it belongs, and missed it", place=place)
    else:
        need = words.text("the card lay beside {place}, where it belongs", place=place)
    return _of_a_card(one, need, words)


def _paper(one: Advice, words: Words) -> str:
    title = find_stock(one.place).title
    return words.text("The print was to be on another paper: {paper}.", paper=f"{title[0].lower()}{title[1:]}")


def _pair(one: Advice, words: Words) -> str:
    """One filter that cannot serve a card's place and the rest of the sheet: what it leaves, and the way out."""
    reading = one.evidence[0]
    return words.text(
        "No one filter does it: with light and filter at their best {place} would still read {read}, {off} {side}. "
        "Divide the light into a soft and a hard exposure, and let the work at {card} be done in the {half} one.",
        place=place_in_words(reading.places[0], words), read=words.number(reading.read, 2),
        off=words.number(abs(reading.off), 2), side=words.text("too dark" if reading.off > 0 else "too light"),
        card=place_in_words(one.place, words), half=words.text(one.exposure),
    )  # fmt: skip


def _hand(one: Advice, words: Words) -> str:
    """What is wrong about a card at its place: size, height, or a hand at rest."""
    tool, over = words.text(one.tool or "tool"), ""
    if one.over:
        told = _SPREADS_WORDS if one.direction == "lower" else _REACHES_WORDS
        over = words.text(told[one.tool or "tool"], place=place_in_words(one.over, words))
    place = words.text(" for {place}", place=place_in_words(one.place, words)) if one.place else ""
    return _of_a_card(one, words.text(_HAND_WORDS[one.direction], tool=tool, place=place, over=over), words)


def _of_a_card(one: Advice, need: str, words: Words) -> str:
    """Return what is wrong about a card with what shows it: its own trace, or a tone."""
    if one.measured:
        seen = words.text(
            "What the card did shows like an edge of {measured}, {size} more than may be seen",
            measured=words.number(one.measured, 2), size=words.number(one.measured - one.wanted, 2),
        )  # fmt: skip
        return words.text("{evidence}: {need}.", evidence=seen, need=need)
    return _sentence(one, need, words)


def _evenness(one: Advice, words: Words) -> str:
    return words.text(
        "Around {place} the card's work shows like an edge of {measured}, {size} more than may be seen: {need}.",
        place=place_in_words(one.place, words), measured=words.number(one.measured, 2), size=words.number(one.size, 2),
        need=words.text(_EVENNESS_WORDS[one.direction]),
    )  # fmt: skip


def _time(one: Advice, words: Words) -> str:
    measured, amount = words.number(one.measured, 1), stops_in_words(one.size, words)
    return words.text(_TIME_WORDS[one.direction], measured=measured, amount=amount)


def _sharpness(one: Advice, words: Words) -> str:
    return words.text(
        "At {place} the lens keeps {measured} % of contrast at 5 lines a millimetre, {size} % too little: {need}.",
        place=place_in_words(one.place, words), measured=words.number(100 * one.measured, 0),
        size=words.number(100 * one.size, 0), need=words.text(_SHARPNESS_WORDS[one.direction]),
    )  # fmt: skip


def _economy(one: Advice, words: Words) -> str:
    return words.count(
        "{used} sheet was used where about {expected} would do: let a strip decide before a whole sheet.",
        "{used} sheets were used where about {expected} would do: let a strip decide before a whole sheet.",
        one.measured, used=f"{one.measured:g}", expected=f"{one.wanted:g}",
    )  # fmt: skip


_OF_CAUSE = {
    "exposure": _light, "local": _light, "contrast": _contrast, "development": _in_percent, "match": _match,
    "size": _size, "evenness": _evenness, "time": _time, "sharpness": _sharpness, "economy": _economy,
    "place": _place, "hand": _hand, "flash": _in_percent, "pair": _pair, "paper": _paper,
}  # fmt: skip


def _sentence(one: Advice, need: str, words: Words) -> str:
    """Return what shows the cause, and the need, as one sentence."""
    if one.after_others and not one.evidence:
        told = words.text("with the other errors put right")
    else:
        told = words.text(" and ").join(_told(reading, words) for reading in one.evidence)
        told = words.text("once the rest is put right, {evidence}", evidence=told) if one.after_others else told
    text = words.text("{evidence}: {need}.", evidence=told, need=need) if told else f"{need}."
    return text[0].upper() + text[1:]


def evidence_words(one: Advice, words: Words) -> str:
    """Return the readings that show a cause, as part of a sentence; empty where none does."""
    told = words.text(" and ").join(_told(reading, words) for reading in one.evidence)
    then = any(reading.then for reading in one.evidence)
    return words.text("with the light right, {evidence}", evidence=told) if then else told


def _told(reading: Evidence, words: Words) -> str:
    """Return one reading with how far off it is."""
    places = [place_in_words(name, words) for name in reading.places]
    read, off = words.number(reading.read, 2), words.number(abs(reading.off), 2)
    if len(places) == 2:
        return words.text(
            _APART_THEN if reading.then else _APART_NOW, place=places[0], other=places[1], apart=read, off=off
        )
    side = words.text("too dark" if reading.off > 0 else "too light")
    many = not reading.then and named_as_many(reading.places[0])
    message = _READS_THEN if reading.then else _READ_NOW if many else _READS_NOW
    return words.text(message, place=places[0], read=read, off=off, side=side)


_APART_NOW = "{place} and {other} lie only {apart} apart, {off} too little"
_APART_THEN = "{place} and {other} would lie only {apart} apart, {off} too little"
_READS_NOW = "{place} reads {read}, {off} {side}"
_READ_NOW = "{place} read {read}, {off} {side}"
_READS_THEN = "{place} would read {read}, {off} {side}"


def named_as_many(name: str) -> bool:
    """Tell whether a place is named in the plural (pale chips, bowl ribs), so that its verb is too."""
    last = plain_name(name).partition(",")[0].split()[-1:]
    return bool(last) and last[0].endswith("s") and not last[0].endswith(("ss", "us", "is"))
