"""Two windows of one account: each evening is in one pair of hands, new ones are never shared, and it is said in words."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from driving import Driver, open_room

from sim.bench.darkroom import LOG_NAME, Darkroom
from sim.evening.evening import Evening
from sim.refusals import Refusal, Refused
from sim.window import evenings
from sim.window.evenings import FOLDER, kept_evenings, new_evening
from sim.window.lesson_desk import begin_evening

LESSON = "time-from-a-strip"


def folder_of(driver: Driver) -> Path:
    return Path(driver.app.room.darkroom.folder)


def test_two_windows_never_share_a_new_evening(tmp_path: Path) -> None:
    one, two = open_room(tmp_path, evening=True), open_room(tmp_path, evening=True)
    assert [folder_of(driver).name for driver in (one, two)] == ["0001", "0002"]
    for driver in (one, two):
        driver.app.room.darkroom.note("mine")
        driver.app.close()
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
    one = open_room(tmp_path, evening=True)
    two = open_room(tmp_path)
    two.click("carry-on")
    two.frame()
    assert "is open elsewhere (close it there first; until then it can be looked at, not changed)" in two.said()
    assert two.app.place == "enlarger"
    looked = two.app.room.darkroom
    outcome = two.app.room.guarded(lambda: looked.paper.take("sheet") and None)
    assert outcome.warn
    assert "nothing can be changed here: it is open elsewhere" in outcome.say
    for place in ("wet-bench", "wall", "notebook", "lessons", "enlarger"):
        two.go(place)
        two.frame(times=3)
    assert two.app.room.darkroom is looked
    one.app.close()
    two.go("start")
    two.click("carry-on")
    two.frame()
    assert two.app.room.darkroom.evening.hands_off == ""
    two.app.room.darkroom.note("mine now")
    two.app.close()


def test_a_sheet_in_somebody_elses_developer_is_not_rocked_here(tmp_path: Path) -> None:
    from evening_made import expose

    one = open_room(tmp_path, evening=True)
    expose(one)
    one.app.room.darkroom.tray.put_in()
    two = open_room(tmp_path)
    two.click("carry-on")
    two.frame()
    two.go("wet-bench")
    said = len(two.app.room.messages.said)
    two.frame(0.2, times=20)
    assert two.app.room.darkroom.tray.seconds == 0.0
    assert len(two.app.room.messages.said) == said
    one.app.close()


def test_a_new_evening_lets_others_have_the_one_before(tmp_path: Path) -> None:
    driver = open_room(tmp_path, evening=True)
    first = folder_of(driver)
    driver.go("start")
    driver.click("free-evening")
    driver.frame()
    assert folder_of(driver) != first
    with Evening.open(first / LOG_NAME) as evening:
        evening.note("somebody else's")
    driver.app.close()


def test_a_lesson_carried_on_in_its_own_window_is_not_open_elsewhere(tmp_path: Path) -> None:
    driver = open_room(tmp_path)
    driver.app.room.wanted_exercise = LESSON
    driver.go("lessons")
    driver.frame()
    folder = folder_of(driver)
    driver.app.room.wanted_exercise = LESSON
    driver.app.screen.entered()
    driver.frame()
    assert folder_of(driver) == folder
    assert driver.app.room.darkroom.evening.hands_off == ""
    driver.app.room.lesson.predict("step-3")
    driver.app.close()


def test_a_lesson_open_in_another_window_is_looked_at(tmp_path: Path) -> None:
    one, two = open_room(tmp_path), open_room(tmp_path)
    for driver in (one, two):
        driver.app.room.wanted_exercise = LESSON
        driver.go("lessons")
        driver.frame()
    assert folder_of(one) == folder_of(two)
    assert "is open elsewhere" in two.said()
    with pytest.raises(Refused, match="open elsewhere"):
        two.app.room.lesson.predict("step-3")
    one.app.room.lesson.predict("step-3")
    one.app.close()


def test_a_note_for_another_evening_is_written_or_refused_in_words(tmp_path: Path) -> None:
    from evening_made import sheet

    earlier = open_room(tmp_path, evening=True)
    sheet(earlier)
    driver = open_room(tmp_path, evening=True)
    driver.go("notebook")
    book = driver.app.screen
    book.evenings.value = str(folder_of(earlier))
    book._opened(book.evenings.value)
    book.refresh()
    outcome = driver.app.room.guarded(lambda: book._noted("too dark"))
    assert outcome.warn
    assert "is open elsewhere" in outcome.say
    earlier.app.close()
    assert not driver.app.room.guarded(lambda: book._noted("too dark")).warn
    assert book.dark.evening.state.notes == ("sheet 1: too dark",)
    with Evening.open(folder_of(earlier) / LOG_NAME) as evening:
        assert evening.state.notes == ("sheet 1: too dark",)
    driver.app.close()


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

    open_room(tmp_path, evening=True).app.close()
    log = kept_evenings(tmp_path)[0] / LOG_NAME
    with open(log, "ab") as handle:
        handle.write(b'{"half')
    driver = open_room(tmp_path)

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    driver.click("carry-on")
    driver.frame()
    assert "No space left on device" in " ".join(message.words for message in driver.app.room.messages.said)
    assert isinstance(driver.app.room.darkroom, Darkroom)
    assert "No space left on device" in driver.app.room.darkroom.evening.hands_off
    driver.app.close()
