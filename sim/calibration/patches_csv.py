"""Grey patches made with one's own enlarger, as a table: how each was exposed and what it reads.

    height_mm, f_number, filter, seconds, density, bursts, wedge, where
    620,       8,        2,      10,      0.74,    1,      0.60,  centre
    620,       8,        2,      10,      0.69,    10,     0.60,  centre

``bursts``, ``wedge`` and ``where`` may be left out. Every kind of row improves something: another height the law of size,
another aperture the ring's true stops, another filter its true cost, ten bursts of a second the dead time of lamp and timer,
``corner`` the fall-off.
"""

from __future__ import annotations

import csv
import io
import math
from pathlib import Path

from sim.calibration.own_enlarger import Patch
from sim.enlarger.filters import FilterSetting
from sim.reading import Problem, SyntaxRefused, ValueRefused, read_text, shown
from sim.refusals import Refused

NEEDED, MORE = ("height_mm", "f_number", "filter", "seconds", "density"), ("bursts", "wedge", "where")
RANGES = {"height_mm": (100.0, 3000.0), "f_number": (1.0, 90.0), "seconds": (0.1, 3600.0), "density": (0.0, 4.0),
          "bursts": (1.0, 100.0), "wedge": (0.0, 4.0)}  # fmt: skip
MOST_ROWS, MOST_BYTES = 200, 64 * 1024


def read_patches(file: Path) -> tuple[Patch, ...]:
    """Return the patches of a CSV file. Raises OutsideError with line, rule and value received."""
    reader = csv.reader(io.StringIO(read_text(file, MOST_BYTES), newline=""), strict=True)
    try:
        lines = [
            (reader.line_num, [cell.strip() for cell in cells]) for cells in reader if any(c.strip() for c in cells)
        ]
    except csv.Error as error:
        raise SyntaxRefused(file, [Problem("", f"line {reader.line_num}: is not a CSV line ({error})", "")]) from None
    header = [name.lower() for name in lines[0][1]] if lines else []
    wrong = [name for name in header if name not in (*NEEDED, *MORE)]
    if wrong or not set(NEEDED) <= set(header) or len(set(header)) < len(header):
        raise _refused(
            file, 1, f"must begin with {', '.join(NEEDED)}, and if wanted {', '.join(MORE)}", ", ".join(header)[:80]
        )
    if not 2 <= len(lines) <= MOST_ROWS + 1:
        raise _refused(file, 2, f"must hold 1 to {MOST_ROWS} rows of readings", str(max(len(lines) - 1, 0)))
    return tuple(_patch(file, number, header, cells) for number, cells in lines[1:])


def _patch(file: Path, line: int, header: list[str], cells: list[str]) -> Patch:
    if len(cells) != len(header):
        raise _refused(file, line, f"must have {len(header)} cells ({', '.join(header)})", f"{len(cells)}")
    row = dict(zip(header, cells, strict=True))
    try:
        filter_name = FilterSetting.named(row["filter"]).name
    except Refused as error:
        raise _refused(file, line, str(error), "") from None
    number = {key: _number(file, line, key, row[key]) for key in RANGES if row.get(key)}
    if missing := [key for key in NEEDED if not row[key]]:
        raise _refused(file, line, f"must have {', '.join(missing)}", "an empty cell")
    where = row.get("where", "") or "centre"
    if where not in ("centre", "corner"):
        raise _refused(file, line, "where must be centre or corner", shown(where))
    return Patch(
        number["height_mm"], number["f_number"], filter_name, number["seconds"], number["density"],
        round(number.get("bursts", 1.0)), number.get("wedge", 0.0), where == "corner", line,
    )  # fmt: skip


def _number(file: Path, line: int, key: str, text: str) -> float:
    low, high = RANGES[key]
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not low <= value <= high:
        raise _refused(file, line, f"{key} must be a number between {low:g} and {high:g}", shown(text))
    return value


def _refused(file: Path, line: int, rule: str, received: str) -> ValueRefused:
    return ValueRefused(file, [Problem("", f"line {line}: {rule}", received)])
