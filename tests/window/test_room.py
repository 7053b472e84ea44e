"""The room keeps going: errors become words, long work comes back in order, preferences survive, nothing is forgotten."""

from __future__ import annotations

import json
import re
import threading
from dataclasses import replace
from pathlib import Path

import pytest
from driving import Driver, open_room
from layouts import faults

from sim.window.kit.events import Outcome, said
from sim.window.preferences import FILE_NAME, Preferences, read_preferences, scale_by_desktop, write_preferences


def test_an_error_in_a_place_is_said_and_the_room_goes_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    hand = open_room(tmp_path)
    screen = hand.app.screen

    def broken(*_: object) -> Outcome:
        raise ZeroDivisionError("a bulb broke")

    monkeypatch.setattr(screen, "act", broken)
    hand.press("n")
    assert "a bulb broke" in hand.said()
    monkeypatch.setattr(screen, "update", broken)
    monkeypatch.setattr(screen, "draw", broken)
    hand.frame()
    monkeypatch.undo()
    hand.press("l")
    assert hand.app.place == "lessons"


def test_a_refusal_is_said_in_its_own_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    hand = open_room(tmp_path)

    def refused(*_: object) -> Outcome:
        raise ValueError("time_s must be between 0.1 and 600, got -3")

    monkeypatch.setattr(hand.app.screen, "act", refused)
    hand.press("n")
    assert hand.said() == "time_s must be between 0.1 and 600, got -3"
    assert hand.app.room.messages.last is not None
    assert hand.app.room.messages.last.warn


def test_words_from_outside_are_one_line_and_not_endless(tmp_path: Path) -> None:
    hand = open_room(tmp_path)
    hand.app.room.messages.say("a\nb\x1b[31m\u202e" + "x" * 5000)
    assert "\n" not in hand.said()
    assert "\x1b" not in hand.said()
    assert len(hand.said()) <= 400
    hand.frame()


def test_long_work_is_done_beside_the_window_and_comes_back_in_order(tmp_path: Path) -> None:
    hand = open_room(tmp_path)
    room = hand.app.room
    room.at_once = False
    gate, seen = threading.Event(), []
    room.later(lambda: gate.wait(10), lambda result: seen.append(("first", result)), "The first …")
    room.later(lambda: 2, lambda result: seen.append(("second", result)))

    def broken() -> None:
        raise OSError("the disk is full")

    room.later(broken, lambda _: seen.append("never"))
    hand.frame()
    assert room.busy
    assert room.busy_words == "The first …"
    assert seen == []
    gate.set()
    for _ in range(500):
        hand.frame()
        if not room.busy:
            break
        threading.Event().wait(0.01)
    assert seen == [("first", True), ("second", 2)]
    assert "the disk is full" in hand.said()
    hand.app.close()
    assert room.work.worker is not None
    assert not room.work.worker.is_alive()


def test_preferences_survive_and_a_bad_file_gives_the_usual_ones(tmp_path: Path) -> None:
    chosen = Preferences(1.5, "en", True, True, 0.7, "wall", "42", (("beat", ("f9",)),))
    assert write_preferences(tmp_path, chosen) == ""
    assert read_preferences(tmp_path) == (chosen, "")
    for bad in ("{", '{"format": 1, "scale": 99}', '{"format": 1, "sale": 1}', "[]", "\x00", '{"format":1,"beat_s":0.01}'):
        (tmp_path / FILE_NAME).write_text(bad, encoding="utf-8")
        found, problem = read_preferences(tmp_path)
        assert found == Preferences()
        assert FILE_NAME in problem


def test_a_preference_that_cannot_be_kept_is_said(tmp_path: Path) -> None:
    hand = open_room(tmp_path)
    (tmp_path / FILE_NAME).mkdir()
    hand.app.prefer(replace(hand.app.room.preferences, reduced_motion=True))
    assert "cannot be written" in hand.said()
    assert hand.app.room.reduced_motion


def test_every_preference_is_kept_at_once(tmp_path: Path) -> None:
    hand = open_room(tmp_path)
    hand.go("preferences")
    for name in ("reduced-motion", "sound", "scale:1.5", "beat:more"):
        hand.click(name)
    kept = json.loads((tmp_path / FILE_NAME).read_text(encoding="utf-8"))
    assert (kept["reduced_motion"], kept["sound"], kept["scale"], kept["beat_s"]) == (True, True, 1.5, 1.1)


