"""The gradebook: one CSV writer driven by a table of columns, so that any course system's import can be served.

UTF-8, RFC 4180 (CRLF, quotes doubled), '.' decimals, sorted by id. A text that a spreadsheet would take for a formula
gets an apostrophe. What would go wrong on import is reported before a byte is written.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from sim.marking.held_back import as_given_out
from sim.marking.results import CourseResults, DecisionResult, OverrideResult, RowResult
from sim.marking.statuses import shown_status
from sim.plain_text import table_cell, table_text
from sim.reading import Problem, read_toml_of_format, shown
from sim.refusals import refuse_any

EACH = "*"  # of a column's exercise: one such column for every exercise of the course
ROSTER = "roster:"
SHIPPED_MAPPINGS = Path(__file__).with_name("templates") / "mappings"
NUMBER_FORMAT = r"^(\.[0-6]f|)$"
LEARNER_FIELDS = ("id", "name", "email", "total", "total_full")
NUMBER_FIELDS = ("points", "full_points", "percent", "points_before_late", "late_percent", "attempts", "sheets_used")
TEXT_FIELDS = ("exercise", "status", "received", "reasons", "override_reason", "override_private", "advice")

Cell = str | float | None


@dataclass(frozen=True)
class Column:
    """A column: its header, the field it shows, of which exercise, and how a number is written.

    ``roster:HEADER`` shows another column of the roster. For exercise ``*`` the column stands once for each; its header may
    hold {name} and {title}.
    """

    header: Annotated[str, Field(min_length=1, max_length=200)]
    source: Annotated[str, Field(max_length=40)]
    exercise: Annotated[str, Field(max_length=64)] = ""
    format: Annotated[str, Field(pattern=NUMBER_FORMAT)] = ""
    blank: Annotated[str, Field(max_length=40)] = ""


@dataclass(frozen=True)
class Mapping:
    """A gradebook's columns; one line per learner, or one per learner and exercise. ``identity`` is the key column.

    With ``row_of_maxima`` the line below the headers says what each column of points is out of.
    """

    columns: Annotated[tuple[Column, ...], Field(validation_alias="column", min_length=1, max_length=200)]
    line_per: Literal["learner", "exercise"] = "learner"
    identity: Literal["id", "email"] = "id"
    row_of_maxima: bool = False


def read_mapping(file: Path, exercises: tuple[str, ...]) -> Mapping:
    """Return the columns of a TOML file, checked against the course's exercises. Raises OutsideError."""
    data = _for_each(read_toml_of_format(file, Mapping), exercises)
    problems = []
    if data.row_of_maxima and data.line_per == "exercise":
        problems.append(Problem("row_of_maxima", "has a meaning only with a line per learner", "true"))
    for index, column in enumerate(data.columns):
        known = (*LEARNER_FIELDS, *NUMBER_FIELDS, *TEXT_FIELDS)
        if column.source.startswith(ROSTER) and column.source != ROSTER:
            continue
        if column.source not in known:
            problems.append(Problem(f"column[{index}].source", f"must be one of {', '.join(known)}", shown(column.source)))
        needs = data.line_per == "learner" and column.source not in LEARNER_FIELDS
        if needs and column.exercise not in exercises:
            rule = f"must be one of {', '.join(exercises)}"
            problems.append(Problem(f"column[{index}].exercise", rule, shown(column.exercise)))
        if not needs and column.exercise:
            problems.append(Problem(f"column[{index}].exercise", "has no meaning for this column", shown(column.exercise)))
    if data.identity not in {column.source for column in data.columns}:
        problems.append(Problem("identity", f"needs a column whose source is {data.identity!r}", "none"))
    refuse_any(file, problems)
    return data


def mapping_file(name: str) -> Path:
    """Return the file of a mapping: one of the examples that come with the program by its name, else a file of one's own."""
    shipped = SHIPPED_MAPPINGS / f"{name}.toml"
    return shipped if name in shipped_mappings() else Path(name)


def shipped_mappings() -> tuple[str, ...]:
    """Return the names of the examples that come with the program."""
    return tuple(sorted(file.stem for file in SHIPPED_MAPPINGS.glob("*.toml")))


def _for_each(mapping: Mapping, exercises: tuple[str, ...]) -> Mapping:
    """Return the mapping with a column for every exercise where one stands for each; {title} waits for the results."""
    columns: list[Column] = []
    for column in mapping.columns:
        if column.exercise != EACH:
            columns.append(column)
            continue
        columns += [replace(column, exercise=name, header=column.header.replace("{name}", name)) for name in exercises]
    return replace(mapping, columns=tuple(columns))


