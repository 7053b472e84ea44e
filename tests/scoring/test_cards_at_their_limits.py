"""What counts as a card's work, as a card for a place, and as what can be done with one: just inside, just outside."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from sim.negative.negative import Negative, Place
from sim.paper.stock import find_stock
from sim.printing.make_print import frame_on_sheet
from sim.printing.record import PrintingRecord
from sim.scoring.advice_from_tones import Explained
from sim.scoring.place_areas import area_points
from sim.scoring.possible_causes import Cause, carded_rays, reached_stops
from sim.scoring.put_right import card_at, put_right
from sim.scoring.start import with_card
from sim.scoring.tone_aims import ToneAims
from sim.scoring.under_a_card import shares_of_cards, stops_there

from .small_exercise import FILM, PAPER, record

PLACE = FILM.place("patch-3")
BARE = record(time_s=8.0)
HELD, BURNT = (with_card(FILM, BARE, PLACE, stops) for stops in (-0.8, 0.9))


def lit(one: PrintingRecord, *shares: tuple[float, ...]) -> Any:
    """A record's exposures with the share of the time that each place was lit in them: one pixel a place."""
    rays = [SimpleNamespace(seconds=8.0, exposure=e, lit=np.array(s)) for e, s in zip(one.exposures, shares, strict=True)]
    points = SimpleNamespace(
        group=lambda index: slice(index, index + 1), averages=lambda shares: shares, starts=np.arange(len(shares[0]))
    )
    return SimpleNamespace(record=one, rays=rays, points=points)


@pytest.mark.parametrize(("share", "works"), [(0.985, ()), (0.975, (0,))])
def test_a_tool_works_at_a_place_that_lacks_a_fiftieth_of_the_time(share: float, works: tuple[int, ...]) -> None:
    assert carded_rays(lit(HELD, (share,)), 0) == works


@pytest.mark.parametrize(("share", "works"), [(0.09, ()), (0.11, (0, 1))])
def test_a_burn_works_at_a_place_that_got_a_tenth_of_it(share: float, works: tuple[int, ...]) -> None:
    assert carded_rays(lit(BURNT, (1.0,), (share,)), 0) == works


def reached(own: float, there: float, stops: float) -> float:
    return float(reached_stops(lit(HELD, (own, there)), Cause("local", (0,), 0), 1, stops)[0])


def test_a_card_that_takes_less_than_a_hundredth_is_no_card_to_hold_longer() -> None:
    assert reached(0.992, 0.995, -0.5) == 0.0
    assert reached(0.988, 0.995, -0.5) < -0.1


def test_a_card_held_longer_leaves_a_hundredth_of_the_light_wherever_it_reaches() -> None:
    """Half the light at its place, a tenth where it reaches over: once there is none to take away, it takes no more."""
    assert reached(0.5, 0.5, -0.9) == pytest.approx(-0.9, abs=0.01)
    assert reached(0.5, 0.1, -0.9) == pytest.approx(np.log2(1 / 100), abs=0.05)


@pytest.mark.parametrize(("own", "known"), [(0.985, False), (0.975, True)])
def test_what_lies_under_a_card_is_known_once_it_takes_a_fiftieth_at_its_place(own: float, known: bool) -> None:
    assert bool(shares_of_cards(lit(HELD, (own, 0.99)), 0, (0,))) is known


@pytest.mark.parametrize(
    ("there", "share"), [(0.9823, 0.0), (0.9784, 0.022), (0.42, 1.38), (0.37, 1.5)]
)
def test_a_place_under_a_card_counts_from_a_fiftieth_of_its_work_to_half_as_much_again(there: float, share: float) -> None:
    """Beside a place that gets half its light."""
    assert shares_of_cards(lit(HELD, (0.5, there)), 0, (0,))[1] == pytest.approx(share, abs=0.002)


@pytest.mark.parametrize(("stops", "there"), [(-5.8, -5.8), (-6.5, -6.0)])
def test_no_card_takes_more_than_six_stops(stops: float, there: float) -> None:
    assert stops_there(1.0, stops) == pytest.approx(there, abs=0.01)


def righted(one: PrintingRecord, stops: float) -> PrintingRecord:
    """The record with so many stops more light at the place."""
    found = Explained((Cause("local", (0,), 0),), (stops,), (1.0,), 0.0, ToneAims((PLACE,), ()), np.zeros(1))
    return put_right(FILM, one, find_stock(PAPER), found)


def out_share(one: PrintingRecord) -> float:
    (card,) = one.exposures[0].cards
    return (card.stop_s - card.start_s) / one.exposures[0].time_s


