"""The drill place: ten items by keyboard alone, marked with cause and direction, kept; and what is recalled today."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pygame
import pytest
from driving import Driver, open_room
from layouts import faults

from sim.scoring.syllabus import read_syllabus
from sim.teaching.drills import DRILLS
from sim.teaching.progress import Progress, Recalled, read_progress, write_progress
from sim.window.drill_words import ABOUT

LAYOUTS = [((1024, 700), 1.0, "en"), ((1024, 700), 1.0, "en-XA"), ((1600, 1000), 1.5, "en"), ((1600, 1000), 1.5, "en-XA")]


def _at_drills(folder: Path, **more: object) -> Driver:
    driver = open_room(folder, **more)  # type: ignore[arg-type]
    driver.app.room.today = 20_000
    driver.press("l", only_listed=True)
    driver.frame()
    driver.press("d", only_listed=True)
    driver.frame()
    assert driver.app.place == "drills"
    return driver


def _chosen(driver: Driver, drill: str) -> Any:
    driver.app.screen.drills.value = drill
    driver.press("return", only_listed=True)
    driver.frame()
    assert driver.app.screen.item is not None, driver.said()
    return driver.app.screen


def _keys_for(item: Any, off_stops: float = 0.0) -> list[str]:
    """Return the keys that answer an item, numbers off by some stops."""
    keys: list[str] = []
    if item.answer_s is not None:
        keys += [*f"{item.answer_s * 2.0**off_stops:.1f}"]
    if item.answer_stops is not None:
        keys += [*f"{max(0.0, item.answer_stops + off_stops):.2f}"]
    if item.answer_s is not None or item.answer_stops is not None:
        keys.append("return")
    if item.answer_choice:
        options = [choice.key for choice in item.choices]
        wanted = options.index(item.answer_choice) if not off_stops else int(np.argmax(item.off))
        keys += ["home", *["right"] * wanted, "return"]
    if item.answer_filter is not None:
        names = ("00", "0", "0.5", "1", "1.5", "2", "2.5", "3", "3.5", "4", "4.5", "5")
        keys += [*(["tab"] if keys else []), "home", *["right"] * names.index(item.answer_filter), "return"]
    return keys


def _answer(driver: Driver, off_stops: float = 0.0) -> None:
    for key in _keys_for(driver.app.screen.item, off_stops):
        driver.press(key)
    driver.frame()


def test_the_shelf_leads_to_all_drills_of_the_syllabus(tmp_path: Path) -> None:
    driver = _at_drills(tmp_path)
    shown = [row.key for row in driver.app.screen.drills.rows]
    assert shown == [entry.slug for entry in read_syllabus().drills]
    assert set(shown) == set(DRILLS) == {name for name, _ in ABOUT}
    driver.press("s", only_listed=True)
    assert driver.app.place == "lessons"
    driver.frame()
    driver.click("drills")
    assert driver.app.place == "drills"


@pytest.mark.parametrize("drill", list(DRILLS))
def test_an_item_is_answered_by_keyboard_and_marked(tmp_path: Path, drill: str) -> None:
    driver = _at_drills(tmp_path)
    screen = _chosen(driver, drill)
    item = screen.item
    assert screen.picture is not None
    _answer(driver)
    assert screen.state == "marked", driver.said()
    assert screen.marked.right, screen.marked.words
    words = " ".join(label.words for label in driver.frame().labels)
    assert "Near enough." in words
    assert faults(driver.frame()) == []
    driver.press("return")
    driver.frame()
    assert screen.state == "item"
    assert screen.item is not item
    if item.answer_filter is None:
        _answer(driver, off_stops=2.0)
        assert not screen.marked.right
        assert ("Not so" if item.choices else "too") in screen.marked.words
        assert screen.item.reason[1:] in screen.marked.words


def test_ten_items_and_the_score_are_kept(tmp_path: Path) -> None:
    driver = _at_drills(tmp_path, learner="k-1")
    screen = _chosen(driver, "say-the-burn")
    for number in range(10):
        assert (screen.state, len(screen.round.answers)) == ("item", number)
        _answer(driver, off_stops=2.0 if number in (3, 7) else 0.0)
        kept = read_progress(tmp_path, "k-1").drills["say-the-burn"]
        assert len(kept) == 1, "one round, written anew with every answer"
        assert len(kept[0].errors) == number + 1
        driver.press("return")
        driver.frame()
    assert screen.state == "end"
    words = " ".join(label.words for label in driver.frame().labels)
    assert "8 of 10 right." in words
    assert "Farthest off was item" in words
    assert faults(driver.frame()) == []
    driver.press("return")
    driver.frame()
    assert screen.state == "item"
    assert len(screen.round.answers) == 0
    _answer(driver)
    rounds = read_progress(tmp_path, "k-1").drills["say-the-burn"]
    assert [len(one.errors) for one in rounds] == [10, 1]
    assert (rounds[0].right, rounds[0].day) == (8, 20_000)


def test_nothing_is_said_before_something_is_chosen(tmp_path: Path) -> None:
    driver = _at_drills(tmp_path)
    screen = _chosen(driver, "new-aperture-new-seconds")
    driver.press("return")
    assert "Choose an answer first" in driver.said()
    for key in ("9", "9", "9", "9", "9", "return"):
        driver.press(key)
    assert "outside" in driver.said()
    driver.press("return")
    assert "Choose an answer first" in driver.said()
    for key in ("1", "0", "return"):  # the number that stands there counts once it was typed
        driver.press(key)
    assert screen.state == "marked"


def test_a_round_can_be_left_and_a_round_under_way_stays(tmp_path: Path) -> None:
    driver = _at_drills(tmp_path)
    screen = _chosen(driver, "say-the-burn")
    _answer(driver)
    driver.press("ctrl+5")
    driver.frame()
    driver.press("d")
    driver.frame()
    assert driver.app.screen is screen
    assert screen.state == "marked"
    driver.click("leave-round")
    assert screen.state == "end"
    assert "1 of 1 right." in " ".join(label.words for label in driver.frame().labels)
    driver.press("s")
    assert screen.state == "list"
    assert screen.drills.rows[6].note == "1 of 1"


def test_prints_are_shown_in_neutral_tones(tmp_path: Path) -> None:
    driver = _at_drills(tmp_path)
    screen = _chosen(driver, "read-the-strip")
    driver.frame()
    rect = screen.left_plate
    pixels = pygame.surfarray.array3d(driver.surface)[rect.x : rect.right, rect.y : rect.bottom].astype(int)
    assert np.abs(pixels[..., 0] - pixels[..., 2]).max() <= 4  # the mat's own grey; the print has no tint at all
    middle = pixels[rect.w // 4 : rect.w * 3 // 4, rect.h // 2 - 10 : rect.h // 2 + 10]
    assert np.ptp(middle[..., 1]) > 40, "steps of a strip differ"


def _returning(folder: Path, learner: str = "") -> None:
    met = {"time-from-strip": ["a"], "burn-in": ["a"], "filter-from-range": ["a"], "hold-back": ["a"]}
    recalled = {skill: Recalled(day=19_000 + n, in_a_row=0) for n, skill in enumerate(met)}
    write_progress(folder, Progress(learner=learner, met=met, recalled=recalled))


def test_a_returning_learner_is_offered_three_items(tmp_path: Path) -> None:
    _returning(tmp_path)
    driver = open_room(tmp_path)
    driver.app.room.today = 20_000
    driver.go("lessons")
    words = " ".join(label.words for label in driver.frame().labels)
    assert "Recall first: 3 items" in words
    assert "time from strip, burn in, filter from range" in words
    driver.press("r", only_listed=True)
    driver.frame()
    screen = driver.app.screen
    assert driver.app.place == "drills"
    for number, skill in enumerate(("time-from-strip", "burn-in", "filter-from-range")):
        assert f"Recall: {skill.replace('-', ' ')}" in {label.words for label in driver.frame().labels}
        if number == 1:
            _answer(driver, off_stops=2.0)
        else:
            _answer(driver)
        driver.press("return")
        driver.frame()
    assert screen.state == "end"
    assert "2 of 3 right." in " ".join(label.words for label in driver.frame().labels)
    kept = read_progress(tmp_path).recalled
    assert (kept["time-from-strip"].in_a_row, kept["burn-in"].in_a_row, kept["burn-in"].day) == (1, 0, 20_000)
    assert kept["hold-back"].day == 19_003, "the fourth waits for another day"
    driver.press("s")
    driver.press("s")
    words = " ".join(label.words for label in driver.frame().labels)
    assert "Recall first: 1 item" in words


def test_a_new_learner_is_asked_nothing(tmp_path: Path) -> None:
    driver = open_room(tmp_path)
    driver.app.room.today = 20_000
    driver.go("lessons")
    assert not driver.app.screen.find("recall").visible
    driver.press("r")
    assert "Nothing is due" in driver.said()
    assert driver.app.place == "lessons"


@pytest.mark.parametrize(("size", "scale", "language"), LAYOUTS)
def test_every_state_fits(tmp_path: Path, size: tuple[int, int], scale: float, language: str) -> None:
    _returning(tmp_path)
    driver = open_room(tmp_path, size, scale, language)
    driver.app.room.today = 20_000
    driver.go("lessons")
    assert faults(driver.frame()) == []
    driver.click("drills")
    assert faults(driver.frame()) == []
    for drill in DRILLS:
        screen = _chosen(driver, drill)
        assert faults(driver.frame()) == [], drill
        _answer(driver, off_stops=1.5)
        assert screen.state == "marked"
        assert faults(driver.frame()) == [], drill
        driver.press("s")
        assert screen.state == "end"
        assert faults(driver.frame()) == [], drill
        driver.press("s")


def test_the_window_stays_awake_while_an_item_is_made(tmp_path: Path) -> None:
    import threading

    driver = _at_drills(tmp_path)
    driver.app.room.at_once = False
    driver.press("return")
    screen = driver.app.screen
    assert (screen.state, screen.item) == ("item", None)
    assert faults(driver.frame()) == []
    driver.press("ctrl+5")
    assert driver.app.place == "lessons"
    for _ in range(1500):
        driver.frame()
        if not driver.app.room.busy:
            break
        threading.Event().wait(0.01)
    driver.press("d")
    driver.frame()
    assert driver.app.screen.item is not None
