"""Grey patches made with one's own enlarger, as a table: how each was exposed and what it reads.

    height_mm, f_number, filter, seconds, density, bursts, wedge, where
    620,       8,        2,      10,      0.74,    1,      0.60,  centre
    620,       8,        2,      10,      0.69,    10,     0.60,  centre

``bursts``, ``wedge``, ``where``, ``off_mm`` and ``film`` may be left out. Every kind of row improves something: another height
the law of size, another aperture the ring's true stops, another filter its true cost, ten bursts of a second the dead time of
lamp and timer, ``corner`` the fall-off: with ``off_mm``, how far from the middle it was read on the paper, prints with that
head have it too; ``film``, the density above clear film of a film step in the carrier (0: clear film), whether the head's light
is directed or diffuse.
"""

from __future__ import annotations

from pathlib import Path

from sim.calibration.number_table import NumberTable, read_number_table
from sim.calibration.own_enlarger import Patch
from sim.enlarger.filters import FilterSetting
from sim.reading import shown
from sim.refusals import Refused

NEEDED, MORE = ("height_mm", "f_number", "filter", "seconds", "density"), ("bursts", "wedge", "where", "off_mm", "film")
RANGES = {"height_mm": (100.0, 3000.0), "f_number": (1.0, 90.0), "seconds": (0.1, 3600.0), "density": (0.0, 4.0),
          "bursts": (1.0, 100.0), "wedge": (0.0, 4.0), "off_mm": (5.0, 1000.0), "film": (0.0, 4.0)}  # fmt: skip
MOST_ROWS = 200


def read_patches(file: Path) -> tuple[Patch, ...]:
    """Return the patches of a CSV file. Raises OutsideError with line, rule and value received."""
    table = read_number_table(file)
    header = tuple(name.lower() for name in table.lines[0][1]) if table.lines else ()
    wrong = [name for name in header if name not in (*NEEDED, *MORE)]
    if wrong or not set(NEEDED) <= set(header) or len(set(header)) < len(header):
        rule = f"must begin with {', '.join(NEEDED)}, and if wanted {', '.join(MORE)}"
        raise table.refused(table.lines[0][0] if table.lines else 1, rule, ", ".join(header)[:80])
    if not 2 <= len(table.lines) <= MOST_ROWS + 1:
        count = len(table.lines) - 1
        raise table.refused(table.lines[-1][0], f"must hold 1 to {MOST_ROWS} rows of readings", str(count))
    return tuple(_patch(table, number, header, cells) for number, cells in table.lines[1:])


def _patch(table: NumberTable, line: int, header: tuple[str, ...], cells: tuple[str, ...]) -> Patch:
    table.must_have(line, cells, header)
    row = dict(zip(header, cells, strict=True))
    if missing := [key for key in NEEDED if not row[key]]:
        raise table.refused(line, f"must have {', '.join(missing)}", "an empty cell")
    try:
        filter_name = FilterSetting.named(table.plain(row["filter"])).name
    except Refused as error:
        raise table.refused(line, str(error), "") from None
    number = {key: table.number(line, row[key], *RANGES[key], key) for key in RANGES if row.get(key)}
    where = row.get("where", "") or "centre"
    if where not in ("centre", "corner"):
        raise table.refused(line, "where must be centre or corner", shown(where))
    if "off_mm" in number and where != "corner":
        raise table.refused(line, "off_mm must stand with where = corner only", row["off_mm"])
    if "film" in number and where == "corner":
        raise table.refused(line, "film must stand with where = centre only", row["film"])
    return Patch(
        number["height_mm"], number["f_number"], filter_name, number["seconds"], number["density"],
        round(number.get("bursts", 1.0)), number.get("wedge", 0.0), where == "corner", line,
        number.get("off_mm", 0.0), number.get("film"),
    )  # fmt: skip
