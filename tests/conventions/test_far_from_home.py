"""Other systems, faked one call at a time: what they lack or do otherwise, the work goes on or is refused in words."""

from __future__ import annotations

import builtins
import errno
import io
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from sim.command import assign_verb
from sim.command import main as command
from sim.evening import log as log_file
from sim.evening.handing_in import NotReady, hand_in
from sim.evening.log import append_line
from sim.locking import lock_file_of, take_hold
from sim.marking import worker_walls
from sim.marking.outputs import _take_away
from sim.marking.supervisor import Supervisor
from sim.marking.worker_walls import MEGABYTE, TimeLimitReached, limit_memory, memory_watched, time_limit
from sim.plain_text import plain_output
from sim.reading import FileRefused, read_bytes
from sim.refusals import Refused
from sim.shelf import PAPER, RESERVED, SHIPPED, data_of_ones_own, is_plain, name_for, own_shelf
from sim.window.evenings import forget_task, keep_task, task_of
from sim.window.main_loop import NoDisplay, open_display
from sim.workshop.derive.writing_out import replace_folder
from sim.writing import HELD_OPEN, TRIES_AT_A_FILE_HELD_OPEN, ChangedMeanwhile, WritingFailed, sweep, write_text
from tests.conventions import elsewhere


def held_open(times: int, winerror: int) -> tuple[Callable[..., None], list[int]]:
    """Return a replacing that is refused so many times, as one system does while another program reads the file."""
    real, tried = os.replace, []

    def replacing(new: Path, old: Path) -> None:
        tried.append(winerror)
        if len(tried) <= times:
            error = PermissionError(errno.EACCES, os.strerror(errno.EACCES))
            error.winerror = winerror  # type: ignore[attr-defined,unused-ignore]
            raise error
        real(new, old)

    return replacing, tried


def refusing(*_: Any, **__: Any) -> None:
    raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), "held-open")


@pytest.fixture
def no_pause(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    paused: list[float] = []
    monkeypatch.setattr("sim.writing.time.sleep", paused.append)
    return paused


@pytest.mark.parametrize("winerror", sorted(HELD_OPEN))
def test_a_file_that_another_program_reads_for_a_moment_is_replaced_when_it_is_free(
    winerror: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, no_pause: list[float]
) -> None:
    write_text(tmp_path / "desk.json", "old")
    replacing, tried = held_open(TRIES_AT_A_FILE_HELD_OPEN - 1, winerror)
    monkeypatch.setattr(os, "replace", replacing)
    write_text(tmp_path / "desk.json", "new")
    assert (tmp_path / "desk.json").read_text("utf-8") == "new"
    assert len(tried) == TRIES_AT_A_FILE_HELD_OPEN
    assert sum(no_pause) <= 0.5


@pytest.mark.parametrize(
    ("times", "winerror", "tries"), [(TRIES_AT_A_FILE_HELD_OPEN, 32, TRIES_AT_A_FILE_HELD_OPEN), (1, 19, 1)]
)
def test_a_file_that_is_never_free_or_refused_for_another_reason_is_refused_and_stays(
    times: int, winerror: int, tries: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, no_pause: list[float]
) -> None:
    write_text(tmp_path / "desk.json", "old")
    replacing, tried = held_open(times, winerror)
    monkeypatch.setattr(os, "replace", replacing)
    with pytest.raises(WritingFailed, match=r"desk\.json: cannot be written \(Permission denied\)"):
        write_text(tmp_path / "desk.json", "new")
    assert len(tried) == tries
    assert {file.name: file.read_text("utf-8") for file in tmp_path.iterdir()} == {"desk.json": "old"}


def test_a_lock_file_that_cannot_be_removed_while_it_is_open_stays_and_keeps_nobody_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "unlink", refusing)
    for _ in range(2):
        with take_hold(tmp_path / "evening.jsonl") as hold:
            assert hold.locked
        assert lock_file_of(tmp_path / "evening.jsonl").exists()


def test_files_are_opened_where_opening_knows_text_from_bytes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delattr(os, "O_NONBLOCK")
    real, asked = os.open, []

    def opening(path: Any, flags: int, *rest: int) -> int:
        asked.append(bool(flags & BINARY))
        return real(path, flags & ~BINARY, *rest)

    BINARY = 1 << 28
    monkeypatch.setattr(os, "O_BINARY", BINARY, raising=False)
    monkeypatch.setattr(os, "open", opening)
    line = append_line(tmp_path / "evening.jsonl", "note", {"text": "one"}, None)
    append_line(tmp_path / "evening.jsonl", "note", {"text": "two"}, line)
    assert asked.count(True) == 2
    assert read_bytes(tmp_path / "evening.jsonl", 10_000).count(b"\n") == 2
    assert asked.count(True) == 3, "line ends are bytes like others"
    with take_hold(tmp_path / "evening.jsonl") as hold:
        assert hold.locked


