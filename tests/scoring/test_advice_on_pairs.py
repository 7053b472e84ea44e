"""Where one filter cannot hold a card's place and the sheet, the coach says so, and in which half the card's work lies."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sim.enlarger.filters import FilterSetting
from sim.notebook.advice_words import advice_words
from sim.printing.record import PrintingRecord
from sim.scoring.advice import Advice, advise
from sim.scoring.advice_on_pairs import divided
from sim.scoring.exercise import Exercise
from sim.scoring.marks import score
from sim.scoring.possible_causes import covered
from sim.scoring.start import with_card
from sim.words import Words

from .small_exercise import FILM, as_printed, exercise, judged, patches, record

OPEN = ("time_s", "filter", "exposures", "cards")
TONES = tuple(f"patch-{k}" for k in range(1, 7))
CARD_ON = FILM.place("patch-2")


def pair(soft_s: float = 4.0, hard_s: float = 6.0) -> PrintingRecord:
    first = record(time_s=soft_s).exposures[0]
    soft, hard = replace(first, filter=FilterSetting("00")), replace(first, time_s=hard_s, filter=FilterSetting("5"))
    return record().with_exposures(soft, hard)


def task(answer: PrintingRecord, tolerance: float = 0.02, unlocked: tuple[str, ...] = OPEN) -> Exercise:
    return exercise(*as_printed(answer, *TONES, tolerance=tolerance), unlocked=unlocked)


def told(asked: Exercise, one: PrintingRecord) -> tuple[Advice, ...]:
    print_of = judged(asked, one)
    return advise(asked, print_of, score(print_of, asked))


# two tones lie under the card: what it burns in through the soft filter they share otherwise than through any one filter
ANSWER = with_card(patches(), pair(), replace(CARD_ON, area=(0.9, 0.45)), 1.2, 0)
THROUGH_ONE = with_card(FILM, record(time_s=8.0), replace(CARD_ON, area=(0.9, 0.45)), 0.8, 0)


def test_a_print_that_no_one_filter_holds_is_told_to_be_divided_and_where_the_card_works() -> None:
    found = [one for one in told(task(ANSWER, 0.01), THROUGH_ONE) if one.cause == "pair"]
    assert [(one.direction, one.exposure) for one in found] == [("divide", "soft")]
    said = advice_words(found[0], Words())
    assert "would still read" in said
    assert "in the soft one" in said


def test_where_one_filter_holds_it_or_exposures_are_locked_nothing_is_said_of_a_pair() -> None:
    """Over a whole sheet any pair is some single filter: there is nothing to be won by dividing the light."""
    plain = replace(record(time_s=11.0), note="")
    assert all(one.cause != "pair" for one in told(task(pair()), plain))
    locked = ("time_s", "filter", "cards")
    assert all(one.cause != "pair" for one in told(task(ANSWER, 0.01, locked), THROUGH_ONE))


def test_a_print_divided_keeps_its_card_in_the_soft_half_and_a_pair_is_not_divided_again() -> None:
    made = divided(THROUGH_ONE)
    assert made is not None
    assert [e.filter.graded for e in made.exposures] == ["00", "5", "00"]
    soft, hard, burn = made.exposures
    before = THROUGH_ONE.exposures
    assert burn.time_s / soft.time_s == pytest.approx(before[1].time_s / before[0].time_s, rel=0.02)
    assert not hard.cards
    assert divided(pair()) is None


@pytest.mark.parametrize(("across", "inside"), [(0.149, True), (0.151, False)])
def test_what_lies_within_the_place_a_card_is_meant_for_is_covered_on_purpose(across: float, inside: bool) -> None:
    """The patch's place is 0.3 of the frame wide: half of it to either side."""
    beside = replace(CARD_ON, name="beside", x=CARD_ON.x + across)
    assert CARD_ON.area is not None
    assert covered(beside, [CARD_ON]) is inside
    assert not covered(CARD_ON, [CARD_ON]), "a place does not lie within itself"
