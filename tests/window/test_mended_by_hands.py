"""What people at the window ran into, done again by hands: the red filter, held keys, sheets over the room, notes."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pygame
import pytest
from hands_in_room import Hands, in_room
from test_notebook_in_room import _sheet, book

from sim.bench.light_of_print import FULL_SHARE, light_of
from sim.printing.record import Card, Exposure, Still
from sim.window.hands.messages import REFUSED_LEAST_S
from sim.window.kit.events import Key
from sim.window.main_loop import MOST_EVENTS, bounded
from sim.window.teacher.target import possible_at
from sim.window.things.light_words import light_words
from sim.window.things.notebook import Notebook
from sim.window.things.shown_page import ShownPage


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path / "evenings", exports=str(tmp_path / "pages"))


def _held(hands: Hands, name: str, times: int = 30) -> None:
    hands.window.handle(Key(name, True, text=name if len(name) == 1 else ""))
    for _ in range(times):
        hands.window.handle(Key(name, True, text=name if len(name) == 1 else "", repeat=True))
    hands.window.handle(Key(name, False))
    hands.frame()


def _strip_in_hand(hands: Hands) -> None:
    hands.press("t")
    hands.press("space")
    hands.wait(60.0)


def test_under_the_red_filter_the_foot_puts_the_lamp_out_and_the_sheet_can_be_exposed(hands: Hands) -> None:
    desk, paper = hands.window.room.darkroom.desk, hands.window.room.darkroom.paper
    if not desk.now.focus_light:
        hands.press("space")
    for key in ("d", "s"):
        hands.press(key)
    assert paper.piece is not None, hands.said
    hands.press("d")
    assert "foot" in hands.said
    assert desk.now.red_filter
    hands.press("space")
    assert not desk.now.focus_light
    assert not paper.exposing
    hands.press("d")
    hands.press("space")
    assert paper.exposing, hands.said


def test_over_paper_the_foot_lights_the_lamp_through_the_red_filter_and_gives_no_light_to_it(hands: Hands) -> None:
    desk, paper = hands.window.room.darkroom.desk, hands.window.room.darkroom.paper
    if desk.now.focus_light:
        hands.press("space")
    for key in ("s", "d", "space"):
        hands.press(key)
    assert desk.now.focus_light
    assert not paper.exposing
    assert paper.piece is not None
    assert paper.piece.exposures == 0


def test_a_held_enter_takes_a_sheet_one_bath_on_and_no_further(hands: Hands) -> None:
    _strip_in_hand(hands)
    hands.press("alt+3")
    _held(hands, "return")
    assert hands.window.room.darkroom.tray.stage == "developer"
    _held(hands, "return")
    assert hands.window.room.darkroom.tray.stage == "stop"


def test_a_held_letter_acts_once_and_a_held_arrow_goes_on(hands: Hands) -> None:
    desk = hands.window.room.darkroom.desk
    _held(hands, "d", 5)
    assert desk.now.red_filter
    hands.touch("timer", (0.9, 0.9))
    before = desk.now.time_s
    _held(hands, "up", 3)
    assert desk.now.time_s == pytest.approx(before * 2.0 ** (4 / 6), rel=0.02)


def test_space_and_letters_reach_nothing_beneath_a_sheet_that_lies_over_the_room(hands: Hands) -> None:
    room = hands.window.room
    _sheet(room.darkroom, 6.0)
    lit = room.darkroom.desk.now.focus_light
    over = book(hands)
    hands.write("n p s")
    assert hands.window.over is over
    assert room.darkroom.desk.now.focus_light is lit
    assert room.darkroom.paper.piece is None
    assert "Escape" in hands.said
    hands.press("escape")
    assert hands.window.over is None
    hands.frame()
    assert hands.said == ""


def test_a_written_page_waits_for_the_end_of_a_note_and_leads_back_to_the_notebook(hands: Hands, tmp_path: Path) -> None:
    room = hands.window.room
    _sheet(room.darkroom, 6.0)
    over = book(hands)
    hands.frame()
    hands.touch("note")
    hands.write("soft sk")
    room.wanted_over = lambda: ShownPage(room, tmp_path / "none.png", tmp_path / "none.pdf", over.back)
    hands.write("y n p")
    assert hands.window.over is over
    hands.press("return")
    assert isinstance(hands.window.over, ShownPage)
    assert room.darkroom.evening.state.notes == ("sheet 1: soft sky n p",)
    hands.press("escape")
    assert isinstance(hands.window.over, Notebook)


def test_a_kept_note_opens_with_its_words_and_is_corrected(hands: Hands) -> None:
    state = hands.window.room.darkroom.evening
    _sheet(hands.window.room.darkroom, 6.0)
    over = book(hands)
    hands.touch("note")
    hands.write("too drk")
    hands.press("return")
    assert over.note.words == "too drk"
    hands.touch("note")
    for _ in range(2):
        hands.press("backspace")
    hands.write("ark")
    hands.press("return")
    assert state.state.notes == ("sheet 1: too drk", "sheet 1, corrected: too dark")
    hands.frame(times=2)
    assert "Note: too dark" in hands.words
    assert "too drk" not in hands.words
    hands.press("escape")
    assert book(hands).note.words == "too dark"


def test_letters_beyond_what_a_frame_takes_wait_for_the_next_in_their_order() -> None:
    pygame.display.init()
    keys = [pygame.event.Event(pygame.KEYDOWN, key=pygame.K_a, unicode=str(n)) for n in range(MOST_EVENTS + 7)]
    later: list[pygame.event.Event] = []
    first = bounded([*later, *keys], later)
    assert len(first) == MOST_EVENTS
    assert [event.unicode for event in (*first, *bounded([*later], later))] == [str(n) for n in range(MOST_EVENTS + 7)]
    assert later == []


def test_a_lesson_points_at_what_is_possible_now(hands: Hands) -> None:
    room = hands.window.room
    assert possible_at(room, "paper box") == "paper box"
    room.darkroom.desk.set("focus_light", False)
    hands.press("w")
    assert possible_at(room, "paper box") == "cord"
    assert possible_at(room, "timer") == "timer"
    hands.press("w")
    hands.press("t")
    assert possible_at(room, "strips") == "easel"
    hands.press("space")
    hands.wait(60.0)
    assert room.darkroom.why_dark
    hands.press("alt+3")
    hands.press("return")
    assert possible_at(room, "strips") == possible_at(room, "timer") == "trays"
    hands.press("return")
    assert possible_at(room, "print 1") == "trays"
    assert "stop" in room.darkroom.why_dark or "fixer" in room.darkroom.why_dark
    hands.press("k")
    assert room.darkroom.why_dark == ""
    assert possible_at(room, "print 1") == "print 1"


def test_after_a_touch_of_the_cord_enter_is_the_places_again(hands: Hands) -> None:
    room = hands.window.room
    _sheet(room.darkroom, 6.0)
    for place in ("alt+4", "alt+3", "alt+2"):
        hands.press(place)
        hands.frame()
        before = room.light
        hands.touch("cord")
        after = room.light
        assert after != before, hands.said
        hands.press("return")
        assert room.light == after, place


def test_what_refuses_stays_six_seconds_or_until_something_is_done(hands: Hands) -> None:
    messages = hands.window.room.messages
    messages.say("no", warn=True)
    messages.update(REFUSED_LEAST_S - 0.01)
    assert messages.now is not None
    messages.update(0.02)
    assert messages.now is None
    assert REFUSED_LEAST_S == 6.0
    messages.say("no", warn=True)
    messages.done()
    assert messages.now is None


def test_an_exposed_strip_is_dragged_to_the_trays_and_there_into_the_developer(hands: Hands) -> None:
    room = hands.window.room
    _strip_in_hand(hands)
    hands.frame()
    piece = room.darkroom.paper.piece
    assert piece is not None
    easel = hands.enlarger.easel
    at = easel.plan.rect_px(piece.x_mm, piece.y_mm, piece.width_mm, piece.height_mm).center
    assert "Into the developer" in hands.said
    hands.drag(at, hands.where("to trays").center)
    assert hands.place == "trays"
    there = room.darkroom.paper.piece
    assert there is not None
    assert (there.x_mm, there.y_mm) == pytest.approx((piece.x_mm, piece.y_mm))
    hands.frame()
    hands.drag(hands.where("sheet in hand").center, hands.where("trays").center)
    assert room.darkroom.tray.stage == "developer", hands.said


def test_soft_and_hard_seconds_stand_apart_and_card_work_and_a_short_development_are_said(hands: Hands) -> None:
    room = hands.window.room
    _sheet(room.darkroom, 6.0)
    record = room.darkroom.wall.record(1)
    base = record.exposures[0]
    assert light_words(room, light_of(record)).startswith("6.0 s · ")
    soft, hard = (Exposure(s, base.f_number, type(base.filter)(name)) for s, name in ((10.0, "00"), (6.0, "5")))
    assert light_words(room, light_of(record.with_exposures(soft, hard))) == "00 10.0 s + 5 6.0 s"
    disc = Card("disc", Still(10.0, 10.0), 100.0, stop_s=3.0)
    hole = Card("disc", Still(10.0, 10.0), 100.0, lets_through="inside")
    worked = record.with_exposures(replace(soft, cards=(disc,)), replace(soft, time_s=4.0, cards=(hole,)))
    assert light_words(room, light_of(worked)) == "10.0 s · 00 · held back · burnt in"
    full = record.development.time_s
    for share, said in ((FULL_SHARE - 0.01, True), (FULL_SHARE + 0.01, False)):
        short = replace(record, development=replace(record.development, time_s=full * share))
        assert ("out after" in light_words(room, light_of(short))) is said


def test_a_tooltip_goes_with_its_thing(hands: Hands) -> None:
    hands.point(hands.where("timer").center)
    hands.wait(1.0)
    told = hands.window.hands.told()
    assert told is not None
    assert told.id == "timer" or told.id == "seconds"
    hands.press("f")  # the picture fills the window, the timer is out of sight
    hands.frame()
    assert hands.window.hands.told() is None
