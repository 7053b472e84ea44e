"""One odd file never stops a batch: times no calendar knows, links, folders, pipes, names that are no text, what vanishes."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from at_once import marked, row_of
from class_room import DUE, ClassRoom, class_room

from sim.marking import batch as batch_module
from sim.marking.course import LateRule
from sim.marking.feedback_page import feedback_text
from sim.marking.handed_files import MOST_FOLDERS_DEEP, find_files
from sim.marking.late import lateness
from sim.marking.moments import EARLIEST, LATEST, in_utc, is_likely, moment_in, moment_of, on_the_wall
from sim.marking.received import read_received
from sim.reading import OutsideError

ZONES = ("UTC", "Pacific/Kiritimati", "Pacific/Pago_Pago", "Asia/Kathmandu", "Europe/Lisbon")
# written in a table of times -> the moment it is taken for
WRITTEN = {
    "1969-12-31T23:59:59+00:00": datetime(1969, 12, 31, 23, 59, 59, tzinfo=UTC),
    "1601-01-01T00:00:00Z": datetime(1601, 1, 1, tzinfo=UTC),
    "0999-06-01T12:00:00+01:00": datetime(999, 6, 1, 11, tzinfo=UTC),
    "0001-01-01T00:00:00+14:00": EARLIEST,
    "0001-01-01T00:00:00-12:00": EARLIEST,
    "0000-01-01T00:00:00Z": EARLIEST,
    "-0044-03-15T12:00:00+00:00": EARLIEST,
    "9999-12-31T23:59:59-12:00": LATEST,
    "9999-12-31T23:59:59+14:00": LATEST,
    "12000-01-01T00:00:00Z": LATEST,
    "+012000-01-01T00:00:00+14:00": LATEST,
}
NO_TIMES = ("", "soon", "2026-12-01", "2026-12-01T18:03:00", "12:00", "2026-13-01T00:00:00Z", "9999999999999999-01-01T00:00Z")


@pytest.fixture
def two(tmp_path: Path) -> ClassRoom:
    """A course of two learners."""
    return class_room(tmp_path / "course", roster=("k01", "k02"))


@pytest.mark.parametrize("text", WRITTEN)
def test_a_time_of_any_year_and_zone_is_kept_within_the_calendar(text: str) -> None:
    assert moment_in(text) == WRITTEN[text]


@pytest.mark.parametrize("text", NO_TIMES)
def test_what_is_no_time_is_none(text: str) -> None:
    assert moment_in(text) is None


OF_A_DISK = (0, -1, -(10**9), -62_135_596_800, -(10**12), 253_402_300_800, 316_500_000_000, 10**18, -(10**18))


@pytest.mark.parametrize("seconds", OF_A_DISK)
def test_every_time_of_a_disk_can_be_reckoned_with_in_every_zone(seconds: int) -> None:
    when = moment_of(seconds)
    for name in ZONES:
        zone = ZoneInfo(name)
        late = lateness(LateRule(10.0, 10.0, 0.0, 50.0, 7.0), datetime(2026, 12, 1, 18), zone, when, "k01")
        hourly = lateness(LateRule(percent_per_hour=1.0), datetime(2026, 12, 1, 18), zone, when, "k01")
        assert late.counts is hourly.counts is (when > datetime(2027, 1, 1, tzinfo=UTC))
        assert (late.percent, hourly.percent) == ((100.0, 100.0) if late.counts else (0.0, 0.0))
        assert len(on_the_wall(in_utc(when), zone)) == len("2026-12-01 18:00")
    assert datetime.fromisoformat(in_utc(when)) == when


def test_ordinary_times_read_as_before() -> None:
    when = moment_of(DUE)
    assert in_utc(when) == f"{when:%Y-%m-%dT%H:%M:%SZ}" == "2026-12-01T18:00:00Z"
    assert on_the_wall(in_utc(when), ZoneInfo("Asia/Kathmandu")) == "2026-12-01 23:45"
    assert is_likely(when)
    assert not is_likely(moment_of(-1))


@pytest.mark.parametrize("seconds", [-1, -(10**9), -62_135_596_800, 253_402_300_800, 316_500_000_000, 10**17])
def test_a_file_of_any_time_is_marked_and_does_not_stop_the_others(two: ClassRoom, seconds: int) -> None:
    two.hand("k01")
    odd = two.hand("k02")
    try:
        os.utime(odd, (seconds, seconds))
    except (OSError, OverflowError):
        pytest.skip("this disk keeps no such time")
    found = marked(two)
    row = row_of(found, "k02")
    assert row_of(found, "k01").points is not None
    assert row.points is not None
    moment = moment_of(odd.stat().st_mtime_ns // 10**9)
    assert row.attempts[0].received == in_utc(moment)
    assert ("clock" in row.attempts[0].note) is not is_likely(moment)
    assert row.attempts[0].received[:10] in feedback_text(found.results, "k02", found.marked)


@pytest.mark.parametrize("text", WRITTEN)
def test_a_table_of_times_may_hold_any_year(two: ClassRoom, text: str) -> None:
    two.hand("k01", "one.evening")
    table = two.folder / "received.csv"
    table.write_text(f"file,received\none.evening,{text}\n", "utf-8")
    found = marked(two, received=table)
    row = row_of(found, "k01")
    assert row.attempts[0].received == in_utc(WRITTEN[text])
    assert row.points is not None
    assert (row.status == "late") is (WRITTEN[text] > datetime(2027, 1, 1, tzinfo=UTC))
    feedback_text(found.results, "k01", found.marked)


def test_a_table_of_times_names_every_line_that_is_no_time(two: ClassRoom) -> None:
    table = two.folder / "received.csv"
    table.write_text("file,received\na,soon\nb,2026-12-01T18:03:00+01:00\nc,2026-12-01\n", "utf-8")
    with pytest.raises(OutsideError, match=r"line 2: received.*line 4: received"):
        read_received(table)


def lay_out_oddities(box: Path, outside: Path) -> list[str]:
    """Lay every kind of entry into a hand-in folder; return their places."""
    outside.mkdir()
    (outside / "secret.evening").write_text("what the marker's disk holds\n", "utf-8")
    (box / "dangling").symlink_to(box / "nothing-there")
    (box / "to-a-folder").symlink_to(outside)
    (box / "to-itself").symlink_to(box / "to-itself")
    (box / "to-a-file").symlink_to(outside / "secret.evening")
    (box / "round").mkdir()
    (box / "round" / "and-round").symlink_to(box)
    os.mkfifo(box / "pipe")
    (box / "empty").mkdir()
    (box / "folder.evening").mkdir()
    (box / ".hidden").write_text("x", "utf-8")
    (box / ".hidden-folder").mkdir()
    (box / "nothing.evening").write_bytes(b"")
    deep = box
    for n in range(MOST_FOLDERS_DEEP + 2):
        deep = deep / f"d{n}"
    deep.mkdir(parents=True)
    deepest = "/".join(f"d{n}" for n in range(MOST_FOLDERS_DEEP + 1))
    return sorted([".hidden", ".hidden-folder", "dangling", "empty", "folder.evening", "nothing.evening", "pipe",
                   "round/and-round", "to-a-file", "to-a-folder", "to-itself", deepest])  # fmt: skip


def test_every_entry_has_a_row_and_none_stops_the_others(two: ClassRoom, tmp_path: Path) -> None:
    two.hand("k01")
    (two.box / "below" / "a" / "folder").mkdir(parents=True)
    two.hand("k02", "below/a/folder/k02.evening")
    places = lay_out_oddities(two.box, tmp_path / "outside")
    found = marked(two)
    assert {row.learner: row.points is not None for row in found.results.rows} == {"k01": True, "k02": True}
    assert sorted(one.file for one in found.results.unplaced) == places
    assert all(one.status == "unreadable" and one.reasons for one in found.results.unplaced)
    said = found.results.model_dump_json()
    assert "what the marker's disk holds" not in said
    assert str(tmp_path) not in said


@pytest.mark.skipif(sys.platform == "win32", reason="names are text there")
def test_names_that_are_no_text_have_a_row(two: ClassRoom) -> None:
    data = two.hand("k01").read_bytes()
    box = os.fsencode(two.box)
    names = (b"\xff\xfe.evening", b"\xff\xfd.evening", b"new\nline", b"\x1b[31mred", b"a" * 255, "e\u202egnineve.".encode())
    for name in names:
        with open(os.path.join(box, name), "wb") as handle:
            handle.write(b"no evening: " + name)
    with open(os.path.join(box, b"\xe9.evening"), "wb") as handle:  # the same evening again, under a name that is no text
        handle.write(data)
    os.utime(os.path.join(box, b"\xe9.evening"), (DUE, DUE))
    found = marked(two)
    assert len(found.results.unplaced) == len(names)
    assert len({one.content for one in found.results.unplaced}) == len(names)
    assert [attempt.note for attempt in row_of(found, "k01").attempts] == ["", "the same file again"]
    said = found.results.model_dump_json().encode("utf-8")
    assert b"\xe2\x80\xae" not in said
    assert all(one.file.isprintable() for one in found.results.unplaced)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="nothing is closed to this user")
def test_a_folder_that_is_closed_has_a_row(two: ClassRoom) -> None:
    two.hand("k01")
    (two.box / "closed").mkdir(mode=0)
    assert [one.file for one in marked(two).results.unplaced] == ["closed"]


@pytest.mark.parametrize("what", ["gone", "written over", "a pipe instead", "a folder instead"])
def test_a_file_that_changes_after_it_was_listed_has_a_row(
    two: ClassRoom, what: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    two.hand("k01")
    file = two.hand("k02")

    def listed_then_changed(folder: Path, *more: object) -> object:
        found = find_files(folder, *more)  # type: ignore[arg-type]
        file.unlink()
        if what == "written over":
            file.write_text("something else\n", "utf-8")
        elif what == "a pipe instead":
            os.mkfifo(file)
        elif what == "a folder instead":
            file.mkdir()
        return found

    monkeypatch.setattr(batch_module, "find_files", listed_then_changed)
    found = marked(two)
    assert row_of(found, "k01").points is not None
    row = row_of(found, "k02")
    assert (row.status, row.points) == ("unreadable", None)
    assert row.reasons
    monkeypatch.undo()
    file.rmdir() if file.is_dir() else file.unlink(missing_ok=True)
    two.hand("k02")
    assert row_of(marked(two), "k02").points is not None  # nothing of the accident was kept


def test_a_file_that_goes_while_the_folder_is_listed_has_a_row(two: ClassRoom, monkeypatch: pytest.MonkeyPatch) -> None:
    two.hand("k01")
    (two.box / "going").write_text("x", "utf-8")
    real = Path.stat

    def gone(path: Path, **how: bool) -> os.stat_result:
        if path.name == "going":
            raise FileNotFoundError(2, "No such file or directory")
        return real(path, **how)

    monkeypatch.setattr(Path, "stat", gone)
    found = find_files(two.box)
    assert [(one.name, bool(one.problem)) for one in found] == [("going", True), ("k01.evening", False)]


def test_the_command_marks_beside_all_of_them_and_says_so(two: ClassRoom, tmp_path: Path) -> None:
    two.hand("k01", received=-(10**9))
    lay_out_oddities(two.box, tmp_path / "outside")
    words = ["mark", str(two.box), "--course", str(two.course), "-o", str(tmp_path / "o")]
    done = subprocess.run(
        [sys.executable, "-m", "sim.command.main", *words], capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 1, done.stderr
    assert "Traceback" not in done.stderr
    assert (tmp_path / "o" / "results.json").is_file()
