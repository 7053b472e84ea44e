"""What was handed in: the files of a folder with their content's hash, when each came, and what its first line says.

Only the first line is looked at here, bounded; everything else is read by a worker, behind walls. Times come from the
files themselves or from a table of the system that received them.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from sim.marking.csv_tables import no_repeats, read_table
from sim.reading import (
    MAX_RECORD_BYTES,
    FileRefused,
    OutsideError,
    Problem,
    ValueRefused,
    parse_json,
    read_bytes,
    shown,
)

MAX_FILES = 20_000
MAX_FIRST_LINE = 16_384
MAX_WORD = 200


@dataclass(frozen=True)
class HandedFile:
    """A file handed in; ``shown_as`` is its place in the folder.

    ``problem`` says why it could not even be taken in; ``content`` is then the hash of that.
    """

    path: Path
    content: str
    received: datetime
    learner: str = ""
    exercise: str = ""
    negatives: tuple[str, ...] = ()
    problem: str = ""
    shown_as: str = ""

    @property
    def name(self) -> str:
        """The file's place in the folder, printable."""
        return "".join(c if c.isprintable() else "?" for c in self.shown_as or self.path.name)[:200]


def find_files(folder: Path, received: Mapping[str, datetime] | None = None) -> tuple[HandedFile, ...]:
    """Return the files of a folder and the folders in it, by name. Hidden files are passed over, links not followed.

    ``received`` gives the time of handing in by the file's place in the folder, or its name alone, and wins over the
    file's own. Raises FileRefused.
    """
    if not folder.is_dir():
        raise FileRefused(folder, [Problem("", "must be a folder of files handed in", "something else or nothing")])
    paths: list[Path] = []
    for parent, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        paths += [Path(parent) / name for name in names if not name.startswith(".")]
        if len(paths) > MAX_FILES:
            raise FileRefused(folder, [Problem("", f"must not hold more than {MAX_FILES} files", "more")])
    times = received or {}
    shown = sorted((path.relative_to(folder).as_posix(), path) for path in paths)
    return tuple(_handed(path, place, times.get(place, times.get(path.name))) for place, path in shown)


def _handed(path: Path, place: str, received: datetime | None) -> HandedFile:
    try:
        if path.is_symlink():
            raise FileRefused(path, [Problem("", "must be the file itself", "a link to one")])
        when = received or datetime.fromtimestamp(path.stat().st_mtime_ns // 10**9, UTC)
        data = read_bytes(path, MAX_RECORD_BYTES)
    except (OutsideError, OSError) as error:
        words = "; ".join(map(str, error.problems)) if isinstance(error, OutsideError) else str(error.strerror)
        key = hashlib.sha256(f"{place}\n{words}".encode("utf-8", "replace")).hexdigest()
        return HandedFile(path, key, received or datetime.fromtimestamp(0, UTC), problem=words or "cannot be read",
                          shown_as=place)  # fmt: skip
    first = first_words(data)
    return HandedFile(path, hashlib.sha256(data).hexdigest(), when, first.learner, first.exercise, first.negatives,
                      shown_as=place)  # fmt: skip


@dataclass(frozen=True)
class FirstWords:
    """What a file's first line says about itself: a claim, to be looked at by whoever marks it."""

    learner: str = ""
    exercise: str = ""
    negatives: tuple[str, ...] = ()


def first_words(data: bytes) -> FirstWords:
    """Return what an evening's first line says; empty where there is no such line to be read."""
    line = data[: MAX_FIRST_LINE + 1].split(b"\n", 1)[0]
    if len(line) > MAX_FIRST_LINE:
        return FirstWords()
    try:
        opened = parse_json(Path("first line"), line.decode("utf-8-sig"))
    except (OutsideError, UnicodeDecodeError):
        return FirstWords()
    opening = opened.get("data") if isinstance(opened, dict) else None
    if not isinstance(opening, dict):
        return FirstWords()
    learner, exercise, *negatives = (
        word if isinstance(word, str) and len(word) <= MAX_WORD else ""
        for word in (opening.get("learner"), opening.get("exercise"), *_listed(opening.get("negatives")))
    )
    return FirstWords(learner, exercise, tuple(negatives))


def _listed(value: object) -> list[object]:
    return list(value) if isinstance(value, list) else []


def read_received(file: Path) -> dict[str, datetime]:
    """Return the times of handing in by file name from a CSV with the columns file, received (ISO 8601 with offset)."""
    rows = read_table(file, ("file", "received"), most_rows=MAX_FILES)
    no_repeats(file, rows, ("file",))
    times, problems = {}, []
    for row in rows:
        try:
            when = datetime.fromisoformat(row.cells["received"])
            if when.tzinfo is None:
                raise ValueError
            times[row.cells["file"]] = when.astimezone(UTC)
        except (ValueError, OverflowError):
            rule = "must be a time such as 2026-12-01T18:03:00+01:00"
            problems.append(Problem(f"line {row.line}: received", rule, shown(row.cells["received"])))
    if problems:
        raise ValueRefused(file, problems[:40])
    return times
