"""The list of what came in, as the system that received it tells: which file, when, and, where it says so, from whom."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sim.marking.csv_tables import no_repeats, read_table
from sim.marking.moments import moment_in
from sim.reading import Problem, shown
from sim.refusals import refuse_any

MOST_LISTED, MOST_LIST_BYTES = 200_000, 32 * 1024 * 1024


@dataclass(frozen=True, slots=True)
class Received:
    """A line of the list: when the file came (None: the list does not say), and who handed it in (empty: not said).

    Not ``in_list``: nothing stands in a list, but the file's name says who handed it in.
    """

    when: datetime | None
    uploader: str = ""
    in_list: bool = True


def read_received(file: Path) -> dict[str, Received]:
    """Return what came in by file name, from a CSV with the columns file, received (ISO 8601 with offset) and uploader.

    ``uploader`` may be missing. It is a learner's id or e-mail address. Raises OutsideError.
    """
    rows = read_table(file, ("file", "received"), ("uploader",), MOST_LISTED, MOST_LIST_BYTES)
    no_repeats(file, rows, ("file",))
    listed, problems = {}, []
    for row in rows:
        when = moment_in(row.cells["received"])
        if when is None:
            rule = "must be a time such as 2026-12-01T18:03:00+01:00"
            problems.append(Problem(f"line {row.line}: received", rule, shown(row.cells["received"])))
        else:
            listed[row.cells["file"]] = Received(when, row.cells.get("uploader", ""))
    refuse_any(file, problems[:40])
    return listed
