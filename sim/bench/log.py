"""The evening's log: one JSON line per decision, each carrying the hash of the line before it.

The chain shows accidents and later edits; it is no proof against somebody who forges a whole file on his own machine.
A decision is acknowledged only after its line has been synced to disk. A damaged tail is moved aside, never lost.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.reading import (
    MAX_LOG_LINES,
    MAX_RECORD_BYTES,
    FileRefused,
    OutsideError,
    Problem,
    ValueRefused,
    parse_json,
    read_bytes,
)
from sim.writing import WritingFailed, write_bytes

FIRST_HASH = "0" * 64


@dataclass(frozen=True)
class Line:
    """One decision: its number, its kind, what it holds, and its place in the chain."""

    number: int
    kind: str
    data: dict[str, Any]
    previous: str

    @property
    def body(self) -> str:
        """The line as it is hashed: canonical JSON."""
        content = {"number": self.number, "kind": self.kind, "data": self.data, "previous": self.previous}
        return json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)

    @property
    def hash(self) -> str:
        """SHA-256 of the body."""
        return hashlib.sha256(self.body.encode("utf-8")).hexdigest()

    def text(self) -> str:
        """The line as it stands in the file."""
        return self.body[:-1] + f',"hash":"{self.hash}"}}\n'


@dataclass(frozen=True)
class LoadedLog:
    """The good lines of a log, and what was wrong with the rest (None: all is well)."""

    lines: tuple[Line, ...]
    damage: str | None = None


def line_from_text(file: Path, text: str, number: int, previous: str) -> Line:
    """Return a line after checking its number, chain and hash. Raises OutsideError."""
    data = parse_json(file, text, number + 1)
    where = f"line {number + 1}"
    if not isinstance(data, dict) or set(data) != {"number", "kind", "data", "previous", "hash"}:
        raise ValueRefused(file, [Problem(where, "must hold number, kind, data, previous and hash", "something else")])
    if not isinstance(data["data"], dict) or not isinstance(data["kind"], str):
        raise ValueRefused(file, [Problem(where, "must hold a kind and a table of data", "something else")])
    line = Line(number, data["kind"], data["data"], previous)
    if data["number"] != number or data["previous"] != previous or data["hash"] != line.hash:
        raise ValueRefused(file, [Problem(where, "does not follow from the line before it", "a broken chain")])
    return line


def read_log(file: Path) -> LoadedLog:
    """Return the good prefix of a log and what is wrong behind it. Raises FileRefused when it cannot be read at all."""
    raw = read_bytes(file, MAX_RECORD_BYTES)
    pieces = raw.split(b"\n")
    lines: list[Line] = []
    previous = FIRST_HASH
    for number, piece in enumerate(pieces[:-1]):
        if number >= MAX_LOG_LINES:
            return LoadedLog(tuple(lines), f"{file}: must not have more than {MAX_LOG_LINES} lines, got more")
        try:
            line = line_from_text(file, piece.decode("utf-8"), number, previous)
        except (OutsideError, UnicodeDecodeError) as error:
            return LoadedLog(tuple(lines), str(error))
        lines.append(line)
        previous = line.hash
    if pieces[-1]:
        return LoadedLog(tuple(lines), f"{file}: line {len(pieces)}: the last line is incomplete")
    return LoadedLog(tuple(lines))


def repair_log(file: Path) -> LoadedLog:
    """Return a log ready to be continued: a damaged tail is moved to a file beside it and named in ``damage``."""
    if not file.exists():
        return LoadedLog(())
    loaded = read_log(file)
    if loaded.damage is not None:
        raw = file.read_bytes()
        good = "".join(line.text() for line in loaded.lines).encode("utf-8")
        aside = _free_name(file)
        write_bytes(aside, raw[len(good) :])
        write_bytes(file, good)
        return LoadedLog(loaded.lines, f"{loaded.damage}; the damaged rest was moved to {aside.name}")
    return loaded


def _free_name(file: Path) -> Path:
    for number in range(1, 1000):
        candidate = file.with_name(f"{file.name}.damaged-{number}")
        if not candidate.exists():
            return candidate
    raise FileRefused(file, [Problem("", "has been damaged a thousand times; clear the folder", "")])


def append_line(file: Path, kind: str, data: dict[str, Any], last: Line | None) -> Line:
    """Add a decision to the log and return it once it is on disk. Raises WritingFailed; the log is then unchanged."""
    line = Line(last.number + 1 if last else 0, kind, data, last.hash if last else FIRST_HASH)
    before = file.stat().st_size if file.exists() else 0
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with open(file, "ab") as handle:
            try:
                handle.write(line.text().encode("utf-8"))
                handle.flush()
                os.fsync(handle.fileno())
            except OSError:
                handle.truncate(before)
                raise
    except OSError as error:
        raise WritingFailed(f"{file}: cannot be continued ({error.strerror or error})") from error
    return line


def verify_chain(lines: Iterable[Line]) -> bool:
    """Tell whether every line follows from the one before it."""
    previous = FIRST_HASH
    for number, line in enumerate(lines):
        if line.number != number or line.previous != previous:
            return False
        previous = line.hash
    return True
