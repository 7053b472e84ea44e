"""What a person decided about work that waited for one: accepted, given a part, opened again, or excused. A table of its own.

``accept``: what only a person can settle is settled in the learner's favour, and the evening is marked as any other.
``partial``: these points, in the place of marks. ``re-open``: one more evening may be handed in. ``excused``: nothing is owed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

from sim.marking.csv_tables import TableRow, no_repeats, read_table
from sim.reading import Problem, ValueRefused, shown

Choice = Literal["accept", "partial", "re-open", "excused"]
CHOICES: tuple[str, ...] = get_args(Choice)
MOST_POINTS = 100_000.0


@dataclass(frozen=True)
class Decision:
    """One decision. ``points`` belong to ``partial`` alone; ``reason`` is for the learner, ``private`` for no page of theirs.

    ``learner`` is an id, or the code under which a blind marker sees the learner.
    """

    learner: str
    exercise: str
    choice: Choice
    points: float | None = None
    reason: str = ""
    private: str = ""


def read_decisions(file: Path) -> tuple[Decision, ...]:
    """Return the decisions of a CSV with the columns learner, exercise, decision, points, reason, private.

    The last three may be missing. Raises OutsideError.
    """
    rows = read_table(file, ("learner", "exercise", "decision"), ("points", "reason", "private"))
    no_repeats(file, rows, ("learner", "exercise"))
    found, problems = [], []
    for row in rows:
        wrong = _wrong(row)
        problems += wrong
        if not wrong:
            found.append(_decision(row))
    if problems:
        raise ValueRefused(file, problems[:40])
    return tuple(found)


def _decision(row: TableRow) -> Decision:
    cells = row.cells
    choice = next(one for one in get_args(Choice) if one == cells["decision"])
    return Decision(cells["learner"], cells["exercise"], choice, points_in(cells.get("points", "")),
                    cells.get("reason", ""), cells.get("private", ""))  # fmt: skip


def _wrong(row: TableRow) -> list[Problem]:
    cells, line = row.cells, f"line {row.line}"
    choice, points = cells["decision"], cells.get("points", "")
    if choice not in CHOICES:
        return [Problem(f"{line}: decision", f"must be one of {', '.join(CHOICES)}", shown(choice))]
    if choice != "partial":
        return [Problem(f"{line}: points", "belong to partial alone", shown(points))] if points else []
    problems = []
    if points_in(points) is None:
        rule = f"must be a number from 0 to {MOST_POINTS:.0f} with a decimal point"
        problems.append(Problem(f"{line}: points", rule, shown(points)))
    if not cells.get("reason"):
        problems.append(Problem(f"{line}: reason", "is required: say why a person gave these points", ""))
    return problems


def points_in(text: str) -> float | None:
    """Return points as a table states them, None for what are none."""
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) and 0.0 <= value <= MOST_POINTS and "_" not in text else None
