"""Tables that come from outside as CSV: roster, times of handing in, overrides. Read strictly, every error with its line."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import MISSING, dataclass, field, fields, replace
from pathlib import Path
from typing import TypeVar, get_type_hints

from sim.reading import (
    MAX_STRING,
    FileRefused,
    Problem,
    SyntaxRefused,
    ValueRefused,
    read_bytes,
    read_text,
    shown,
    validate,
    written_as,
)
from sim.refusals import refuse_any

MAX_TABLE_BYTES = 16 * 1024 * 1024
MAX_ROWS = 50_000
MOST_COLUMNS = 100
JOINERS = "\u200c\u200d"  # of the scripts whose letters are joined or kept apart by them
Row = TypeVar("Row")
MORE = "+ "  # before the header of a column that is only handed on


@dataclass(frozen=True)
class TableRow:
    """One line of a table: its number in the file (from 1, the header is 1) and its cells by column."""

    line: int
    cells: dict[str, str]
    more: dict[str, str] = field(default_factory=dict)  # other columns, by their headers as they are written


def read_table(
    file: Path, required: Sequence[str], optional: Sequence[str] = (), most_rows: int = MAX_ROWS,
    most_bytes: int = MAX_TABLE_BYTES, headers: Mapping[str, str] | None = None, others: bool = False,
) -> tuple[TableRow, ...]:  # fmt: skip
    """Return the rows of a CSV file with a header line (RFC 4180, UTF-8). Raises OutsideError.

    Cells are parted by commas, semicolons or tabs, whatever parts the header. Columns may stand in any order; others than
    those asked for are refused by name, or handed on where ``others`` are welcome. ``headers`` says what columns are called
    here that we call otherwise. Empty lines are passed over.
    """
    text = _text(file, most_bytes)
    rows: list[TableRow] = []
    reader = csv.reader(io.StringIO(text, newline=""), strict=True, delimiter=_parted_by(text))
    ours = {there.strip().casefold(): here for here, there in (headers or {}).items()}
    try:
        written = [name.strip() for name in next(reader, [])]
        header = [ours.get(name.casefold(), name.lower()) for name in written]
        known = {*required, *optional}
        if others:
            header = [name if name in known else f"{MORE}{as_written}" for name, as_written in zip(header, written)]
        _check_header(file, header, required, optional)
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if len(rows) >= most_rows:
                raise ValueRefused(file, [Problem("", f"must not have more than {most_rows} rows", "more")])
            found = _cells(file, reader.line_num, header, cells)
            more = {name.removeprefix(MORE): cell for name, cell in found.items() if name.startswith(MORE) and name != MORE}
            rows.append(TableRow(reader.line_num, {k: v for k, v in found.items() if k in known}, more))
    except csv.Error as error:
        rule = f"line {reader.line_num}: is not a CSV line ({str(error)[:120]})"
        raise SyntaxRefused(file, [Problem("", rule, "")]) from None
    return tuple(rows)


def read_rows(
    file: Path, form: type[Row], unique: Sequence[str] = ("learner", "exercise"), may_be_empty: Sequence[str] = ()
) -> tuple[Row, ...]:
    """Return the lines of a table as frozen dataclasses: columns are the fields; those with a default may be missing.

    An empty cell counts as missing. No two lines may have the same ``unique`` cells, and none of them but those that
    ``may_be_empty`` may be empty. Raises OutsideError naming every line and column that is wrong.
    """
    hints = get_type_hints(form, include_extras=True)
    columns: dict[bool, list[str]] = {True: [], False: []}
    for field_ in fields(form):  # type: ignore[arg-type]
        columns[field_.default is MISSING].append(written_as(field_.name, hints[field_.name]))
    rows = read_table(file, columns[True], columns[False])
    no_repeats(file, rows, unique, may_be_empty)
    found, problems = [], []
    for row in rows:
        try:
            found.append(validate(file, {name: cell for name, cell in row.cells.items() if cell}, form))
        except ValueRefused as error:
            line = f"line {row.line}"
            problems += [replace(one, key=f"{line}: {one.key}" if one.key else line) for one in error.problems]
    refuse_any(file, problems[:40])
    return tuple(found)


def _text(file: Path, most_bytes: int) -> str:
    """Return a table's text. Raises FileRefused that says what to do about a spreadsheet's older ways of writing letters."""
    try:
        return read_text(file, most_bytes)
    except FileRefused as refused:
        if not any("UTF-8" in problem.rule for problem in refused.problems):
            raise
        data = read_bytes(file, most_bytes)
        looks = "UTF-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "Latin-1 or Windows-1252"
        rule = f"must be UTF-8 text; it looks like {looks}: save it again as CSV in UTF-8"
        raise FileRefused(file, [Problem(_first_that_is_none(data), rule, "")]) from None


def _first_that_is_none(data: bytes) -> str:
    """Return line and column of the first letter that is not written in UTF-8."""
    text = data.removeprefix(codecs.BOM_UTF8)
    try:
        text.decode("utf-8")
    except UnicodeDecodeError as error:
        before = text[: error.start].decode("utf-8")
        return f"line {before.count(chr(10)) + 1}, column {len(before) - before.rfind(chr(10))}"
    return ""


def _parted_by(text: str) -> str:
    """Return what parts the cells of a table: of comma, semicolon and tab the one that its first line has most of."""
    first = text.split("\n", 1)[0]
    return max(",;\t", key=first.count)  # the comma where there is only one column


def _check_header(file: Path, header: list[str], required: Sequence[str], optional: Sequence[str]) -> None:
    problems = [Problem(name, "is a required column and missing", "") for name in required if name not in header]
    known = {*required, *optional}
    problems += [
        Problem(shown(name), f"is not a known column ({', '.join((*required, *optional))})", "")
        for name in header[:MOST_COLUMNS]
        if name not in known and not name.startswith(MORE)
    ]
    if len(header) > MOST_COLUMNS:
        problems.append(Problem("", f"must not have more than {MOST_COLUMNS} columns", str(len(header))))
    problems += [
        Problem(name.removeprefix(MORE), "must stand only once in the header", "twice")
        for name in dict.fromkeys(header[:MOST_COLUMNS])
        if header.count(name) > 1 and name != MORE
    ]
    refuse_any(file, problems)


def _cells(file: Path, line: int, header: list[str], cells: list[str]) -> dict[str, str]:
    if len(cells) != len(header):
        raise ValueRefused(file, [Problem(f"line {line}", f"must have {len(header)} cells", str(len(cells)))])
    problems = []
    for name, cell in zip(header, cells, strict=True):
        if len(cell) > MAX_STRING:
            problems.append(Problem(f"line {line}: {name}", f"must not be longer than {MAX_STRING}", str(len(cell))))
        elif not cell.isprintable() and any(not c.isprintable() and c not in JOINERS for c in cell):
            problems.append(Problem(f"line {line}: {name}", "must be printable text", shown(cell)))
    refuse_any(file, problems)
    return {name: cell.strip() for name, cell in zip(header, cells, strict=True)}


def no_repeats(
    file: Path, rows: Sequence[TableRow], columns: Sequence[str], may_be_empty: Sequence[str] = ()
) -> None:
    """Raise ValueRefused when two rows have the same values in these columns, or an empty one that may not be empty."""
    seen: dict[tuple[str, ...], int] = {}
    problems = []
    for row in rows:
        key = tuple(row.cells.get(name, "") for name in columns)
        if not all(cell or name in may_be_empty for name, cell in zip(columns, key, strict=True)):
            problems.append(Problem(f"line {row.line}: {', '.join(columns)}", "must not be empty", shown(key)))
        elif key in seen:
            rule = f"must not repeat line {seen[key]}"
            problems.append(Problem(f"line {row.line}: {', '.join(columns)}", rule, shown(", ".join(key))))
        seen.setdefault(key, row.line)
    refuse_any(file, problems[:40])
