"""Tones told in words, for whoever cannot look: what of a place is seen on a print or strip, before any number.

The words go by density above the paper's white and by the share of its deepest black, the two ends that a printer
watches. Where one word ends and the next begins follows ISO 6846's ends of the useful scale (0.04 net, 0.9 of the net
maximum) and, between them, about equal steps of lightness; that is common practice, no standard.
"""

from __future__ import annotations

from dataclasses import dataclass

from sim.negative.negative import Negative
from sim.printing.make_print import Print
from sim.printing.record import PrintingRecord
from sim.viewing.densitometer import places_read
from sim.viewing.plain_names import name_of_many, plain_name
from sim.viewing.strip_tones import read_tone, steps_that_show

_LIGHTS = (
    (0.015, "is lost in the white of the paper"), (0.04, "is hardly more than paper white"),
    (0.10, "just holds, a breath darker than the paper"), (0.22, "is a light tone with its surface"),
    (0.45, "is light grey"), (0.75, "is middle grey"),
)  # fmt: skip
_DARKS = (
    (0.60, "is dark grey"), (0.85, "is dark, with drawing in it"), (0.93, "is deep, and opens, barely"),
    (0.98, "is all but closed"),
)  # fmt: skip
CLOSED = "is lost in the black"


@dataclass(frozen=True)
class PaperEnds:
    """The white and the deepest black (density) that a paper's tones are told between."""

    white: float
    black: float

    @classmethod
    def of(cls, sheet: Print) -> PaperEnds:
        """Return the ends of a finished sheet's paper."""
        return cls(sheet.base_plus_fog, sheet.black)


def tone_words(density: float, ends: PaperEnds) -> str:
    """Return what is seen of a tone of this density on the print, as a half-sentence: "just holds, a breath darker …"."""
    net = density - ends.white
    for most, words in _LIGHTS:
        if net < most:
            return words
    share = net / (ends.black - ends.white)
    return next((words for most, words in _DARKS if share < most), CLOSED)


def told_print(negative: Negative, sheet: Print) -> tuple[str, ...]:
    """Return for every named place of the negative what is seen of it on a print, lightest words first."""
    ends = PaperEnds.of(sheet)
    found = [(d, _of_a_place(place.name, d, ends)) for place, d in places_read(sheet, negative)]
    return tuple(words for _, words in sorted(found))


def _of_a_place(name: str, density: float, ends: PaperEnds) -> str:
    """Return what is seen of a place as a sentence; of a place of many things, of their tone."""
    if name_of_many(name):
        return f"The tone of the {plain_name(name)} {tone_words(density, ends)}."
    return f"The {plain_name(name)} {tone_words(density, ends)}."


def _within_a_step(name: str, density: float, ends: PaperEnds) -> str:
    """Return the same as part of a sentence about a step."""
    if name_of_many(name):
        return f"the tone of the {plain_name(name)} {tone_words(density, ends)}"
    return f"the {plain_name(name)} {tone_words(density, ends)}"


def told_strip(negative: Negative, record: PrintingRecord, sheet: Print) -> tuple[str, ...]:
    """Return for every step of a strip what is seen of the places that it shows."""
    ends = PaperEnds.of(sheet)
    steps: dict[int, list[str]] = {k + 1: [] for k in range(len(record.strip.times_s) if record.strip else 0)}
    for place in negative.places:
        for one in steps_that_show(negative, record, place.name):
            if one is not None and one.itself:
                steps[one.step].append(_within_a_step(place.name, read_tone(sheet, one), ends))
    return tuple(
        f"Step {number}: {'; '.join(words)}." if words else f"Step {number} shows none of the named places whole."
        for number, words in steps.items()
    )
