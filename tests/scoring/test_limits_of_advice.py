"""Limits of advice, read in what is told: sizes in words, prints told together, the two halves, work a card shares, seconds."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sim.enlarger.filters import FilterSetting
from sim.notebook.advice_words import advice_words, stops_in_words
from sim.printing.record import Card, PrintingRecord
from sim.scoring.advice import Advice, advise, advise_on_one
from sim.scoring.exercise import Exercise
from sim.scoring.marks import score
from sim.scoring.start import with_card
from sim.scoring.trial import with_card_stops, with_light
from sim.teaching.lesson_texts import holding
from sim.words import Words

from .small_exercise import FILM, as_printed, criterion, exercise, judged, record

ANSWER = record(time_s=7.0)
ENDS = ("patch-1", "patch-3", "patch-5")


def told(task: Exercise, *prints: PrintingRecord) -> tuple[Advice, ...]:
    print_of = judged(task, *prints)
    return advise(task, print_of, score(print_of, task))


@pytest.mark.parametrize(
    ("stops", "said"),
    [
        (0.091, "a twelfth"), (0.093, "a tenth"), (0.112, "a tenth"), (0.113, "an eighth"), (0.145, "an eighth"),
        (0.147, "a sixth"), (0.207, "a sixth"), (0.21, "a quarter"), (1.09, "one stop"), (1.11, "1.1 stops"),
    ],
)  # fmt: skip
def test_stops_are_told_by_the_nearest_part_that_printers_name(stops: float, said: str) -> None:
    assert stops_in_words(stops, Words()).startswith(said)
    assert stops_in_words(-stops, Words()).startswith(said)


@pytest.mark.parametrize(("second", "lines"), [(0.55, 1), (0.58, 2)])
def test_prints_off_by_nearly_as_much_are_told_in_one_line_and_others_apart(second: float, lines: int) -> None:
    """A quarter of the larger may lie between them: 0.42 and 0.55 stops, not 0.42 and 0.58."""
    task = exercise(*as_printed(ANSWER, *ENDS), copies=2)
    found = told(task, with_light(ANSWER, 0.42), with_light(ANSWER, second))
    assert len(found) == lines
    said = advice_words(found[0], Words())
    assert said.startswith("In prints 1 and 2:" if lines == 1 else "In print 1:")


def pair() -> PrintingRecord:
    soft = replace(ANSWER.exposures[0], filter=FilterSetting("0"), time_s=8.0)
    return ANSWER.with_exposures(soft, replace(soft, filter=FilterSetting("5"), time_s=10.0))


@pytest.mark.parametrize(("hard", "holds"), [(0.55, False), (0.75, True)])
def test_two_halves_off_alike_are_no_matter_of_contrast(hard: float, holds: bool) -> None:
    answer = pair()
    task = exercise(*as_printed(answer, *ENDS, "patch-6", tolerance=0.01), unlocked=("time_s", "exposures"))
    one = judged(task, with_light(with_light(answer, 0.55, exposure=0), hard, exposure=1))
    _, all_that_holds = advise_on_one(task, one, score(one, task))
    assert (holding("contrast", all_that_holds) is not None) is holds


def wider(card: Card) -> Card:
    return replace(card, width_mm=1.7 * card.width_mm, length_mm=1.7 * card.length_mm)


@pytest.mark.parametrize(("stops", "direction"), [(-0.5, "more"), (0.5, "less")])
@pytest.mark.parametrize("burns", [True, False])
def test_a_card_held_too_long_over_two_tones_is_one_thing_to_change(stops: float, direction: str, burns: bool) -> None:
    """A card meant to reach over its neighbour does more there too when it is held longer: no other hand is to blame."""
    answer = with_card(FILM, ANSWER, FILM.place("patch-3"), 0.8 if burns else -0.8)
    answer = answer.with_exposures(*(replace(e, cards=tuple(map(wider, e.cards))) for e in answer.exposures))
    even = criterion("even", "patch-3", wanted=0.3, tolerance=0.02)
    task = exercise(*as_printed(answer, "patch-1", "patch-2", "patch-3", "patch-4"), even, unlocked=("time_s", "cards"))
    (only,) = told(task, with_card_stops(answer, stops if burns else -stops))
    assert (only.cause, only.place, only.direction) == ("local", "patch-3", f"{direction}-{'burn' if burns else 'hold-back'}")
    assert only.size == pytest.approx(0.5, rel=0.25)


@pytest.mark.parametrize(("time_s", "holds"), [(9.52, False), (9.48, True), (10.0, False), (20.9, False), (21.1, True)])
def test_whoever_sees_the_clock_is_right_though_another_size_will_mend_it(time_s: float, holds: bool) -> None:
    """Seconds count as outside from a twentieth on: of 10 s from 9.5, of 20 s from 21."""
    one = record(time_s=time_s)
    ruler = exercise(criterion("size", wanted=100.0))
    width = score(judged(ruler, one), ruler).marks[0].measured
    window = criterion("time-window", wanted=10.0, tolerance=0.5, most=20.0)
    size = criterion("size", wanted=width * (1.3 if time_s < 15.0 else 0.8), tolerance=2.0)
    task = exercise(size, window, *as_printed(one, *ENDS), unlocked=("time_s", "height_mm"))
    print_of = judged(task, one)
    first, all_that_holds = advise_on_one(task, print_of, score(print_of, task))
    assert first[0].cause == "size"
    assert (holding("time", all_that_holds) is not None) is holds
