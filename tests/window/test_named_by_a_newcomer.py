"""What somebody named who came to the room for the first time and kept a diary, done again by scripted hands."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from hands_in_room import Hands, in_room
from pygame import Rect
from test_notebook_in_room import _sheet
from test_nothing_hides_the_prints import _strip

from sim.bench.light_of_print import light_of
from sim.paper.development import Development
from sim.window.standing.at_the_shelf import AtTheShelf
from sim.window.standing.at_the_trays import AtTheTrays
from sim.window.standing.at_the_wall import AtTheWall
from sim.window.teacher.lines import lines_of
from sim.window.teacher.target import possible_at
from sim.window.things.cupboard import Cupboard
from sim.window.things.light_words import light_words

ACT_S = 0.8  # a hand that looks where it goes


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path / "evenings")


def _exposed(hands: Hands, time_s: float = 3.0) -> None:
    hands.window.room.darkroom.desk.set("time_s", time_s)
    for key in ("s", "space"):
        hands.press(key)
    hands.wait(time_s + 0.6)


def _at_trays(hands: Hands) -> AtTheTrays:
    hands.press("alt+3")
    hands.frame()
    place = hands.window.place
    assert isinstance(place, AtTheTrays)
    return place


def test_every_negative_in_view_comes_to_lie_on_the_table_though_no_hand_moves(hands: Hands) -> None:
    hands.press("b")
    over = hands.window.over
    assert isinstance(over, Cupboard)
    hands.frame(0.0)
    shown = [sleeve for sleeve in over.sleeves if sleeve.shown]
    assert len(shown) > 6
    while any(sleeve.view is None for sleeve in shown):
        assert hands.window.update(0.02), "the loop is told that more is to be drawn"
    assert all(sleeve.view is not None for sleeve in shown)
    assert not over.update(0.02)


def test_a_touch_of_the_head_and_of_the_slip_opens_the_drawer_of_negatives(hands: Hands) -> None:
    for thing in ("head", "carrier"):
        hands.touch(thing)
        hands.frame()
        assert isinstance(hands.window.over, Cupboard), thing
        hands.press("escape")
        hands.frame()
    stood, head = hands.window.room.darkroom.desk.now.height_mm, hands.where("head")
    hands.drag(head.center, (head.centerx, head.centery - 30))
    assert hands.window.over is None, "a drag moves it, as before"
    assert hands.window.room.darkroom.desk.now.height_mm > stood


def test_at_the_trays_it_is_said_what_comes_next(hands: Hands) -> None:
    _exposed(hands)
    assert "On with it: Into the developer" in hands.said
    _at_trays(hands)
    assert "slides into the developer" in hands.said
    hands.touch("sheet in hand")
    hands.frame()
    assert "a touch takes it on" in hands.said
    hands.wait(59.0)
    assert "has had its time" not in hands.words
    hands.wait(1.4)
    assert "Developer: the sheet has had its time" in hands.said
    hands.press("return")
    hands.frame()
    assert "Developer" not in hands.said, "it leaves with what it was true of"


def test_the_fast_clock_ends_with_the_baths_own_time(hands: Hands) -> None:
    _exposed(hands)
    _at_trays(hands)
    hands.press("return")
    tray, room = hands.window.room.darkroom.tray, hands.window.room
    assert not room.fast_clock, "in the developer seconds are real: there the eye decides"
    hands.press("x")
    hands.wait(7.4)
    assert tray.seconds == pytest.approx(59.2, abs=0.1)
    assert room.fast_clock
    hands.wait(0.2)
    assert tray.seconds == pytest.approx(tray.wanted_s, abs=0.2)
    assert not room.fast_clock
    hands.wait(2.0)
    assert tray.seconds == pytest.approx(tray.wanted_s + 2.0, abs=0.4), "nobody overshoots eight times as fast"
    hands.press("return")
    assert room.fast_clock, "nothing comes up in the baths after it"
    hands.press("x")
    assert not room.fast_clock
    before = tray.seconds
    hands.wait(2.0)
    assert tray.seconds - before == pytest.approx(2.0)


def test_a_first_print_through_every_bath_hangs_within_ninety_seconds(tmp_path: Path) -> None:
    hands, spent = in_room(tmp_path, evening=False), 0.0

    def act(thing: str) -> float:
        hands.wait(ACT_S)
        hands.touch(thing)
        hands.frame(0.0)
        hands.window.update(0.0)
        return ACT_S

    for thing in ("new evening", "paper box", "foot"):
        spent += act(thing)
        hands.frame(0.0)
    while hands.window.room.burning:
        hands.wait(0.2)
        spent += 0.2
    for thing in ("to trays", "sheet in hand"):
        spent += act(thing)
    tray = hands.window.room.darkroom.tray
    while tray.stage != "dry":
        while tray.seconds < tray.wanted_s:
            hands.wait(0.2)
            spent += 0.2
        spent += act("trays")
    for thing in ("to the wall", "cord"):
        spent += act(thing)
    assert hands.place == "wall"
    assert hands.window.room.light == "white"
    assert hands.window.room.darkroom.wall.record(1).development.time_s >= 59.5
    print(f"\nfirst print through every bath: {spent:.1f} s")
    assert spent <= 90.0


@pytest.mark.parametrize(("seconds", "said"), [(60.0, False), (89.9, False), (90.1, True), (220.0, True)])
def test_a_print_left_in_the_developer_far_too_long_says_so(hands: Hands, seconds: float, said: bool) -> None:
    _sheet(hands.window.room.darkroom, 6.0)
    record = replace(hands.window.room.darkroom.wall.record(1), development=Development(seconds))
    assert (f"out after {seconds:.0f} s" in light_words(hands.window.room, light_of(record))) is said


def test_help_stands_over_no_other_thing_and_does_not_come_back_after_a_touch(hands: Hands) -> None:
    _sheet(hands.window.room.darkroom, 6.0)
    hands.press("alt+4")
    hands.frame(0.2, times=2)
    hands.point(hands.where("counts").center)
    canvas = hands.frame(0.3, times=3)
    told = [label.rect for label in canvas.labels if label.layer == "told"]
    assert told
    others = [rect for name, rect in canvas.hits if name in ("take down", "all up", "compare", "wet", "ring", "step scale")]
    assert all(label.collidelist(others) < 0 for label in told)
    hands.touch("counts")
    hands.frame(0.3, times=6)
    assert not [label for label in (hands.canvas or hands.frame()).labels if label.layer == "told"]
    hands.point((hands.where("counts").centerx + 3, hands.where("counts").centery))
    hands.frame(0.3, times=3)
    assert [label for label in (hands.canvas or hands.frame()).labels if label.layer == "told"], "a hand that moves may ask"


def test_the_ring_of_the_keyboard_cuts_no_words_on_the_timer(hands: Hands) -> None:
    hands.touch("seconds")
    hands.press("7")
    hands.press("return")
    hands.frame()
    drawn: list[Rect] = []
    canvas: Any = SimpleNamespace(focus_ring=drawn.append)
    hands.enlarger.timer.seconds.draw_focus(canvas)
    assert drawn == [hands.enlarger.timer.rect]


def test_choices_of_a_strip_stand_beside_the_easel_where_there_is_room(hands: Hands) -> None:
    hands.press("t")
    hands.frame()
    board = hands.where("easel").inflate(10, 10)
    choices = [hands.where(f"strip {one}") for one in ("kind", "steps", "apart", "way", "hand")]
    assert all(not one.colliderect(board) for one in choices)
    assert [one.y for one in choices] == sorted(one.y for one in choices), "in their order, from above"


def test_seconds_of_a_strip_stand_beside_it_though_another_print_hangs_there(hands: Hands) -> None:
    _strip(hands, "2")
    _sheet(hands.window.room.darkroom, 6.0)
    hands.press("alt+4")
    canvas = hands.frame(0.2, times=3)
    strip = hands.where("print 1")
    labels = [label.rect for label in canvas.labels if label.words in ("3.0 s", "4.2 s", "6.0 s", "8.5 s", "12.0 s")]
    assert len(labels) == 5
    assert not any(strip.colliderect(label) for label in labels)


def test_it_is_said_which_sheet_counts(hands: Hands) -> None:
    _sheet(hands.window.room.darkroom, 6.0)
    _sheet(hands.window.room.darkroom, 7.0)
    hands.press("alt+4")
    hands.frame(0.2, times=2)
    for number, words in ((2, "Nominated: sheet 2."), (1, "Nominated: sheets 2, 1.")):
        hands.touch(f"print {number}", (0.5, 0.05))
        hands.touch("counts")
        hands.frame()
        assert hands.said == words


def test_an_evening_on_the_shelf_shows_what_was_printed_since(hands: Hands) -> None:
    hands.press("alt+1")
    hands.frame(times=3)
    shelf = hands.window.place
    assert isinstance(shelf, AtTheShelf)
    assert shelf.shown[0].face is None
    hands.press("alt+2")
    _sheet(hands.window.room.darkroom, 6.0)
    hands.press("alt+1")
    hands.frame(times=3)
    assert shelf.shown[0].face is not None
    assert "1 print" in shelf.shown[0].now()


def test_two_touches_begin_one_evening_only(tmp_path: Path) -> None:
    hands = in_room(tmp_path, evening=False)
    hands.press("n")
    hands.press("n")
    hands.frame(times=3)
    assert hands.place == "enlarger"
    assert [folder.name for folder in (tmp_path / "evenings").iterdir()] == ["0001"]


def test_a_sheet_over_the_room_leaves_when_one_walks(hands: Hands) -> None:
    hands.press("f1")
    hands.frame()
    assert hands.window.over is not None
    hands.window.room.wanted_place = "wall"
    hands.frame()
    assert hands.window.over is None


def test_a_lesson_points_at_the_paper_until_there_is_something_for_the_baths(hands: Hands) -> None:
    room = hands.window.room
    assert possible_at(room, "trays") == "paper box"
    hands.press("s")
    assert possible_at(room, "trays") == possible_at(room, "paper box") == "foot"
    room.darkroom.desk.set("time_s", 3.0)
    hands.press("space")
    hands.wait(4.0)
    assert possible_at(room, "trays") == "trays"


def test_what_cannot_be_seen_yet_is_not_asked(tmp_path: Path) -> None:
    hands = in_room(tmp_path, evening=False)
    hands.window.open_exercise("a-print-of-your-own")
    hands.frame(times=2)
    room, run = hands.window.room, hands.window.room.lesson
    assert run is not None
    run.begin()
    run.predict("right")
    _exposed(hands, 6.0)
    trays = _at_trays(hands)
    hands.press("return")
    hands.wait(60.4)
    hands.press("return")
    hands.frame(times=2)
    assert run.stage == "see"
    lines = lines_of(room, run, False, False, ())
    assert [(line.at, line.asks) for line in lines] == [("trays", False)]
    assert "under white light once the fixer" in hands.words
    note = hands.window.teacher.note.rect
    sheet = trays.trays.sheet_rect()[0]
    hidden = note.clip(sheet)
    assert hidden.w * hidden.h < 0.1 * sheet.w * sheet.h, "the sheet is what one looks at"
    hands.press("k")
    hands.frame(times=2)
    assert any(line.asks for line in lines_of(room, run, False, False, ()))


def test_marks_that_lead_to_the_same_lesson_say_why() -> None:
    from sim.window.standing.lesson_sayings import LESSON_LINE_WORDS

    assert "another negative" in LESSON_LINE_WORDS["next again"]


def test_the_tick_of_a_print_that_counts_shows_on_white_paper(hands: Hands) -> None:
    dark = hands.window.room.darkroom
    _sheet(dark, 6.0)
    dark.wall.nominate(1)
    dark.switch_white_light(True)
    hands.press("alt+4")
    hands.frame(0.2, times=3)
    place = hands.window.place
    assert isinstance(place, AtTheWall)
    corner = hands.where("print 1")
    near = [(corner.right - 14 + dx, corner.y + 14 + dy) for dx in range(-7, 8) for dy in range(-7, 8)]
    levels = [hands.surface.get_at(at)[0] for at in near]
    assert max(levels) - min(levels) > 150


def test_a_touch_beside_the_sheet_leaves_it_in_its_bath_and_one_on_it_takes_it_on(hands: Hands) -> None:
    _exposed(hands, 6.0)
    trays = _at_trays(hands)
    hands.press("return")
    hands.wait(5.0)
    tray = hands.window.room.darkroom.tray
    assert tray.stage == "developer"
    hands.touch("trays", (0.03, 0.9))
    assert tray.stage == "developer"
    sheet, all_of_it = trays.trays.sheet_rect()[0], hands.where("trays")
    hands.touch("trays", ((sheet.centerx - all_of_it.x) / all_of_it.w, (sheet.centery - all_of_it.y) / all_of_it.h))
    assert tray.stage == "stop"
