"""What a hand did is told apart from light: another place, a card too large, too small, too high, at rest."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from sim.notebook.advice_words import advice_words
from sim.printing.record import Card, PrintingRecord
from sim.scoring.advice import Advice, advise, advise_on_one
from sim.scoring.exercise import Exercise
from sim.scoring.marks import score
from sim.scoring.start import with_card
from sim.scoring.trial import with_card_stops, with_light
from sim.words import Words

from .small_exercise import FILM, as_printed, criterion, exercise, held_still, judged, record

PLACE = FILM.place("patch-3")
BARE = record(time_s=7.0)
RIGHT = with_card(FILM, BARE, PLACE, -0.8)
TONES = ("patch-1", "patch-2", "patch-3", "patch-4", "patch-6")


def task() -> Exercise:
    even = criterion("even", "patch-3", wanted=0.06, tolerance=0.02)
    return exercise(*as_printed(RIGHT, *TONES), even, unlocked=("time_s", "cards"))


def with_card_changed(change: Callable[[Card], Card]) -> PrintingRecord:
    first = RIGHT.exposures[0]
    return RIGHT.with_exposures(replace(first, cards=tuple(change(card) for card in first.cards)))


def told(one: PrintingRecord) -> tuple[Advice, ...]:
    print_of = judged(task(), one)
    return advise(task(), print_of, score(print_of, task()))


def wider(factor: float) -> Callable[[Card], Card]:
    return lambda c: replace(
        c, width_mm=c.width_mm * factor, length_mm=c.length_mm * factor,
        motion=replace(c.motion, amplitude_mm=c.motion.amplitude_mm * factor),  # type: ignore[union-attr]
    )  # fmt: skip


HANDS = {
    "smaller": with_card_changed(wider(2.0)),
    "larger": with_card_changed(wider(0.35)),
    "lower": with_card_changed(lambda c: replace(c, card_height_mm=230.0)),
    "moving": held_still(RIGHT),
}


@pytest.mark.parametrize("direction", sorted(HANDS))
def test_what_the_hand_did_is_named_first_and_by_itself(direction: str) -> None:
    first, *_ = told(HANDS[direction])
    assert (first.cause, first.direction) == ("hand", direction)


def test_a_card_over_another_place_is_named_with_both_places() -> None:
    first, *_ = told(with_card(FILM, BARE, FILM.place("patch-5"), -0.8))
    assert (first.cause, first.direction, first.place, first.over) == ("place", "move", "patch-3", "patch-5")
    said = advice_words(first, Words())
    assert "held over the patch 5 and missed the patch 3, where it belongs" in said


@pytest.mark.parametrize("stops", [-0.5, 0.4])
def test_a_right_card_held_too_long_or_too_short_is_a_matter_of_light_at_its_place(stops: float) -> None:
    (only,) = told(with_card_stops(RIGHT, stops))
    assert (only.cause, only.place) == ("local", "patch-3")


def test_a_right_card_in_a_wrong_time_is_not_blamed() -> None:
    for stops in (-1.0, 1.0):
        (only,) = told(with_light(RIGHT, stops))
        assert only.cause == "exposure"


def test_a_card_too_large_and_held_too_long_is_told_as_both_hand_first() -> None:
    one = with_card_changed(wider(2.0))
    first, *more = told(with_card_stops(one, -0.6))
    assert (first.cause, first.direction) == ("hand", "smaller")
    assert any(other.cause == "local" and other.direction == "less-hold-back" for other in more)


def test_what_a_hand_left_undone_holds_too_for_whoever_sees_it_in_the_tone() -> None:
    """A card beside its place leaves that place without its light: who says so has seen rightly."""
    one = judged(task(), with_card(FILM, BARE, FILM.place("patch-5"), -0.8))
    first, holds = advise_on_one(task(), one, score(one, task()))
    assert first[0].cause == "place"
    assert {"place", "local"} <= {each.cause for each in holds}
