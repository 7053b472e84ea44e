"""What is told first: a hand that is seen and decides, then the picture's size, then whatever costs most."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sim.scoring.advice import HAND_FIRST_SHARE, Advice, Evidence, in_order
from sim.scoring.trial import with_light

from .test_advice_of_hands import HANDS, told

LIGHT = Advice("exposure", "more-light", 1.0, "stops", loss_points=6.0)
FILTER = Advice("contrast", "harder", 1.0, "filter grades", loss_points=3.0)
HAND = Advice("hand", "smaller", 0.05, "density", "cheek", 3.0, evidence=(Evidence(("wall",), 0.6, 0.05),))
PAPER = Advice("economy", "fewer-sheets", 2.0, "sheets", loss_points=2.0)


def costing(loss_points: float) -> Advice:
    return replace(HAND, loss_points=loss_points)


def test_a_hand_that_explains_a_quarter_of_what_is_lost_goes_before_light_and_one_that_does_not_goes_by_its_cost() -> None:
    quarter = 9.0 * HAND_FIRST_SHARE / (1.0 - HAND_FIRST_SHARE)
    assert in_order([LIGHT, FILTER, costing(quarter)])[0].cause == "hand"
    causes = [one.cause for one in in_order([FILTER, costing(quarter - 0.01), LIGHT])]
    assert causes == ["exposure", "contrast", "hand"]


def test_a_hand_that_nothing_shows_waits_for_what_costs_more() -> None:
    assert in_order([LIGHT, replace(HAND, evidence=())])[0].cause == "exposure"
    assert in_order([LIGHT, replace(HAND, evidence=(), measured=0.2, wanted=0.08)])[0].cause == "hand"


def test_a_hand_is_weighed_against_what_its_own_print_loses_and_paper_is_no_loss_of_a_print() -> None:
    mine, other = replace(HAND, prints=(2,), loss_points=1.0), replace(LIGHT, prints=(1,))
    assert in_order([other, mine])[0].cause == "hand"
    assert in_order([replace(LIGHT, prints=(1, 2)), mine])[0].cause == "exposure"
    assert in_order([replace(LIGHT, loss_points=2.5), costing(1.0), PAPER])[0].cause == "hand"


def test_the_size_goes_before_light_because_light_follows_from_it() -> None:
    size = Advice("size", "larger", 20.0, "mm", loss_points=1.0)
    assert [one.cause for one in in_order([LIGHT, size, HAND])] == ["hand", "size", "exposure"]


@pytest.mark.parametrize("stops", [-1.0, 1.5])
def test_far_too_little_or_too_much_light_is_named_before_a_tool_that_spoils_little_beside_it(stops: float) -> None:
    """Both are told; which comes first follows from what each costs."""
    first, *more = told(with_light(HANDS["smaller"], stops))
    assert first.cause == "exposure"
    (hand,) = (one for one in more if one.cause == "hand")
    assert (hand.direction, hand.loss_points < 0.25 * first.loss_points) == ("smaller", True)
