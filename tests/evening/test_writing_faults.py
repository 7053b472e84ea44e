"""Disk full, read-only, no permission, I/O error at each step: a clear message, the old file intact, nothing left behind."""

from __future__ import annotations

import builtins
import errno
import io
import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from sim.evening.log import Line, append_line, read_log
from sim.reading import MAX_LOG_LINES, MAX_RECORD_BYTES, FileRefused, OutsideError
from sim.writing import WritingFailed, write_bytes, write_durably, write_text

FAULTS = {"disk-full": errno.ENOSPC, "read-only": errno.EROFS, "no-permission": errno.EACCES, "io-error": errno.EIO,
          "quota": errno.EDQUOT}  # fmt: skip


def failing(real: Callable[..., Any], number: int, at: int = 0) -> Callable[..., Any]:
    """Return a function that fails with an errno from its call ``at`` on."""
    count = 0

    def call(*args: Any, **kwargs: Any) -> Any:
        nonlocal count
        count += 1
        if count > at:
            raise OSError(number, os.strerror(number))
        return real(*args, **kwargs)

    return call


class FailingFile(io.FileIO):
    """A file whose writes reach the disk in part, then fail."""

    number = errno.ENOSPC

    def write(self, data: Any) -> int:
        if self.tell():
            raise OSError(self.number, os.strerror(self.number))
        return super().write(bytes(data)[:7])


def listing(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir()}


STEPS = ("open", "fill", "write", "fsync", "replace")


@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.parametrize(
    ("step", "keep_previous"), [*((s, False) for s in STEPS), *((s, True) for s in (*STEPS, "link"))],
)
def test_a_fault_at_any_step_leaves_the_old_file(
    step: str, fault: str, keep_previous: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "record.json"
    write_text(file, "the first version")
    write_durably(file, lambda handle: handle.write(b"the old version"), keep_previous=True)
    before = listing(tmp_path)
    number = FAULTS[fault]
    fill: Callable[[Any], object] = lambda handle: handle.write(b"the new version" * 10_000)  # noqa: E731
    if step == "open":
        monkeypatch.setattr(builtins, "open", failing(open, number))
    elif step == "fill":
        fill = failing(lambda handle: None, number)
    elif step == "write":
        monkeypatch.setattr(FailingFile, "number", number)
        monkeypatch.setattr(builtins, "open", lambda name, mode: io.BufferedWriter(FailingFile(name, "x")))
    else:
        monkeypatch.setattr(os, step, failing(getattr(os, step), number))
    with pytest.raises(WritingFailed) as caught:
        write_durably(file, fill, keep_previous)
    monkeypatch.undo()
    assert str(caught.value) == f"{file}: cannot be written ({os.strerror(number)})"
    assert listing(tmp_path) == before


def test_a_fault_after_the_previous_was_kept_loses_neither(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "record.json"
    write_text(file, "old")
    monkeypatch.setattr(os, "replace", failing(os.replace, errno.EIO, at=1))
    with pytest.raises(WritingFailed):
        write_durably(file, lambda handle: handle.write(b"new"), keep_previous=True)
    monkeypatch.undo()
    assert listing(tmp_path) == {"record.json": b"old", "record.json.previous": b"old"}


def test_a_fault_of_another_kind_leaves_nothing_behind(tmp_path: Path) -> None:
    with pytest.raises(ZeroDivisionError):
        write_durably(tmp_path / "a.json", lambda handle: 1 / 0)
    assert listing(tmp_path) == {}


def test_a_folder_that_cannot_be_synced_is_no_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "open", failing(os.open, errno.EACCES))
    write_text(tmp_path / "a.json", "whole")
    monkeypatch.undo()
    assert listing(tmp_path) == {"a.json": b"whole"}


def test_the_previous_generation_is_the_one_before(tmp_path: Path) -> None:
    file = tmp_path / "a.json"
    for version in ("one", "two", "three"):
        write_durably(file, lambda handle, v=version: handle.write(v.encode()), keep_previous=True)
    assert listing(tmp_path) == {"a.json": b"three", "a.json.previous": b"two"}


PLACES: dict[str, Callable[[Path], Path]] = {
    "a-folder": lambda folder: folder,
    "a-pipe": lambda folder: (os.mkfifo(folder / "pipe"), folder / "pipe")[1],
    "a-device": lambda folder: Path("/dev/null"),
    "the-root": lambda folder: Path("/"),
    "below-a-file": lambda folder: ((folder / "file").write_bytes(b"x"), folder / "file" / "a.png")[1],
    "where-nothing-can-be-made": lambda folder: Path("/proc/tonewright/a.png"),
    "a-name-too-long": lambda folder: folder / ("x" * 300),
}


@pytest.mark.parametrize("case", PLACES)
def test_a_file_never_takes_the_place_of_something_else(case: str, tmp_path: Path) -> None:
    place = PLACES[case](tmp_path)
    before = {p.name for p in tmp_path.iterdir()}
    mode = place.stat().st_mode if os.path.exists(place) else None
    with pytest.raises(WritingFailed, match="cannot be written"):
        write_bytes(place, b"picture")
    assert {p.name for p in tmp_path.iterdir()} == before
    assert mode is None or place.stat().st_mode == mode


def test_a_link_is_followed_and_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "far").mkdir()
    (tmp_path / "far" / "print.png").write_bytes(b"old")
    link = tmp_path / "print.png"
    link.symlink_to(tmp_path / "far" / "print.png")
    write_bytes(link, b"new")
    assert link.is_symlink()
    assert listing(tmp_path / "far") == {"print.png": b"new"}


