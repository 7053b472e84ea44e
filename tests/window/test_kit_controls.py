"""Every control answers pointer and keyboard, says why it is locked, and is drawn without changing anything."""

from __future__ import annotations

from pathlib import Path

import pygame
import pytest
from driving import Driver, open_room
from gallery import Gallery

from sim.window.kit.events import Key, Pointer


@pytest.fixture
def hand(tmp_path: Path) -> Driver:
    driver = open_room(tmp_path)
    _show(driver)
    return driver


def _show(driver: Driver) -> Gallery:
    gallery = Gallery(driver.app.room)
    gallery.build()
    driver.app.screens["gallery"] = gallery
    driver.app.place = "gallery"
    driver.app._stand()
    driver.frame()
    return gallery


def _gallery(driver: Driver) -> Gallery:
    screen = driver.app.screen
    assert isinstance(screen, Gallery)
    return screen


def test_a_button_is_pressed_by_pointer_enter_and_space(hand: Driver) -> None:
    place = _gallery(hand)
    hand.click("press")
    place.set_focus(place.press)
    hand.press("return")
    hand.press("space")
    assert place.seen == ["pressed"] * 3


def test_a_button_let_go_beside_itself_does_nothing(hand: Driver) -> None:
    place = _gallery(hand)
    hand.app.handle(Pointer("down", place.press.rect.center, 1))
    hand.app.handle(Pointer("up", (place.press.rect.right + 40, place.press.rect.y), 1))
    assert place.seen == []


def test_a_held_key_presses_a_button_once(hand: Driver) -> None:
    place = _gallery(hand)
    place.set_focus(place.press)
    for repeat in (False, True, True):
        hand.app.handle(Key("return", True, repeat=repeat))
    assert place.seen == ["pressed"]


def test_a_lamp_tells_on_and_off_by_its_shape(hand: Driver) -> None:
    place = _gallery(hand)
    hand.frame()
    off = pygame.image.tobytes(hand.surface.subsurface(place.lamp.rect), "RGB")
    hand.click("lamp")
    hand.frame()
    assert place.lamp.lamp is True
    assert pygame.image.tobytes(hand.surface.subsurface(place.lamp.rect), "RGB") != off


def test_a_rocker_turns_over_and_arrows_set_it(hand: Driver) -> None:
    place = _gallery(hand)
    hand.click("rocker")
    place.set_focus(place.rocker)
    hand.press("right")
    hand.press("left")
    assert place.seen == [True, False]


def test_a_row_chooses_by_pointer_and_arrows_and_stops_at_its_ends(hand: Driver) -> None:
    place = _gallery(hand)
    hand.click("row:4")
    place.set_focus(place.row)
    for key in ("right", "right", "right", "home", "left"):
        hand.press(key)
    assert place.seen == ["4", "5", "00"]


def test_a_list_walks_scrolls_and_opens(hand: Driver) -> None:
    place = _gallery(hand)
    place.set_focus(place.list)
    for _ in range(6):
        hand.press("down")
    hand.press("return")
    assert place.list.value == "r6"
    assert place.seen[-1] == "open r6"
    hand.frame()
    assert any(name == "list:r6" for name, _ in hand.canvas.hits) if hand.canvas else False
    hand.press("end")
    assert place.list.value == "r19"
    hand.app.handle(Pointer("wheel", place.list.rect.center, steps=100))
    assert place.list.first == 0


def test_a_second_press_on_a_row_opens_it(hand: Driver) -> None:
    place = _gallery(hand)
    hand.click("list:r2")
    hand.click("list:r2")
    assert place.seen == ["r2", "open r2"]


def test_a_number_is_typed_stepped_and_held_within_its_range(hand: Driver) -> None:
    place = _gallery(hand)
    place.set_focus(place.number)
    hand.type("12.5")
    hand.press("return")
    hand.press("up")
    hand.press("shift+up")
    assert place.seen == [12.5, 13.0, 18.0]
    hand.type("900")
    hand.press("return")
    assert place.number.value == 18.0
    assert "900" in hand.said()
    assert "0.5 to 60" in hand.said()
    hand.type("1.2.3")
    hand.press("return")
    assert "not a number" in hand.said()
    hand.click("number:more")
    hand.click("number:less")
    assert place.seen[-2:] == [18.5, 18.0]


def test_what_was_typed_counts_when_the_focus_leaves(hand: Driver) -> None:
    place = _gallery(hand)
    place.set_focus(place.number)
    hand.type("7,5")
    hand.press("tab")
    assert place.number.value == 7.5


def test_the_column_is_dragged_and_stepped(hand: Driver) -> None:
    place = _gallery(hand)
    rail = place.column._rail(hand.app.room.look)
    hand.app.handle(Pointer("down", rail.midbottom, 1, buttons=frozenset({1})))
    hand.app.handle(Pointer("move", (rail.centerx, rail.top - 50), 0, buttons=frozenset({1})))
    hand.app.handle(Pointer("up", (rail.centerx, rail.top - 50), 1))
    assert place.column.value == 900.0
    place.set_focus(place.column)
    hand.press("down")
    hand.press("shift+down")
    assert place.column.value == 889.0


