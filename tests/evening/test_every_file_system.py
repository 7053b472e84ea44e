"""No hard links, no fsync, no locks, read-only, full, strange names: work goes on where it can, and is refused in words."""

from __future__ import annotations

import builtins
import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import filelock
import pytest

from sim.evening import handing_in as handing_in_file
from sim.evening import log as log_file
from sim.evening.evening import Evening
from sim.evening.evening_state import EveningState
from sim.evening.handing_in import NotReady, hand_in, read_submission
from sim.evening.log import append_line, read_log
from sim.locking import OpenElsewhere, lock_file_of, take_hold
from sim.printing.record_file import record_data
from sim.writing import WritingFailed, leftovers_of, stem_of, sweep, write_bytes, write_durably
from tests.evening.test_evening import record

NOT_KNOWN = {"not-supported": errno.EOPNOTSUPP, "not-there": errno.ENOSYS, "not-here": errno.EINVAL}
NO_LINKS = {**NOT_KNOWN, "not-permitted": errno.EPERM, "too-many": errno.EMLINK}
NO_LOCKS = {**NOT_KNOWN, "no-lock-service": errno.ENOLCK}
FULL = {"disk-full": errno.ENOSPC, "quota": errno.EDQUOT, "io-error": errno.EIO}


def refusing(number: int) -> Callable[..., Any]:
    def call(*_: Any, **__: Any) -> Any:
        raise OSError(number, os.strerror(number))

    return call


