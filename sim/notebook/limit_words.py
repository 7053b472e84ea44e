"""Why a tone cannot be reached, in words: how far it falls short, and what binds."""

from __future__ import annotations

from sim.scoring.what_binds import Binds, Limit
from sim.viewing.plain_names import plain_name
from sim.words import Words

_BINDS_WORDS = {
    "paper-black": "the paper's black is {density}",
    "paper-white": "the paper's white is {density}",
    "card": "a card's limit of {signed} stops in exposure {exposure}",
    "wanted-lighter": "{other} gets more light through the negative and is wanted lighter; only a card can do that",
    "wanted-darker": "{other} gets less light through the negative and is wanted darker; only a card can do that",
    "shortest-time": "the shortest time of {seconds} s at {filters}",
    "longest-time": "the longest time of {seconds} s at {filters}",
    "curve": "{filters} cannot bend the tones between the ends; only a card can",
    "range-too-long": "the negative's range is too long: {filters} prints {reached} where {wanted} is wanted",
    "range-too-short": "the negative's range is too short: {filters} prints {reached} where {wanted} is wanted",
}
_ALIKE_WORDS = {
    True: "{other} gets {stops} stops more light and is wanted alike; only a card can do that",
    False: "{other} gets {stops} stops less light and is wanted alike; only a card can do that",
}


def limit_words(limit: Limit, words: Words) -> str:
    """Return a limit as a sentence."""
    off, reached = words.number(abs(limit.miss_density), 2), words.number(limit.reached, 2)
    values = {
        "place": plain_name(limit.place), "off": off, "reached": reached, "wanted": words.number(limit.wanted, 2),
        "why": binds_words(limit.binds, words),
    }  # fmt: skip
    if limit.miss_density > 0:
        return words.text("{place} comes out {off} too dark ({reached} instead of {wanted}): {why}", **values)
    return words.text("{place} comes out {off} too light ({reached} instead of {wanted}): {why}", **values)


def binds_words(binds: Binds, words: Words) -> str:
    """Return what stops a tone, in words."""
    values = {
        "other": binds.other, "density": words.number(binds.density, 2), "stops": words.number(abs(binds.stops), 1),
        "signed": ("+" if binds.stops >= 0 else "-") + words.number(abs(binds.stops), 1), "exposure": binds.exposure,
        "seconds": f"{binds.seconds:g}", "reached": words.number(binds.reached_range, 2),
        "wanted": words.number(binds.wanted_range, 2),
        "filters": words.text(" and ").join(words.text("filter {name}", name=name) for name in binds.filters),
    }  # fmt: skip
    if binds.what == "wanted-alike":
        return words.text(_ALIKE_WORDS[binds.stops > 0], **values)
    said = words.text(_BINDS_WORDS[binds.what], **values)
    return words.text("{other} is at {limit}", other=binds.other, limit=said) if binds.what == "card" and binds.other else said
