"""The gradebook: mapping, numbers, quoting, formulas kept harmless, and what is reported before it is written."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import pytest
from made_results import four_learners, results, row, submission

from sim.marking.gradebook import Column, Mapping, cell_text, gradebook_text, read_mapping, usual_mapping
from sim.marking.overrides import Override
from sim.marking.preflight import findings
from sim.marking.results import CourseResults, OverrideResult, UnplacedResult

GOOD = submission((1.0, 0.5), "exposure", 2.0)


def table(found: CourseResults, mapping: Mapping) -> list[list[str]]:
    return list(csv.reader(io.StringIO(gradebook_text(found, mapping), newline="")))


def test_the_usual_columns() -> None:
    found = four_learners()
    assert table(found, usual_mapping(found)) == [
        ["id", "name", "email", "one points", "one status", "total"],
        ["a", "Name of a", "a@kiln.example", "80.00", "marked", "80.00"],
        ["b", "Name of b", "b@kiln.example", "40.00", "marked", "40.00"],
        ["c", "Name of c", "c@kiln.example", "60.00", "marked", "60.00"],
        ["d", "Name of d", "d@kiln.example", "", "missing", ""],
    ]


def test_lines_end_as_the_standard_says_and_the_file_is_utf_8_without_a_mark() -> None:
    text = gradebook_text(results(row("ä", GOOD, 1.0, name='к07 "K", Ü')), usual_mapping(four_learners()))
    assert text.count("\r\n") == 2
    assert text.replace("\r\n", "").count("\n") == 0
    assert '"к07 ""K"", Ü"' in text
    assert not text.encode("utf-8").startswith(b"\xef\xbb\xbf")


FORMULAS = ("=1+1", "+49", "-2", "@SUM(A1)", "\t=1", "=cmd|' /C calc'!A0")


@pytest.mark.parametrize("name", FORMULAS, ids=range(len(FORMULAS)))
def test_what_a_spreadsheet_would_reckon_gets_an_apostrophe(name: str) -> None:
    found = results(row("a", GOOD, 1.0, name=name))
    cell = table(found, usual_mapping(found))[1][1]
    assert cell.lstrip("'").lstrip()[:1] in "=+-@"
    assert cell[0] not in "=+-@\t\r"


def test_a_negative_number_is_a_number() -> None:
    assert cell_text(Column("x", "points", format=".1f"), -2.25) == "-2.2"
    assert cell_text(Column("x", "points"), -2.25) == "-2.25"


NUMBERS = {(2 / 3, ".2f"): "0.67", (2 / 3, ".0f"): "1", (2 / 3, ""): "0.666667", (80.0, ""): "80", (None, ".2f"): "-",
           (1234567.0, ".2f"): "1234567.00"}  # fmt: skip


@pytest.mark.parametrize("case", NUMBERS, ids=str)
def test_numbers_have_points_and_no_other_marks(case: tuple[float | None, str]) -> None:
    assert cell_text(Column("x", "points", format=case[1], blank="-"), case[0]) == NUMBERS[case]


def test_a_mapping_serves_another_systems_import(tmp_path: Path) -> None:
    file = tmp_path / "mapping.toml"
    file.write_text(
        'format = 1\nidentity = "email"\n'
        '[[column]]\nheader = "E-Mail"\nsource = "email"\n'
        '[[column]]\nheader = "Exercise 1 [max 100]"\nsource = "percent"\nexercise = "one"\nformat = ".1f"\nblank = "0"\n'
        '[[column]]\nheader = "Tries"\nsource = "attempts"\nexercise = "one"\n',
        "utf-8",
    )
    assert table(four_learners(), read_mapping(file, ("one",))) == [
        ["E-Mail", "Exercise 1 [max 100]", "Tries"], ["a@kiln.example", "80.0", "2"], ["b@kiln.example", "40.0", "3"],
        ["c@kiln.example", "60.0", "1"], ["d@kiln.example", "0", "0"],
    ]  # fmt: skip


def test_one_line_for_each_exercise(tmp_path: Path) -> None:
    file = tmp_path / "mapping.toml"
    file.write_text(
        'format = 1\nline_per = "exercise"\n[[column]]\nheader = "ID"\nsource = "id"\n'
        '[[column]]\nheader = "Work"\nsource = "exercise"\n[[column]]\nheader = "Points"\nsource = "points"\nformat = ".0f"\n',
        "utf-8",
    )
    found = results(
        row("b", GOOD, 5.0), row("b", GOOD, 7.0, exercise="two"), row("a", GOOD, 6.0), row("a", None, None, exercise="two"),
        exercises=("one", "two"),
    )  # fmt: skip
    assert table(found, read_mapping(file, ("one", "two")))[1:] == [
        ["a", "one", "6"], ["a", "two", ""], ["b", "one", "5"], ["b", "two", "7"],
    ]  # fmt: skip


def kinds(found: CourseResults, mapping: Mapping | None = None, overrides: tuple[Override, ...] = ()) -> list[Any]:
    known = [one.learner for one in found.rows]
    return [(f.kind, f.stops) for f in findings(found, mapping or usual_mapping(found), overrides, known)]


def test_nothing_to_report() -> None:
    assert kinds(results(row("a", GOOD, 80.0))) == []


BY_EMAIL = Mapping((Column("mail", "email"),), identity="email")
STRAY = UnplacedResult(file="x", content="c", status="needs-person", reasons=["whose?"])
REPORTED = {
    "blank mark": (results(row("d", None, None)), None, (), [("blank", False)]),
    "over the maximum": (results(row("a", GOOD, 101.0)), None, (), [("over-maximum", False)]),
    "unknown file": (results(row("a", GOOD, 1.0), unplaced=[STRAY]), None, (), [("unknown id", False)]),
    "override for a stranger": (results(row("a", GOOD, 1.0)), None, (Override("z", "one", 1.0, "r"),), [("unknown id", False)]),
    "override elsewhere": (results(row("a", GOOD, 1.0)), None, (Override("a", "two", 1.0, "r"),), [("unknown id", False)]),
    "same address twice": (
        results(row("a", GOOD, 1.0, email="x@y"), row("b", GOOD, 1.0, email="x@y")), BY_EMAIL, (), [("duplicate", True)],
    ),
    "no address": (results(row("a", GOOD, 1.0, email="")), BY_EMAIL, (), [("blank", True)]),
    "address not asked for": (results(row("a", GOOD, 1.0, email="")), None, (), []),
}  # fmt: skip


@pytest.mark.parametrize("case", REPORTED, ids=lambda case: case.replace(" ", "-"))
def test_what_is_reported_before_writing(case: str) -> None:
    found, mapping, overrides, expected = REPORTED[case]
    assert kinds(found, mapping, overrides) == expected


def test_a_persons_points_count_and_say_why() -> None:
    mapping = Mapping((Column("id", "id"), Column("p", "points", "one", ".1f"), Column("why", "override_reason", "one")))
    given = OverrideResult(points=90.0, reason="=the scale was mislabelled")
    assert table(results(row("a", GOOD, 90.0, override=given)), mapping)[1] == ["a", "90.0", "'=the scale was mislabelled"]


def test_a_key_that_looks_like_a_formula_is_reported() -> None:
    found = results(row("-k02", None, None), row("k-01", None, None))
    said = [one.words for one in findings(found, usual_mapping(found), (), ["-k02", "k-01"]) if one.kind == "formula"]
    assert len(said) == 1
    assert said[0].startswith("the id -k02 a spreadsheet would take for a formula")


def test_what_a_total_is_out_of_leaves_out_what_is_held_back_or_excused(tmp_path: Path) -> None:
    columns = (Column("id", "id"), Column("total", "total"), Column("of", "total_full"))
    def found(held: bool) -> str:
        rows = [row("a", None, 50.0), row("a", None, 60.0, exercise="two"), row("b", None, None, status="excused"),
                row("b", None, 60.0, exercise="two")]  # fmt: skip
        made = results(*rows, exercises=("one", "two"))
        listed = [one.model_copy(update={"held_back": held and one.name == "two"}) for one in made.exercises]
        return gradebook_text(made.model_copy(update={"exercises": listed}), Mapping(columns, row_of_maxima=True))
    assert found(False).split() == ["id,total,of", ",200,200", "a,110,200", "b,60,100"]
    assert found(True).split() == ["id,total,of", ",100,100", "a,50,100", "b,,0"]  # nobody owes anything: 0, and no fault


@pytest.mark.parametrize("header", ["Section", "section", "SECTION"])
def test_a_column_of_the_roster_is_found_whatever_its_capitals(header: str) -> None:
    found = results(row("a", GOOD, 80.0, more={header: "blue"}))
    mapping = Mapping((Column("ID", "id"), Column("Group", "roster:Section")))
    assert table(found, mapping)[1] == ["a", "blue"]
