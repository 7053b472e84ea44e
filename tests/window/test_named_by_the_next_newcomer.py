"""What another newcomer's diary named, done again by scripted hands: short fixing, the full wall, the second round."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hands_in_room import Hands, in_room
from test_notebook_in_room import _sheet
from test_nothing_hides_the_prints import _strip
from test_wall_compare_and_way_on_in_room import _passed

from sim.notebook.record_words import describe, over_paper_s
from sim.printing.record import Card, Sheet
from sim.printing.record import Path as HandPath
from sim.window.standing.at_the_shelf import AtTheShelf
from sim.window.standing.at_the_wall import AtTheWall
from sim.window.standing.next_act import next_act
from sim.window.things.wall_drawing import step_plates


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path / "evenings")


def _into_the_stop(hands: Hands, developed_s: float = 61.0) -> None:
    hands.window.room.darkroom.desk.set("time_s", 3.0)
    for key in ("s", "space"):
        hands.press(key)
    hands.wait(3.6)
    hands.press("return")
    hands.frame()
    hands.wait(developed_s)
    hands.press("return")
    hands.frame()
    assert hands.window.room.darkroom.tray.stage == "stop"


def _at_wall(hands: Hands) -> AtTheWall:
    hands.press("alt+4")
    hands.frame(0.2, times=3)
    place = hands.window.place
    assert isinstance(place, AtTheWall)
    return place


def test_a_sheet_lifted_out_of_the_fixer_too_soon_is_told_so_and_the_notebook_keeps_it(hands: Hands) -> None:
    _into_the_stop(hands)
    for _ in ("to fix", "to wash"):
        hands.press("return")
        hands.frame()
    assert hands.said.startswith("Out of the fixer after 0:00 of 0:")
    assert "yellows, stains and fades" in hands.said
    hands.wait(12.0)
    hands.press("return")
    hands.frame(times=2)
    assert "fixer" not in hands.said, "the rinse had its time, and what was said of the fixer left with it"
    hands.press("alt+4")
    hands.frame(times=2)
    assert any("fixed 0 s only" in label.words for label in (hands.canvas or hands.frame()).labels)
    hands.press("f2")
    hands.frame(times=3)
    assert "Fixed for 0:00 of 0:" in hands.words
    assert any("out of the fixer after" in note for note in hands.window.room.darkroom.evening.state.notes)


@pytest.mark.parametrize(("share", "told"), [(0.96, True), (0.98, False)])
def test_what_leaves_a_bath_below_97_hundredths_of_its_time_is_told_and_above_it_is_not(
    hands: Hands, share: float, told: bool
) -> None:
    """By what a learner reads: in the developer that it was lifted early, in the fixer that it is not fixed through."""
    tray = hands.window.room.darkroom.tray
    hands.window.room.darkroom.desk.set("time_s", 3.0)
    for key in ("s", "space"):
        hands.press(key)
    hands.wait(3.6)
    hands.press("return")
    hands.frame()
    tray.advance(share * tray.full_s)
    hands.press("return")
    hands.frame()
    assert (hands.said.startswith("Out after"), "pulled" in [one.kind for one in _log(hands)]) == (told, told), hands.said
    hands.press("return")
    hands.frame()
    tray.advance(share * tray.wanted_s)
    hands.press("return")
    hands.frame()
    assert hands.said.startswith("Out of the fixer after") == told


def _log(hands: Hands) -> tuple[Any, ...]:
    return tuple(hands.window.room.darkroom.evening.state.said)


def test_a_short_rinse_is_told_too_and_a_full_one_is_not(hands: Hands) -> None:
    _into_the_stop(hands)
    hands.press("return")
    hands.wait(12.0)
    hands.press("return")
    hands.frame()
    assert hands.said.startswith("A first rinse"), "what is true in this bath, not in the one before"
    hands.press("return")
    hands.frame()
    assert "Out of the rinse after 0:00 of 0:" in hands.said
    assert len(hands.window.room.darkroom.evening.state.notes) == 1


def test_what_was_said_of_the_developer_leaves_with_the_stop(hands: Hands) -> None:
    _into_the_stop(hands, 11.0)
    assert hands.said.startswith("Out after 0:11")
    for bath in ("fix", "wash", "dry"):
        hands.press("return")
        hands.frame()
        assert hands.window.room.darkroom.tray.stage == bath
        assert "Out after 0:11" not in hands.said, bath


def test_no_print_of_the_second_row_lies_over_words_of_the_first(hands: Hands) -> None:
    for seconds in range(4, 11):
        _sheet(hands.window.room.darkroom, float(seconds))
    wall = _at_wall(hands).wall
    words = [label for label in (hands.canvas or hands.frame()).labels if label.words.startswith("sheet ")]
    assert len(words) == 7
    prints = [wall.rect(pin) for pin in wall.hanging()]
    assert prints[6].y > prints[0].bottom
    assert all(label.rect.collidelist(prints) < 0 for label in words)


def test_words_stand_on_their_own_print_where_an_old_wall_hangs_too_close(hands: Hands) -> None:
    for seconds in (4.0, 5.0):
        _sheet(hands.window.room.darkroom, seconds)
    wall = _at_wall(hands).wall
    one, two = wall.rect(wall.hanging()[0]), wall.rect(wall.hanging()[1])
    hands.drag((two.centerx, two.y + 20), (one.centerx, one.bottom + 8 + 20))
    hands.wheel("wall", -3)
    hands.frame(0.2, times=3)
    prints = [wall.rect(pin) for pin in wall.hanging()]
    words = [label for label in (hands.canvas or hands.frame()).labels if label.words.startswith(("sheet 1", "1"))]
    assert words
    assert all(label.rect.colliderect(prints[1]) is False for label in words[:1])


def test_a_strip_on_a_full_wall_is_legible_and_its_seconds_stand_beside_it(hands: Hands) -> None:
    for seconds in range(4, 9):
        _sheet(hands.window.room.darkroom, float(seconds))
    _at_wall(hands)
    _strip(hands, "2")
    place = _at_wall(hands)
    wall, look = place.wall, hands.window.room.look
    pin = wall.hanging()[-1]
    strip = wall.rect(pin)
    assert min(strip.size) >= 80
    assert wall.area.contains(strip)
    plates = step_plates(wall, pin.number, strip, look)
    assert all(wall.area.contains(one) and not one.colliderect(strip) for one in plates)
    assert any(label.words.startswith("strip 6") for label in (hands.canvas or hands.frame()).labels)
    hands.press("home")
    hands.frame(0.2, times=3)
    strip = wall.rect(pin)
    plates = step_plates(wall, pin.number, strip, look)
    assert all(wall.area.contains(one) and not one.colliderect(strip) for one in plates), "seen from afar too"
    assert any(label.words.startswith("strip 6") for label in (hands.canvas or hands.frame()).labels)
    for _ in range(3):
        hands.wheel("print 6", 1)
        hands.frame(0.2)
        strip = wall.rect(pin)
        if strip.h < wall.area.h - 60:
            assert wall.area.contains(strip), "the wheel brings it nearer and keeps it in the window"


def test_what_sets_a_print_apart_outlasts_that_it_is_dry(hands: Hands, monkeypatch: pytest.MonkeyPatch) -> None:
    _sheet(hands.window.room.darkroom, 7.0)
    wall = _at_wall(hands).wall
    monkeypatch.setattr(wall, "sets_apart", lambda number: ["held back"])
    monkeypatch.setattr(wall, "caption", lambda number: "sheet 1 · 7.0 s · 3 · held back · dry")
    assert wall.labels(1) == [
        "sheet 1 · 7.0 s · 3 · held back · dry", "sheet 1 · 7.0 s · 3 · held back", "sheet 1 · 7.0 s · held back",
        "sheet 1 · held back", "1 · held back", "held back", "sheet 1", "1",
    ]  # fmt: skip


def test_the_curve_asks_for_a_tone_and_lies_over_no_print_where_there_is_room(hands: Hands) -> None:
    for seconds in (6.0, 7.0, 8.0):
        _sheet(hands.window.room.darkroom, seconds)
    place = _at_wall(hands)
    hands.touch("curve plate")
    hands.frame()
    assert "Touch a tone on a print" in hands.said
    hands.wheel("wall", -3)
    hands.frame(0.2, times=2)
    for number in (1, 2, 3):
        hands.touch(f"print {number}", (0.5, 0.5))
        hands.frame(0.2, times=2)
        assert "Touch a tone on a print" not in hands.said
        assert place.thread.shown
        assert place.thread.rect.collidelist([place.wall.with_caption(pin) for pin in place.wall.hanging()]) < 0


def test_passing_is_shown_large_and_leads_back_to_free_work(tmp_path: Path) -> None:
    hands = _passed(tmp_path)
    canvas = hands.frame(0.2, times=4)
    large = [label for label in canvas.labels if label.words == "Passed"]
    assert large
    assert large[0].rect.h >= hands.window.room.look.line_height("title") - 2
    teacher = hands.window.teacher
    while teacher.index + 1 < len(teacher.lines):
        hands.press("j")
    hands.frame(times=2)
    hands.touch("free work")
    hands.frame(times=3)
    assert hands.place == "shelf", "there is no evening of one's own yet"
    assert "New evening begins free work" in hands.said
    shelf = hands.window.place
    assert isinstance(shelf, AtTheShelf)
    assert hands.window.room.lesson is not None
    assert shelf.shown[0].name() == hands.window.room.lesson.exercise.title
    assert "Evening 1" in shelf.shown[0].now()
    hands.touch("new evening")
    hands.frame(times=3)
    assert hands.window.room.lesson is None
    assert hands.place == "enlarger"


def test_the_cord_says_what_it_is_where_there_is_room_and_paper_refused_points_at_it(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    assert "Room light: amber" in hands.words
    hands.press("w")
    hands.frame()
    assert "Room light: white" in hands.words
    hands.touch("paper box")
    hands.frame()
    assert hands.window.room.darkroom.paper.piece is None
    assert "Pull the cord" in hands.said
    assert next_act(hands.window.room) == "cord"
    hands.touch("cord")
    hands.frame()
    assert "Pull the cord" not in hands.said
    small = in_room(tmp_path / "small", (1000, 640))
    assert small.cut() == []
    assert "Amber" in small.words or "Room light: amber" in small.words


def test_the_second_round_is_led_as_the_first_was(hands: Hands) -> None:
    way = []
    while (wanted := next_act(hands.window.room)) and len(way) < 30:
        way.append(wanted)
        hands.wait(0.4)
        hands.touch(wanted)
        hands.frame(0.0, times=3)
        while hands.window.room.burning:
            hands.wait(0.2)
    first = ["paper box", "foot", "way on", "hang up", "to the wall", "cord"]
    assert way[:6] == first
    assert way[6:] == ["to enlarger", "cord", "foot", "paper box", "foot", "way on", "hang up", "to the wall"]
    assert len(hands.window.room.darkroom.evening.state.sheets) == 2


def test_the_notebook_tells_when_a_card_was_over_the_paper(hands: Hands) -> None:
    paper = Sheet("glossy-rc-vc", 203.0, 254.0)
    hand = HandPath(((0.0, 100.0, 100.0), (4.0, 100.0, 100.0), (4.1, 400.0, 100.0), (7.0, 400.0, 100.0)))
    card = Card("disc", hand, 120.0, 50.0, 50.0, stop_s=7.0)
    start_s, stop_s = over_paper_s(card, paper)
    assert start_s == 0.0
    assert 4.0 <= stop_s <= 4.1
    stays = Card("disc", HandPath(((0.0, 100.0, 100.0), (7.0, 120.0, 100.0))), 120.0, stop_s=7.0)
    assert over_paper_s(stays, paper) == (0.0, 7.0)
    dark = hands.window.room.darkroom
    dark.desk.set("time_s", 7.0)
    for key in ("s", "1"):
        hands.press(key)
    hands.frame()
    assert "Space starts the light" in hands.said
    easel = hands.where("easel")
    hands.point(easel.center)
    hands.press("space")
    hands.wait(4.0)
    hands.point((easel.right + easel.w // 8, easel.centery))
    hands.wait(4.0)
    hands.press("return")
    hands.frame()
    dark.tray.finish()
    told = next(line for line in describe(dark.wall.record(1)) if "moved by hand" in line)
    assert "0.0 to 4." in told, told
    assert "7.0 s" not in told


def test_the_seconds_that_stood_stay_in_view_while_others_are_typed(hands: Hands) -> None:
    hands.window.room.darkroom.desk.set("time_s", 6.2, True)
    hands.frame()
    hands.touch("seconds")
    hands.frame()
    assert "6.2 s" in hands.words
    hands.press("8")
    hands.frame()
    assert "it was 6.2 s" in hands.words