def test_the_longest_name_the_disk_takes_can_be_written(tmp_path: Path) -> None:
    write_bytes(tmp_path / ("x" * 251 + ".png"), b"whole")
    write_bytes(tmp_path / ("ü" * 125 + ".png"), b"whole")
    assert len(list(tmp_path.iterdir())) == 2


@pytest.fixture
def log(tmp_path: Path) -> tuple[Path, Line]:
    file = tmp_path / "evening.jsonl"
    return file, append_line(file, "note", {"text": "first"}, None)


@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.parametrize("step", ["open", "write", "half-write", "fsync"])
def test_a_fault_while_a_decision_is_written_leaves_the_log_as_it_was(
    step: str, fault: str, log: tuple[Path, Line], monkeypatch: pytest.MonkeyPatch
) -> None:
    file, last = log
    before = listing(file.parent)
    number = FAULTS[fault]
    if step == "half-write":
        real = os.write
        half: Callable[..., int] = lambda fd, data: real(fd, bytes(data)[:9])  # noqa: E731
        monkeypatch.setattr(os, "write", failing(half, number, at=1))
    else:
        monkeypatch.setattr(os, step, failing(getattr(os, step), number))
    with pytest.raises(WritingFailed) as caught:
        append_line(file, "note", {"text": "second"}, last)
    monkeypatch.undo()
    assert str(caught.value) == f"{file}: cannot be continued ({os.strerror(number)})"
    assert listing(file.parent) == before
    again = append_line(file, "note", {"text": "second, tried again"}, last)
    assert read_log(file).lines[-1] == again


def test_a_disk_that_takes_few_bytes_at_a_time_is_no_fault(log: tuple[Path, Line], monkeypatch: pytest.MonkeyPatch) -> None:
    file, last = log
    real = os.write
    monkeypatch.setattr(os, "write", lambda fd, data: real(fd, bytes(data)[:5]))
    line = append_line(file, "note", {"text": "slowly"}, last)
    monkeypatch.undo()
    assert read_log(file).lines == (last, line)


def test_a_half_line_that_could_not_be_taken_back_is_not_written_over(
    log: tuple[Path, Line], monkeypatch: pytest.MonkeyPatch
) -> None:
    file, last = log
    real = os.write
    monkeypatch.setattr(os, "write", failing(lambda fd, data: real(fd, bytes(data)[:9]), errno.EIO, at=1))
    monkeypatch.setattr(os, "ftruncate", failing(os.ftruncate, errno.EIO))
    with pytest.raises(WritingFailed):
        append_line(file, "note", {"text": "second"}, last)
    monkeypatch.undo()
    with pytest.raises(WritingFailed, match="no longer ends with the last decision; open it again"):
        append_line(file, "note", {"text": "third"}, last)
    loaded = read_log(file)
    assert loaded.lines == (last,)
    assert loaded.damage is not None


def test_two_programs_at_one_log_do_not_lose_each_others_decisions(log: tuple[Path, Line]) -> None:
    file, last = log
    one = append_line(file, "note", {"text": "by the first program"}, last)
    with pytest.raises(WritingFailed, match="open it again"):
        append_line(file, "note", {"text": "by the second, which has not seen it"}, last)
    with pytest.raises(WritingFailed, match="open it again"):
        append_line(file, "opened", {}, None)
    assert read_log(file).lines == (last, one)


UNREADABLE: dict[str, dict[str, Any]] = {
    "too-long-a-note": {"text": "y" * 2001},
    "lone-surrogate": {"text": "\ud800"},
    "control-characters": {"text": "\x1b[31m"},
    "far-too-deep": {"a": json.loads('{"a":' * 15 + "1" + "}" * 15)},
    "too-many-entries": {"a": list(range(1000))},
    "a-huge-number": {"a": 10**30},
    "not-a-number": {"a": float("nan")},
}


@pytest.mark.parametrize("case", UNREADABLE)
def test_what_could_not_be_read_back_is_not_acknowledged(case: str, log: tuple[Path, Line]) -> None:
    file, last = log
    before = listing(file.parent)
    with pytest.raises(OutsideError) as caught:
        append_line(file, "note", UNREADABLE[case], last)
    assert str(file) in str(caught.value)
    assert listing(file.parent) == before


def test_a_log_never_grows_beyond_what_is_read(log: tuple[Path, Line], monkeypatch: pytest.MonkeyPatch) -> None:
    file, last = log
    many = Line(MAX_LOG_LINES - 1, "note", {}, last.hash)
    with pytest.raises(WritingFailed, match=f"must not have more than {MAX_LOG_LINES} lines"):
        append_line(file, "note", {}, many)
    with open(file, "r+b") as handle:
        handle.truncate(MAX_RECORD_BYTES - 10)
    with pytest.raises(WritingFailed, match=f"must not be larger than {MAX_RECORD_BYTES} bytes"):
        append_line(file, "note", {}, last)


@pytest.mark.parametrize("case", ["a-folder", "a-pipe", "where-nothing-can-be-made", "below-a-file"])
def test_a_log_in_a_wrong_place_is_refused(case: str, tmp_path: Path) -> None:
    with pytest.raises((WritingFailed, FileRefused), match="cannot be"):
        append_line(PLACES[case](tmp_path), "note", {}, None)
