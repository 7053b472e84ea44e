"""The one room: the foot, the lamp, the light, what is said, one gesture as one step. Each was once wrong on a real display."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

from sim.bench.darkroom import Darkroom


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path)


def test_space_is_the_foot_whatever_has_the_focus(hands: Hands) -> None:
    room = hands.window.room.darkroom
    for touched in ("aperture", "filter", "timer", "loupe", "foot"):
        hands.press("0")
        hands.touch(touched) if touched != "foot" else None
        lit = room.desk.now.focus_light
        hands.press("space")
        assert room.desk.now.focus_light is not lit, touched


def test_space_exposes_paper_also_while_a_number_is_written(hands: Hands) -> None:
    hands.press("s")
    hands.frame()
    hands.touch("seconds")
    hands.press("7")
    hands.press("space")
    assert hands.window.room.darkroom.paper.exposing


def test_digits_take_cards_and_never_fall_into_the_timer(hands: Hands) -> None:
    hands.touch("paper box")
    seconds = hands.window.room.darkroom.desk.now.time_s
    hands.press("2")
    card = hands.window.room.standing.card
    assert card is not None
    assert card.card.id == "large disc"
    assert hands.window.room.darkroom.desk.now.time_s == seconds


def test_seconds_are_typed_where_they_stand(hands: Hands) -> None:
    hands.touch("seconds")
    for key in "12.5":
        hands.press(key)
    hands.press("return")
    assert hands.window.room.darkroom.desk.now.time_s == 12.5


def test_a_burning_lamp_is_never_ended_by_walking_away(hands: Hands) -> None:
    paper = hands.window.room.darkroom.paper
    hands.window.room.darkroom.desk.set("time_s", 10.0)
    hands.press("s")
    hands.press("space")
    hands.wait(3.0)
    hands.press("pagedown")
    assert hands.place == "trays"
    assert paper.exposing
    assert "burns on" in hands.said
    labels = [label.words for label in hands.frame(0.0).labels]
    assert any(words.endswith(" s") and words[0] == "7" for words in labels), "the seconds left are seen from everywhere"
    hands.wait(8.0)
    piece = paper.piece
    assert piece is not None
    assert piece.seconds == pytest.approx(10.0, abs=0.01)


def test_the_foot_ends_no_exposure_unless_it_is_meant(hands: Hands) -> None:
    paper = hands.window.room.darkroom.paper
    hands.press("s")
    hands.press("space")
    hands.wait(2.0)
    hands.press("space")
    assert paper.exposing
    hands.press("shift+space")
    piece = paper.piece
    assert piece is not None
    assert piece.seconds == pytest.approx(2.0, abs=0.3)


def test_the_white_light_is_seen_everywhere_and_pulled_from_everywhere(hands: Hands) -> None:
    for place in range(1, 5):
        hands.press(f"alt+{place}")
        hands.touch("cord")
        hands.frame()
        assert hands.window.room.light == "white"
        ground = hands.surface.get_at((hands.surface.get_width() - 4, hands.surface.get_height() // 2))
        assert max(ground[:3]) - min(ground[:3]) <= 2, "neutral grey, not the safelight's brown"
        hands.touch("cord")
        hands.frame()
        assert hands.window.room.light == "amber"


def test_paper_is_refused_in_white_light_in_words_that_name_it(hands: Hands) -> None:
    hands.press("w")
    hands.press("s")
    assert "white light is on" in hands.said
    assert hands.window.room.darkroom.paper.piece is None


def test_what_was_refused_leaves_when_it_is_no_longer_so(hands: Hands) -> None:
    hands.press("w")
    hands.press("s")
    hands.press("w")
    assert hands.said == ""


def test_a_line_stays_as_long_as_it_is_true_and_no_longer(hands: Hands) -> None:
    hands.press("s")
    hands.press("space")
    hands.wait(11.0)
    assert "of light on the paper" in hands.said
    hands.wait(60.0)
    assert "of light on the paper" in hands.said
    hands.develop()
    hands.wait(1.0)
    assert "of light on the paper" not in hands.said


def test_one_drag_is_one_step_that_is_named_and_survives_a_restart(hands: Hands) -> None:
    desk = hands.window.room.darkroom.desk
    stood = desk.now.height_mm
    head = hands.where("head")
    hands.drag(head.center, (head.centerx, head.centery - 40), steps=20)
    assert desk.now.height_mm > stood
    assert desk.would_undo == ("height_mm",)
    folder = hands.window.room.darkroom.folder
    hands.window.close()
    again = Darkroom.open(folder)
    assert again.desk.would_undo == ("height_mm",)
    assert again.desk.undo()
    assert again.desk.now.height_mm == stood
    assert again.desk.would_undo == ()
    again.close()


def test_a_wheel_is_one_step_once_it_rests(hands: Hands) -> None:
    desk = hands.window.room.darkroom.desk
    stood = desk.now.f_number
    for _ in range(3):
        hands.wheel("aperture", -1)
    hands.wait(1.0)
    assert desk.now.f_number != stood
    hands.press("ctrl+z")
    assert desk.now.f_number == stood
    assert "Aperture" in hands.said


def test_switching_the_lamp_is_no_step_to_be_taken_back(hands: Hands) -> None:
    hands.press("space")
    hands.press("space")
    assert hands.window.room.darkroom.desk.would_undo == ()


def test_a_sheet_keeps_the_light_it_had_when_the_program_is_killed(hands: Hands) -> None:
    hands.press("s")
    hands.press("space")
    hands.wait(4.4)
    folder = hands.window.room.darkroom.folder
    hands.window.room.darkroom.evening.close()  # as the operating system does: nothing else is said or kept
    again = Darkroom.open(folder)
    piece = again.paper.piece
    assert piece is not None
    assert piece.exposures == 1
    assert piece.seconds == pytest.approx(4.0, abs=0.5)
    again.close()


def test_the_keyboard_alone_makes_a_print(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    for key in ("s", "space"):
        hands.press(key)
    hands.wait(11.0)
    hands.develop()
    assert hands.place == "wall"
    assert [one.kind for one in hands.window.room.darkroom.wall.prints()] == ["sheet"]
    assert hands.where("print 1").w > 100


def test_the_mouse_alone_makes_a_print(tmp_path: Path) -> None:
    hands = in_room(tmp_path, evening=False)
    hands.touch("new evening")
    hands.frame()
    hands.touch("paper box")
    hands.touch("foot")
    hands.wait(11.0)
    hands.touch("to trays")
    hands.frame()
    hands.touch("sheet in hand")
    hands.wait(10.0)
    hands.touch("hang up")
    hands.frame()
    hands.touch("to the wall")
    hands.frame()
    assert hands.place == "wall"
    assert hands.where("print 1").w > 100
