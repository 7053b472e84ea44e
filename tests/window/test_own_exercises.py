"""An exercise from a folder of one's own, and a bundle of a course: opened, carried on, and whose it is."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from driving import Driver, open_room
from layouts import faults

from sim.evening.assignment import ASSIGNMENT_FILE, Assignment
from sim.marking.bundle import write_bundle
from sim.scoring.exercise_file import find_exercise

NEGATIVE = "morning-shelf~thursday"


@pytest.fixture
def bundle(tmp_path: Path) -> Path:
    source, exercise = find_exercise("time-from-a-strip")
    given = Assignment(
        "evening-course", exercise.name, "k-17", (NEGATIVE,), "2026-12-01 18:00 (UTC)", attempts=2, sheets=4
    )
    folder = tmp_path / "given" / "week-one"
    write_bundle(folder, source, exercise, given)
    return folder


def _opened(folder: Path, name: str, **more: object) -> Driver:
    driver = open_room(folder, **more)  # type: ignore[arg-type]
    driver.app.room.wanted_exercise = name
    driver.go("lessons")
    driver.frame()
    return driver


def _words(driver: Driver) -> str:
    canvas = driver.frame()
    assert faults(canvas) == []
    return " ".join(label.words for label in canvas.labels)


def test_a_bundle_is_its_learners_and_says_what_the_course_asks(tmp_path: Path, bundle: Path) -> None:
    driver = _opened(tmp_path / "kept", str(bundle), learner="somebody else")
    opening = driver.app.room.darkroom.evening.state.opening
    assert (opening.exercise, opening.learner, opening.attempt) == ("time-from-a-strip", "k-17", 1)
    assert tuple(opening.negatives) == (NEGATIVE,)
    words = _words(driver)
    for part in ("evening-course", "k-17", "2026-12-01 18:00 (UTC)", "attempt 1", "2 may be handed in"):
        assert part in words
    driver.click("go-on")
    assert "evening-course" not in _words(driver), "the task is read once; then it is the print that matters"


@pytest.mark.parametrize("language", ["en", "en-XA"])
def test_the_brief_of_a_bundle_fits_the_smallest_room(tmp_path: Path, bundle: Path, language: str) -> None:
    driver = _opened(tmp_path / "kept", str(bundle), size=(1024, 700), language=language)
    assert faults(driver.frame()) == []


def test_carrying_on_finds_a_bundle(tmp_path: Path, bundle: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(bundle.parent)
    first = _opened(tmp_path / "kept", "week-one")
    first.click("go-on")
    run = first.app.room.lesson
    choice = run.step.choices[0].key
    first.click(f"answers:{choice}")
    first.click("go-on")
    assert run.stage == "make"
    first.app.close()
    monkeypatch.chdir(tmp_path)
    again = open_room(tmp_path / "kept", place="lessons")
    again.click("carry-on")
    again.frame()
    room = again.app.room
    assert room.lesson is not None, again.said()
    assert room.lesson.folder.resolve() == bundle.resolve()
    assert (room.lesson.stage, room.lesson.evening.state.opening.learner) == ("make", "k-17")
    assert room.darkroom.evening is room.lesson.evening
    assert room.darkroom.desk.now.negative == NEGATIVE


def test_a_bundle_that_is_gone_is_said_in_words(tmp_path: Path, bundle: Path) -> None:
    first = _opened(tmp_path / "kept", str(bundle))
    first.app.close()
    shutil.rmtree(bundle)
    again = open_room(tmp_path / "kept")
    again.click("carry-on")
    assert again.app.room.lesson is None
    assert "week-one" in again.said()
    assert again.app.place == "start"


def test_the_shelf_and_a_bundle_of_the_same_exercise_are_kept_apart(tmp_path: Path, bundle: Path) -> None:
    first = _opened(tmp_path / "kept", str(bundle))
    first.click("to-shelf")
    first.app.screen.shelf.lessons.value = "time-from-a-strip"
    first.click("begin")
    opening = first.app.room.darkroom.evening.state.opening
    assert (opening.exercise, opening.learner, opening.attempt) == ("time-from-a-strip", "", 1)
    assert opening.negatives[0] != NEGATIVE
    again = _opened(tmp_path / "kept", str(bundle))
    assert again.app.room.darkroom.evening.state.opening.learner == "k-17"
    assert again.app.room.darkroom.folder.name == "0001", "the bundle's own evening goes on"


def test_a_bundle_with_a_bad_assignment_is_refused_and_leaves_nothing_behind(tmp_path: Path, bundle: Path) -> None:
    file = bundle / ASSIGNMENT_FILE
    file.write_text(file.read_text(encoding="utf-8").replace(NEGATIVE, "no-such-sleeve"), encoding="utf-8")
    driver = _opened(tmp_path / "kept", str(bundle))
    assert driver.app.room.lesson is None
    assert "no-such-sleeve" in driver.said()
    file.write_text("format = 2\n", encoding="utf-8")
    driver = _opened(tmp_path / "kept", str(bundle))
    assert ASSIGNMENT_FILE in driver.said()
    assert not any((tmp_path / "kept").glob("evenings/*/*"))


def test_an_exercise_of_ones_own_without_an_assignment_is_carried_on_too(tmp_path: Path) -> None:
    source, exercise = find_exercise("strip-in-stops")
    own = tmp_path / "my-own"
    shutil.copytree(source, own)
    first = _opened(tmp_path / "kept", str(own), learner="me")
    assert first.app.room.lesson.exercise == replace(exercise, name="my-own")
    assert first.app.room.lesson.evening.state.opening.learner == "me"
    first.app.close()
    again = open_room(tmp_path / "kept")
    again.click("carry-on")
    assert again.app.room.lesson is not None, again.said()
    assert again.app.room.lesson.exercise.name == "my-own"
