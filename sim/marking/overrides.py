"""Marks given by a person: points with a reason, kept in a table of their own, so that no run of marking forgets them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sim.marking.csv_tables import no_repeats, read_table
from sim.marking.review import points_in
from sim.reading import Problem, ValueRefused, shown


@dataclass(frozen=True)
class Override:
    """Points a person gives a learner for an exercise, and why. They stand as they are: no late rule touches them.

    ``reason`` is for the learner; ``private`` is for whoever teaches and stands on no learner's page. ``learner`` is an id, or
    the code under which a blind marker sees the learner.
    """

    learner: str
    exercise: str
    points: float
    reason: str
    private: str = ""


def read_overrides(file: Path) -> tuple[Override, ...]:
    """Return the overrides of a CSV with the columns learner, exercise, points, reason, private. Raises OutsideError.

    The last column may be missing.
    """
    rows = read_table(file, ("learner", "exercise", "points", "reason"), ("private",))
    no_repeats(file, rows, ("learner", "exercise"))
    found, problems = [], []
    for row in rows:
        points = points_in(row.cells["points"])
        if points is None:
            rule = "must be a number from 0 to 100000 with a decimal point"
            problems.append(Problem(f"line {row.line}: points", rule, shown(row.cells["points"])))
        elif not row.cells["reason"]:
            problems.append(Problem(f"line {row.line}: reason", "is required: say why a person changed the mark", ""))
        else:
            private = row.cells.get("private", "")
            found.append(Override(row.cells["learner"], row.cells["exercise"], points, row.cells["reason"], private))
    if problems:
        raise ValueRefused(file, problems[:40])
    return tuple(found)
