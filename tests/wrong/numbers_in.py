"""Every number of the physics that could be wrong: in the data files and at the head of the modules.

A ``Number`` says where it stands and what it is called; nothing here knows what a test looks at.
"""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOMS = ("negative", "enlarger", "paper", "printing", "viewing")
# Not physics: sizes of memory and pictures, limits of what may be set or typed, versions, things drawn on the screen, and
# what a file says of how sure it is.
NOT_PHYSICS = re.compile(
    r"BYTES|CHUNK|_PX\b|PX_|_ROWS|MAX_|_CROP|LEAST_|MOST_|FURTHEST|FORMAT|_LAW\b|CODES|NO_LIGHT|LEVELS|MARGIN|SNAP|WORTH|TINTS"
    r"|TARGET|DENSEST|LIMITS|_STEPS|^STEPS|FEW_POINTS|TABLE|FONT|SAME_PLACE|format$|NODES|SAMPLES|USUAL|CONTACT_|SMALL_FORMAT|EDGE_MM"
    r"|^error\.|SPOT|_ALL|PLATE|NOTHING|GRADE_OF|_RANGE\b.*\[|column_mm|gate_mm|widest_f|smallest_f"
)  # fmt: skip
_FIGURE = re.compile(r"(?<![\w.\"-])-?\d+(?:\.\d+)?(?:e-?\d+)?(?![\w.])")


@dataclass(frozen=True)
class Number:
    """One number: file under ``sim``, a name that says which it is, its place in the text and its value."""

    file: str
    name: str
    start: int
    end: int
    value: float

    @property
    def title(self) -> str:
        """Return file and name, as a list of survivors tells them."""
        return f"{self.file} {self.name}"


def numbers_of_data_file(sim: Path, file: str) -> list[Number]:
    """Return the numbers of a stock, film, head, lens or filter file; words and sources left out."""
    text = (sim / file).read_text(encoding="utf-8")
    found, section, entry, at, key = [], "", "", 0, ""
    for line in text.splitlines(keepends=True):
        body = re.sub(r'"[^"]*"', lambda m: "~" * len(m.group()), line.split("#")[0] if '"' not in line else line)
        if header := re.match(r"\[+([\w.-]+)\]+", line):
            section = header.group(1)
            entry = "" if line.startswith("[[") else entry
        if naming := re.search(r'\bname = "([^"]+)"', line):
            entry = naming.group(1)
        if not section.endswith(("sources", "uncertainty")) and not line.startswith(("#", "source", "title")):
            for match in re.finditer(r"(\w+)\s*=|" + _FIGURE.pattern, body):
                if match.group(1):
                    key, place = match.group(1), 0
                elif key:
                    name = ".".join(part for part in (section, entry, key) if part) + (f"[{place}]" if place else "")
                    found.append(Number(file, name, at + match.start(), at + match.end(), float(match.group())))
                    place += 1
        at += len(line)
    return found


def uncertainty_of(sim: Path, number: Number) -> float:
    """Return the standard uncertainty that a data file states for a number of its own; nought where it states none."""
    if not number.file.endswith(".toml"):
        return 0.0
    data = tomllib.loads((sim / number.file).read_text(encoding="utf-8"))
    name = re.sub(r"\[\d+\]$", "", number.name)
    if (kind := name.split(".")[0]) in ("head", "lens"):
        _, entry, name = name.split(".", 2)
        data = next(one for one in data[kind] if one["name"] == entry)
    name = name.removeprefix("developer.")
    stated = data.get("uncertainty", {}).get(name, 0.0)
    return float(stated) if isinstance(stated, float) else 0.0


def numbers_of_module(sim: Path, file: str) -> list[Number]:
    """Return the numbers that a module gives names to (NAME = 0.65 * 12.5 counts as two)."""
    text = (sim / file).read_text(encoding="utf-8")
    starts = [0]
    for line in text.splitlines(keepends=True):
        starts.append(starts[-1] + len(line.encode()))
    raw, found = text.encode(), []
    for statement in ast.parse(text).body:
        target = _assigned(statement)
        if target is None or NOT_PHYSICS.search(target[0]):
            continue
        for place, node in enumerate(_figures(target[1])):
            start = starts[node.lineno - 1] + node.col_offset
            end = starts[(node.end_lineno or node.lineno) - 1] + (node.end_col_offset or 0)
            begin, stop = len(raw[:start].decode()), len(raw[:end].decode())
            name = target[0] + (f"[{place}]" if place else "")
            found.append(Number(file, name, begin, stop, float(node.value)))  # type: ignore[arg-type]
    return found


def _assigned(statement: ast.stmt) -> tuple[str, ast.expr] | None:
    if isinstance(statement, ast.Assign) and isinstance(statement.targets[0], ast.Name | ast.Tuple):
        first = statement.targets[0]
        names = first.elts if isinstance(first, ast.Tuple) else [first]
        name, value = " ".join(ast.unparse(part) for part in names), statement.value
    elif isinstance(statement, ast.AnnAssign) and isinstance(statement.target, ast.Name) and statement.value:
        name, value = statement.target.id, statement.value
    else:
        return None
    return (name, value) if name.replace("_", "A").replace(" ", "").isupper() else None


def _figures(value: ast.expr) -> Iterator[ast.Constant]:
    for node in ast.walk(value):
        if isinstance(node, ast.Constant) and isinstance(node.value, int | float) and not isinstance(node.value, bool):
            yield node


def every_number(sim: Path) -> list[Number]:
    """Return every number of the physics other than nought, in the order of files and places."""
    data = [sim / "enlarger" / "equipment.toml", sim / "enlarger" / "filters.toml"]
    data += [sim / "paper" / "developer.toml"]
    data += sorted((sim / "paper" / "stocks").glob("*.toml")) + sorted((sim / "negative" / "films").glob("*.toml"))
    found: list[Number] = []
    for path in data:
        found += numbers_of_data_file(sim, path.relative_to(sim).as_posix())
    for room in ROOMS:
        for path in sorted((sim / room).glob("*.py")):
            found += numbers_of_module(sim, path.relative_to(sim).as_posix())
    for shared in ("radiation.py", "lost_detail.py"):
        found += numbers_of_module(sim, shared)
    return [number for number in found if number.value != 0.0 and not NOT_PHYSICS.search(number.name)]
