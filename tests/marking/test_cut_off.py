"""A run cut off at any moment and started again leaves the same bytes as one that was left in peace; so does any order."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from at_once import marked
from class_room import ClassRoom, all_bytes, class_room

from sim.marking import batch as batch_module
from sim.marking.kept_work import Marked, keep, kept

LEARNERS = tuple(f"p{n:02d}" for n in range(8))


def arguments(room: ClassRoom, out: Path, *more: str) -> list[str]:
    return [sys.executable, "-m", "sim.command.main", "mark", str(room.box), "--course", str(room.course), "-o", str(out),
            "--time-limit", "300", *more]  # fmt: skip


def all_hand_in(room: ClassRoom, order: list[str] | None = None) -> None:
    for learner in order or list(LEARNERS):
        room.hand(learner, times=(3.0, 4.0 + 0.2 * int(learner[1:])))


def left_in_peace(room: ClassRoom, out: Path, jobs: str = "2", **environment: str) -> dict[str, bytes]:
    done = subprocess.run(
        arguments(room, out, "--jobs", jobs), env={**os.environ, **environment}, capture_output=True, timeout=600
    )
    assert done.returncode in (0, 1), done.stderr
    return all_bytes(out)


@pytest.fixture(scope="module")
def all_marked(tmp_path_factory: pytest.TempPathFactory) -> tuple[ClassRoom, dict[str, bytes]]:
    """A class's evenings and what marking them with two workers leaves."""
    room = class_room(tmp_path_factory.mktemp("class") / "course", roster=LEARNERS)
    all_hand_in(room)
    return room, left_in_peace(room, room.folder / "peace")


def test_killed_and_resumed_leaves_the_same_bytes(
    all_marked: tuple[ClassRoom, dict[str, bytes]], tmp_path: Path
) -> None:
    room, peace = all_marked
    out, results = tmp_path / "cut", 4
    process = subprocess.Popen(arguments(room, out, "--jobs", "1"), stdout=subprocess.DEVNULL, start_new_session=True)
    deadline = time.monotonic() + 60
    while process.poll() is None and time.monotonic() < deadline and len(list(out.glob("results/*.json"))) < results:
        time.sleep(0.01)
    process.send_signal(signal.SIGKILL)
    process.wait()
    half = len(list(out.glob("results/*.json")))
    assert half >= results
    assert left_in_peace(room, out, "1") == peace


def test_a_run_that_stops_between_any_two_results_resumes_to_the_same(room: ClassRoom, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("k01", "k02", "k03"):
        room.hand(name, times=(3.0, 3.0 + len(name)))
    whole = marked(room, room.folder / "whole")
    for stop_after in range(3):
        out, left = room.folder / f"cut-{stop_after}", [stop_after]

        def keep_some(folder: Path, key: str, work: Marked, left: list[int] = left) -> None:
            if left[0] == 0:
                raise KeyboardInterrupt
            left[0] -= 1
            keep(folder, key, work)

        monkeypatch.setattr(batch_module, "keep", keep_some)
        with pytest.raises(KeyboardInterrupt):
            marked(room, out)
        monkeypatch.undo()
        assert len(all_bytes(out)) == stop_after
        again = marked(room, out)
        assert (again.results, again.replayed) == (whole.results, 3 - stop_after)
        assert all_bytes(out / "results") == all_bytes(room.folder / "whole" / "results")


# Several at once: whichever is of account, the bytes differ.
CIRCUMSTANCES = {
    "one worker, files that came in another order, far east, plain language, another hash seed": (
        "1", {"TZ": "Asia/Tokyo", "LANG": "C", "PYTHONHASHSEED": "12345"}, random.Random(11).sample(LEARNERS, len(LEARNERS)),
    ),
    "two workers, half-hour zone, other language, no hash seed": (
        "2", {"TZ": "Australia/Adelaide", "LANG": "de_DE.UTF-8", "LC_ALL": "C", "PYTHONHASHSEED": "0"}, None,
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CIRCUMSTANCES, ids=lambda case: case.replace(" ", "-"))
def test_circumstances_are_of_no_account(all_marked: tuple[ClassRoom, dict[str, bytes]], case: str, tmp_path: Path) -> None:
    room, peace = all_marked
    jobs, environment, order = CIRCUMSTANCES[case]
    if order is not None:
        room = class_room(tmp_path / "course", roster=LEARNERS)
        all_hand_in(room, order)
    assert left_in_peace(room, tmp_path / "out", jobs, **environment) == peace


def test_damaged_kept_work_is_made_again(room: ClassRoom) -> None:
    room.hand("k01")
    marked(room)
    (file,) = (room.folder / "out" / "results").iterdir()
    whole = file.read_bytes()
    assert kept(file.parent, file.stem) is not None
    for damaged in (whole[:-40], whole.replace(b'"marked"', b'"late"', 1), b"", b"[]", b'{"seal": 1}'):
        file.write_bytes(damaged)
        assert kept(file.parent, file.stem) is None
        assert marked(room).replayed == 1
        assert file.read_bytes() == whole


def test_only_what_changed_is_marked_anew(room: ClassRoom) -> None:
    room.hand("k01")
    room.hand("k02", times=(3.0, 6.0))
    assert marked(room).replayed == 2
    room.hand("k02", times=(3.0, 6.5))
    assert marked(room).replayed == 1
    lesson = room.folder / "grey-steps" / "exercise.toml"
    lesson.write_text(lesson.read_text("utf-8").replace("points = 6.0", "points = 5.0"), "utf-8")
    assert marked(room).replayed == 2
