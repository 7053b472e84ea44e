"""Keys and help: every key that is listed does something, a key of one's own is kept, and help says what a thing is for."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

from sim.refusals import Refused
from sim.window.kit.events import Key
from sim.window.preferences import read_preferences
from sim.window.standing.keys import KEY_WORDS, ROOM_KEY_WORDS, changeable, shown_chord, shown_keys, usual_key, with_key
from sim.window.things.help import HelpSheet
from sim.window.things.preferences import KeysSheet


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path)


def _used(hands: Hands, chord: str) -> bool:
    *held, name = chord.split("+") if chord != "+" else ["+"]
    return hands.window.room_key(Key(name, True, "shift" in held, "ctrl" in held, "alt" in held))


@pytest.mark.parametrize("place", KEY_WORDS)
def test_every_key_of_a_place_that_is_listed_does_something(tmp_path: Path, place: str) -> None:
    hands = in_room(tmp_path)
    hands.press(f"alt+{('shelf', 'enlarger', 'trays', 'wall').index(place) + 1}")
    for chords, words in KEY_WORDS[place]:
        for chord in chords.split(" "):
            if chord not in ("space", "shift+space"):  # the foot
                assert _used(hands, chord), f"{chord}: {words}"
                hands.window.close_over()


def test_every_key_of_the_room_that_is_listed_does_something(hands: Hands) -> None:
    in_a_lesson = {"i", "j", "u", "y"}  # tried with lessons
    for chords, words in ROOM_KEY_WORDS:
        for chord in chords.split(" "):
            if chord not in ("tab", "shift+tab", "return", "up", "down", *in_a_lesson):  # the dispatcher's own
                assert _used(hands, chord), f"{chord}: {words}"
                hands.window.close_over()
    assert hands.window.leaving


def test_no_key_does_two_things_at_one_place() -> None:
    for place, lines in KEY_WORDS.items():
        every = [chord for chords, _ in (*lines, *ROOM_KEY_WORDS) for chord in chords.split(" ")]
        twice = {chord for chord in every if every.count(chord) > 1} - {"return", "space"}
        assert twice == set(), place


def test_keys_are_shown_as_they_stand_on_a_keyboard() -> None:
    assert shown_chord("ctrl+shift+z") == "Ctrl + Shift + Z"
    assert shown_chord("pagedown") == "Page ↓"
    assert shown_chord("+") == "+"
    assert shown_keys("enlarger", "1 2 3 4 5 6 7 8 9", {}) == "1  …  9"
    assert shown_keys("enlarger", "s", {"enlarger s": ("j",)}) == "J"


def test_a_key_of_ones_own_is_given_kept_and_works(hands: Hands, tmp_path: Path) -> None:
    hands.press("f3")
    hands.frame()
    hands.touch("keys")
    over = hands.window.over
    assert isinstance(over, KeysSheet)
    row = next(row for row in over.rows if row.id == "key enlarger s")
    hands.window.hands.put_focus(row)
    hands.press("return")
    assert row.waits
    hands.press("q")
    assert not row.waits
    kept, _ = read_preferences(tmp_path)
    assert dict(kept.keys) == {"enlarger s": ("q",)}
    hands.press("escape")
    hands.press("s")
    assert hands.window.room.darkroom.paper.piece is None, "the key it had does nothing now"
    hands.press("q")
    assert hands.window.room.darkroom.paper.piece is not None
    hands.press("f1")
    assert isinstance(hands.window.over, HelpSheet)
    assert ("Q", "Take a sheet, or put it back") in hands.window.over._keys


def test_escape_leaves_a_key_and_delete_gives_the_usual_one_back(hands: Hands) -> None:
    hands.window.room.prefer(hands.window.room.preferences.with_keys({"enlarger s": ("q",)}))
    sheet = KeysSheet(hands.window.room)
    row = next(row for row in sheet.rows if row.id == "key enlarger s")
    row.pressed()
    assert row.key(Key("escape"))
    assert hands.window.room.keys == {"enlarger s": ("q",)}
    row.pressed()
    assert row.key(Key("left shift"))
    assert row.waits, "a key that is only held is none yet"
    assert row.key(Key("delete"))
    assert hands.window.room.keys == {}


def test_a_key_that_is_taken_or_needed_everywhere_is_refused() -> None:
    with pytest.raises(Refused, match="does something already: Take a strip"):
        with_key("enlarger", "s", "t", {})
    with pytest.raises(Refused, match="does something already: Pull the cord"):
        with_key("enlarger", "s", "w", {})
    with pytest.raises(Refused, match="wanted everywhere"):
        with_key("enlarger", "s", "space", {})
    assert with_key("trays", "k", "t", {}) == {"trays k": ("t",)}, "what another place does with it is no matter"
    assert with_key("enlarger", "s", "t", {"enlarger t": ("y",)})["enlarger s"] == ("t",)


def test_every_line_of_one_key_may_be_another_and_is_led_back(hands: Hands) -> None:
    for place, usual, _ in changeable():
        chosen = {f"{place} {usual}": ("ctrl+shift+f9",)}
        at = "enlarger" if place == "room" else place
        led = usual_key(at, Key("f9", shift=True, control=True), chosen)
        assert led is not None
        assert led.chord == usual


def test_the_usual_keys_come_back(hands: Hands) -> None:
    hands.window.room.prefer(hands.window.room.preferences.with_keys({"room w": ("q",)}))
    hands.window.open_over(KeysSheet(hands.window.room))
    hands.frame()
    hands.touch("usual keys")
    assert hands.window.room.keys == {}


def test_help_is_told_after_half_a_second_and_not_before(hands: Hands) -> None:
    hands.point(hands.where("aperture").center)
    hands.window.update(0.45)
    assert hands.window.hands.told() is None
    hands.window.update(0.1)
    told = hands.window.hands.told()
    assert told is not None
    assert told.id == "aperture"
    canvas = hands.frame(0.0)
    assert any(label.words.startswith("Aperture") for label in canvas.labels)


def test_a_key_of_help_stays_where_it_is_only_until_it_is_closed(hands: Hands) -> None:
    hands.press("f1")
    assert hands.window.over is not None
    hands.press("alt+3")
    assert hands.place == "enlarger", "what lies under help is not walked through"
    hands.press("escape")
    assert hands.window.over is None
