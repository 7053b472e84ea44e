"""The learner's verbs: a whole lesson by lines, resumed, handed in; the syllabus, the progress, a drill."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path
from typing import Any

import pytest
from running import Run, picture

from sim.command.lesson_lines import VERBS, read_line
from sim.evening.assignment import Assignment
from sim.evening.handing_in import read_submission
from sim.marking.bundle import write_bundle
from sim.scoring.exercise_file import find_exercise
from sim.teaching.progress import read_progress
from sim.teaching.worked_example import read_references

LESSON = "time-from-a-strip"
EXAMPLE = """# a whole lesson, watched
go-on
predict 4
play
see 5
why bracketed
predict right
play
see right
why as-planned
list
look 2
nominate 2
finish
"""


def script(text: str) -> str:
    Path("lines.txt").write_text(text, "utf-8")
    return "lines.txt"


def lesson(run: Run, text: str, *more: str, name: str = LESSON) -> tuple[int, str]:
    ran = run("lesson", name, "--do", script(text), "--keep", "keep", "--day", "100", *more)
    assert "Traceback" not in ran.err
    return ran.code, ran.out + ran.err


def answer() -> float:
    return read_references(find_exercise(LESSON)[0])[0].exposures[0].time_s


def test_a_lesson_is_watched_from_brief_to_marks(run: Run, here: Path) -> None:
    code, out = lesson(run, EXAMPLE)
    assert code == 0, out
    assert "attempt 1, worked example" in out
    stages = [line.split("]")[0].lstrip("[") for line in out.splitlines() if line.startswith("[")]
    assert stages == [
        "brief", "predict", "make", "see", "explain", "predict", "make", "see", "explain", "predict", "marks",
    ]  # fmt: skip
    assert "(passed)" in out
    strip, sheet = picture(here / f"{LESSON}-prints/01-strip.png"), picture(here / f"{LESSON}-prints/02-print.png")
    assert strip.std() > 10
    assert sheet.shape[0] > strip.shape[0]
    progress = read_progress(here / "keep")
    assert progress.evenings[LESSON][0].mode == "example"
    assert progress.met == {}


def test_alone_one_strips_prints_asks_and_compares(run: Run, here: Path) -> None:
    text = f"""predict step-4
    strip first={answer() / 2.83:.2f} stops=0.5 steps=7 at=white-cup
    see step-4
    why bracketed
    hint
    predict lighter
    print time={answer() / 2:.2f}
    see lighter "no surface on the cup"
    why exposure
    hint
    predict right
    print time={answer():.2f}
    see right
    why as-planned
    compare 2 3
    note one stop more did it
    nominate 3
    """
    code, out = lesson(run, text, "--mode", "solo")
    assert code == 0, out
    assert "Hint: " in out
    assert "(+1.00 stop)" in out
    board = picture(here / f"{LESSON}-prints/compare-02-03.png")
    one = picture(here / f"{LESSON}-prints/02-print.png")
    assert board.shape[1] > 2 * one.shape[1]
    assert len(set(board[5, :])) == 1, "an even neutral surround"
    assert "side by side" in out
    kept = read_progress(here / "keep").evenings[LESSON][0]
    assert (kept.passed, kept.hints, kept.sheets, kept.day) == (True, 2, 2.25, 100)


def test_what_is_refused_is_said_in_words_and_the_lesson_goes_on(run: Run, here: Path) -> None:
    text = """print time=8
    predict purple
    predict right
    print time=8 filter=4
    print time=nan
    print time=8 tiem=3
    print time
    print time=8 time=9
    print negative=moon
    print like=4
    print hold-back=moon:0.5
    print hold-back=white-cup
    print hold-back=white-cup:1:40:7
    print size=big
    print filter=9
    strip stops=0.5 seconds=2
    strip way=sideways
    strip steps=many
    strip at=moon
    see right
    why exposure
    nominate one
    nominate
    look 1
    compare 1
    note "open
    predict "open
    sing
    print time=8
    """
    code, out = lesson(run, text, "--mode", "solo")
    assert code == 1
    said = [line for line in out.splitlines() if line.startswith("  Not so: ")]
    assert len(said) == 26, "\n".join(said)
    for words in (
        "Predict first", "the answer must be", "filter is locked", "a finite number", "did you mean 'time'", "its value",
        "only once", "negative must be one of", "like must be a sheet", "must be one of white-cup", "stops and if wanted",
        "the exposure must be between 1 and 1", "size must be two sizes", "filter must be", "in stops or in seconds",
        "way must be one of", "whole number", "the line must be like `nominate 2`", "quotation mark",
        "the line must begin with",
    ):  # fmt: skip
        assert any(words in line for line in said), words
    assert "Sheet 1 lies under white light" in out, "after all that a print can be made"


def test_a_lesson_ends_at_the_end_of_its_lines_and_goes_on_with_the_next(run: Run, here: Path) -> None:
    code, out = lesson(run, "predict 4\nplay")
    assert code == 0
    assert "No sheet counts yet" in out
    code, out = lesson(run, "see 5\nwhy bracketed\npredict right\nplay\nsee right\nwhy as-planned\nnominate 2\n")
    assert code == 0, out
    assert out.index("[see]") < out.index("[explain]")
    code, out = lesson(run, "")
    assert "attempt 2, begun for you, finished by you" in out, "what was nominated is finished; the next attempt begins"
    code, out = lesson(run, "predict 4", "--new")
    assert "time-from-a-strip-3.jsonl" in out


def test_a_log_of_ones_own_choosing_is_begun_and_continued(run: Run, here: Path) -> None:
    lesson(run, "predict 4", "--log", "own/evening.jsonl")
    code, out = lesson(run, "play", "--log", "own/evening.jsonl")
    assert code == 0
    assert "01-strip.png" in out


def test_lines_come_through_a_pipe(run: Run, here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("predict 4\nplay\n"))
    ran = run("lesson", LESSON, "--keep", "keep", "--day", "1")
    assert ran.code == 0
    assert "> play" in ran.out
    monkeypatch.setattr(sys, "stdin", None)
    assert run("lesson", LESSON, "--keep", "keep", "--day", "1").code == 0


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_at_a_terminal_a_bare_answer_is_enough(run: Run, here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    typed = iter(["", "4", "play", "5", "bracketed", "", "help", "right", "finish"])
    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr("builtins.input", lambda prompt: next(typed))
    ran = run("lesson", LESSON, "--keep", "keep", "--day", "1")
    assert ran.code == 0, ran.err
    assert "Not so" not in ran.out
    assert "a settings" not in ran.out
    assert "One line, one act." in ran.out
    assert "Your prediction is kept: as wanted." in ran.out


def test_the_end_of_a_terminals_input_is_no_error(run: Run, here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def ended(prompt: str) -> str:
        raise EOFError

    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr("builtins.input", ended)
    assert run("lesson", LESSON, "--keep", "keep", "--day", "1").code == 0
    assert run("drill", "say-the-burn", "--keep", "keep", "--day", "1").code == 0


def test_where_the_lesson_stands_can_be_had_as_data(run: Run, here: Path) -> None:
    ran = run("lesson", LESSON, "--do", script(EXAMPLE), "--keep", "keep", "--day", "1", "--json")
    data = json.loads(ran.out[ran.out.index("\n{") :])
    assert data["passed"] is True
    assert data["nominated"] == [2]
    assert data["stage"] == "marks"
    assert {m["place"] for m in data["marks"]} >= {"plaster"}
    assert data["advice"] == []


@pytest.mark.parametrize("line", VERBS)
def test_no_verb_alone_breaks_the_lesson(line: str, run: Run, here: Path) -> None:
    code, out = lesson(run, f"{line}\n{line} x y z\n{line} 999999999999999999999\n")
    assert code in (0, 1)
    assert "brief" in out


@pytest.mark.parametrize("text", ["# remark", "", "   "])
def test_remarks_and_empty_lines_are_passed_over(text: str) -> None:
    assert read_line(text) is None


def test_split_exposures_cards_and_the_set_up_can_be_written(run: Run, here: Path) -> None:
    free = """format = 1
