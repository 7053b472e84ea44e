"""The evening's log: one JSON line per decision, each carrying the hash of the line before it.

The chain shows accidents and later edits; it is no proof against somebody who forges a whole file on his own machine.
A decision is acknowledged only after its line has been synced to disk. A damaged tail is moved aside, never lost.
Whoever adds to a log or repairs it should hold it (sim/locking.py); where there are no locks, what is written is looked at
once more before it is acknowledged, and what is replaced before it is replaced.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Iterator
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
from sim.writing import ChangedMeanwhile, WritingFailed, failing_as, sync_file, sync_folder, write_bytes, write_durably

FIRST_HASH = "0" * 64
FIRST_BYTES = b'{"data":'  # of every line: keys stand in order
LINE_KEYS = {"number", "kind", "data", "previous", "hash"}
KILOBYTE = 1024
# Lines and bytes at the end of a log's room that are kept free: an evening that is full can still be looked at and reasoned
# about, name the sheets that count, and be handed in (its closing line is the last).
KEPT_FREE: dict[str, tuple[int, int]] = {
    "handed-in": (0, 0), "nominated": (1, 4 * KILOBYTE), "observed": (40, 32 * KILOBYTE), "explained": (40, 32 * KILOBYTE),
}  # fmt: skip
KEPT_FREE_BY_THE_REST = (80, 384 * KILOBYTE)
REPAIRS_TRIED = 5


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
    """The good lines of a log, the bytes they take in the file, and what was wrong with the rest (None: all is well)."""

    lines: tuple[Line, ...]
    damage: str | None = None
    good_bytes: int = 0


def table_in_line(file: Path, text: str, number: int) -> dict[str, Any]:
    """Return what a line holds once it has the form of one; its chain is not looked at. Raises OutsideError."""
    data = parse_json(file, text, number + 1)
    where = f"line {number + 1}"
    if not isinstance(data, dict) or set(data) != LINE_KEYS:
        raise ValueRefused(file, [Problem(where, "must hold number, kind, data, previous and hash", "something else")])
    if not isinstance(data["data"], dict) or not isinstance(data["kind"], str):
        raise ValueRefused(file, [Problem(where, "must hold a kind and a table of data", "something else")])
    return data


def line_from_text(file: Path, text: str, number: int, previous: str) -> Line:
    """Return a line after checking its number, chain and hash. Raises OutsideError."""
    data = table_in_line(file, text, number)
    line = Line(number, data["kind"], data["data"], previous)
    if data["number"] != number or data["previous"] != previous or data["hash"] != line.hash:
        raise ValueRefused(file, [Problem(f"line {number + 1}", "does not follow from the line before it", "a broken chain")])
    return line


def read_log(file: Path) -> LoadedLog:
    """Return the good prefix of a log and what is wrong behind it. Raises FileRefused when it cannot be read at all."""
    return _log_in(file, read_bytes(file, MAX_RECORD_BYTES))


def _log_in(file: Path, raw: bytes) -> LoadedLog:
    """Return the good prefix of these bytes of a log, and what is wrong behind it."""
    pieces = raw.split(b"\n")
    lines: list[Line] = []
    damage = f"{file}: line {len(pieces)}: must end with a line break, got an incomplete last line" if pieces[-1] else None
    previous, good_bytes = FIRST_HASH, 0
    for number, piece in enumerate(pieces[:-1]):
        if number >= MAX_LOG_LINES:
            damage = f"{file}: must not have more than {MAX_LOG_LINES} lines, got more"
            break
        try:
            line = line_from_text(file, piece.decode("utf-8"), number, previous)
        except UnicodeDecodeError as error:
            damage = f"{file}: line {number + 1}: must be UTF-8 text, got a bad byte at {error.start}"
            break
        except OutsideError as error:
            damage = str(error)
            break
        lines.append(line)
        previous = line.hash
        good_bytes += len(piece) + 1
    return LoadedLog(tuple(lines), damage, good_bytes)


def repair_log(file: Path) -> LoadedLog:
    """Return a log ready to be continued: a damaged tail is moved to a file beside it and named in ``damage``.

    The log is read once; only the bytes that were read are ever cut off or replaced. Raises WritingFailed where it goes on
    being written by another program.
    """
    for _ in range(REPAIRS_TRIED):
        if not os.path.exists(file):
            return LoadedLog(())
        raw = read_bytes(file, MAX_RECORD_BYTES)
        loaded = _log_in(file, raw)
        good = "".join(line.text() for line in loaded.lines).encode("utf-8")
        aside = _set_aside(file, raw[loaded.good_bytes :]) if loaded.damage is not None else None
        try:
            _put_right(file, raw, good)
        except ChangedMeanwhile:  # a decision has come in from elsewhere: it counts
            if aside is not None:
                with contextlib.suppress(OSError):  # a copy too many is no fault
                    aside.unlink(missing_ok=True)
            continue
        if aside is None:
            return loaded
        damage = f"{loaded.damage}; the damaged rest was moved to {aside.name}"
        return LoadedLog(loaded.lines, damage, loaded.good_bytes)
    raise WritingFailed(f"{file}: cannot be repaired (another program goes on writing it)")


def _set_aside(file: Path, tail: bytes) -> Path:
    """Keep a damaged tail in a file of its own, whose name nobody else can have."""
    for number in range(1, 1000):
        aside = file.with_name(f"{file.name}.damaged-{number}")
        try:
            os.close(os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o644))
        except FileExistsError:
            continue
        except OSError as error:
            raise WritingFailed(f"{aside}: cannot be written ({error.strerror or error})") from error
        try:
            write_bytes(aside, tail)
        except WritingFailed:
            with contextlib.suppress(OSError):
                aside.unlink()
            raise
        return aside
    raise FileRefused(file, [Problem("", "has been damaged a thousand times; clear the folder", "")])


def _put_right(file: Path, raw: bytes, good: bytes) -> None:
    """Bring the log to its good lines in our own form. Raises ChangedMeanwhile when it no longer holds the bytes read."""
    if raw == good:
        return
    if not raw.startswith(good):  # an editor has changed line ends or spacing: the whole file is written anew
        write_durably(file, lambda handle: handle.write(good), only_over=raw)
        return
    with failing_as(file, "repaired"), _opened(file, os.O_RDWR) as descriptor:
        if os.fstat(descriptor).st_size != len(raw):
            raise ChangedMeanwhile(f"{file}: cannot be repaired (it has changed since it was read; open it again)")
        os.ftruncate(descriptor, len(good))
        sync_file(descriptor)


@contextlib.contextmanager
def _opened(file: Path, flags: int) -> Iterator[int]:
    """Open a log without a buffer of Python's own before the disk: what failed must not be written later by a close."""
    descriptor = os.open(file, flags | getattr(os, "O_BINARY", 0), 0o644)
    try:
        yield descriptor
    finally:
        os.close(descriptor)


