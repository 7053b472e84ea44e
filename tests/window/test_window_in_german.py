"""The window in German: nothing is cut at the smallest size, no English is left on any sheet, and logs keep their bytes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

from sim.window.things.evening_face import EveningFace

ENGLISH = re.compile(r"\b(the|and|with|of|to|from|not|for|is|are|it|this|that|its|than|by|what|your|you)\b", re.I)
SMALLEST = (1024, 700)
SHEETS = {"help": "f1", "notebook": "f2", "preferences": "f3", "drawer": "b"}


def _look(hands: Hands) -> list[str]:
    """Return what is cut, and what is read in English; a way to a file is nobody's language."""
    hands.frame(0.2)
    hands.frame(0.0)
    english = [label.words for label in hands.canvas.labels if ENGLISH.search(label.words)] if hands.canvas else []
    return [*hands.cut(), *(words for words in english if "/" not in words and "\\" not in words)]


@pytest.mark.parametrize("scale", [1.0, 1.5])
def test_the_room_and_its_sheets_fit_and_hold_no_english(tmp_path: Path, scale: float) -> None:
    hands = in_room(tmp_path, SMALLEST, scale=scale, language="de")
    for key in ("alt+1", "alt+2", "alt+3", "alt+4"):
        hands.press(key)
        assert _look(hands) == [], key
    hands.press("alt+2")
    for sheet, key in SHEETS.items():
        hands.press(key)
        assert _look(hands) == [], sheet
        hands.press("escape")
    hands.press("alt+1")
    hands.press("l")
    assert _look(hands) == [], "lessons"
    hands.press("d")
    assert _look(hands) == [], "drills"


def test_a_refusal_is_said_in_german(tmp_path: Path) -> None:
    hands = in_room(tmp_path, language="de")
    hands.press("alt+2")
    hands.press("s")
    hands.press("w")
    hands.frame(0.2)
    assert hands.said, "something is said of the paper that white light would fog"
    assert not ENGLISH.search(hands.said), hands.said


def _lesson_taken(folder: Path, language: str) -> tuple[bytes, list[str]]:
    """Go through a worked example; return its log, and what was cut or read in English on the way."""
    hands = in_room(folder, SMALLEST, evening=False, language=language)
    hands.window.room.today = 20_000
    hands.window.open_exercise("time-from-a-strip")
    hands.frame()
    hands.frame()
    bad: list[str] = []
    teacher, run = hands.window.teacher, hands.window.room.lesson
    assert run is not None
    for _ in range(40):
        bad += _look(hands)
        line = teacher.line
        if len(run.evening.state.sheets) == 2 and run.stage == "explain":
            break
        if line is not None and line.asks and teacher.answers:
            teacher.answers[3 if run.stage == "predict" and not run.made else 0].pressed()
        elif "play" in run.step.allowed and run.stage == "make":
            teacher._at_once()
            hands.wait(0.4)
            hands.press("w") if hands.window.room.light != "white" else None
        else:
            hands.press("j")
        hands.wait(0.2)
    log = run.evening.file.read_bytes()
    hands.window.close()
    return log, bad


def test_a_lesson_is_taken_in_german_and_its_log_has_the_same_bytes(tmp_path: Path) -> None:
    german, bad = _lesson_taken(tmp_path / "de", "de")
    assert bad == []
    english, _ = _lesson_taken(tmp_path / "en", "en")
    assert german == english
    assert german.count(b"\n") > 5


def test_a_line_stands_beside_the_same_thing_in_both_languages(tmp_path: Path) -> None:
    found = {}
    for language in ("en", "de"):
        hands = in_room(tmp_path / language, evening=False, language=language)
        hands.window.open_exercise("time-from-a-strip")
        hands.frame()
        hands.frame()
        found[language] = [(line.at, line.said) for line in hands.window.teacher.lines]
        hands.window.close()
    assert [at for at, _ in found["en"]] == [at for at, _ in found["de"]]
    assert all(one != other for (_, one), (_, other) in zip(found["en"], found["de"], strict=True))


def test_what_a_sheet_was_made_of_stands_in_german_where_it_tells_of_ones_own_enlarger_or_another_size(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path / "data")
    hands = in_room(tmp_path / "evenings", language="de")
    for key in ("s", "space"):
        hands.press(key)
    while hands.window.room.burning:
        hands.wait(0.4)
    hands.develop()
    for plate in ("was right", "other size"):
        hands.press("f2")
        hands.frame(times=3)
        hands.touch(plate)
        hands.frame(times=2)
        if plate == "other size":
            hands.wheel("again size", -1)
        told = [words for words, _, _ in hands.window.over.text._said]  # type: ignore[union-attr]
        assert len(told) > 4, plate
        assert [words for words in told if ENGLISH.search(words)] == [], plate
        hands.press("escape")
        hands.frame(times=2)
        hands.window.close_over()


def test_a_lessons_evening_stands_on_the_shelf_under_its_german_title(tmp_path: Path) -> None:
    hands = in_room(tmp_path, evening=False, language="de")
    hands.window.open_exercise("time-from-a-strip")
    hands.frame(times=2)
    run = hands.window.room.lesson
    assert run is not None
    hands.press("alt+1")
    hands.frame(times=3)
    names = [face.name() for face in hands.window.place.things() if isinstance(face, EveningFace)]
    assert names == [hands.window.room.said(run.exercise.title)]
    assert names != [run.exercise.title]
