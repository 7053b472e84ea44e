"""A print is bettered on its own marks, exposure by exposure and card by card, and never made worse."""

from __future__ import annotations

from math import log2

import pytest

from sim.printing.record import PrintingRecord
from sim.scoring.bettered import bettered
from sim.scoring.derived import read_reference
from sim.scoring.exercise_file import find_exercise
from sim.scoring.trial import with_card_stops, with_light


def test_seconds_and_card_of_a_pair_are_found_again() -> None:
    (reference,) = read_reference(find_exercise("thin-film-in-two-halves")[0])
    soft, hard = reference.exposures

    def worth(record: PrintingRecord) -> float:
        one, two = record.exposures
        held = one.cards[0].stop_s / one.time_s - soft.cards[0].stop_s / soft.time_s
        return 1.0 - abs(log2(one.time_s / soft.time_s)) - abs(log2(two.time_s / hard.time_s)) - abs(held)

    off = with_card_stops(with_light(with_light(reference, 0.37, 0), -0.5, 1), 0.3, 0)
    found = bettered(off, worth)
    assert worth(off) < 0.2
    assert worth(found) > 0.9
    assert [one.time_s for one in found.exposures] == pytest.approx([soft.time_s, hard.time_s], rel=0.03)


def test_what_earns_everything_is_left_alone() -> None:
    (reference,) = read_reference(find_exercise("thin-film-in-two-halves")[0])
    assert bettered(reference, lambda record: 1.0) is reference