def refuse_foreign(file: Path) -> None:
    """Raise FileRefused when a file that is to be continued has no line of a log and never began as one.

    A log torn in its first line begins as every log does, and is repaired; a roster or a record is left as it is.
    """
    if not file.exists() or read_log(file).lines:
        return
    begun = b"".join(read_bytes(file, MAX_RECORD_BYTES)[:200].split())[: len(FIRST_BYTES)]
    if not FIRST_BYTES.startswith(begun):
        raise FileRefused(file, [Problem("", "must be an evening's log or a new file", "a file of another kind")])


def append_line(file: Path, kind: str, data: dict[str, Any], last: Line | None) -> Line:
    """Add a decision to the log and return it once it is on disk.

    Raises WritingFailed, or ValueRefused for a decision that could not be read back; the log is then unchanged.
    """
    parse_json(file, json.dumps(data))  # what is acknowledged can be read again
    line = Line(last.number + 1 if last else 0, kind, data, last.hash if last else FIRST_HASH)
    kept_lines, kept_bytes = KEPT_FREE.get(kind, KEPT_FREE_BY_THE_REST)
    if line.number >= MAX_LOG_LINES - kept_lines:
        raise _full(file, f"must not have more than {MAX_LOG_LINES} lines", f"the last {kept_lines}", kept_lines)
    line_from_text(file, line.text(), line.number, line.previous)
    text = line.text().encode("utf-8")
    with failing_as(file, "continued"):
        file.parent.mkdir(parents=True, exist_ok=True)
        with _opened(file, os.O_RDWR | os.O_APPEND | os.O_CREAT | getattr(os, "O_NONBLOCK", 0)) as descriptor:
            if os.fstat(descriptor).st_size + len(text) > MAX_RECORD_BYTES - kept_bytes:
                raise _full(file, f"must not be larger than {MAX_RECORD_BYTES} bytes", f"the last {kept_bytes}", kept_bytes)
            _append(descriptor, file, text, last)
        if last is None:
            sync_folder(file.parent)
    return line


def _full(file: Path, rule: str, the_last: str, kept: int) -> WritingFailed:
    """Return the refusal of a decision for which a log has no room."""
    free = f"; {the_last} of them are kept for naming the sheets that count and for handing in" if kept else ""
    return WritingFailed(f"{file}: cannot be continued (the log {rule}{free})")


def _append(descriptor: int, file: Path, text: bytes, last: Line | None) -> None:
    """Write and sync one line behind the last one; on any fault cut the file back to what it was."""
    before = os.fstat(descriptor).st_size
    end = last.text().encode("utf-8") if last else b""
    found = _bytes_at(descriptor, max(0, before - len(end)), len(end) + 1)
    # A half line left by an earlier fault, or a second program at the same log: going on would lose decisions.
    if found != end or (last is None and before > 0):
        raise WritingFailed(f"{file}: cannot be continued (it no longer ends with the last decision; open it again)")
    left = memoryview(text)
    try:
        while left:
            left = left[os.write(descriptor, left) :]
        sync_file(descriptor)
    except OSError:
        if os.fstat(descriptor).st_size == before + len(text) - len(left):  # nothing of anybody else's stands behind it
            os.ftruncate(descriptor, before)
        raise
    if _bytes_at(descriptor, before, len(text)) != text:
        raise WritingFailed(f"{file}: cannot be continued (another program wrote at the same moment; open it again)")


def _bytes_at(descriptor: int, offset: int, count: int) -> bytes:
    os.lseek(descriptor, offset, os.SEEK_SET)
    return os.read(descriptor, count)
