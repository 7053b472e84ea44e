"""What comes from outside as tables: course, roster, times, overrides, mapping. Every error with file, line or key."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from class_room import COURSE, ClassRoom

from sim.marking.course import read_course, read_secret
from sim.marking.gradebook import read_mapping
from sim.marking.handed_files import FirstWords, find_files, first_words
from sim.marking.overrides import read_overrides
from sim.marking.received import Received, read_received
from sim.marking.roster import anonymous_code, read_roster
from sim.reading import OutsideError

GOOD_COURSE = COURSE.format(variants="true")
BAD_COURSES = {
    "unknown key": ('title = "Grey steps on Tuesdays"', 'titel = "x"', "did you mean 'title'"),
    "no zone of that name": ('time_zone = "UTC"', 'time_zone = "Middle/Earth"', "time zone"),
    "zone as a path": ('time_zone = "UTC"', 'time_zone = "../../etc/passwd"', "time zone"),
    "due with an offset": ("18:00:00", "18:00:00+01:00", "without an offset"),
    "due as text": ("due = 2026-12-01T18:00:00", 'due = "soon"', "due"),
    "no attempts": ("attempts = 3", "attempts = 0", "attempts"),
    "policy": ('policy = "best"', 'policy = "mean"', "policy"),
    "both rates": ("percent_per_day = 10.0", "percent_per_day = 10.0\npercent_per_hour = 1.0", "percent_per_hour"),
    "cap over all": ("cap_percent = 50.0", "cap_percent = 150.0", "cap_percent"),
    "points none": ("points = 100.0", "points = 0.0", "points"),
    "variants without secret": ('secret_file = "course.key"\n', "", "secret_file"),
    "next format": ("format = 1", "format = 2", "format"),
    "course name": ('"wedge-course"', '"Wedge Course"', "course"),
    "exercise twice": ("[exercise.late]", '[[exercise]]\nfolder = "grey-steps"\n[exercise.late]', "twice"),
}  # fmt: skip


def test_a_good_course(tmp_path: Path) -> None:
    file = tmp_path / "course.toml"
    file.write_text(GOOD_COURSE, "utf-8")
    course = read_course(file)
    (exercise,) = course.exercises
    assert (exercise.name, exercise.attempts, exercise.policy, exercise.variants) == ("grey-steps", 3, "best", True)
    assert (exercise.late.grace_minutes, exercise.late.zero_after_days, exercise.late.exempt) == (10.0, 7.0, ())
    assert (exercise.due, course.zone.key) == (datetime(2026, 12, 1, 18), "UTC")
    assert course.roster == tmp_path / "roster.csv"


@pytest.mark.parametrize("case", BAD_COURSES, ids=lambda case: case.replace(" ", "-"))
def test_a_bad_course_is_refused_by_key(case: str, tmp_path: Path) -> None:
    old, new, words = BAD_COURSES[case]
    assert old in GOOD_COURSE
    file = tmp_path / "course.toml"
    file.write_text(GOOD_COURSE.replace(old, new, 1), "utf-8")
    with pytest.raises(OutsideError) as refused:
        read_course(file)
    assert words in str(refused.value)
    assert str(file) in str(refused.value)


def test_a_secret_that_is_none_is_refused(room: ClassRoom) -> None:
    course = read_course(room.course)
    assert read_secret(course) == b"a secret for a course of steps"
    for content in (b"", b"  short  \n"):
        (room.folder / "course.key").write_bytes(content)
        with pytest.raises(OutsideError, match="at least 16 bytes"):
            read_secret(course)


BAD_ROSTERS = {
    "empty": ("", "id"), "no id": ("name,email\na,b\n", "id"), "other column twice": ("id,Age,Age\na,3,3\n", "Age"),
    "twice": ("id\na\nb\na\n", "line 4"), "blank id": ("id,name\n,x\n", "line 2"), "too few cells": ("id,name\na\n", "line 2"),
    "column twice": ("id,id\na,b\n", "once"), "open quote": ('id\n"a\n', "CSV"),
    "control character": ("id\n\x1ba\n", "printable"),
    "too many": ("id\n" + "".join(f"{n}\n" for n in range(50_001)), "50000"), "long": ("id\n" + "a" * 3000, "2000"),
}  # fmt: skip


@pytest.mark.parametrize("case", BAD_ROSTERS, ids=lambda case: case.replace(" ", "-"))
def test_a_bad_roster_is_refused(case: str, tmp_path: Path) -> None:
    text, words = BAD_ROSTERS[case]
    file = tmp_path / "roster.csv"
    file.write_text(text, "utf-8")
    with pytest.raises(OutsideError) as refused:
        read_roster(file)
    assert words in str(refused.value)


def test_a_roster_as_spreadsheets_write_it(tmp_path: Path) -> None:
    file = tmp_path / "roster.csv"
    file.write_bytes('\ufeffEmail,ID,Name\r\nx@y.example,k09,"학01, κ01 ""Kiln"""\r\n\r\n,a1,\r\n'.encode())
    learners = read_roster(file).learners
    assert [(one.id, one.name, one.email) for one in learners] == [
        ("a1", "", ""), ("k09", '학01, κ01 "Kiln"', "x@y.example"),
    ]  # fmt: skip
    assert [one.title for one in learners] == ["a1", '학01, κ01 "Kiln"']


