"""Cards of the rack by scripted hands: called by number, turned, cut with the scissors, seen over the easel."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

from sim.window.things.cards import RACK, CutCard
from sim.window.things.own_cards import read_own_cards


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path / "evenings")


def test_a_card_called_by_its_number_comes_under_the_hand_or_waits_beside_the_light(hands: Hands) -> None:
    room, easel = hands.window.room, hands.enlarger.easel
    hands.point((5, 5))
    hands.press("2")
    assert room.standing.card is not None
    assert not room.standing.card.over, "never in the middle of the picture"
    assert easel.poses() == ()
    hands.press("2")
    at = (easel.rect.x + 60, easel.rect.y + 90)
    hands.point(at)
    hands.press("2")
    assert room.standing.card is not None
    assert (room.standing.card.x_mm, room.standing.card.y_mm) == pytest.approx(easel.plan.to_mm(at))


def test_a_card_keeps_the_turn_it_was_given(hands: Hands) -> None:
    room = hands.window.room
    hands.point(hands.enlarger.easel.rect.center)
    hands.press("5")
    before = room.standing.card
    assert before is not None
    hands.window.room.stand(card=before.turned(30.0))
    hands.frame()
    hands.press("0")
    hands.press("5")
    after = room.standing.card
    assert after is not None
    assert after.angle_deg == before.turned(30.0).angle_deg


def test_only_keys_there_are_are_named_and_numbers_run_on_pair_by_pair(hands: Hands) -> None:
    rack = hands.enlarger.rack
    said = []
    for n in range(5):
        hands.cut_out(30 + 4 * n, 30 + 4 * n)
        said.append(hands.said)
        hands.press("0")
    assert "the piece (8)" in said[0]
    assert "the hole (9)" in said[0]
    assert all("(" not in one for one in said[1:]), "no digit calls a tenth card"
    names = [hook.name() for hook in rack.hooks[len(RACK) :]]
    assert names == [f"Own card {n}, the {what}" for n in (3, 4, 5) for what in ("piece", "hole")]


def test_a_single_card_of_an_older_rack_keeps_its_number_and_later_pairs_stay_together(hands: Hands) -> None:
    rack = hands.enlarger.rack
    single = CutCard("own card 1", "outline", 20.0, 20.0, outline=((-10.0, -10.0), (10.0, -10.0), (0.0, 10.0)))
    rack.own = (single,)
    for n in range(2):
        hands.cut_out(30 + 4 * n, 30 + 4 * n)
        hands.press("0")
    names = [hook.name() for hook in rack.hooks[len(RACK) :] if hook.name()]
    assert names == ["Own card 1, the piece", "Own card 2, the piece", "Own card 2, the hole", "Own card 3, the piece",
                     "Own card 3, the hole"]  # fmt: skip
    hands.cut_out(44, 44)
    assert [card.id for card in rack.own] == [f"own {what} {n}" for n in (2, 3, 4) for what in ("card", "hole")]


def test_scissors_leave_a_piece_and_a_card_with_the_hole_and_both_work(hands: Hands) -> None:
    room, easel = hands.window.room, hands.enlarger.easel
    middle = easel.rect.center
    hands.cut_out(40, 30)
    assert "Both hang in the rack" in hands.said
    rack = hands.enlarger.rack
    assert [card.hole for card in rack.own] == [False, True]
    assert rack.own[0].outline == rack.own[1].outline
    kept, trouble = read_own_cards(room.folder)
    assert trouble == ""
    assert kept == rack.own, "they hang there at the next evening too"
    hands.press("s")
    hands.point(middle)
    hands.press(str(len(RACK) + 2))
    hands.press("space")
    hands.wait(12.0)
    piece = room.darkroom.paper.piece
    assert piece is not None
    card = room.darkroom.paper.record().exposures[0].cards[0]
    assert (card.shape, card.lets_through) == ("outline", "inside")
    hands.develop()
    sheet = room.darkroom.wall.sheet(1, False)
    rows, cols = sheet.density.shape
    assert float(sheet.density[rows // 2 - 5 : rows // 2 + 5, cols // 2 - 5 : cols // 2 + 5].mean()) > 0.3
    assert float(sheet.density[rows // 6, cols // 4 : cols // 3].mean()) < 0.12, "beside the hole no light fell"


def test_a_card_over_the_unlit_easel_is_seen_beyond_its_edge(hands: Hands) -> None:
    hands.press("space")
    easel = hands.enlarger.easel
    at = (easel.rect.x + 4, easel.rect.centery)
    hands.point(at)
    before = hands.frame() and hands.surface.get_at((easel.rect.x - 14, easel.rect.centery))
    hands.press("2")
    hands.frame()
    assert hands.surface.get_at((easel.rect.x - 14, easel.rect.centery)) != before