def test_a_folder_that_cannot_be_opened_to_be_read_is_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "open", refusing)
    with pytest.raises(FileRefused, match=r"cannot be opened \(Permission denied\)"):
        read_bytes(tmp_path, 100)


def test_two_spellings_of_a_log_are_one_file_where_files_cannot_be_compared(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from sim.evening.evening import Evening

    log = tmp_path / "evening.jsonl"
    Evening.open(log).close()
    monkeypatch.setattr(os.path, "samefile", lambda one, other: (_ for _ in ()).throw(OSError(errno.ENOSYS, "no")))
    with pytest.raises(NotReady, match="must be another file than the evening's own log"):
        hand_in(log, tmp_path / "." / "evening.jsonl")


def test_a_program_without_a_console_prints_into_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    monkeypatch.setattr(sys, "stderr", None)
    with plain_output():
        print("nobody sees this")
    assert command.main(["--version"]) == 0
    assert command.main(["paper", "glossy-rc-vc"]) == 0
    assert command.main(["paper", "tin"]) == 2
    assert sys.stdout is None


class NobodyReads(io.StringIO):
    """A pipe whose reader has left, as one system tells it."""

    def __init__(self, file: Any):
        super().__init__()
        self.file = file

    def fileno(self) -> int:
        """The number of a file that may be put out of use."""
        return int(self.file.fileno())

    def write(self, text: str) -> int:
        """Refuse, as that system does."""
        raise OSError(errno.EINVAL, "Invalid argument")


@pytest.mark.parametrize(("system", "code"), [("win32", 141), ("linux", 2)])
def test_a_reader_that_has_seen_enough_is_no_fault_where_that_is_called_a_wrong_argument(
    system: str, code: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert command.main(["schema"]) == 0  # what it needs is loaded where it really is
    with open(tmp_path / "pipe", "wb") as pipe:
        monkeypatch.setattr(sys, "stdout", NobodyReads(pipe))
        monkeypatch.setattr(sys, "platform", system)
        assert command.main(["schema"]) == code
        monkeypatch.undo()


def test_a_time_limit_holds_where_there_is_no_alarm(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delattr("signal.setitimer")
    end = time.monotonic() + 30.0
    with pytest.raises(TimeLimitReached), time_limit(0.1):  # noqa: PT012
        while time.monotonic() < end:
            time.sleep(0.01)


@pytest.fixture
def no_statm(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(worker_walls, "STATM", str(tmp_path / "not-here"))


@pytest.mark.parametrize(("system", "unit"), [("darwin", 1), ("freebsd14", 1024)])
def test_where_no_address_space_is_told_the_bound_is_of_memory_held(
    system: str, unit: int, monkeypatch: pytest.MonkeyPatch, no_statm: None
) -> None:
    import resource

    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    monkeypatch.setattr(sys, "platform", system)
    before = resource.getrlimit(resource.RLIMIT_AS)
    most = limit_memory(100)
    assert most is not None
    assert 0 <= most - (peak * unit + 100 * MEGABYTE) < 64 * MEGABYTE
    assert resource.getrlimit(resource.RLIMIT_AS) == before


def test_where_nothing_tells_of_memory_there_is_no_bound_and_no_fault(monkeypatch: pytest.MonkeyPatch, no_statm: None) -> None:
    real = builtins.__import__

    def importing(name: str, *rest: Any, **more: Any) -> Any:
        if name == "resource":
            raise ImportError(name)
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", importing)
    assert limit_memory(100) is None


@pytest.mark.parametrize(("more", "stopped"), [(0, False), (1, True)])
def test_a_piece_that_holds_one_byte_more_than_it_may_is_stopped(
    more: int, stopped: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(worker_walls, "_most_held", lambda: 1000 + more)
    monkeypatch.setattr(worker_walls, "LOOK_S", 0.005)
    ended = False
    try:
        with memory_watched(1000):
            end = time.monotonic() + (20.0 if stopped else 0.3)
            while time.monotonic() < end:
                time.sleep(0.005)
    except MemoryError:
        ended = True
    assert ended is stopped
    time.sleep(0.05)  # nothing rings once the piece is done


def test_a_memory_hog_gets_a_row_of_its_own_and_a_fresh_worker_follows_where_the_system_holds_no_bound() -> None:
    with Supervisor(1, 120.0, 150, elsewhere.without_statm) as workers:
        hog, after = workers.submit(elsewhere.hog), workers.submit(elsewhere.square, 7)
        assert isinstance(hog.exception(timeout=200), MemoryError)
        assert after.result(timeout=200) == 49


def test_without_a_home_nothing_is_kept_where_one_happens_to_stand(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("platformdirs.user_data_path", lambda *_, **__: Path("~/.local/share/tonewright"))
    monkeypatch.chdir(tmp_path)
    with pytest.raises(Refused, match="a home folder must be known for this account, to keep evenings in, got none"):
        data_of_ones_own()
    assert own_shelf() == SHIPPED
    assert command.main(["window"]) == 2
    assert list(tmp_path.iterdir()) == []


def test_what_is_kept_under_a_name_can_be_carried_to_a_system_that_keeps_names_for_its_devices(tmp_path: Path) -> None:
    assert {"con", "aux", "com1", "lpt9"} <= RESERVED
    assert [is_plain(name) for name in ("con", "lpt9", "com10", "cons", "con-2")] == [False, False, True, True, True]
    assert [name_for(name) for name in ("CON", "aux", "Aux 2")] == ["con-1", "aux-1", "aux-2"]
    (tmp_path / "aux.toml").write_text("", encoding="utf-8")
    assert PAPER.lying_in(tmp_path) == ()


def test_a_path_is_a_path_with_either_stroke_where_there_are_two(monkeypatch: pytest.MonkeyPatch) -> None:
    assert SHIPPED.with_typed(PAPER, "my\\card")[1] == "my\\card"
    monkeypatch.setattr(os, "altsep", "\\")
    shelf, name = SHIPPED.with_typed(PAPER, "my\\card")
    assert name.startswith("own:")
    assert shelf.file(PAPER, name) == Path("my\\card")


def test_another_system_is_asked_for_its_display_without_looking_for_one(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr("pygame.display.init", lambda: asked.append("display"))
    monkeypatch.setattr("pygame.display.get_desktop_sizes", lambda: [(1440, 900)])
    monkeypatch.setattr("pygame.display.get_driver", lambda: "cocoa")
    asked: list[str] = []
    with pytest.raises(NoDisplay):
        open_display()
    assert asked == []
    monkeypatch.setattr(sys, "platform", "darwin")
    assert open_display() == (1440, 900)
    assert asked == ["display"]


def test_a_folder_of_results_that_somebody_has_open_is_left_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    replace_folder(tmp_path / "derived", {"a.toml": "old"})

    monkeypatch.setattr(Path, "rename", refusing)
    with pytest.raises(PermissionError):
        replace_folder(tmp_path / "derived", {"a.toml": "new"})
    assert (tmp_path / "derived" / "a.toml").read_text("utf-8") == "old"


def test_a_home_that_nobody_knows_stays_as_it_was_typed_and_is_no_folder(tmp_path: Path) -> None:
    from sim.bench.own_scans import scans_at

    with pytest.raises(Refused, match="nobody-of-that-name"):
        scans_at(Path(os.path.expanduser("~nobody-of-that-name/roll")))


def test_a_secret_is_made_where_nothing_can_be_closed_to_others(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "chmod", refusing)
    assign_verb._new_secret(tmp_path / "course.key")
    assert len((tmp_path / "course.key").read_text("utf-8")) == 65


def test_a_demonstration_over_a_log_that_is_held_open_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "evening.jsonl").write_text("mine", encoding="utf-8")
    monkeypatch.setattr(Path, "replace", refusing)
    assert command.main(["demo", "-o", str(tmp_path)]) == 2
    assert "held-open: Permission denied" in capsys.readouterr().err
    assert [file.read_text("utf-8") for file in tmp_path.iterdir()] == ["mine"]


def test_a_set_aside_end_that_cannot_be_taken_away_is_no_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log = tmp_path / "evening.jsonl"
    line = append_line(log, "note", {"text": "one"}, None)
    log.write_bytes(log.read_bytes() + b'{"half')
    real = log_file._put_right

    def meanwhile(file: Path, raw: bytes, good: bytes) -> None:
        monkeypatch.setattr(log_file, "_put_right", real)
        log.write_bytes(good)
        append_line(log, "note", {"text": "two"}, line)
        raise ChangedMeanwhile("changed")

    monkeypatch.setattr(log_file, "_put_right", meanwhile)
    monkeypatch.setattr(Path, "unlink", refusing)
    assert len(log_file.repair_log(log).lines) == 2
    assert (tmp_path / "evening.jsonl.damaged-1").exists()


def test_a_page_that_somebody_has_open_is_refused_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "gone.html").write_text("", encoding="utf-8")
    monkeypatch.setattr(Path, "unlink", refusing)
    with pytest.raises(PermissionError) as caught:  # which the command tells as file and reason
        _take_away(tmp_path, set(), "*.html")
    assert command._in_words(caught.value) == "held-open: Permission denied"


def test_an_evening_refused_before_it_began_may_leave_its_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keep_task(tmp_path / "0001", tmp_path)
    monkeypatch.setattr(Path, "unlink", refusing)
    forget_task(tmp_path / "0001", "evening.jsonl")
    assert task_of(tmp_path / "0001") == str(tmp_path.resolve())


def test_what_a_write_left_and_cannot_be_removed_is_no_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    left = tmp_path / ".desk.json.0123abcd.part"
    left.write_bytes(b"half")
    monkeypatch.setattr(Path, "unlink", refusing)
    write_text(tmp_path / "desk.json", "whole")
    sweep(tmp_path / "desk.json")
    assert left.exists()
    assert (tmp_path / "desk.json").read_text("utf-8") == "whole"
