"""Under the lamp in the one room: cards in every exposure of a plan, strips covered in real time, shapes cut by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

from sim.notebook.exposure_plan import PlannedExposure
from sim.printing.record import PrintingRecord
from sim.printing.strip_agreement import disagreement
from sim.window.kit.events import Pointer


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path)


def _record(hands: Hands) -> PrintingRecord:
    return hands.window.room.darkroom.paper.record()


def _hold(hands: Hands, share: tuple[float, float], seconds: float) -> None:
    """Hold the card in the hand over a part of the easel for so long, not quite still."""
    easel = hands.enlarger.easel.rect
    for k in range(round(seconds / 0.1)):
        at = (easel.x + int(easel.w * share[0]) + k % 7 - 3, easel.y + int(easel.h * share[1]) + k % 5 - 2)
        hands.window.handle(Pointer("move", at))
        hands.window.update(0.1)


def test_a_planned_split_print_is_dodged_inside_each_exposure_in_real_time(hands: Hands) -> None:
    paper, desk = hands.window.room.darkroom.paper, hands.window.room.darkroom.desk
    paper.set_plan([PlannedExposure(6.0, 8.0, "00"), PlannedExposure(4.0, 8.0, "5")])
    hands.press("s")
    hands.press("2")
    hands.press("space")
    assert desk.now.filter == "00", "the filter swings in by itself"
    _hold(hands, (0.4, 0.4), 3.0)
    hands.wait(4.0)
    assert not paper.exposing, "each exposure of a plan waits for the foot"
    hands.press("space")
    assert desk.now.filter == "5"
    _hold(hands, (0.6, 0.6), 2.0)
    hands.wait(4.0)
    record = _record(hands)
    assert [(e.filter.name, round(e.time_s, 1)) for e in record.exposures] == [("00", 6.0), ("5", 4.0)]
    assert all(e.cards for e in record.exposures), "the hand was in the light of both"
    hands.press("space")
    assert not paper.exposing
    assert "plan are given" in hands.said


def test_a_strip_is_covered_step_by_step_while_the_lamp_burns(hands: Hands) -> None:
    paper = hands.window.room.darkroom.paper
    hands.window.room.darkroom.desk.set("time_s", 10.0)
    hands.press("t")
    hands.press("space")
    hands.wait(6.0)
    drawn = paper.being_covered
    assert drawn is not None
    assert len(drawn.moments_s) == 1
    hands.wait(16.0)
    record = _record(hands)
    assert record.strip is not None
    assert record.strip.times_s == pytest.approx(hands.enlarger.strip.meant.times_s(10.0), abs=0.02)
    assert disagreement(record) is None


def test_a_strips_card_is_pulled_by_hand_where_one_wants_to(hands: Hands) -> None:
    paper = hands.window.room.darkroom.paper
    hands.window.room.darkroom.desk.set("time_s", 10.0)
    hands.press("t")
    hands.frame()
    hands.touch("strip hand")
    hands.press("escape")
    hands.press("space")
    for seconds in (3.0, 3.0, 4.0, 5.0):
        hands.wait(seconds)
        hands.press("return")
    hands.wait(8.0)
    assert not paper.exposing
    record = _record(hands)
    assert record.strip is not None
    assert record.strip.times_s == pytest.approx((3.0, 6.0, 10.0, 15.0, 20.0), abs=0.25)
    assert disagreement(record) is None


def test_a_shape_cut_round_a_thing_hangs_in_the_rack_and_travels_in_the_record(hands: Hands) -> None:
    hands.press("s")
    hands.press("x")
    easel = hands.enlarger.easel.rect
    corners = [(0.4, 0.4), (0.55, 0.42), (0.52, 0.6), (0.38, 0.55)]
    points = [(easel.x + int(easel.w * x), easel.y + int(easel.h * y)) for x, y in corners]
    hands.window.handle(Pointer("down", points[0], 1))
    for point in (*points[1:], points[0]):
        hands.window.handle(Pointer("move", point, buttons=frozenset({1})))
    hands.window.handle(Pointer("up", points[0], 1))
    hands.frame()
    assert [card.hole for card in hands.enlarger.rack.own] == [False, True], "the piece, and the card it was cut out of"
    hands.press("space")
    _hold(hands, (0.5, 0.5), 2.0)
    hands.wait(9.0)
    (exposure,) = _record(hands).exposures
    assert [card.shape for card in exposure.cards][:1] == ["outline"]
    again = in_room(hands.window.room.folder, evening=False)
    again.press("n")
    again.frame()
    assert [card.outline for card in again.enlarger.rack.own] == 2 * [hands.enlarger.rack.own[0].outline]


def test_a_card_is_hung_up_before_one_walks(hands: Hands) -> None:
    hands.press("3")
    hands.press("pagedown")
    assert hands.window.room.standing.card is None


def test_focus_has_no_number_and_the_loupe_shows_it(hands: Hands) -> None:
    hands.press("g")
    hands.frame()
    sharp = hands.window.room.darkroom.easel.loupe(100.0, 120.0, px=64).contrast_5_lp_mm
    knob = hands.where("focus")
    hands.drag(knob.center, (knob.centerx + 90, knob.centery))
    blurred = hands.window.room.darkroom.easel.loupe(100.0, 120.0, px=64).contrast_5_lp_mm
    assert blurred < 0.7 * sharp
    labels = [label.words for label in hands.frame(0.1, times=3).labels]
    assert not any(words.startswith(("0.0", "−0.", "+0.")) for words in labels)
