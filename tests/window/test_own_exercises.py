"""An exercise from a folder of one's own, and a bundle of a course: opened, carried on, and whose it is."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

from sim.evening.assignment import ASSIGNMENT_FILE, Assignment
from sim.marking.bundle import write_bundle
from sim.scoring.exercise_file import find_exercise
from sim.teaching.lesson import LessonRun

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


def _opened(folder: Path, name: str, **more: object) -> Hands:
    hands = in_room(folder, evening=False, **more)  # type: ignore[arg-type]
    hands.window.open_exercise(name)
    hands.frame()
    hands.frame()
    return hands


def _run(hands: Hands) -> LessonRun:
    run = hands.window.room.lesson
    assert run is not None, hands.said
    return run


def _carried_on(folder: Path) -> Hands:
    hands = in_room(folder, evening=False)
    hands.press("c")
    hands.frame()
    hands.frame()
    return hands


def test_a_bundle_is_its_learners_and_says_what_the_course_asks(tmp_path: Path, bundle: Path) -> None:
    hands = _opened(tmp_path / "kept", str(bundle), learner="somebody else")
    opening = _run(hands).evening.state.opening
    assert (opening.exercise, opening.learner, opening.attempt) == ("time-from-a-strip", "k-17", 1)
    assert tuple(opening.negatives) == (NEGATIVE,)
    for part in ("evening-course", "k-17", "2026-12-01 18:00 (UTC)", "attempt 1", "2 may be handed in"):
        assert part in hands.window.teacher.note.words
    hands.touch("note on")
    assert "evening-course" not in hands.window.teacher.note.words, "it is said once; the card says it again"
    hands.touch("task")
    hands.frame()
    assert "evening-course" in hands.words


@pytest.mark.parametrize("language", ["en", "en-XA"])
def test_the_card_of_a_bundle_fits_the_smallest_room(tmp_path: Path, bundle: Path, language: str) -> None:
    hands = _opened(tmp_path / "kept", str(bundle), size=(1024, 700), language=language, scale=1.5)
    assert hands.cut() == []
    hands.press("i")
    hands.frame()
    said = set()
    for _ in range(6):
        assert hands.cut() == []
        said.add(hands.words)
        if "rows on" not in {name for name, _ in hands.canvas.hits}:  # type: ignore[union-attr]
            break
        hands.touch("rows on")
    assert any("k-17" in words for words in said)


def test_carrying_on_finds_a_bundle(tmp_path: Path, bundle: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(bundle.parent)
    first = _opened(tmp_path / "kept", "week-one")
    run = _run(first)
    run.begin()
    first.frame()
    for _ in range(3):
        first.press("j")
    first.press("return")
    assert run.stage == "make"
    first.window.close()
    monkeypatch.chdir(tmp_path)
    again = _carried_on(tmp_path / "kept")
    found = _run(again)
    assert found.folder.resolve() == bundle.resolve()
    assert (found.stage, found.evening.state.opening.learner) == ("make", "k-17")
    assert again.window.room.darkroom.evening is found.evening
    assert again.window.room.darkroom.desk.now.negative == NEGATIVE


def test_a_bundle_that_is_gone_is_said_in_words(tmp_path: Path, bundle: Path) -> None:
    _opened(tmp_path / "kept", str(bundle)).window.close()
    shutil.rmtree(bundle)
    again = _carried_on(tmp_path / "kept")
    assert again.window.room.lesson is None
    assert "week-one" in again.said
    assert again.place == "shelf"


def test_the_shelf_and_a_bundle_of_the_same_exercise_are_kept_apart(tmp_path: Path, bundle: Path) -> None:
    hands = _opened(tmp_path / "kept", str(bundle))
    hands.press("alt+1")
    hands.press("l")
    hands.frame()
    hands.touch("lesson time-from-a-strip")
    hands.touch("begin lesson") if any(name == "begin lesson" for name, _ in hands.frame().hits) else None
    hands.frame()
    hands.frame()
    opening = _run(hands).evening.state.opening
    assert (opening.exercise, opening.learner, opening.attempt) == ("time-from-a-strip", "", 1)
    assert opening.negatives[0] != NEGATIVE
    hands.window.close()
    again = _opened(tmp_path / "kept", str(bundle))
    assert _run(again).evening.state.opening.learner == "k-17"
    assert again.window.room.darkroom.folder.name == "0001", "the bundle's own evening goes on"


def test_a_bundle_with_a_bad_assignment_is_refused_and_leaves_nothing_behind(tmp_path: Path, bundle: Path) -> None:
    file = bundle / ASSIGNMENT_FILE
    file.write_text(file.read_text(encoding="utf-8").replace(NEGATIVE, "no-such-sleeve"), encoding="utf-8")
    hands = _opened(tmp_path / "kept", str(bundle))
    assert hands.window.room.lesson is None
    assert "seal" in hands.said
    file.write_text("format = 2\n", encoding="utf-8")
    hands = _opened(tmp_path / "kept", str(bundle))
    assert ASSIGNMENT_FILE in hands.said
    assert not any((tmp_path / "kept").glob("evenings/*/*"))


def test_an_exercise_of_ones_own_without_an_assignment_is_carried_on_too(tmp_path: Path) -> None:
    source, exercise = find_exercise("strip-in-stops")
    own = tmp_path / "my-own"
    shutil.copytree(source, own)
    first = _opened(tmp_path / "kept", str(own), learner="me")
    assert _run(first).exercise == replace(exercise, name="my-own")
    assert _run(first).evening.state.opening.learner == "me"
    first.window.close()
    assert _run(_carried_on(tmp_path / "kept")).exercise.name == "my-own"