def test_another_language_is_seen_at_once(tmp_path: Path) -> None:
    hand = open_room(tmp_path)
    hand.app.prefer(replace(hand.app.room.preferences, language="en-XA"))
    assert any("Éñlårgér" in label.words for label in hand.frame().labels)


def test_the_place_is_remembered_and_the_evening_carried_on(tmp_path: Path) -> None:
    hand = open_room(tmp_path, evening=True)
    hand.go("notebook")
    sheets = hand.app.room.darkroom.sheets_left
    hand.app.close()
    kept, _ = read_preferences(tmp_path)
    again = open_room(tmp_path, place=kept.place)
    again.click("carry-on")
    again.frame()
    assert again.app.place == "notebook"
    assert again.app.room.darkroom.sheets_left == sheets


def test_a_lesson_is_carried_on_where_it_was(tmp_path: Path) -> None:
    hand = open_room(tmp_path)
    hand.go("lessons")
    hand.click("begin")
    hand.click("go-on")
    hand.click("answers:step-3")
    hand.click("go-on")
    stage = hand.app.room.lesson.stage
    hand.app.close()
    again = open_room(tmp_path, place="lessons")
    again.click("carry-on")
    assert again.app.room.lesson is not None
    assert (stage, again.app.room.lesson.stage) == ("make", "make")
    again.go("lessons")
    again.click("to-shelf")
    assert "Carry on" in {label.words for label in again.frame().labels}


def test_the_beat_blinks_less_than_three_times_a_second(tmp_path: Path) -> None:
    hand = open_room(tmp_path, beat_s=0.5)
    hand.press("f4")
    lit, before, flashes = 0, False, 0
    for _ in range(600):
        hand.app.update(1 / 60)
        now = hand.app.room.beat.lit
        flashes += now and not before
        lit += now
        before = now
    assert 18 <= flashes <= 21
    assert flashes / 10 < 3
    assert lit > 0


def test_the_beat_ticks_without_a_loudspeaker(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import pygame

    def silent(*_: object) -> None:
        raise pygame.error("no audio device")

    monkeypatch.setattr(pygame.mixer, "init", silent)
    hand: Driver = open_room(tmp_path, sound=True)
    hand.press("f4")
    hand.frame(0.2, times=30)
    assert hand.app.room.beat.count > 3


def test_a_pause_of_the_machine_does_not_let_time_jump(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    hand = open_room(tmp_path)
    seen: list[float] = []
    monkeypatch.setattr(hand.app.screen, "update", lambda dt_s: seen.append(dt_s) or said(""))
    for dt_s in (0.01, 100.0, -5.0):
        hand.app.update(dt_s)
    assert seen == [0.01, 0.25, 0.0]


def test_the_scale_follows_the_desktop() -> None:
    assert [scale_by_desktop(d) for d in ((1280, 800), (1920, 1080), (2560, 1440), (3840, 2160))] == [1.0, 1.0, 1.5, 2.25]


def _told(hand: Driver) -> str:
    canvas = hand.frame()
    assert faults(canvas) == []
    return " ".join(label.words for label in canvas.labels)


@pytest.mark.parametrize("language", ["en", "en-XA"])
def test_a_scale_the_window_has_no_room_for_is_said(tmp_path: Path, language: str) -> None:
    import pygame

    hand = open_room(tmp_path, (1024, 700), 1.0, language)
    hand.go("preferences")
    assert hand.app.screen.held_down.text == ""
    hand.click("scale:1.5")
    assert hand.app.room.look.scale == 1.0
    assert {"150%", "100%"} <= set(re.findall(r"[0-9]+%", hand.app.screen.held_down.text))
    assert hand.app.screen.held_down.text.split()[0] in _told(hand)
    hand.app.resize((1900, 1100))
    hand.surface = pygame.Surface((1900, 1100))
    assert hand.app.room.look.scale == 1.5
    assert hand.app.screen.held_down.text == ""
    hand.app.resize((700, 500))
    assert "1024" in hand.app.screen.held_down.text
