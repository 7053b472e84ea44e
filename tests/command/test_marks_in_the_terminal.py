"""The tables of a lesson in the terminal: plain words, both ends of what is wanted, and what was measured."""

from __future__ import annotations

import re
from pathlib import Path
from types import SimpleNamespace

import pytest

from sim.command.lesson_show import show_marks
from sim.command.main import main
from sim.scoring.marks import Economy, Mark, Marks
from sim.teaching.lesson_step import Step
from sim.words import Words

EXERCISE = """format = 1
version = 1
title = "Grey steps"
skill = "grey-steps"
negatives = ["step-wedge"]
paper = "glossy-rc-vc"
unlocked = ["time_s", "development_time_s"]
economy_points = 1.0

[box]
sheets = 6
minutes = 45.0
expected_sheets = 2.0

[start]
time_s = 4.0
width_mm = 60.0
height_mm = 30.0
border_mm = 3.0

[[criterion]]
name = "middle-grey"
kind = "tone"
place = { name = "step-9", x = 0.405, y = 0.5, spot_mm = 1.0 }
density = 0.60
tolerance_density = 0.05

[[criterion]]
name = "two-steps"
kind = "separation"
places = [{ name = "step-13", x = 0.595, y = 0.5, spot_mm = 1.0 }, { name = "step-9", x = 0.405, y = 0.5, spot_mm = 1.0 }]
density = 0.30

[[criterion]]
name = "off-the-sheet"
kind = "separation"
places = [{ name = "edge", x = 0.001, y = 0.5, spot_mm = 5.0 }, { name = "step-9", x = 0.405, y = 0.5, spot_mm = 1.0 }]
density = 0.30

[[criterion]]
name = "in-time"
kind = "time-window"
least_s = 20.0
most_s = 25.0

[[criterion]]
name = "tray"
kind = "developed"
"""
LINES = "predict right\nprint time=8\nsee right\nwhy as-planned\nlook 1\nnominate 1\ntask\nfinish\n"
CODE_WORDS = ("time-window", "developed ", "separation", "share of complete", "economy of paper")


@pytest.fixture(scope="module")
def lesson(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("terminal") / "grey-steps"
    folder.mkdir()
    (folder / "exercise.toml").write_text(EXERCISE, "utf-8")
    (folder / "brief.md").write_text("# Grey steps\n\n1. Print it.\n", "utf-8")
    return folder


def talk(lesson: Path, into: Path, *language: str, lines: str = LINES) -> int:
    """Work the lesson in the terminal."""
    (into / "evening.txt").write_text(lines, "utf-8")
    line = ["lesson", "--folder", str(lesson), "--do", str(into / "evening.txt"), "--log", str(into / "k.log")]
    return main([*language, *line, "--keep", str(into / "kept"), "--pictures", str(into / "prints")])


def table(said: str, head: str) -> str:
    """Return the words of the table under a title, without its lines and wrapping."""
    below = said.split(head, 1)[1].split("─ \n", 1)[1].splitlines()
    end = next(k for k, row in enumerate(below) if not row.strip())
    return re.sub(r"\s+", " ", " ".join(below[:end]))


def test_readings_and_marks_say_in_words_what_was_asked_wanted_and_measured(
    lesson: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "140")
    assert talk(lesson, tmp_path) == 0
    said = capsys.readouterr().out
    for head in ("\nPrint 1\n", "\nSheet 1\n", "\nMarks: "):
        shown = table(said, head)
        assert "time within a window 8.00 s 20.00 to 25.00 s" in shown
        assert re.search(r"the developer's full time \d\.\d\d 0\.97 to 2\.00", shown)
        assert re.search(r"step 13 to step 9 apart from each other 0\.\d\d at least 0\.30", shown)
        assert "edge to step 9 apart from each other not read at least 0.30" in shown
        assert "step 9 density at this place 0." in shown
        assert not any(word in shown for word in CODE_WORDS)
        assert not re.search(r" - ", shown)
    assert "paper used 1 sheet at most 2 sheets 1.0 of 1" in table(said, "\nMarks: ")
    task = table(said, "\nAsked for\n")
    assert "at least 0.3 density 0.03" in task
    assert "20 to 25" in task
    assert not re.search(r" - ", task)


def test_an_exercise_without_hints_is_worked_in_another_language_too(
    lesson: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "140")
    assert talk(lesson, tmp_path, "--language", "de") == 0
    said = capsys.readouterr().out
    shown = table(said, "\nPunkte: ")
    assert "share of" not in said
    for words in ("Zeit in einem Fenster 8,00 s 20,00 bis 25,00 s", "mindestens 0,30", "nicht gemessen", "höchstens 2 Blatt"):
        assert words in shown


def test_no_hint_is_offered_where_the_exercise_has_none(
    lesson: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert talk(lesson, tmp_path, lines="task\nhint\nfinish\n") == 1
    told = capsys.readouterr()
    assert "There are no hints for this exercise." in told.out + told.err
    assert "cannot be opened" not in told.out + told.err
    assert "  Now: go-on, predict\n" in told.out


def test_of_several_negatives_each_mark_says_which_it_is_of(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "140")
    marks = tuple(Mark("grey", "tone", "step-9", 0.5 + n, 0.6, 0.05, "density", 1.0, 2.0, 2.0, negative=n) for n in (1, 2))
    white = Mark("sky", "may-go-white", "sky", 0.05, 0.05, 0.05, "density", 1.0, 0.0, 0.0, negative=2)
    step = Step("marks", "Two", (), marks=Marks((*marks, white), Economy(1.0, 1.0, 2.25, 2.0)), passed=True)
    run = SimpleNamespace(words=Words(), exercise=SimpleNamespace(criteria=()), negatives=("one", "two"))
    show_marks(step, run)  # type: ignore[arg-type]
    rows = [" ".join(line.split()) for line in capsys.readouterr().out.splitlines() if line.strip()]
    assert rows[1] == "negative place asked for measured wanted points"
    assert rows[3:] == [
        "1 step 9 density at this place 1.50 0.60 2.0 of 2", "2 step 9 density at this place 2.50 0.60 2.0 of 2",
        "2 sky may go white 0.05 any", "paper used 2.25 sheets at most 2 sheets 1.0 of 1",
    ]  # fmt: skip