def test_codes_say_nothing_and_differ_by_secret() -> None:
    assert anonymous_code("k01", b"one") != anonymous_code("k01", b"two")
    assert anonymous_code("k01", b"one") != anonymous_code("k02", b"one")
    assert "k01" not in anonymous_code("k01", b"one")


def test_times_of_handing_in(tmp_path: Path) -> None:
    file = tmp_path / "received.csv"
    file.write_text("file,received\na.evening,2026-12-01T19:03:00+01:00\nb.evening,2026-12-01T18:03:00Z\n", "utf-8")
    assert {one.when for one in read_received(file).values()} == {datetime(2026, 12, 1, 18, 3, tzinfo=UTC)}
    for bad in ("2026-12-01T19:03:00", "yesterday", "", "9999-99-99T00:00:00Z"):
        file.write_text(f"file,received\na.evening,{bad}\n", "utf-8")
        with pytest.raises(OutsideError, match="line 2"):
            read_received(file)


BAD_OVERRIDES = ("k01,x,nan,why", "k01,x,-1,why", "k01,x,1e9,why", "k01,x,1_0,why", "k01,x,ten,why", "k01,x,10,",
                 ",x,10,why", "k01,x,10,why\nk01,x,11,why")  # fmt: skip


@pytest.mark.parametrize("row", BAD_OVERRIDES, ids=range(len(BAD_OVERRIDES)))
def test_a_bad_override_is_refused_by_line(row: str, tmp_path: Path) -> None:
    file = tmp_path / "overrides.csv"
    file.write_text(f"learner,exercise,points,reason\n{row}\n", "utf-8")
    with pytest.raises(OutsideError, match=r"line [23]"):
        read_overrides(file)


GOOD_COLUMN = '[[column]]\nheader = "ID"\nsource = "id"\n'
BAD_MAPPINGS = {
    "unknown source": GOOD_COLUMN + '[[column]]\nheader = "x"\nsource = "shoe-size"\n',
    "which exercise": GOOD_COLUMN + '[[column]]\nheader = "x"\nsource = "points"\n',
    "no such exercise": GOOD_COLUMN + '[[column]]\nheader = "x"\nsource = "points"\nexercise = "other"\n',
    "needless exercise": '[[column]]\nheader = "ID"\nsource = "id"\nexercise = "grey-steps"\n',
    "format": GOOD_COLUMN + '[[column]]\nheader = "x"\nsource = "total"\nformat = "{0.__class__}"\n',
    "no key column": '[[column]]\nheader = "x"\nsource = "name"\n',
    "empty": "column = []\n",
}  # fmt: skip


@pytest.mark.parametrize("case", BAD_MAPPINGS, ids=lambda case: case.replace(" ", "-"))
def test_a_bad_mapping_is_refused(case: str, tmp_path: Path) -> None:
    file = tmp_path / "mapping.toml"
    file.write_text("format = 1\n" + BAD_MAPPINGS[case], "utf-8")
    with pytest.raises(OutsideError):
        read_mapping(file, ("grey-steps",))


def test_files_in_folders_of_their_own_are_told_apart(room: ClassRoom, tmp_path: Path) -> None:
    for who in ("k01", "k02"):
        (room.box / who).mkdir(parents=True)
        room.hand(who, f"{who}/evening.jsonl")
    (room.box / ".hidden").write_text("x", "utf-8")
    early, late = datetime(2026, 11, 1, tzinfo=UTC), datetime(2026, 11, 2, tzinfo=UTC)
    found = find_files(room.box, {"k01/evening.jsonl": Received(early), "evening.jsonl": Received(late)})
    assert (found[0].name, found[0].problem) == (".hidden", "a hidden file, which was not looked into")
    assert [(f.name, f.learner, f.exercise, f.received) for f in found[1:]] == [
        ("k01/evening.jsonl", "k01", "grey-steps", early), ("k02/evening.jsonl", "k02", "grey-steps", late),
    ]  # fmt: skip
    assert found[1].negatives == ("step-wedge",)


FIRST_LINES = (b"", b"\n", b"[]\n", b'{"data": 3}\n', b'{"data": {"learner": ["x"], "negatives": "y"}}\n', b"\xff\n",
               b'{"data": {"learner": "' + b"x" * 201 + b'"}}\n', b'{"a": 1, "a": 2}\n', b" " * 20_000)  # fmt: skip


@pytest.mark.parametrize("data", FIRST_LINES, ids=range(len(FIRST_LINES)))
def test_a_first_line_that_says_nothing_says_nothing(data: bytes) -> None:
    assert first_words(data) == FirstWords()
