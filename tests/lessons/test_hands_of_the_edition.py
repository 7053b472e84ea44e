"""The edition of three: a hand at rest in one of the prints is named, and a tool that shows nowhere costs nobody a word."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sim.notebook.advice_words import advice_words
from sim.printing.make_print import frame_on_sheet
from sim.printing.record import PrintingRecord, Still
from sim.scoring.advice import advise
from sim.scoring.checking import negatives_of
from sim.scoring.derived import read_reference
from sim.scoring.exercise_file import find_exercise
from sim.scoring.hand_faults import held_cards, with_its_card
from sim.scoring.judged import judge
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.marks import score
from sim.words import Words

FOLDER, EXERCISE = find_exercise("an-edition-of-three")


@pytest.fixture(scope="module")
def bench() -> LadderBench:
    return LadderBench(EXERCISE, negatives_of(EXERCISE))


def told(bench: LadderBench, changed: PrintingRecord) -> tuple[list[str], float]:
    """Return what is said of the edition with its first print changed, and what is seen of that print's card."""
    others = read_reference(FOLDER)[1:]
    judged = judge(EXERCISE, bench.negatives, [changed, *others], 0.0, lights=bench.lights, only_places=True)
    traces = judged.judged_prints[0].readings.traces
    assert traces is not None
    return [advice_words(one, Words()) for one in advise(EXERCISE, judged, score(judged, EXERCISE))], traces.seen


def test_a_card_held_still_over_the_jugs_is_named_with_its_print(bench: LadderBench) -> None:
    first = read_reference(FOLDER)[0]
    (held,) = held_cards(bench.negatives[0], first)
    left, top, width, height = frame_on_sheet(bench.negatives[0], first)
    rest = Still(left + held.x * width, top + held.y * height)
    said, seen = told(bench, with_its_card(first, held.at, lambda card: replace(card, motion=rest)))
    assert seen > 0.08
    assert said[0].startswith("In print 1: ")
    assert "held still" in said[0]


def test_a_tool_half_as_wide_again_that_nothing_shows_is_a_printers_choice(bench: LadderBench) -> None:
    first = read_reference(FOLDER)[0]
    (held,) = held_cards(bench.negatives[0], first)
    wider = with_its_card(
        first, held.at, lambda card: replace(card, width_mm=1.5 * card.width_mm, length_mm=1.5 * card.length_mm)
    )
    said, seen = told(bench, wider)
    assert seen < 0.08
    assert said == []
