"""Several programs write one learner's progress: nothing that was kept is lost, whoever waits comes in."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest

import sim
from sim.locking import OpenElsewhere, take_hold
from sim.teaching import progress as progress_file_module
from sim.teaching.progress import Progress, change_progress, progress_file, read_progress, with_evening
from sim.writing import WritingFailed
from tests.teaching.many_finishers import done

HERE = Path(__file__).parent
ROOT = str(Path(sim.__file__).parent.parent)
PROGRAMS, FINISHED = 4, 100  # by hand: a hundred programs


def finished(folder: Path, learner: str) -> set[int]:
    return {one.day for one in read_progress(folder, learner).evenings["time-from-a-strip"]}


def test_a_hundred_evenings_finished_at_once_are_a_hundred_evenings_kept(tmp_path: Path) -> None:
    each = FINISHED // PROGRAMS
    programs = [
        subprocess.Popen(
            [sys.executable, str(HERE / "many_finishers.py"), str(tmp_path), "ada", str(k * each), str(each)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": ROOT},
        )
        for k in range(PROGRAMS)
    ]  # fmt: skip
    for program in programs:
        assert program.stdout is not None
        assert program.stdout.readline() == "ready\n"
    for program in programs:
        assert program.stdin is not None
        program.stdin.write("go\n")
        program.stdin.flush()
    for program in programs:
        said, _ = program.communicate(timeout=240)
        assert program.returncode == 0
        assert said.count("kept") == each
    assert finished(tmp_path, "ada") == set(range(FINISHED))


def test_twenty_hands_within_one_program_lose_nothing(tmp_path: Path) -> None:
    def finish(number: int) -> None:
        change_progress(tmp_path, "", lambda kept: with_evening(kept, "time-from-a-strip", done(number)))

    hands = [threading.Thread(target=finish, args=(number,)) for number in range(20)]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()
    assert finished(tmp_path, "") == set(range(20))


def test_learners_do_not_wait_for_each_other(tmp_path: Path) -> None:
    with take_hold(progress_file(tmp_path, "ada")):
        change_progress(tmp_path, "bob", lambda kept: with_evening(kept, "time-from-a-strip", done(1)))
    assert finished(tmp_path, "bob") == {1}


def test_who_cannot_come_in_is_told_and_nothing_is_changed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(progress_file_module, "LONGEST_WAIT_S", 0.1)
    change_progress(tmp_path, "ada", lambda kept: with_evening(kept, "time-from-a-strip", done(1)))
    with take_hold(progress_file(tmp_path, "ada")):
        with pytest.raises(OpenElsewhere, match=r"ada\.json: is open elsewhere \(and has been for 0\.1 s; nothing was"):
            change_progress(tmp_path, "ada", lambda kept: with_evening(kept, "time-from-a-strip", done(2)))
        assert finished(tmp_path, "ada") == {1}, "who only looks need not wait"


def test_a_change_that_fails_lets_the_next_one_in(tmp_path: Path) -> None:
    def fails(_: Progress) -> Progress:
        raise WritingFailed("no")

    for _ in range(2):
        with pytest.raises(WritingFailed):
            change_progress(tmp_path, "ada", fails)
    assert not progress_file(tmp_path, "ada").exists()


def test_leftovers_of_a_killed_write_are_swept_with_the_next(tmp_path: Path) -> None:
    left = tmp_path / ".progress-ada.json.0123abcd.part"
    other = tmp_path / ".progress-bob.json.0123abcd.part"
    for file in (left, other):
        file.write_bytes(b"half")
    _, file = change_progress(tmp_path, "ada", lambda kept: with_evening(kept, "time-from-a-strip", done(1)))
    assert {entry.name for entry in tmp_path.iterdir()} == {file.name, other.name}
