"""Tables that come from outside as CSV: roster, times of handing in, overrides. Read strictly, every error with its line."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sim.reading import MAX_STRING, Problem, SyntaxRefused, ValueRefused, read_text, shown

MAX_TABLE_BYTES = 16 * 1024 * 1024
MAX_ROWS = 50_000


@dataclass(frozen=True)
class TableRow:
    """One line of a table: its number in the file (from 1, the header is 1) and its cells by column."""

    line: int
    cells: dict[str, str]


def read_table(
    file: Path, required: Sequence[str], optional: Sequence[str] = (), most_rows: int = MAX_ROWS,
    most_bytes: int = MAX_TABLE_BYTES,
) -> tuple[TableRow, ...]:  # fmt: skip
    """Return the rows of a CSV file with a header line (RFC 4180, UTF-8, comma). Raises OutsideError.

    Columns may stand in any order; others than those asked for are refused by name. Empty lines are passed over.
    """
    text = read_text(file, most_bytes)
    rows: list[TableRow] = []
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        header = [name.strip().lower() for name in next(reader, [])]
        _check_header(file, header, required, optional)
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if len(rows) >= most_rows:
                raise ValueRefused(file, [Problem("", f"must not have more than {most_rows} rows", "more")])
            rows.append(TableRow(reader.line_num, _cells(file, reader.line_num, header, cells)))
    except csv.Error as error:
        rule = f"line {reader.line_num}: is not a CSV line ({str(error)[:120]})"
        raise SyntaxRefused(file, [Problem("", rule, "")]) from None
    return tuple(rows)


def _check_header(file: Path, header: list[str], required: Sequence[str], optional: Sequence[str]) -> None:
    problems = [Problem(name, "is a required column and missing", "") for name in required if name not in header]
    known = {*required, *optional}
    problems += [
        Problem(shown(name), f"is not a known column ({', '.join((*required, *optional))})", "")
        for name in header[:40]
        if name not in known
    ]
    problems += [Problem(name, "must stand only once in the header", "twice") for name in known if header.count(name) > 1]
    if problems:
        raise ValueRefused(file, problems)


def _cells(file: Path, line: int, header: list[str], cells: list[str]) -> dict[str, str]:
    if len(cells) != len(header):
        raise ValueRefused(file, [Problem(f"line {line}", f"must have {len(header)} cells", str(len(cells)))])
    problems = []
    for name, cell in zip(header, cells, strict=True):
        if len(cell) > MAX_STRING:
            problems.append(Problem(f"line {line}: {name}", f"must not be longer than {MAX_STRING}", str(len(cell))))
        elif any(not c.isprintable() for c in cell):
            problems.append(Problem(f"line {line}: {name}", "must be printable text", shown(cell)))
    if problems:
        raise ValueRefused(file, problems)
    return {name: cell.strip() for name, cell in zip(header, cells, strict=True)}


def no_repeats(file: Path, rows: Sequence[TableRow], columns: Sequence[str]) -> None:
    """Raise ValueRefused when two rows have the same values in these columns, or an empty one."""
    seen: dict[tuple[str, ...], int] = {}
    problems = []
    for row in rows:
        key = tuple(row.cells[name] for name in columns)
        if not all(key):
            problems.append(Problem(f"line {row.line}: {', '.join(columns)}", "must not be empty", shown(key)))
        elif key in seen:
            rule = f"must not repeat line {seen[key]}"
            problems.append(Problem(f"line {row.line}: {', '.join(columns)}", rule, shown(", ".join(key))))
        seen.setdefault(key, row.line)
    if problems:
        raise ValueRefused(file, problems[:40])