def listing(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def versions(file: Path, *texts: bytes) -> None:
    for text in texts:
        write_durably(file, lambda handle, t=text: handle.write(t), keep_previous=True)


@pytest.mark.parametrize("case", NO_LINKS)
def test_without_hard_links_two_generations_are_kept_all_the_same(
    case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "link", refusing(NO_LINKS[case]))
    versions(tmp_path / "desk.json", b"one", b"two", b"three")
    assert listing(tmp_path) == {"desk.json": b"three", "desk.json.previous": b"two"}


def test_a_system_that_knows_no_hard_links_at_all_is_no_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delattr(os, "link")
    versions(tmp_path / "desk.json", b"one", b"two", b"three")
    assert listing(tmp_path) == {"desk.json": b"three", "desk.json.previous": b"two"}


@pytest.mark.parametrize("fault", FULL)
@pytest.mark.parametrize("step", ["open-old", "open-copy", "fsync", "replace"])
def test_a_fault_while_the_generation_before_is_copied_leaves_both_as_they_were(
    step: str, fault: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "desk.json"
    versions(file, b"one", b"two")
    before = listing(tmp_path)
    monkeypatch.setattr(os, "link", refusing(errno.EPERM))
    if step == "fsync":
        count, real_fsync = [0], os.fsync

        def fsync(descriptor: int) -> None:
            count[0] += 1
            if count[0] == 2:  # the first is the new file's own
                raise OSError(FULL[fault], os.strerror(FULL[fault]))
            real_fsync(descriptor)

        monkeypatch.setattr(os, "fsync", fsync)
    elif step == "replace":
        monkeypatch.setattr(os, "replace", refusing(FULL[fault]))
    else:
        real_open = open
        ending = "desk.json" if step == "open-old" else ".link"

        def opening(name: Any, mode: str = "r") -> Any:
            if str(name).endswith(ending):
                raise OSError(FULL[fault], os.strerror(FULL[fault]))
            return real_open(name, mode)

        monkeypatch.setattr(builtins, "open", opening)
    with pytest.raises(WritingFailed) as caught:
        versions(file, b"three")
    monkeypatch.undo()
    assert str(caught.value) == f"{file}: cannot be written ({os.strerror(FULL[fault])})"
    assert listing(tmp_path) == before


@pytest.mark.parametrize("case", NOT_KNOWN)
def test_without_fsync_files_and_decisions_are_written(case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "fsync", refusing(NOT_KNOWN[case]))
    versions(tmp_path / "desk.json", b"one", b"two")
    with Evening.open(tmp_path / "evening.jsonl") as evening:
        evening.note("kept")
    assert (tmp_path / "desk.json").read_bytes() == b"two"
    assert Evening.look(tmp_path / "evening.jsonl").state.notes == ("kept",)


@pytest.mark.parametrize("case", NO_LOCKS)
def test_without_locks_work_goes_on_and_it_is_said_once(case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log = tmp_path / "evening.jsonl"
    left = tmp_path / ".evening.jsonl.0123abcd.part"
    monkeypatch.setattr(filelock, "lock_descriptor", refusing(NO_LOCKS[case]))
    with Evening.open(log) as evening:
        assert evening.damage == (
            f"{log}: cannot be locked ({os.strerror(NO_LOCKS[case])}); open this evening in one program at a time"
        )
        evening.note("kept")
        assert evening.hold is not None
        assert not evening.hold.locked
        with pytest.raises(OpenElsewhere):  # within one program it can be told without a lock
            Evening.open(log)
    left.write_bytes(b"somebody may be writing this")
    with Evening.open(log) as evening:
        assert evening.state.notes == ("kept",)
    assert left.exists()


@pytest.mark.parametrize("number", [errno.EROFS, errno.EACCES, errno.ENOSPC, errno.EDQUOT])
def test_where_no_lock_file_can_be_made_decisions_that_can_be_written_are(
    number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = tmp_path / "evening.jsonl"
    Evening.open(log).close()
    assert not lock_file_of(log).exists()
    real = os.open

    def opening(name: Any, *rest: Any, **more: Any) -> int:
        if str(name).endswith(".lock"):
            raise OSError(number, os.strerror(number))
        return real(name, *rest, **more)

    monkeypatch.setattr(os, "open", opening)
    with Evening.open(log) as evening:
        assert os.strerror(number) in str(evening.damage)
        evening.note("kept")
    monkeypatch.undo()
    assert Evening.look(log).state.notes == ("kept",)


@pytest.mark.parametrize("fault", {**FULL, "read-only": errno.EROFS})
def test_a_torn_log_that_cannot_be_repaired_is_left_as_it_is_and_can_be_looked_at(
    fault: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    number = {**FULL, "read-only": errno.EROFS}[fault]
    log = tmp_path / "evening.jsonl"
    with Evening.open(log) as evening:
        evening.note("kept")
    with open(log, "ab") as handle:
        handle.write(b'{"half')
    before = listing(tmp_path)
    monkeypatch.setattr(os, "fsync", refusing(number))
    with pytest.raises(WritingFailed, match=r"evening\.jsonl\.damaged-1: cannot be written \(" + os.strerror(number)):
        Evening.open(log)
    monkeypatch.undo()
    assert listing(tmp_path) == before
    looked = Evening.look(log)
    assert looked.state.notes == ("kept",)
    assert "incomplete last line" in str(looked.damage)


def test_a_log_that_cannot_be_cut_back_keeps_its_torn_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log = tmp_path / "evening.jsonl"
    append_line(log, "note", {"text": "kept"}, None)
    log.write_bytes(log.read_bytes() + b'{"half')
    before = log.read_bytes()
    monkeypatch.setattr(os, "ftruncate", refusing(errno.EIO))
    with pytest.raises(WritingFailed, match=r"evening\.jsonl: cannot be repaired \(Input/output error\)"):
        log_file.repair_log(log)
    assert log.read_bytes() == before


OURS = (".evening.jsonl.0123abcd.part", ".evening.jsonl.0123abcd.link", ".evening.jsonl.damaged-2.00000000.part")
NOT_OURS = (
    ".evening.jsonl.lock2", ".evening.jsonl.part", ".evening.jsonl.0123abcd", ".evening.jsonl.0123ABCD.part",
    ".evening.jsonl2.0123abcd.part", ".roster.csv.0123abcd.part", "evening.jsonl.0123abcd.part", ".evening.jsonl.damaged-1",
)  # fmt: skip


def test_what_killed_writes_left_is_swept_at_the_next_opening_and_nothing_else(tmp_path: Path) -> None:
    log = tmp_path / "evening.jsonl"
    Evening.open(log).close()
    for name in (*OURS, *NOT_OURS):
        (tmp_path / name).write_bytes(b"x")
    assert {left.name for left in leftovers_of(log)} == set(OURS)
    Evening.look(log)
    assert {left.name for left in leftovers_of(log)} == set(OURS), "who looks sweeps nothing"
    held = take_hold(log)
    with pytest.raises(OpenElsewhere):
        Evening.open(log)
    assert {left.name for left in leftovers_of(log)} == set(OURS), "who holds it may be writing them"
    held.let_go()
    Evening.open(log).close()
    assert {file.name for file in tmp_path.iterdir()} == {"evening.jsonl", *NOT_OURS}


def test_leftovers_of_long_names_are_told_apart(tmp_path: Path) -> None:
    one, two = tmp_path / ("x" * 60 + "-1.jsonl"), tmp_path / ("x" * 60 + "-2.jsonl")
    assert stem_of(one.name) != stem_of(two.name)
    assert len(stem_of("ä" * 250)) <= 40
    assert stem_of("evening.jsonl") == "evening.jsonl"
    for file in (one, two):
        (tmp_path / f".{stem_of(file.name)}.0123abcd.part").write_bytes(b"x")
    sweep(one)
    assert leftovers_of(one) == []
    assert len(leftovers_of(two)) == 1
    with take_hold(one), take_hold(two):
        pass


def until_full(decide: Callable[[], object]) -> None:
    """Take the same decision until the log refuses it; a log that never does fails the test."""
    for _ in range(3000):
        decide()


def filled(log: Path, monkeypatch: pytest.MonkeyPatch, lines: int, size: int) -> Evening:
    """Return an evening with two sheets whose log takes no more notes."""
    for module in (log_file, handing_in_file):
        monkeypatch.setattr(module, "MAX_LOG_LINES", lines)
        monkeypatch.setattr(module, "MAX_RECORD_BYTES", size)
    evening = Evening.open(log, sheets=500, minutes=1440.0)
    given = record_data(evening.with_light_given(record()))
    for _ in range(2):
        evening._decide("sheet", {"record": given})
    with pytest.raises(WritingFailed, match="kept for naming the sheets that count and for handing in"):
        until_full(lambda: evening.note("n" * 2000))
    return evening


@pytest.mark.parametrize(("lines", "size"), [(120, 8 * 2**20), (20_000, 448 * 2**10)])
def test_a_full_evening_can_still_be_reasoned_about_named_and_handed_in(
    lines: int, size: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    evening = filled(tmp_path / "evening.jsonl", monkeypatch, lines, size)
    evening.observe("o" * 2000)
    evening.explain("e" * 2000)
    evening.nominate(2)
    for said in (evening.observe, evening.explain):
        with pytest.raises(WritingFailed, match="cannot be continued"):
            until_full(lambda say=said: say("ä" * 2000))
    with pytest.raises(WritingFailed, match="cannot be continued"):
        until_full(lambda: evening.nominate(2, 1))
    handed = hand_in(evening.file, tmp_path / "out.jsonl")
    assert handed.lines <= lines
    assert handed.size_bytes <= size
    got = read_submission(tmp_path / "out.jsonl")
    assert (got.problems, got.state.handed_in, got.state.nominated) == ((), True, (2, 1))
    assert isinstance(got.state, EveningState)


NAMES = ("Übungsabend – zweiter Teil", "暗室の夕べ", "ve\u0301le\u0301", "a b'c\"d$e", "x" * 200, "ö" * 100)


@pytest.mark.parametrize("name", NAMES)
def test_an_evening_can_lie_in_a_folder_of_any_name(name: str, tmp_path: Path) -> None:
    log = tmp_path / name / name / "evening.jsonl"
    with Evening.open(log) as evening:
        evening.note("kept")
        with pytest.raises(OpenElsewhere, match=r"evening\.jsonl: is open elsewhere"):
            Evening.open(log)
    assert Evening.look(log).state.notes == ("kept",)


def test_a_name_that_is_no_text_is_a_name(tmp_path: Path) -> None:
    folder = Path(os.fsdecode(os.fsencode(tmp_path) + b"/\xff\xfe"))
    try:
        folder.mkdir()
    except OSError:
        pytest.skip("this file system takes only names that are text")
    with Evening.open(folder / "evening.jsonl") as evening:
        evening.note("kept")
    write_bytes(folder / os.fsdecode(b"\xff" * 60), b"whole")
    assert read_log(folder / "evening.jsonl").damage is None


def test_a_log_with_the_longest_name_the_disk_takes_can_be_held(tmp_path: Path) -> None:
    for name in ("x" * 249 + ".jsonl", "ü" * 124 + ".jsonl"):
        with Evening.open(tmp_path / name) as evening:
            assert evening.damage is None
            evening.note("kept")


def test_a_deep_folder_is_no_fault_as_far_as_the_system_goes(tmp_path: Path) -> None:
    folder = tmp_path
    while len(str(folder)) < 3700:
        folder = folder / ("d" * 100)
    with Evening.open(folder / "evening.jsonl") as evening:
        evening.note("kept")
    while len(str(folder)) < 4200:
        folder = folder / ("d" * 100)
    with pytest.raises(WritingFailed, match="cannot be continued"):
        Evening.open(folder / "evening.jsonl")


def test_an_evening_is_not_handed_in_over_itself_under_another_spelling(tmp_path: Path) -> None:
    """A disk that takes large for small letters shows one file under two names, as a second name of a file does."""
    log = tmp_path / "evening.jsonl"
    Evening.open(log).close()
    os.link(log, tmp_path / "Evening.jsonl")
    with pytest.raises(NotReady, match="must be another file than the evening's own log"):
        hand_in(log, tmp_path / "Evening.jsonl")