def test_the_ring_turns_by_drag_wheel_arrows_and_a_press_on_an_engraved_stop(hand: Driver) -> None:
    place = _gallery(hand)
    ring, look = place.ring, hand.app.room.look
    hand.app.handle(Pointer("wheel", ring.rect.center, steps=1))
    assert ring.value == "11"
    place.set_focus(ring)
    hand.press("left")
    assert ring.value == "8"
    x = ring._x(0.4188790, look)  # one stop to the right of the index mark
    at = (x, ring._band(look).centery)
    hand.app.handle(Pointer("down", at, 1, buttons=frozenset({1})))
    hand.app.handle(Pointer("up", at, 1))
    assert ring.value == "11"
    start = ring._band(look).center
    hand.app.handle(Pointer("down", start, 1, buttons=frozenset({1})))
    hand.app.handle(Pointer("move", (start[0] + 500, start[1]), 0, buttons=frozenset({1})))
    hand.app.handle(Pointer("up", (start[0] + 500, start[1]), 1))
    assert ring.value == "2.8"


def test_a_note_is_written_and_handed_over_once(hand: Driver) -> None:
    place = _gallery(hand)
    place.set_focus(place.note)
    hand.type("m is no mark here")
    hand.press("backspace")
    hand.press("return")
    hand.press("tab")
    assert place.seen == ["m is no mark her"]
    place.set_focus(place.note)
    hand.type("x" * 200)
    assert len(place.note.value) == 80


def test_a_locked_control_says_why_and_stays(hand: Driver) -> None:
    place = _gallery(hand)
    hand.click("locked")
    assert "a later lesson opens it" in hand.said()
    for control in (place.row, place.list, place.number, place.column, place.ring, place.rocker):
        control.why_not = "later"
    before = [c.value for c in place.controls]
    for control in (place.row, place.list, place.number, place.column, place.ring, place.rocker):
        place.set_focus(control)
        for key in ("right", "up", "down", "space", "end"):
            hand.press(key)
        hand.app.handle(Pointer("wheel", control.rect.center, steps=1))
    assert [c.value for c in place.controls] == before
    assert "never" not in place.seen


def test_a_question_waits_and_escape_gives_the_careful_answer(hand: Driver) -> None:
    place = _gallery(hand)
    hand.click("ask")
    assert hand.app.asking is not None
    hand.click("answer:yes")
    hand.click("ask")
    hand.press("m")
    hand.press("escape")
    assert place.seen == ["yes", "no"]
    hand.frame()
    hand.click("ask")
    hand.press("left")
    hand.press("return")
    assert place.seen[-1] == "yes"


def test_what_lies_under_a_question_cannot_be_clicked(hand: Driver) -> None:
    hand.click("ask")
    hand.frame()
    assert hand.canvas is not None
    assert {name for name, _ in hand.canvas.hits} == {"answer:yes", "answer:no"}


def test_a_held_key_lets_go_what_it_began(hand: Driver) -> None:
    place = _gallery(hand)
    hand.app.handle(Key("x", True, text="x"))
    hand.app.handle(Key("x", True, text="x", repeat=True))
    assert (place.seen, place.letting_go) == (["hold"], [])
    hand.app.handle(Key("x", False))
    assert place.letting_go == ["hold"]
    hand.app.handle(Key("x", True, text="x"))
    hand.app.go("start")
    assert place.letting_go == ["hold", "hold"]


def test_tab_reaches_every_control_and_comes_round(hand: Driver) -> None:
    place = _gallery(hand)
    reached = []
    for _ in range(40):
        hand.press("tab")
        assert place.focus is not None
        reached.append(place.focus.id)
    focusable = {c.id for c in [*place.controls, *hand.app.room.frame] if c.focusable and c.visible}
    assert set(reached) == focusable
    hand.press("shift+tab")
    assert place.focus is not None
    assert place.focus.id == reached[-2]


def test_the_focus_is_seen(hand: Driver) -> None:
    place = _gallery(hand)
    for control in place.controls:
        if not control.focusable:
            continue
        place.set_focus(None)
        hand.frame()
        without = pygame.image.tobytes(hand.surface, "RGB")
        place.set_focus(control)
        hand.frame()
        assert pygame.image.tobytes(hand.surface, "RGB") != without, control.id


def test_drawing_changes_nothing(hand: Driver) -> None:
    place = _gallery(hand)
    place.set_focus(place.ring)
    hand.app.draw(hand.surface)
    first = pygame.image.tobytes(hand.surface, "RGB")
    before = [(c.value, c.enabled, c.visible, c.rect.copy()) for c in place.controls]
    for _ in range(5):
        hand.app.draw(hand.surface)
    assert pygame.image.tobytes(hand.surface, "RGB") == first
    assert [(c.value, c.enabled, c.visible, c.rect.copy()) for c in place.controls] == before


def test_an_id_is_used_once(hand: Driver) -> None:
    place = _gallery(hand)
    with pytest.raises(ValueError, match="used once"):
        place.add(type(place.press)("press", "again", lambda: None))
