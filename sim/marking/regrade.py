"""What a new run changes against the marks written before: who, where, from what to what. Shown before anything is written."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from sim.marking.results import CourseResults, RowResult
from sim.marking.rows import lean
from sim.marking.statuses import shown_status
from sim.plain_text import table_cell, table_text
from sim.reading import Problem, ValueRefused, read_text

GROUP_FILE = re.compile(r"groups/results-\d{3,5}\.json", re.ASCII)
MAX_RESULTS_BYTES = 256 * 1024 * 1024


@dataclass(frozen=True)
class Change:
    """One learner's mark for one exercise that is not what it was."""

    learner: str
    exercise: str
    before: str
    after: str
    difference: float | None

    def in_words(self) -> str:
        """Return the change as a line."""
        by = "" if self.difference is None else f" ({self.difference:+.2f})"
        return f"{self.learner}, {self.exercise}: {self.before} to {self.after}{by}"


def earlier_results(file: Path) -> CourseResults | None:
    """Return the results written before, or None when there are none. Raises ValueRefused for a damaged file."""
    if not file.is_file():
        return None
    found = _read(file)
    rows = [lean(row) for name in found.groups if GROUP_FILE.fullmatch(name) for row in _read(file.parent / name).rows]
    return found.model_copy(update={"rows": [*found.rows, *rows]})


def _read(file: Path) -> CourseResults:
    try:
        return CourseResults.model_validate_json(read_text(file, MAX_RESULTS_BYTES))
    except ValidationError as error:
        rule = f"is not a results file of this program ({error.error_count()} problems); move it away to start anew"
        raise ValueRefused(file, [Problem("", rule, "")]) from None


def changes_of(before: CourseResults | None, after: CourseResults) -> list[Change]:
    """Return what differs, by learner and exercise; new rows are no change when nothing was written before."""
    if before is None:
        return []
    old = {(row.learner, row.exercise): row for row in before.rows}
    new = {(row.learner, row.exercise): row for row in after.rows}
    changes = []
    for key in sorted({*old, *new}):
        was, now = old.get(key), new.get(key)
        if _mark(was) != _mark(now):
            both = was is not None and now is not None and was.points is not None and now.points is not None
            difference = round(now.points - was.points, 2) if both else None  # type: ignore[union-attr,operator]
            changes.append(Change(key[0], key[1], _mark(was), _mark(now), difference))
    return changes


def changes_in_words(changes: Sequence[Change]) -> str:
    """Return how many marks change, and by how much."""
    count = "1 mark changes" if len(changes) == 1 else f"{len(changes)} marks change"
    found = [change.difference for change in changes if change.difference is not None]
    if not found:
        return f"{count}."
    up, down = sum(one > 0 for one in found), sum(one < 0 for one in found)
    return (f"{count}: {up} up, {down} down; by {min(found):+.2f} to {max(found):+.2f} points, "
            f"{sum(found) / len(found):+.2f} on average.")  # fmt: skip


def changes_text(changes: Sequence[Change]) -> str:
    """Return all changes as a table."""
    lines = []
    for one in changes:
        difference = "" if one.difference is None else f"{one.difference:.2f}"
        lines.append((table_cell(one.learner), one.exercise, one.before, one.after, difference))
    return table_text([("learner", "exercise", "before", "after", "difference"), *lines])


def _mark(row: RowResult | None) -> str:
    if row is None:
        return "no row"
    points = "no points" if row.points is None else f"{row.points:.2f}"
    return f"{points} ({shown_status(row.status, row.limit)}{', given by a person' if row.override else ''})"
