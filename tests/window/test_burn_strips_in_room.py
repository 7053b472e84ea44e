"""Strips of burns and of flashes by hands in the room: the card is held in the burns only, a step is read, and is the plan."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

from sim.notebook.record_words import describe
from sim.printing.burn_past_card import burn_card_of
from sim.printing.record import PrintingRecord
from sim.printing.strip_agreement import disagreement
from sim.window.things.strip_meant import StripMeant, slot_over

BASE_S = 4.0


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path)


def _strip(hands: Hands, kind: str) -> None:
    """Take a strip of three steps, a stop apart, of that kind, the timer at four seconds."""
    hands.window.room.darkroom.desk.set("time_s", BASE_S)
    hands.press("t")
    hands.frame()
    for _ in range(6):
        if hands.enlarger.strip.meant.way != kind:
            hands.touch("strip kind")
    for _ in range(2):
        hands.wheel("strip steps", -1)
        hands.wheel("strip apart", 1)
    hands.frame()
    assert (hands.enlarger.strip.meant.count, hands.enlarger.strip.meant.stops) == (3, 1.0)


def _slot(hands: Hands) -> tuple[int, int]:
    piece = hands.window.room.darkroom.paper.piece
    assert piece is not None
    x, y = hands.enlarger.easel.plan.to_px(piece.x_mm + piece.width_mm / 2, piece.y_mm + piece.height_mm / 2)
    return round(x), round(y)


def _record(hands: Hands) -> PrintingRecord:
    return hands.window.room.darkroom.paper.record()


def _give(hands: Hands, aside: tuple[int, int] = (0, 0), by_hand: bool = True) -> int:
    """Step on the foot until every step has its light, the card's middle so far beside the slot; return how often."""
    paper, times = hands.window.room.darkroom.paper, 0
    x, y = _slot(hands)
    while times == 0 or paper.strip_to_come is not None:
        if by_hand:
            hands.point((x + aside[0], y + aside[1]))
        hands.press("space")
        assert paper.exposing, hands.said
        for k in range(200):
            if not paper.exposing:
                break
            if by_hand:
                hands.point((x + aside[0] + k % 3 - 1, y + aside[1] + k % 5 - 2))
            hands.window.update(0.2)
        times += 1
    return times


def test_a_burn_is_tried_in_steps_through_a_hole_that_a_hand_holds(hands: Hands) -> None:
    _strip(hands, "burn")
    easel = hands.enlarger.easel
    assert easel.slot == (90.0, 1 / 3), "where the card is to be held is seen before the lamp is on"
    hands.press("6")
    hands.point(_slot(hands))
    hands.press("space")
    assert "waits beside the light" in hands.said
    assert easel.held() is None
    hands.wait(BASE_S + 1.0)
    assert _give(hands) == 4, "three base exposures and two burns, one of them given before"
    record = _record(hands)
    assert record.strip is not None
    assert (record.strip.way, record.strip.times_s) == ("burn", (0.0, 4.0, 12.0))
    assert [round(one.time_s) for one in record.strip.each] == [4]
    assert [len(one.cards) > 1 for one in record.exposures] == [False, False, True, False, True]
    assert disagreement(record) is None
    assert any("burnt in through a round hole of 35 mm" in line for line in describe(record))


def test_the_burnt_strip_hangs_on_the_wall_with_its_kind_and_a_touched_step_is_the_plan(hands: Hands) -> None:
    _strip(hands, "burn")
    hands.point(_slot(hands))
    hands.press("6")
    _give(hands)
    hands.develop()
    hands.frame(0.3, times=3)
    wall = hands.window.place.wall  # type: ignore[attr-defined]
    assert "strip 1 · steps of burn · 16.0 s · 2" in wall.caption(1)
    hands.touch("print 1", (0.5, 0.5))
    assert wall.step_under() == (2, 4.0)
    assert "step 2, burn 4.0 s: this one?" in hands.words
    hands.press("t")
    plan = hands.window.room.darkroom.paper.plan
    assert [(round(one.time_s, 1), len(one.cards)) for one in plan] == [(4.0, 0), (4.0, 1)]
    assert plan[1].cards[0].lets_through == "inside"
    assert "2 exposures" in hands.said
    hands.touch("print 1", (0.5, 0.1))
    assert wall.step_under() == (1, 0.0)
    hands.press("t")
    assert [one.cards for one in hands.window.room.darkroom.paper.plan] == [()], "the first step is not burnt in"
    folder = hands.window.room.folder
    hands.window.close()
    again = in_room(folder, evening=False)
    again.press("c")
    again.frame()
    record = again.window.room.darkroom.wall.record(1)
    assert burn_card_of(record) is not None, "the hole is found again in the evening's log"