@pytest.mark.parametrize(("stops", "held"), [(0.74, True), (0.76, False), (0.84, False)])
def test_a_card_that_would_do_less_than_a_twentieth_of_a_stop_is_put_away(stops: float, held: bool) -> None:
    assert bool(righted(HELD, stops).exposures[0].cards) is held


@pytest.mark.parametrize(("stops", "begun"), [(-0.06, True), (-0.04, False), (0.04, False), (0.06, True)])
def test_no_card_is_begun_for_less_than_a_twentieth_of_a_stop(stops: float, begun: bool) -> None:
    made = righted(BARE, stops)
    assert any(exposure.cards for exposure in made.exposures) is begun
    also = with_card(FILM, BARE, PLACE, stops)
    assert any(exposure.cards for exposure in also.exposures) is begun


@pytest.mark.parametrize(("stops", "left"), [(-3.0, 3.8), (-4.0, 4.0)])
def test_a_card_is_held_for_four_stops_at_most(stops: float, left: float) -> None:
    assert -np.log2(1.0 - out_share(righted(HELD, stops))) == pytest.approx(left, abs=0.03)


@pytest.mark.parametrize(
    ("area", "across", "down", "meant"),
    [
        (None, 0.11, 0.0, True), (None, 0.13, 0.0, False), (None, 0.06, 0.05, True), (None, 0.07, 0.06, False),
        ((0.5, 0.5), 0.29, 0.0, True), ((0.5, 0.5), 0.31, 0.0, False), ((0.1, 0.1), 0.11, 0.0, True),
    ],
)  # fmt: skip
def test_a_card_so_near_a_place_is_meant_for_it(
    area: tuple[float, float] | None, across: float, down: float, meant: bool
) -> None:
    """Within twelve hundredths of the frame, or three tenths of what belongs to a larger place."""
    one = with_card(FILM, BARE, Place("card", 0.5 + across, 0.5 + down), -0.8)
    assert (card_at(FILM, one, Place("lone", 0.5, 0.5, area=area)) is not None) is meant


@pytest.mark.parametrize(
    ("far", "near"),
    [((0.58, 0.5), (0.45, 0.5)), ((0.42, 0.5), (0.55, 0.5)), ((0.5, 0.58), (0.5, 0.45)), ((0.5, 0.42), (0.5, 0.55))],
)
@pytest.mark.parametrize("near_first", [True, False])
def test_of_two_cards_beside_a_place_the_nearer_is_its_own(
    far: tuple[float, float], near: tuple[float, float], near_first: bool
) -> None:
    one = BARE
    for at in (near, far) if near_first else (far, near):
        one = with_card(FILM, one, Place("card", *at), -0.8)
    own = card_at(FILM, one, Place("lone", 0.5, 0.5))
    assert own is not None
    assert (own.x, own.y) == pytest.approx(near, abs=0.005)


def test_where_nothing_is_known_of_a_places_size_a_fifth_of_the_frame_is_cut() -> None:
    (card,) = with_card(FILM, BARE, Place("lone", 0.5, 0.5), -0.8).exposures[0].cards
    width_mm, height_mm = frame_on_sheet(FILM, BARE)[2:]
    assert card.width_mm == pytest.approx(0.2 * width_mm, rel=0.03)
    assert card.length_mm == pytest.approx(0.2 * height_mm, rel=0.03)


def film(darker_right: float = 0.0) -> Negative:
    silver = np.full((200, 200), 1.0, dtype=np.float32)
    silver[:, 100:] += darker_right
    return Negative("even", silver, 0.25, (60.0, 60.0))


@pytest.mark.parametrize(("step", "crossed"), [(0.15, True), (-0.15, True), (0.17, False), (-0.17, False)])
def test_half_a_stop_more_on_the_film_is_another_thing(step: float, crossed: bool) -> None:
    points = area_points(film(step), Place("wall", 0.46, 0.5, area=(0.5, 0.5)))
    assert bool((points[:, 0] > 0.51).any()) is crossed


@pytest.mark.parametrize(
    ("area", "least", "most"), [((0.5, 0.5), 0.110, 0.15), (None, 0.054, 0.075), ((0.01, 0.01), 0.022, 0.0355)]
)
def test_an_area_reaches_as_far_as_a_feathered_card_of_its_size(
    area: tuple[float, float] | None, least: float, most: float
) -> None:
    """Three tenths of its width from the middle; a dot stands for 3.5 hundredths around it, no size for a quarter."""
    points = area_points(film(), Place("wall", 0.5, 0.5, area=area))
    for furthest in np.abs(points - 0.5).max(axis=0):
        assert least < furthest < most
