"""Tables of readings that people write, in one way for all of them: cells, lines and numbers.

Cells are parted by commas, semicolons or tabs, whatever parts the first line; where commas do not part cells they may part
decimals, as a spreadsheet writes them in half the world: ``620;8;2;10;0,74``.
"""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass
from pathlib import Path

from sim.reading import Problem, SyntaxRefused, ValueRefused, read_text, shown

MOST_BYTES = 64 * 1024
PARTED_BY = {",": "commas", ";": "semicolons", "\t": "tabs"}


@dataclass(frozen=True)
class NumberTable:
    """The lines of a table that are not empty, each with its number in the file, cells trimmed; and what parts the cells."""

    file: Path
    lines: tuple[tuple[int, tuple[str, ...]], ...]
    parted_by: str

    def refused(self, line: int, rule: str, received: str) -> ValueRefused:
        """Return the refusal of a line."""
        return ValueRefused(self.file, [Problem("", f"line {line}: {rule}", received)])

    def must_have(self, line: int, cells: tuple[str, ...], columns: tuple[str, ...]) -> None:
        """Refuse a line that has more or fewer cells than the table has columns."""
        if len(cells) == len(columns):
            return
        rule = f"must have {len(columns)} cells ({', '.join(columns)})"
        if self.parted_by == "," and len(cells) > len(columns):
            rule = f"{rule}; decimals need a point where commas part the cells, or part the cells by semicolons"
        raise self.refused(line, rule, f"{len(cells)}: {self.parted_by.join(cells)[:60]}")

    def plain(self, text: str) -> str:
        """Return a cell with a decimal comma as with a point."""
        return text.replace(",", ".") if self.parted_by != "," and text.count(",") == 1 and "." not in text else text

    def number(self, line: int, text: str, low: float, high: float, what: str = "") -> float:
        """Return a cell as a number between two bounds; ``what`` names it in the refusal."""
        try:
            value = float(self.plain(text))
        except ValueError:
            value = math.nan
        if not low <= value <= high:
            named = f"{what} " if what else ""
            raise self.refused(line, f"{named}must be a number between {low:g} and {high:g}", shown(text))
        return value


def read_number_table(file: Path) -> NumberTable:
    """Return the lines of a CSV file. Raises OutsideError for one that is too long, no text, or no table."""
    return number_table_of(read_text(file, MOST_BYTES), file)


def number_table_of(text: str, file: Path) -> NumberTable:
    """Return the lines of a table's text; ``file`` stands before its refusals. Raises OutsideError for what is no table."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    parted_by = max(PARTED_BY, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), strict=True, delimiter=parted_by)
    try:
        lines = tuple(
            (reader.line_num, tuple(cell.strip() for cell in cells)) for cells in reader if any(c.strip() for c in cells)
        )
    except csv.Error as error:
        raise SyntaxRefused(file, [Problem("", f"line {reader.line_num}: is not a CSV line ({error})", "")]) from None
    return NumberTable(file, lines, parted_by)
