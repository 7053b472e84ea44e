"""From where on a hand is spoken of, read in the words a learner gets: just inside nothing of it, just outside its name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from sim.notebook.advice_words import advice_words
from sim.printing.make_print import frame_on_sheet
from sim.printing.record import Card, PrintingRecord
from sim.scoring.advice import advise
from sim.scoring.advice_from_settings import less_seen
from sim.scoring.exercise import Exercise
from sim.scoring.hand_faults import hand_faults
from sim.scoring.marks import score
from sim.scoring.start import with_card
from sim.words import Words

from .small_exercise import FILM, as_printed, criterion, exercise, judged, record

PLACE = FILM.place("patch-3")
BARE = record(time_s=7.0)
HELD, BURNT = (with_card(FILM, BARE, PLACE, stops) for stops in (-0.8, 0.9))
TONES = tuple(f"patch-{k}" for k in range(1, 7))
FINE = 0.004  # so narrow that whatever a hand moves is lost


@cache
def task(answer: PrintingRecord, even_points: float = 4.0) -> Exercise:
    even = criterion("even", "patch-3", wanted=0.06, tolerance=0.02, points=even_points)
    return exercise(*as_printed(answer, *TONES, tolerance=FINE), even, unlocked=("time_s", "cards"))


def said(one: PrintingRecord, answer: PrintingRecord = HELD, even_points: float = 4.0) -> str:
    asked = task(answer, even_points)
    print_of = judged(asked, one)
    return " ".join(advice_words(advice, Words()) for advice in advise(asked, print_of, score(print_of, asked)))


def changed(change: Callable[[Card], Card], one: PrintingRecord = HELD) -> PrintingRecord:
    return one.with_exposures(*(replace(e, cards=tuple(map(change, e.cards))) for e in one.exposures))


def wider(times: float) -> Callable[[Card], Card]:
    return lambda c: replace(
        c, width_mm=c.width_mm * times, length_mm=c.length_mm * times,
        motion=replace(c.motion, amplitude_mm=c.motion.amplitude_mm * times),  # type: ignore[union-attr]
    )  # fmt: skip


def beside(across: float) -> Callable[[Card], Card]:
    """A card carried to the left by so many shares of the frame."""
    width_mm = frame_on_sheet(FILM, HELD)[2]
    return lambda c: replace(
        c, motion=replace(c.motion, x_mm=c.motion.x_mm - across * width_mm)  # type: ignore[union-attr]
    )


def at(height_mm: float) -> Callable[[Card], Card]:
    return lambda c: replace(c, card_height_mm=height_mm)


def turning(share: float) -> Callable[[Card], Card]:
    return lambda c: replace(
        c, motion=replace(c.motion, amplitude_mm=c.motion.amplitude_mm * share)  # type: ignore[union-attr]
    )


@pytest.mark.parametrize(("answer", "tool"), [(HELD, "the tool"), (BURNT, "the hole")])
def test_a_tool_a_quarter_wider_than_its_place_wants_is_a_printers_choice_and_more_is_too_large(
    answer: PrintingRecord, tool: str
) -> None:
    assert said(changed(wider(1.24), answer), answer) == ""
    told = said(changed(wider(1.26), answer), answer)
    assert f"{tool} is too large for the patch 3" in told
    assert "patch 2 reads" in told


def test_a_tool_a_fifth_narrower_is_a_printers_choice_and_less_is_too_small() -> None:
    """Its edge shows either way; only beyond a fifth is it the size that is blamed."""
    assert "too small" not in said(changed(wider(0.81)), even_points=16.0)
    assert "the tool is too small for the patch 3" in said(changed(wider(0.79)), even_points=16.0)


@pytest.mark.parametrize(("answer", "spread"), [(HELD, "its shadow spread"), (BURNT, "its light spread")])
def test_a_card_up_to_200_mm_above_the_paper_is_blamed_for_its_size_and_beyond_for_its_height(
    answer: PrintingRecord, spread: str
) -> None:
    near, high = (said(changed(at(height_mm), answer), answer) for height_mm in (199.0, 201.0))
    assert "too high" not in near
    assert "too large" in near
    assert "the card was held too high" in high
    assert spread in high


def test_a_card_nearer_than_50_mm_is_told_to_be_held_higher_and_not_before() -> None:
    assert "too near" not in said(changed(at(51.0)))
    assert "the card was held too near to the paper" in said(changed(at(49.0)))


def test_a_hand_that_goes_less_than_a_quarter_of_the_usual_way_is_at_rest() -> None:
    assert "held still" not in said(changed(turning(0.26)))
    assert "the card was held still" in said(changed(turning(0.24)))


def test_a_card_is_said_to_be_over_another_place_only_while_it_is_near_it() -> None:
    elsewhere = with_card(FILM, BARE, FILM.place("patch-5"), -0.8)
    assert "held over the patch 5 and missed the patch 3" in said(changed(beside(0.145), elsewhere))
    assert "lay beside the patch 3, where it belongs, and missed it" in said(changed(beside(0.155), elsewhere))


def test_a_card_halfway_out_of_its_place_lies_beside_it_and_not_over_itself() -> None:
    """What its own place still got is not told as missed; what it reached over is what is read."""
    assert said(changed(beside(0.068))) == ""
    told = said(changed(beside(0.08)))
    assert "the card lay beside the patch 3, where it belongs." in told
    assert "over the patch 3" not in told
    assert "missed" not in told
    assert "patch 2 reads" in told
    assert "0.00" not in told
    assert "and missed it" in said(changed(beside(0.18)))


@pytest.mark.parametrize(
    ("one", "direction", "named"),
    [
        (changed(beside(0.068)), "move", False), (changed(beside(0.08)), "move", True),
        (changed(wider(1.24)), "smaller", False), (changed(wider(1.26)), "smaller", True),
        (changed(wider(0.81)), "larger", False), (changed(wider(0.79)), "larger", True),
        (changed(at(199.0)), "lower", False), (changed(at(201.0)), "lower", True),
        (changed(at(51.0)), "higher", False), (changed(at(49.0)), "higher", True),
        (changed(turning(0.26)), "moving", False), (changed(turning(0.24)), "moving", True),
    ],
)  # fmt: skip
def test_what_is_within_a_printers_choice_is_not_even_asked_about(one: PrintingRecord, direction: str, named: bool) -> None:
    assert (direction in {fault.direction for fault in hand_faults(task(HELD), FILM, one)}) is named


def test_what_makes_less_of_a_trace_is_named_by_how_the_hand_went() -> None:
    """A hand at half its usual way is told to wander; one that wanders is told to soften the edge."""
    asked = task(HELD)
    ways = {}
    for share in (0.74, 0.76):
        print_of = judged(asked, changed(turning(share)))
        ways[share] = less_seen(print_of, print_of.judged_prints[0])
    assert ways == {0.74: "wander", 0.76: "fade"}
    black = with_card(FILM, record(time_s=40.0), PLACE, 2.5)
    print_of = judged(asked, black)
    traces = print_of.judged_prints[0].readings.traces
    assert traces is not None
    assert (less_seen(print_of, print_of.judged_prints[0]) == "keep-texture") is (traces.seen > traces.rim)
