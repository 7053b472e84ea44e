"""What another newcomer's diary named, done again by scripted hands: short fixing, the full wall, the second round."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands_in_room import Hands, in_room
from test_notebook_in_room import _sheet
from test_nothing_hides_the_prints import _strip

from sim.window.standing.at_the_wall import AtTheWall
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
