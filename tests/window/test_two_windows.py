"""Two windows of one account: each evening is in one pair of hands, new ones are never shared, and it is said in words."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

from sim.bench.darkroom import LOG_NAME, Darkroom
from sim.evening.evening import Evening
from sim.refusals import Refusal, Refused
from sim.window import evenings
from sim.window.evenings import FOLDER, kept_evenings, new_evening
from sim.window.lesson_desk import begin_evening

LESSON = "time-from-a-strip"


def folder_of(hands: Hands) -> Path:
    return hands.window.room.darkroom.folder


def at_the_door(folder: Path) -> Hands:
    return in_room(folder, evening=False)


def test_two_windows_never_share_a_new_evening(tmp_path: Path) -> None:
    one, two = in_room(tmp_path), in_room(tmp_path)
    assert [folder_of(hands).name for hands in (one, two)] == ["0001", "0002"]
    for hands in (one, two):
        hands.window.room.darkroom.note("mine")
        hands.window.close()
    assert [Evening.look(folder / LOG_NAME).state.notes for folder in kept_evenings(tmp_path)] == [("mine",), ("mine",)]


def test_forty_hands_that_reach_for_a_new_evening_get_forty(tmp_path: Path) -> None:
    given: list[Path] = []
    start = threading.Barrier(40)

    def reach() -> None:
        start.wait()
        given.append(new_evening(tmp_path))

    hands = [threading.Thread(target=reach) for _ in range(40)]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()
    assert sorted(folder.name for folder in given) == [f"{k:04d}" for k in range(1, 41)]
    assert kept_evenings(tmp_path) == [], "without a log it is no evening yet"


def test_an_evening_open_in_another_window_is_looked_at_and_taken_up_once_it_is_free(tmp_path: Path) -> None:
    one, two = in_room(tmp_path), at_the_door(tmp_path)
    two.touch("carry on")
    assert "is open elsewhere (close it there first; until then it can be looked at, not changed)" in two.said
    assert two.place == "enlarger"
    looked = two.window.room.darkroom
    two.press("s")
    assert "othing can be changed here: it is open elsewhere" in two.said
    for key in ("alt+3", "alt+4", "f2", "escape", "alt+2"):
        two.press(key)
        two.frame(times=3)
    assert two.window.room.darkroom is looked
    one.window.close()
    two.press("alt+1")
    two.frame()
    two.touch(f"evening {folder_of(two).name}")
    two.window.close()
    again = at_the_door(tmp_path)
    again.press("c")
    again.frame()
    assert again.window.room.darkroom.evening.hands_off == ""
    again.window.room.darkroom.note("mine now")
    again.window.close()


def test_a_sheet_in_somebody_elses_developer_is_not_rocked_here(tmp_path: Path) -> None:
    one = in_room(tmp_path)
    one.press("s")
    one.window.room.darkroom.paper.expose(5.0)
    one.window.room.darkroom.tray.put_in()
    two = at_the_door(tmp_path)
    two.press("c")
    two.frame()
    two.press("alt+3")
    said = len(two.window.room.messages.said)
    two.frame(0.2, times=20)
    assert two.window.room.darkroom.tray.seconds == 0.0
    assert len(two.window.room.messages.said) - said <= 1, "said once, not at every frame"
    one.window.close()


def test_a_new_evening_lets_others_have_the_one_before(tmp_path: Path) -> None:
    hands = in_room(tmp_path)
    first = folder_of(hands)
    hands.press("alt+1")
    hands.press("n")
    hands.frame()
    assert folder_of(hands) != first
    with Evening.open(first / LOG_NAME) as evening:
        evening.note("somebody else's")
    hands.window.close()


def test_a_lesson_open_in_another_window_is_looked_at(tmp_path: Path) -> None:
    one, two = at_the_door(tmp_path), at_the_door(tmp_path)
    for hands in (one, two):
        hands.window.open_exercise(LESSON)
        hands.frame()
    assert folder_of(one) == folder_of(two)
    assert "is open elsewhere" in " ".join(message.words for message in two.window.room.messages.said)
    mine, theirs = one.window.room.lesson, two.window.room.lesson
    assert mine is not None
    assert theirs is not None
    with pytest.raises(Refused, match="open elsewhere"):
        theirs.predict("step-3")
    mine.predict("step-3")
    one.window.close()


def test_a_note_for_another_evening_is_written_or_refused_in_words(tmp_path: Path) -> None:
    earlier = in_room(tmp_path)
    room = earlier.window.room.darkroom
    room.desk.set("focus_light", False)
    room.paper.take("sheet")
    room.paper.expose(5.0)
    room.tray.put_in()
    room.tray.finish()
    room.tray.clear()
    hands = in_room(tmp_path)
    hands.press("f2")
    hands.frame()
    hands.touch("whose")
    hands.frame(times=4)
    hands.touch("note")
    hands.write("too dark")
    hands.press("return")
    assert "is open elsewhere" in hands.said
    earlier.window.close()
    hands.press("return")  # what was written is still on the line
    assert Evening.look(room.folder / LOG_NAME).state.notes == ("sheet 1: too dark",)
    hands.window.close()


def test_an_evening_that_is_refused_leaves_no_folder(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match="sheets: must be greater"):
        begin_evening(tmp_path, sheets=0)
    assert list((tmp_path / FOLDER).iterdir()) == []


def test_a_full_shelf_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(evenings, "MOST", 2)
    for _ in range(2):
        new_evening(tmp_path)
    with pytest.raises(Refused, match="evenings must be at most 2, got one more"):
        new_evening(tmp_path)


def test_an_evening_that_cannot_be_written_is_looked_at_and_it_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import errno
    import os

    in_room(tmp_path).window.close()
    log = kept_evenings(tmp_path)[0] / LOG_NAME
    with open(log, "ab") as handle:
        handle.write(b'{"half')
    hands = at_the_door(tmp_path)

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    hands.press("c")
    hands.frame()
    assert "No space left on device" in " ".join(message.words for message in hands.window.room.messages.said)
    assert isinstance(hands.window.room.darkroom, Darkroom)
    assert "No space left on device" in hands.window.room.darkroom.evening.hands_off
    hands.window.close()