def test_a_flash_of_one_place_is_tried_in_steps_through_a_hole_that_a_hand_holds(hands: Hands) -> None:
    _strip(hands, "local-flash")
    hands.press("6")
    hands.point(_slot(hands))
    hands.press("space")
    assert "or its flash" in hands.said
    hands.wait(BASE_S + 1.0)
    assert _give(hands) == 4, "three base exposures and two flashes, one of the bases given before"
    record = _record(hands)
    assert record.strip is not None
    assert (record.strip.way, record.strip.times_s) == ("local-flash", (0.0, 1.0, 2.0))
    assert [one.through for one in record.exposures] == ["negative", "negative", "open", "negative", "open"]
    assert [len(one.cards) > 1 for one in record.exposures] == [False, False, True, False, True]
    assert [one.dimmed_stops for one in record.exposures] == [0.0, 0.0, 5.0, 0.0, 5.0]
    assert disagreement(record) is None
    assert any("flashed through a round hole of 35 mm" in line for line in describe(record))
    hands.develop()
    hands.frame(0.3, times=3)
    wall = hands.window.place.wall  # type: ignore[attr-defined]
    assert "strip 1 · flash at one place" in wall.caption(1)
    hands.touch("print 1", (0.5, 0.5))
    assert "step 2, flash 1.0 s: this one?" in hands.words
    hands.press("t")
    plan = hands.window.room.darkroom.paper.plan
    assert [(one.through, round(one.time_s, 1), len(one.cards)) for one in plan] == [("open", 1.0, 1), ("negative", 4.0, 0)]
    assert plan[0].cards[0].lets_through == "inside"


def test_a_burn_goes_past_an_edge_by_keys_alone(hands: Hands) -> None:
    _strip(hands, "burn")
    piece, room = hands.window.room.darkroom.paper.piece, hands.window.room
    assert piece is not None
    hands.press("5")
    card = room.standing.card
    assert card is not None
    x, y = piece.x_mm + piece.width_mm / 2, piece.y_mm + piece.height_mm / 2
    room.stand(card=card.at(x, y - 10.0))  # the dark side lies below the edge: over the slot
    _give_base(hands)
    hands.press("space")
    _give_base(hands)
    hands.press("space")
    assert not room.darkroom.paper.exposing
    assert "keeps the light from the place under the slot" in hands.said
    easel = hands.enlarger.easel
    for _ in range(12):
        easel.nudged(0, 1, False)
    held = room.standing.card
    assert held is not None
    assert held.y_mm == pytest.approx(y + 14.0, abs=0.1)
    while room.darkroom.paper.strip_to_come is not None:
        hands.press("space")
        _give_base(hands)
    record = _record(hands)
    assert record.strip is not None
    assert disagreement(record) is None
    assert any("burnt in past the edge of a card, 120 mm above the paper, held still" in line for line in describe(record))


def _give_base(hands: Hands) -> None:
    """Let the light that burns, if any, come to its end."""
    if not hands.window.room.burning:
        hands.press("space")
    hands.wait(14.0)


def test_a_hand_that_strays_over_the_place_leaves_a_piece_without_steps_that_the_log_can_be_read_with(hands: Hands) -> None:
    _strip(hands, "burn")
    hands.press("6")
    paper = hands.window.room.darkroom.paper
    x, y = _slot(hands)
    hands.point((x, y))
    for _ in range(2):
        hands.press("space")
        hands.wait(BASE_S + 1.0)
    hands.press("space")
    hands.wait(1.0)
    hands.point((x + 200, y))
    hands.wait(BASE_S)
    assert "no steps any more" in hands.said
    assert paper.strip_to_come is None
    assert _record(hands).strip is None
    hands.develop()
    folder = hands.window.room.folder
    hands.window.close()
    again = in_room(folder, evening=False)
    again.press("c")
    again.frame()
    assert len(again.window.room.darkroom.wall.prints()) == 1


def test_flashes_are_tried_in_steps_and_a_step_is_planned_before_the_picture(hands: Hands) -> None:
    _strip(hands, "flash")
    _give(hands, by_hand=False)
    record = _record(hands)
    assert record.strip is not None
    assert (record.strip.way, record.strip.times_s, record.strip.dimmed_stops) == ("flash", (0.0, 1.0, 2.0), 5.0)
    hands.develop()
    hands.frame(0.3, times=3)
    wall = hands.window.place.wall  # type: ignore[attr-defined]
    assert "steps of flash" in wall.caption(1)
    hands.touch("print 1", (0.5, 0.9))
    assert "step 3, flash 2.0 s: this one?" in hands.words
    hands.press("t")
    plan = hands.window.room.darkroom.paper.plan
    found = [(one.through, round(one.time_s, 1), one.dimmed_stops) for one in plan]
    assert found == [("open", 2.0, 5.0), ("negative", 4.0, 0.0)]


def test_the_slot_lies_over_the_middle_of_the_piece_whichever_way_the_steps_go() -> None:
    piece = (10.0, 20.0, 60.0, 200.0)
    down = slot_over(piece, 90.0, 1 / 5)
    assert sorted({round(y, 3) for _, y in down}) == [100.0, 140.0]
    across = slot_over(piece, 0.0, 1 / 3)
    assert sorted({round(x, 3) for x, _ in across}) == [30.0, 50.0]
    assert StripMeant(way="burn", count=3, apart=4).times_s(8.0) == (0.0, 8.0, 24.0)
