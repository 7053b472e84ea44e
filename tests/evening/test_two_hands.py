"""Two programs at one evening: one has it in hand, the other is told so; what was acknowledged is all there."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest

import sim
from sim.evening import log as log_file
from sim.evening.evening import Evening, NotInHand
from sim.evening.log import append_line, read_log, repair_log
from sim.locking import Hold, OpenElsewhere, lock_file_of, take_hold
from sim.refusals import Refusal
from sim.writing import WritingFailed

HERE = Path(__file__).parent
ROOT = str(Path(sim.__file__).parent.parent)
DECISIONS = 40  # of each program; by hand a hundred times as many


def start(log: Path, name: str, how: str, decisions: int = DECISIONS) -> subprocess.Popen[str]:
    arguments = [sys.executable, str(HERE / "two_writers.py"), str(log), str(decisions), name, how]
    return subprocess.Popen(arguments, stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": ROOT})


def acknowledged(program: subprocess.Popen[str]) -> tuple[list[str], int]:
    """Return what a program acknowledged, and how often it was told that the evening is open elsewhere."""
    said, _ = program.communicate(timeout=240)
    assert program.returncode == 0
    lines = said.splitlines()
    return [line.removeprefix("kept ") for line in lines if line.startswith("kept ")], lines.count("elsewhere")


def notes(log: Path) -> list[str]:
    loaded = read_log(log)
    assert loaded.damage is None
    return [str(line.data["text"]) for line in loaded.lines if line.kind == "note"]


def test_of_two_programs_at_one_evening_no_acknowledged_decision_is_lost(tmp_path: Path) -> None:
    log = tmp_path / "evening.jsonl"
    Evening.open(log).close()
    programs = [start(log, name, "evening") for name in ("one", "two")]
    kept = [acknowledged(program)[0] for program in programs]
    found = notes(log)
    assert sorted(found) == sorted([*kept[0], *kept[1]])
    assert len(found) == 2 * DECISIONS
    assert list(tmp_path.glob("*.damaged-*")) == []


def test_programs_that_hold_nothing_lose_no_acknowledged_decision_either(tmp_path: Path) -> None:
    log = tmp_path / "evening.jsonl"
    Evening.open(log).close()
    programs = [start(log, name, "bare") for name in ("one", "two")]
    kept = [acknowledged(program)[0] for program in programs]
    repair_log(log)
    assert set(kept[0]) | set(kept[1]) <= set(notes(log))


def test_a_program_that_comes_second_is_told_and_comes_in_when_the_first_has_left(tmp_path: Path) -> None:
    log = tmp_path / "evening.jsonl"
    with Evening.open(log) as evening:
        other = start(log, "two", "evening", 3)
        assert other.stdout is not None
        assert other.stdout.readline() == "elsewhere\n"
        evening.note("still mine")
    kept, _ = acknowledged(other)
    assert notes(log) == ["still mine", *kept]
    assert len(kept) == 3


def test_a_lock_goes_with_a_program_that_is_killed(tmp_path: Path) -> None:
    log = tmp_path / "evening.jsonl"
    program = start(log, "killed", "evening", 100_000)
    assert program.stdout is not None
    assert program.stdout.readline() == "kept killed 0\n"
    program.kill()
    program.communicate()
    with Evening.open(log) as evening:
        evening.note("after the power cut")
    assert notes(log)[-1] == "after the power cut"


def test_a_second_object_in_one_program_is_told_and_nothing_of_its_own_is_written(tmp_path: Path) -> None:
    log = tmp_path / "evening.jsonl"
    with Evening.open(log) as evening:
        with open(log, "ab") as handle:
            handle.write(b'{"half')  # a line that is being written at this moment
        before = log.read_bytes()
        with pytest.raises(OpenElsewhere) as caught:
            Evening.open(log)
        assert isinstance(caught.value, Refusal)
        assert str(caught.value).startswith(f"{log}: is open elsewhere")
        assert log.read_bytes() == before
        assert list(tmp_path.glob("*.damaged-*")) == []
        assert evening.hold is not None
        assert evening.hold.locked


def test_another_name_of_the_same_evening_is_the_same_evening(tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    (tmp_path / "also").symlink_to(tmp_path / "there")
    with Evening.open(tmp_path / "there" / "evening.jsonl"), pytest.raises(OpenElsewhere):
        Evening.open(tmp_path / "also" / "evening.jsonl")
    Evening.open(tmp_path / "also" / "evening.jsonl").close()


def test_who_looks_sees_what_stands_there_and_touches_nothing(tmp_path: Path) -> None:
    log = tmp_path / "evening.jsonl"
    with Evening.open(log) as evening:
        evening.note("seen")
        with open(log, "ab") as handle:
            handle.write(b'{"half')
        before = {file.name: file.read_bytes() for file in tmp_path.iterdir()}
        looked = Evening.look(log, "it is open elsewhere")
        assert looked.state == evening.state
        assert "incomplete last line" in str(looked.damage)
        for act in (looked.note, looked.predict, looked.observe, looked.explain):
            with pytest.raises(NotInHand):
                act("x")
        with pytest.raises(NotInHand, match=r"evening\.jsonl: nothing can be changed here: it is open elsewhere"):
            looked.note("x")
        assert {file.name: file.read_bytes() for file in tmp_path.iterdir()} == before


def test_there_is_nothing_to_look_at_where_no_evening_is(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match="cannot be opened"):
        Evening.look(tmp_path / "evening.jsonl")
    (tmp_path / "evening.jsonl").write_bytes(b"")
    with pytest.raises(Refusal, match="must hold an evening to be looked at"):
        Evening.look(tmp_path / "evening.jsonl")


def test_an_evening_put_away_takes_no_more_decisions_and_another_may_have_it(tmp_path: Path) -> None:
    log = tmp_path / "evening.jsonl"
    first = Evening.open(log)
    first.close()
    first.close()
    with Evening.open(log) as second:
        with pytest.raises(NotInHand, match="put away"):
            first.note("too late")
        second.note("in time")
    assert notes(log) == ["in time"]


def test_an_evening_that_nobody_uses_any_more_is_free(tmp_path: Path) -> None:
    log = tmp_path / "evening.jsonl"
    evening = Evening.open(log)
    del evening
    Evening.open(log).close()


def test_what_is_refused_keeps_nobody_out(tmp_path: Path) -> None:
    log = tmp_path / "evening.jsonl"
    append_line(log, "note", {"text": "no opening"}, None)
    for _ in range(2):
        with pytest.raises(Refusal, match="must be opened"):
            Evening.open(log)


def test_who_waits_gets_it_when_it_is_free_and_is_told_when_it_is_not(tmp_path: Path) -> None:
    file = tmp_path / "progress.json"
    first = take_hold(file)
    with pytest.raises(OpenElsewhere, match=r"progress\.json: is open elsewhere \(and has been for 0\.1 s"):
        take_hold(file, 0.1)
    timer = threading.Timer(0.1, first.let_go)
    timer.start()
    with take_hold(file, 20.0) as second:
        assert second.locked
    timer.join()


def test_a_lock_file_taken_away_meanwhile_never_lets_two_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "evening.jsonl"
    real, gone = os.open, []

    def open_and_lose(path: Path, *rest: int) -> int:
        descriptor = real(path, *rest)
        if path == lock_file_of(file) and not gone:
            gone.append(path)
            os.unlink(path)
        return descriptor

    monkeypatch.setattr(os, "open", open_and_lose)
    with take_hold(file) as hold:
        assert gone
        assert hold.locked
        assert lock_file_of(file).exists()


def test_repairing_never_replaces_what_it_has_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log = tmp_path / "evening.jsonl"
    first = append_line(log, "note", {"text": "first"}, None)
    good = log.read_bytes()
    log.write_bytes(good.replace(b'{"data"', b'{ "data"'))  # an editor was here: all is to be written anew
    real = log_file._put_right

    def later(file: Path, raw: bytes, ours: bytes) -> None:
        monkeypatch.setattr(log_file, "_put_right", real)
        log.write_bytes(good)
        append_line(log, "note", {"text": "from elsewhere"}, first)
        real(file, raw, ours)

    monkeypatch.setattr(log_file, "_put_right", later)
    assert [line.data["text"] for line in repair_log(log).lines] == ["first", "from elsewhere"]
    assert notes(log) == ["first", "from elsewhere"]


def test_a_torn_end_is_not_cut_off_with_a_decision_that_came_in_meanwhile(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = tmp_path / "evening.jsonl"
    first = append_line(log, "note", {"text": "first"}, None)
    good = log.read_bytes()
    log.write_bytes(good + b'{"half')
    real = log_file._put_right

    def later(file: Path, raw: bytes, ours: bytes) -> None:
        monkeypatch.setattr(log_file, "_put_right", real)
        log.write_bytes(good)  # another program has repaired it and gone on
        append_line(log, "note", {"text": "from elsewhere"}, first)
        real(file, raw, ours)

    monkeypatch.setattr(log_file, "_put_right", later)
    loaded = repair_log(log)
    assert [line.data["text"] for line in loaded.lines] == ["first", "from elsewhere"]
    assert loaded.damage is None
    assert list(tmp_path.glob("*.damaged-*")) == [], "there was nothing left to set aside"


def test_a_log_that_never_rests_is_not_repaired(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log = tmp_path / "evening.jsonl"
    append_line(log, "note", {"text": "first"}, None)
    real = log_file._put_right

    def later(file: Path, raw: bytes, ours: bytes) -> None:
        log.write_bytes(raw + b"x")
        real(file, raw, ours)

    log.write_bytes(log.read_bytes() + b"x")
    monkeypatch.setattr(log_file, "_put_right", later)
    with pytest.raises(WritingFailed, match="goes on writing it"):
        repair_log(log)
    assert log.read_bytes().endswith(b"x" * 6)


def test_two_lines_written_at_one_moment_are_not_both_acknowledged(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log = tmp_path / "evening.jsonl"
    first = append_line(log, "note", {"text": "first"}, None)
    real = os.write

    def second_comes(descriptor: int, data: bytes) -> int:
        monkeypatch.setattr(os, "write", real)
        append_line(log, "note", {"text": "a moment earlier"}, first)
        return real(descriptor, data)

    monkeypatch.setattr(os, "write", second_comes)
    with pytest.raises(WritingFailed, match="another program wrote at the same moment; open it again"):
        append_line(log, "note", {"text": "a moment later"}, first)
    assert [line.data["text"] for line in repair_log(log).lines] == ["first", "a moment earlier"]


def test_a_hold_of_a_program_that_split_in_two_is_not_ended_by_its_child(tmp_path: Path) -> None:
    file = tmp_path / "evening.jsonl"
    program = (
        "import os, sys; from pathlib import Path; from sim.locking import take_hold, OpenElsewhere\n"
        "file = Path(sys.argv[1]); hold = take_hold(file)\n"
        "if os.fork() == 0:\n    hold.let_go(); os._exit(0)\n"
        "os.wait()\n"
        "import subprocess\n"
        "ask = 'import sys; from pathlib import Path; from sim.locking import take_hold; take_hold(Path(sys.argv[1]))'\n"
        "print(subprocess.run([sys.executable, '-c', ask, sys.argv[1]], capture_output=True, text=True).stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(file)], capture_output=True, text=True, timeout=60,
        env={**os.environ, "PYTHONPATH": ROOT},
    )  # fmt: skip
    assert "OpenElsewhere" in done.stdout
    assert isinstance(take_hold(file), Hold)