def usual_mapping(results: CourseResults) -> Mapping:
    """Return the columns used when no mapping is given: who, points and state of every exercise, the sum.

    Where a person decided something with a reason, the reason stands beside the state.
    """
    decided = {
        row.exercise for row in results.rows
        if (said := _settled_by(row)) is not None and said.reason
    }  # fmt: skip
    who = [Column("id", "id"), Column("name", "name"), Column("email", "email")]
    each = [
        column
        for exercise in results.exercises
        for column in (
            Column(f"{exercise.name} points", "points", exercise.name, ".2f"),
            Column(f"{exercise.name} status", "status", exercise.name),
            *([Column(f"{exercise.name} reason", "override_reason", exercise.name)] if exercise.name in decided else []),
        )
    ]
    if results.anonymous:
        who = who[:1]
    return Mapping((*who, *each, Column("total", "total", "", ".2f")))


def _settled_by(row: RowResult) -> OverrideResult | DecisionResult | None:
    """Return what a person's word settled a row; None where there is none, or where it settled nothing."""
    decision = row.decision
    if row.override is not None or decision is None or decision.choice == "partial":  # of points the override tells
        return row.override
    return None if decision.choice == "accept" and not decision.files else decision


def value_of(row: RowResult | None, source: str) -> Cell:
    """Return a field of one learner and exercise."""
    if row is None:
        return None
    submission = row.submission
    said = _settled_by(row)
    values: dict[str, Cell] = {
        "exercise": row.exercise, "status": shown_status(row.status, row.limit), "points": row.points,
        "full_points": row.full_points, "points_before_late": row.points_before_late,
        "percent": None if row.points is None else 100.0 * row.points / row.full_points,
        "late_percent": row.late.percent if row.late else 0.0,
        "attempts": float(sum(attempt.number > 0 for attempt in row.attempts)),
        "sheets_used": submission.sheets_used if submission and row.points_before_late is not None else None,
        "received": next((a.received for a in row.attempts if a.counted), ""),
        "reasons": "; ".join(row.reasons),
        "override_reason": said.reason if said else "", "override_private": said.private if said else "",
        "advice": submission.advice[0].cause if submission and submission.advice else "",
    }  # fmt: skip
    return _of_roster(row, source.removeprefix(ROSTER)) if source.startswith(ROSTER) else values[source]


def _of_roster(row: RowResult, header: str) -> str:
    """Return what the roster has under a header; where none is written just so, under the one that has other capitals."""
    named = {name.casefold(): value for name, value in row.more.items()}
    return row.more.get(header, named.get(header.casefold(), ""))


def _lines(results: CourseResults, mapping: Mapping) -> list[list[tuple[Column, Cell]]]:
    by_learner: dict[str, list[RowResult]] = {}
    held = {one.name for one in results.exercises if one.held_back}
    for row in as_given_out(results).rows:
        by_learner.setdefault(row.learner, []).append(row)
    lines = []
    for _, rows in sorted(by_learner.items()):
        if mapping.line_per == "learner":
            lines.append([(column, _learner_value(rows, column, None, held)) for column in mapping.columns])
        else:
            lines += [[(column, _learner_value(rows, column, row, held)) for column in mapping.columns] for row in rows]
    return lines


def _learner_value(rows: list[RowResult], column: Column, row: RowResult | None, held: Collection[str]) -> Cell:
    first = rows[0]
    points = [one.points for one in rows if one.points is not None]
    about: dict[str, Cell] = {
        "id": first.learner, "name": first.name, "email": first.email, "total": sum(points) if points else None,
        "total_full": sum((one.full_points for one in rows if one.status != "excused" and one.exercise not in held), 0.0),
    }  # fmt: skip
    if column.source in about:
        return about[column.source]
    if column.source.startswith(ROSTER):
        return value_of(first, column.source)
    return value_of(row or next((one for one in rows if one.exercise == column.exercise), None), column.source)


def cell_text(column: Column, value: Cell) -> str:
    """Return a cell as it stands in the file."""
    if value is None or value == "":
        return column.blank
    if isinstance(value, float):
        return format(value, column.format) if column.format else f"{round(value, 6):g}"
    return table_cell(value)


def _maximum(results: CourseResults, column: Column) -> Cell:
    """Return what a column of points is out of; empty for any other."""
    full = {one.name: one.points for one in results.exercises}
    if column.source in ("points", "full_points", "points_before_late"):
        return full.get(column.exercise)
    told = sum((one.points for one in results.exercises if not one.held_back), 0.0)
    return {"percent": 100.0, "total": told, "total_full": told}.get(column.source)


def gradebook_text(results: CourseResults, mapping: Mapping) -> str:
    """Return the gradebook as CSV text."""
    titles = {one.name: one.title for one in results.exercises}
    lines: list[list[tuple[Column, Cell]]] = [
        [
            (Column("", ""), column.header.replace("{title}", titles.get(column.exercise, "")))
            for column in mapping.columns
        ]
    ]
    if mapping.row_of_maxima:
        lines.append([(column, _maximum(results, column)) for column in mapping.columns])
    return table_text([cell_text(*cell) for cell in line] for line in (*lines, *_lines(results, mapping)))
