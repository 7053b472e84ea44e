"""Everything is reached by key, every key is listed and can be changed, and every control has a help text."""

from __future__ import annotations

from pathlib import Path

import pytest
from driving import Driver, NotListed, open_room

from sim.window.chosen_keys import Keys, shown_chord
from sim.window.help import HelpCard, key_rows, listed_chords
from sim.window.keys_of_every_place import NOT_FREE, ROOM_ACTIONS
from sim.window.kit.action import Action
from sim.window.preferences import read_preferences
from sim.window.stations import PLACES


@pytest.fixture
def hand(tmp_path: Path) -> Driver:
    return open_room(tmp_path, evening=True)


def _everywhere(hand: Driver) -> list[str]:
    return ["start", "preferences", "drills", *(name for name, _ in PLACES)]


def test_every_control_has_a_help_text_of_its_own(hand: Driver) -> None:
    for place in _everywhere(hand):
        hand.go(place)
        screen = hand.app.screen
        for control in [*screen.controls, *hand.app.room.frame]:
            if control.focusable:
                assert len(screen.help_for(control)) >= 15, f"{place}: {control.id} ({control.help_key})"
        assert screen.HELP.get("place") or place not in ("start", "lessons", "preferences")


def test_help_explains_what_is_under_the_pointer_before_what_has_the_focus(hand: Driver) -> None:
    hand.go("preferences")
    screen = hand.app.screen
    screen.set_focus(screen.find("sound"))
    hand.press("f1")
    assert isinstance(hand.app.over, HelpCard)
    assert hand.app.over.title == "Tick at every beat"
    hand.press("escape")
    assert hand.app.over is None
    hand.app.pointer_at = screen.find("beat").rect.center
    hand.press("f1")
    assert isinstance(hand.app.over, HelpCard)
    assert hand.app.over.title == "Length of a beat"
    assert "1.0 s" in hand.app.over.state
    hand.press("a")
    assert hand.app.over is None


def test_help_says_why_something_is_locked(tmp_path: Path) -> None:
    hand = open_room(tmp_path)
    hand.app.pointer_at = hand.app.screen.find("carry-on").rect.center
    hand.press("f1")
    assert isinstance(hand.app.over, HelpCard)
    assert "there is no evening yet" in hand.app.over.state


def test_the_key_list_shows_every_action_and_every_key_works_as_listed(hand: Driver) -> None:
    for place in _everywhere(hand):
        hand.go(place)
        screen = hand.app.screen
        shown = " ".join(keys for _, rows in key_rows(hand.app.room, screen) for keys, _ in rows)
        for action in (*screen.ACTIONS, *ROOM_ACTIONS):
            for chord in hand.app.room.keys.of(action):
                assert shown_chord(chord) in shown
                assert chord in listed_chords(hand.app.room, screen)


def test_the_whole_key_list_is_drawn_page_by_page(hand: Driver) -> None:
    for place in _everywhere(hand):
        hand.go(place)
        drawn: set[str] = set()
        hand.press("f2")
        for _ in range(5):
            drawn |= {label.words for label in hand.frame().labels if label.layer == "over"}
            hand.press("right")
        hand.press("escape")
        for _, rows in key_rows(hand.app.room, hand.app.screen):
            for keys, _ in rows:
                assert keys in drawn, f"{place}: {keys}"


def test_no_key_does_two_things_at_one_place(hand: Driver) -> None:
    for place in _everywhere(hand):
        hand.go(place)
        chords = [c for a in (*hand.app.screen.ACTIONS, *ROOM_ACTIONS) for c in hand.app.room.keys.of(a)]
        assert len(chords) == len(set(chords)), f"{place}: {sorted(c for c in chords if chords.count(c) > 1)}"


def test_the_driver_refuses_keys_that_are_not_listed(hand: Driver) -> None:
    with pytest.raises(NotListed):
        hand.press("ctrl+alt+z", only_listed=True)
    hand.press("f2", only_listed=True)


def test_places_are_walked_by_key(hand: Driver) -> None:
    hand.go("enlarger")
    seen = []
    for _ in PLACES:
        hand.press("page down")
        seen.append(hand.app.place)
    assert set(seen) == {name for name, _ in PLACES}
    for number, (name, _) in enumerate(PLACES, 1):
        hand.press(f"ctrl+{number}")
        assert hand.app.place == name
    hand.press("f3")
    assert hand.app.place == "preferences"
    hand.press("escape")
    assert hand.app.place == PLACES[-1][0]


def test_a_place_that_is_closed_says_why(tmp_path: Path) -> None:
    hand = open_room(tmp_path)
    hand.press("ctrl+3")
    assert hand.app.place == "start"
    assert "no evening is open yet" in hand.said()


def test_a_key_of_ones_own_is_kept_and_works(hand: Driver, tmp_path: Path) -> None:
    hand.go("preferences")
    screen = hand.app.screen
    screen.find("keys").value = "beat"
    screen.set_focus(screen.find("keys"))
    hand.press("return")
    hand.press("f9")
    assert "F9" in hand.said()
    hand.press("f9")
    assert hand.app.room.beat.on
    hand.press("f4")
    assert hand.app.room.beat.on, "the old key does nothing any more"
    kept, problem = read_preferences(tmp_path)
    assert problem == ""
    assert dict(kept.keys)["beat"] == ("f9",)
    hand.click("forget-keys")
    hand.press("f4")
    assert not hand.app.room.beat.on


def test_every_action_of_every_place_can_be_given_another_key(hand: Driver) -> None:
    actions = {a.id for a in ROOM_ACTIONS}
    for place in _everywhere(hand):
        hand.go(place)
        actions |= {a.id for a in hand.app.screen.ACTIONS}
    hand.go("preferences")
    assert {row.key for row in hand.app.screen.find("keys").rows} == actions


def test_a_key_that_is_taken_or_needed_everywhere_is_refused(hand: Driver) -> None:
    hand.go("preferences")
    for chord in ("f1", "tab"):
        screen = hand.app.screen
        screen.find("keys").value = "beat"
        screen.set_focus(screen.find("keys"))
        hand.press("return")
        hand.press(chord)
        assert hand.app.room.messages.last is not None
        assert hand.app.room.messages.last.warn
        assert hand.app.room.keys.of(next(a for a in ROOM_ACTIONS if a.id == "beat")) == ("f4",)


def test_escape_leaves_a_key_as_it_is(hand: Driver) -> None:
    hand.go("preferences")
    screen = hand.app.screen
    screen.find("keys").value = "beat"
    screen.set_focus(screen.find("keys"))
    hand.press("return")
    hand.press("escape")
    assert hand.app.place == "preferences"
    assert "as it is" in hand.said()


def test_bindings_answer_the_chosen_key_only() -> None:
    action, other = Action("a", "do a", "x", "y"), Action("b", "do b", "z")
    keys = Keys({"a": ("q",)})
    assert keys.action_for("q", (action, other)) == "a"
    assert keys.action_for("x", (action, other)) == ""
    assert keys.clash(other, "q", (action, other)) == "do a"
    for chord in NOT_FREE:
        with pytest.raises(ValueError, match="must not be"):
            keys.choose(action, chord)


def test_chords_are_shown_as_they_stand_on_a_keyboard() -> None:
    assert [shown_chord(c) for c in ("ctrl+shift+z", "space", "[", "page down", "+", "ctrl++", "left")] == [
        "Ctrl + Shift + Z", "Space", "[", "Page Down", "+", "Ctrl + +", "←",
    ]  # fmt: skip