version = 1
title = "Everything free"
skill = "free"
negatives = ["sitting-1"]
paper = "glossy-rc-vc"
unlocked = ["time_s", "f_number", "filter", "height_mm", "focus_offset_mm", "head", "lens", "carrier", "contact", "cards",
            "exposures", "development_time_s", "temperature_c", "sheet", "paper", "image_shift", "easel_tilt_deg",
            "negative_tilt_deg", "reciprocity"]
[[criterion]]
kind = "tone"
place = "jug-light"
density = 0.12
[[criterion]]
kind = "tone"
place = "bottle-body"
density = 1.8
"""
    (here / "free").mkdir()
    (here / "free" / "exercise.toml").write_text(free, "utf-8")
    (here / "free" / "brief.md").write_text("# Free\n\n1. Print it.\n", "utf-8")
    sections = "".join(f"## {name}\n\nSomething.\n\n" for name in ("look at", "principle", "neighbouring case"))
    (here / "free" / "hints.md").write_text(sections, "utf-8")
    text = """predict darker
    print time=6 filter=00 f-number=11 then=5:8 hold-back=jug-shade:0.5 hold-back=jug-shade:0.5:40:2 burn=jug-light:0.5:50
    see darker
    why contrast
    predict lighter
    print like=1 negative=sitting-1 height=700 focus=0.2 develop=80 temperature=21 size=127x178 border=4 easel-tilt=1
    see lighter
    why exposure
    predict right
    strip like=1 first=2 seconds=2 steps=4 way=covered along=90 over=00:6 filter=5
    see step-2
    why bracketed
    predict darker
    strip like=1 way=burn over=2:6 stops=1 steps=3 at=jug-light through=40:height=80
    see step-2
    why bracketed
    predict darker
    strip like=1 way=burn over=2:6 seconds=3 first=1 steps=3 at=jug-light past=top:15
    see step-2
    why bracketed
    predict softer
    print like=3 burn-above=backdrop:1 carrier=glassless negative-tilt=0.5 reciprocity=yes shift=3,-2 paper=glossy-fb-vc
    see softer
    why contrast
    list
    """
    ran = run("lesson", "--folder", "free", "--do", script(text), "--keep", "keep", "--day", "1")
    assert "Not so" not in ran.out, ran.out
    assert ran.code == 0
    records = [json.loads(line)["data"] for line in (here / "keep/evenings/own/free-1.jsonl").read_text().splitlines()]
    sheets = [data["record"] for data in records if "record" in data]
    assert [e["filter"]["graded"] for e in sheets[0]["exposures"]] == ["00", "5", "00"]
    assert [len(e["cards"]) for e in sheets[0]["exposures"]] == [1, 1, 1]
    assert sheets[1]["enlarger"]["height_mm"] == 700
    assert sheets[1]["sheet"]["width_mm"] == 127
    assert sheets[1]["development"]["temperature_c"] == 21
    assert sheets[2]["exposures"][0]["filter"]["graded"] == "00"
    assert sheets[3]["strip"]["times_s"] == [0.0, 6.0, 18.0], "burns step in stops of what they are laid over"
    assert [len(e["cards"]) for e in sheets[3]["exposures"]] == [1, 1, 2, 1, 2]
    assert sheets[4]["strip"]["times_s"] == [1.0, 4.0, 7.0]
    assert sheets[4]["exposures"][-1]["cards"][1]["shape"] == "edge"
    assert sheets[5]["sheet"]["paper"] == "glossy-fb-vc"
    assert sheets[5]["exposures"][-1]["cards"][0]["shape"] == "edge"


def test_the_syllabus_shows_standing_and_what_comes_next(run: Run, here: Path) -> None:
    ran = run("lesson", "--keep", "keep", "--day", "100")
    assert ran.code == 0
    assert "> first-session" in ran.out
    assert "Next: tonewright lesson first-session" in ran.out
    assert "builds on" in ran.out
    data = json.loads(run("lesson", "--keep", "keep", "--day", "1", "--json").out)
    assert data["next"] == "first-session"
    assert data["recall"] == []
    assert all(entry["lesson"] in ran.out for entry in data["lessons"])


def test_a_returning_learner_is_asked_to_recall(run: Run, here: Path) -> None:
    # a fourteenth of a stop beside the answer that everybody can read: the answer itself would be a copy
    text = f"predict right\nprint time={1.05 * answer():.2f}\nsee right\nwhy as-planned\nnominate 1\n"
    assert lesson(run, text, "--mode", "solo")[0] == 0
    ran = run("lesson", "--keep", "keep", "--day", "103")
    assert "recall time from strip: tonewright drill read-the-strip --recall time-from-strip --items 1" in ran.out
    ran = run("drill", "read-the-strip", "--recall", "time-from-strip", "--items", "1", "--do", script("5\n"), "--keep", "keep",
              "--day", "103")  # fmt: skip
    assert ran.code == 0, ran.err
    assert read_progress(here / "keep").recalled["time-from-strip"].day == 103
    assert "recall" not in run("lesson", "--keep", "keep", "--day", "103").out


def test_an_evening_is_handed_in_and_refused_when_it_is_not_ready(run: Run, here: Path) -> None:
    lesson(run, "predict 4\nplay\n")
    log = "keep/evenings/own/time-from-a-strip-1.jsonl"
    ran = run("submit", log, "-o", "out.jsonl")
    assert ran.code == 2
    assert "no sheet has been named" in ran.err
    lesson(run, "see 5\nwhy bracketed\npredict right\nplay\nsee right\nwhy as-planned\nnominate 2\n")
    ran = run("submit", log, "-o", "out.jsonl")
    assert ran.code == 0, ran.err
    assert "what counts: sheet 2" in ran.out
    assert read_submission(here / "out.jsonl").problems == ()
    data = json.loads(run("submit", log, "--json").out)
    assert data["nominated"] == [2]
    assert (here / "keep/evenings/own/time-from-a-strip-1-handed-in.jsonl").exists()


def test_a_series_asks_for_a_sheet_of_every_negative(run: Run, here: Path) -> None:
    text = """predict right
    print time=8 negative=sitting-2
    see right
    why exposure
    nominate 1
    """
    code, out = lesson(run, text, "--mode", "solo", name="matching-a-series")
    assert code == 1
    assert "sitting-1 needs 1 print that count, got 0" in out


def test_a_bundle_is_worked_by_its_folder_for_its_learner_on_its_negative(run: Run, here: Path) -> None:
    folder, exercise = find_exercise(LESSON)
    assignment = Assignment("course", LESSON, "k01", ("morning-shelf~k1",), attempts=2)
    write_bundle(here / "handed-out", folder, exercise, assignment)
    lines = script("predict right\nprint time=8\n")
    ran = run("lesson", "--folder", "handed-out", "--do", lines, "--keep", "keep", "--day", "1")
    assert ran.code == 0, ran.out + ran.err
    assert "on your own" in ran.out, "there is no reference in a bundle to be shown"
    opening = json.loads((here / "keep/evenings/k01/time-from-a-strip-1.jsonl").read_text("utf-8").splitlines()[0])["data"]
    assert (opening["exercise"], opening["learner"], opening["negatives"]) == (LESSON, "k01", ["morning-shelf~k1"])
    for more, words in ((("--learner", "k02"), "whose bundle this is"), (("--negative", "cup-close"), "cannot be chosen")):
        ran = run("lesson", "--folder", "handed-out", "--do", "lines.txt", "--keep", "keep", *more)
        assert ran.code == 2
        assert words in ran.err


def test_the_progress_is_a_table_data_and_a_page(run: Run, here: Path) -> None:
    lesson(run, EXAMPLE, "--learner", "κ01 & co")
    ran = run("progress", "--learner", "κ01 & co", "--keep", "keep", "--day", "101", "--html", "p.html")
    assert ran.code == 0, ran.err
    assert "Time from strip" in ran.out
    assert "Page written to p.html" in ran.out
    page = (here / "p.html").read_text("utf-8")
    assert "κ01 &amp; co" in page
    data: dict[str, Any] = json.loads(run("progress", "--learner", "κ01 & co", "--keep", "keep", "--day", "1", "--json").out)
    assert data["evenings"] == 1
    assert [skill["curve"] for skill in data["skills"] if skill["curve"]] == [[1.0]]


def test_a_drill_is_answered_line_by_line_and_kept(run: Run, here: Path) -> None:
    lines = script("# remark\n1\nwhat\n0.5\n2 stops\n")
    ran = run("drill", "say-the-burn", "--items", "3", "--seed", "7", "--do", lines, "--keep", "keep", "--day", "5", "--json")
    assert ran.code == 0, ran.err
    assert "Not so: the answer must be stops" in ran.out
    data = json.loads(ran.out[ran.out.index("\n{") :])
    assert len(data["items"]) == 3
    kept = read_progress(here / "keep").drills["say-the-burn"][0]
    assert (kept.day, len(kept.errors)) == (5, 3)
    again = run("drill", "say-the-burn", "--items", "1", "--seed", "7", "--do", script("1\n"), "--keep", "other", "--day", "5")
    assert ran.out.split("Answer in")[0] == again.out.split("Answer in")[0]
    assert "reads" not in ran.out.split("Answer in")[0], "the eye answers; the densitometer speaks with the mark"
    assert "wanted 0." in ran.out


def test_a_drill_with_a_picture_writes_it_and_ends_with_its_answers(run: Run, here: Path) -> None:
    ran = run("drill", "read-the-strip", "--do", script("5\n"), "--keep", "keep", "--day", "5")
    assert "The drill ends here." in ran.out
    assert picture(here / "read-the-strip-pictures/01.png").std() > 5
    assert "read-the-strip" in run("drill", "--keep", "keep", "--day", "5").out
    assert "row 4: 1" in run("drill", "--step-scale", "scale.png").out
    assert picture(here / "scale.png").std() > 5


REFUSED = {
    ("lesson", "no-such-lesson"): "is no lesson", ("lesson", "a", "--folder", "b"): "got both",
    ("lesson", "--day", "-3"): "--day: must",
    ("lesson", LESSON, "--do", "no-file"): "cannot be opened", ("lesson", LESSON, "--negative", "moon"): "must be one of",
    ("drill", "juggle"): "drill must be one of", ("drill", "say-the-burn", "--items", "0"): "--items must",
    ("drill", "say-the-burn", "--seed", "-1"): "--seed must", ("submit", "no-log"): "cannot be opened",
    ("drill", "say-the-burn", "--items", "1", "--do", "one.txt", "--recall", "dancing"): "must be a skill met before",
}  # fmt: skip


@pytest.mark.parametrize("words", REFUSED)
def test_what_cannot_be_is_refused_in_one_line(words: tuple[str, ...], run: Run, here: Path) -> None:
    (here / "one.txt").write_text("1\n", "utf-8")
    more = () if words[0] == "submit" else ("--keep", "keep")
    ran = run(*words, *more)
    assert ran.code == 2, ran.out
    assert REFUSED[words] in ran.err
    assert len(ran.err.strip().splitlines()) == 1


def test_a_black_is_asked_for_in_the_density_that_its_marks_tell(run: Run, here: Path) -> None:
    """A share of the paper's black says nothing to who reads a densitometer."""
    lines = "task\ngo-on\npredict right\nprint develop=90\nsee right\nwhy as-planned\nnominate 1\nfinish\n"
    _, out = lesson(run, lines, name="first-session")
    asked, *told = [line for line in out.splitlines() if "black" in line and "at least" in line]
    bound = asked.split("at least ")[1].split()[0]
    assert float(bound) > 1.0, asked
    assert any(f"at least {bound}" in line for line in told), out
