"""What suits one person is kept at once; faults are said and the room goes on; long work comes back in its order."""

from __future__ import annotations

import itertools
import logging
import threading
from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

from sim.refusals import Refused
from sim.window.hands.long_work import LongWork
from sim.window.preferences import Preferences, read_preferences, scale_by_desktop
from sim.window.standing.at_the_enlarger import AtTheEnlarger
from sim.window.things.fresh_box import FreshBox


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path)


def test_every_preference_is_kept_at_once(hands: Hands, tmp_path: Path) -> None:
    hands.press("f3")
    hands.frame()
    for row in ("scale", "sound", "motion", "beat"):
        hands.wheel(f"pref {row}", 1)
        hands.frame()
    kept, problem = read_preferences(tmp_path)
    assert problem == ""
    assert (kept.scale, kept.sound, kept.reduced_motion, kept.beat_s) == (1.25, True, False, 1.1)


def test_another_language_is_seen_at_once(hands: Hands) -> None:
    hands.press("f3")
    hands.frame()
    while hands.window.room.preferences.language != "en-XA":
        hands.wheel("pref language", 1)
        hands.frame()
    assert any("Éñļåŕĝéŕ" in label.words or "Éñ" in label.words for label in hands.frame().labels)


def test_a_preference_that_cannot_be_kept_is_said(hands: Hands, tmp_path: Path) -> None:
    (tmp_path / "preferences.json").mkdir()
    hands.window.room.prefer(Preferences(sound=True))
    assert hands.said
    assert hands.window.room.preferences.sound, "it holds for now"


def test_the_counting_lamp_is_lit_for_the_first_part_of_every_beat(hands: Hands) -> None:
    hands.press("f4")
    seen = []
    for _ in range(40):
        hands.window.update(0.05)
        seen.append(hands.window.room.standing.beat_lit)
    changes = sum(one is not other for one, other in itertools.pairwise(seen))
    assert 3 <= changes <= 5, "two beats of a second: never three flashes a second"
    hands.press("f4")
    assert not hands.window.room.standing.beating


def test_an_error_in_a_place_is_said_once_and_the_room_goes_on(hands: Hands, monkeypatch: pytest.MonkeyPatch) -> None:
    records: list[logging.LogRecord] = []
    handler = logging.Handler()
    handler.emit = records.append  # type: ignore[method-assign]
    hands.window.room.log.addHandler(handler)

    def fails(place: AtTheEnlarger, canvas: object) -> None:
        raise RuntimeError("the bulb is gone")

    monkeypatch.setattr(AtTheEnlarger, "draw", fails)
    hands.frame(times=3)
    canvas = hands.frame()
    assert any("the bulb is gone" in label.words for label in canvas.labels)
    assert len([one for one in records if one.levelno == logging.ERROR]) == 1
    hands.press("alt+4")
    assert hands.place == "wall"


@pytest.mark.parametrize("fault", [ValueError("operands do not fit"), IndexError("out of range"), KeyError("x")])
def test_a_fault_of_the_program_is_said_to_be_one_and_logged_a_refusal_is_not(hands: Hands, fault: Exception) -> None:
    room, logged = hands.window.room, list[logging.LogRecord]()
    handler = logging.Handler()
    handler.emit = logged.append  # type: ignore[method-assign]
    room.log.addHandler(handler)

    def act(error: Exception) -> None:
        raise error

    assert not room.guarded(lambda: act(Refused("time_s must be above 0 s, got -1")))
    assert hands.said == "Time_s must be above 0 s, got -1."
    assert not [one for one in logged if one.levelno == logging.ERROR]
    assert not room.guarded(lambda: act(fault))
    assert hands.said == room.line("fault", kind=type(fault).__name__, what=fault)
    assert len([one for one in logged if one.levelno == logging.ERROR]) == 1


def test_words_from_outside_are_one_line_and_not_endless(hands: Hands) -> None:
    hands.window.room.say_words("a\nb\x07c " + "x" * 2000)
    assert "\n" not in hands.said
    assert len(hands.said) <= 400


def test_long_work_is_done_beside_the_window_and_comes_back_in_order(hands: Hands) -> None:
    work, gate, came = LongWork(), threading.Event(), list[str]()
    work.begin("first", lambda: (gate.wait(5.0) and "one") or "", came.append)
    work.begin("second", lambda: "two", came.append)
    assert work.words == ["first", "second"]
    assert work.finished() is None
    gate.set()
    work.close()
    while (follow := work.finished()) is not None:
        follow()
    assert came == ["one", "two"]
    assert not work.busy


def test_what_long_work_refuses_is_said(hands: Hands) -> None:
    def refuses() -> None:
        raise Refused("the disk must have room for it, got none")

    hands.window.room.later(refuses, lambda made: None)
    hands.frame()
    assert hands.said == "The disk must have room for it, got none."


def test_the_scale_follows_the_desktop() -> None:
    assert scale_by_desktop((1280, 800)) == 1.0
    assert scale_by_desktop((3840, 2160)) == 2.25


def test_an_evening_begins_with_the_box_one_wants(tmp_path: Path) -> None:
    hands = in_room(tmp_path, evening=False)
    hands.press("b")
    hands.frame()
    hands.wheel("box paper", 1)
    hands.wheel("box sheets", -12)
    hands.wheel("box minutes", -7)
    hands.touch("new evening")
    hands.frame()
    opening = hands.window.room.darkroom.evening.state.opening
    assert (opening.sheets, opening.minutes) == (8, 75.0)
    assert opening.paper != "glossy-rc-vc"
    assert hands.place == "enlarger"
    assert hands.window.over is None


def test_a_box_is_held_within_what_a_box_may_be(tmp_path: Path) -> None:
    hands = in_room(tmp_path, evening=False)
    hands.press("b")
    hands.frame()
    box = hands.window.over
    assert isinstance(box, FreshBox)
    for sheets, minutes, kept in ((0, 14, (1, 15)), (1, 15, (1, 15)), (100, 600, (100, 600)), (101, 601, (100, 600))):
        box._count(sheets)
        box._last(minutes)
        assert (box.sheets, box.minutes) == kept
