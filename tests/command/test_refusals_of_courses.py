"""Exercises, courses, rosters and evenings that cannot be: one line, file and key, exit code 2, and nothing lost."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from running import Run, left_over

from sim.command.submit_verb import sheets_needed
from sim.evening.log import append_line, read_log
from sim.reading import data_folder
from sim.scoring.exercise_file import find_exercise

COURSE = """format = 1
course = "evenings"
title = "Evenings"
time_zone = "Europe/Lisbon"
roster = "roster.csv"

[[exercise]]
folder = "time-from-a-strip"
due = 2026-12-01T18:00:00
points = 10.0
"""

# what is changed in the course file, words of the one line
COURSES: dict[str, tuple[str, str, str]] = {
    "due-is-a-date": ("2026-12-01T18:00:00", "2026-12-01", "exercise[0].due: must be a date and a time, without quotation"),
    "due-in-quotes": ("2026-12-01T18:00:00", '"2026-12-01 18:00"', "such as 2026-12-01T18:00:00, got '2026-12-01 18:00'"),
    "due-with-offset": ("18:00:00", "18:00:00Z", "exercise[0].due: must be a local time of the course's time_zone"),
    "due-before-time": ("2026-12-01", "0001-01-01", "exercise[0].due: must lie between the years 1971 and 8999"),
    "due-after-time": ("2026-12-01", "9999-12-31", "exercise[0].due: must lie between the years 1971 and 8999"),
    "no-such-folder": ('"time-from-a-strip"', '"no-such"', "course.toml: exercise[0].folder: must be a folder beside"),
    "a-folder-of-else": ('"time-from-a-strip"', '"empty"', "course.toml: exercise[0].folder: must be a folder beside"),
    "absolute": ('"time-from-a-strip"', '"/etc"', "course.toml: exercise[0].folder: must be a folder beside"),
    "out-of-the-course": ('"time-from-a-strip"', '"../../.."', "course.toml: exercise[0].folder: must be a folder beside"),
    "a-ring-of-links": ('"time-from-a-strip"', '"ring"', "course.toml: exercise[0].folder: must be a folder beside"),
    "points-as-text": ("10.0", '"10"', "exercise[0].points: must be a valid number, got '10'"),
    "points-endless": ("10.0", "1e999", "exercise[0].points: must be a finite number, got inf"),
    "a-name-in-capitals": ('"evenings"', '"A B"', "course: must be small letters, digits and hyphens"),
    "a-later-form": ("format = 1", "format = 2", "format: must be 1, got 2"),
    "no-table": ("[[exercise]]\n", "exercise = [1]\n[x]\n", "exercise[0]: must be a table of keys and values, got 1"),
}


@pytest.fixture
def course(here: Path) -> Path:
    """A course of one lesson and two learners."""
    (here / "roster.csv").write_text("id,name\nk01,к01\nk02,κ02\n", "utf-8")
    (here / "empty").mkdir()
    (here / "ring").symlink_to("ring")
    file = here / "course.toml"
    file.write_text(COURSE, "utf-8")
    return file


def refused(run: Run, *words: str) -> str:
    """Run a verb that must be refused; return the one line."""
    done = run(*words)
    assert (done.code, done.out) == (2, ""), done
    assert done.err.startswith(f"tonewright {words[0]}: ")
    assert done.err.count("\n") == 1
    assert "should" not in done.err
    assert "pydantic" not in done.err
    return done.err


@pytest.mark.parametrize("case", COURSES)
def test_a_course_that_cannot_be_names_file_and_key(case: str, run: Run, course: Path) -> None:
    old, new, words = COURSES[case]
    assert old in COURSE
    course.write_text(COURSE.replace(old, new), "utf-8")
    assert words in refused(run, "assign", "course.toml", "-o", "out")
    assert not Path("out").exists()
    Path("in").mkdir()
    assert words in refused(run, "mark", "in", "--course", "course.toml", "-o", "marks")
    assert not Path("marks").exists()


def test_a_roster_without_learners_is_no_roster(run: Run, course: Path) -> None:
    Path("roster.csv").write_text("id,name\n", "utf-8")
    assert "roster.csv: id: the roster must name a learner" in refused(run, "assign", "course.toml", "-o", "out")


def test_no_learner_writes_over_the_bundle_of_another(run: Run, course: Path) -> None:
    ids = ["kk01", "Kk01", "KK01", "con", "..", "../x", "a/b", "\u00e41", "\u0e41", "=1+1", "x" * 150, "x" * 151]
    Path("roster.csv").write_text("id\n" + "\n".join(ids) + "\n", "utf-8")
    done = run("assign", "course.toml", "-o", "out")
    assert (done.code, done.out) == (0, "12 bundles for 12 learners in out\n")
    folders = [folder.name for folder in Path("out").iterdir()]
    assert len({name.lower() for name in folders}) == 12
    assert "kk01" in folders
    assert "con" not in folders
    assert sorted(file.name for file in Path().iterdir()) == [
        "course.toml", "empty", "out", "ring", "roster.csv", "wedge.toml",
    ]  # fmt: skip


def test_an_exercise_of_ones_own_wins_over_a_lesson_of_that_name(run: Run, course: Path) -> None:
    shutil.copytree(data_folder("lessons") / "time-from-a-strip", "time-from-a-strip")
    own = Path("time-from-a-strip/exercise.toml")
    own.write_text(own.read_text("utf-8").replace("Time from a strip", "Our own strip"), "utf-8")
    for file in ("course.toml", str(course)):
        assert run("assign", file, "-o", "out", "--learner", "k01").out == "1 bundle for 1 learner in out\n"
        assert "Our own strip" in Path("out/k01/time-from-a-strip/exercise.toml").read_text("utf-8")


@pytest.mark.parametrize(
    ("option", "value", "words"),
    [
        ("--sheets", "0", "box.sheets: must be greater than or equal to 1, got 0"),
        ("--sheets", "99999999999999999999", "box.sheets: must fit 64 bits"),
        ("--minutes", "nan", "box.minutes: must be a finite number, got nan"),
        ("--skill", "\u00c4 B", "skill: must be small letters, digits and hyphens"),
        ("--title", "x" * 121, "title: must have at most 120 characters"),
        ("--title", "\ud800", "title must be printable text on one line"),
        ("--title", "two\nlines", "title must be printable text on one line"),
    ],
)
def test_an_exercise_that_could_not_be_read_is_not_written(option: str, value: str, words: str, run: Run, here: Path) -> None:
    (here / "new").mkdir()
    assert words in refused(run, "author", "new", "--negative", "cup-close", option, value)
    assert list((here / "new").iterdir()) == []


def test_a_new_exercise_says_in_words_what_may_be_moved(run: Run, here: Path) -> None:
    assert run("author", "new", "--negative", "cup-close", "--unlock", "time_s,filter").code == 0
    assert "You may change the exposure time and the filter." in (here / "new/brief.md").read_text("utf-8")


@pytest.mark.parametrize("option", [("-o", "in"), ("-o", "in/marks"), ("-o", "marks", "--hand-back", "in")])
def test_marks_are_not_written_among_the_evenings(option: tuple[str, ...], run: Run, course: Path) -> None:
    Path("in").mkdir()
    assert "must lie outside the folder of handed-in files" in refused(run, "mark", "in", "--course", "course.toml", *option)
    assert list(Path("in").iterdir()) == []


@pytest.mark.parametrize("text", ["id,name\nk01,к01\n", '{"negative": "cup-close"}\n', "[]", "\x00\x01"])
def test_a_file_of_another_kind_does_not_become_a_log(text: str, run: Run, here: Path) -> None:
    (here / "mine").write_text(text, "utf-8")
    err = refused(run, "lesson", "time-from-a-strip", "--keep", "keep", "--log", "mine")
    assert "mine: must be an evening's log or a new file" in err
    assert (here / "mine").read_text("utf-8") == text
    assert left_over(here) == []


def test_a_log_torn_in_its_first_line_is_still_repaired(run: Run, here: Path) -> None:
    (here / "mine").write_text('{"da', "utf-8")
    (here / "lines").write_text("", "utf-8")
    done = run("lesson", "time-from-a-strip", "--keep", "keep", "--log", "mine", "--do", "lines")
    assert done.code == 0
    assert "moved to mine.damaged-1" in done.out
    assert (here / "mine.damaged-1").read_text("utf-8") == '{"da'


REFUSED: dict[tuple[str, ...], str] = {
    ("lesson", "--learner", "x" * 201): "--learner: must be printable and at most 200 characters long",
    ("progress", "--learner", "a\nb"): "--learner: must be printable and at most 200 characters long",
    ("lesson", "time-from-a-strip", "--day", "-1"): "--day: must be between 0 and 10000000, got -1",
    ("drill", "read-the-strip", "--keep", "keep", "--recall", "dancing"): "--recall must be a skill met before (none yet)",
    ("drill", "read-the-strip", "--do", "none"): "none: cannot be opened (No such file or directory)",
    ("submit", ""): "log must be the file of an evening, got ''",
    ("author", "new", "--unlocked", "time_s"): "unrecognized arguments: --unlocked time_s (see tonewright author --help)",
    ("window", "--exercise", "nope"): "nope: exercise: is no lesson and no folder with an exercise.toml",
    ("window", "--folder", "wedge.toml"): "--folder must be a folder, got the file 'wedge.toml'",
}


@pytest.mark.parametrize("words", REFUSED)
def test_what_cannot_be_is_refused_before_anything_is_begun(words: tuple[str, ...], run: Run, here: Path) -> None:
    assert REFUSED[words] in refused(run, *words)
    assert [file.name for file in here.iterdir()] == ["wedge.toml"]


def test_an_edition_is_handed_in_with_all_its_copies(here: Path) -> None:
    edition = find_exercise("an-edition-of-three")[1]
    about = {"exercise": edition.name, "negatives": list(edition.negatives)}
    append_line(here / "a.jsonl", "opened", {**about, "exercise_digest": edition.digest}, None)
    append_line(here / "b.jsonl", "opened", {**about, "exercise_digest": "of another exercise of that name"}, None)
    append_line(here / "c.jsonl", "opened", {"negatives": ["a", "b"]}, None)
    assert [sheets_needed(read_log(here / f"{name}.jsonl").lines[0].data) for name in "abc"] == [3, 1, 2]
