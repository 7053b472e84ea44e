"""Marking past one machine: two worker processes behind a scheduler, one killed in the middle, the same bytes as at home."""

from __future__ import annotations

import importlib.util
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from class_room import all_bytes, class_room
from night import turns

HAS_CLUSTER = importlib.util.find_spec("distributed") is not None
LEARNERS = tuple(f"q{n:02d}" for n in range(16))


def wait_for(what: str, come: object, seconds: float = 60.0) -> None:
    deadline = time.monotonic() + seconds
    while not come():  # type: ignore[operator]
        assert time.monotonic() < deadline, f"{what} did not come in {seconds:g} s"
        time.sleep(0.02)


def start(module: str, *words: str, folder: Path) -> subprocess.Popen[bytes]:
    log = open(folder / f"{module}-{len(list(folder.iterdir()))}.log", "wb")  # noqa: SIM115
    with log:
        return subprocess.Popen([sys.executable, "-m", f"distributed.cli.{module}", *words], stdout=log, stderr=log)


@dataclass
class Here:
    """A scheduler of this machine and two worker processes."""

    address: str
    scheduler: subprocess.Popen[bytes]
    workers: list[subprocess.Popen[bytes]]


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[Here]:
    """A cluster on this machine for one test."""
    folder = tmp_path / "cluster"
    folder.mkdir()
    file = folder / "scheduler.json"
    scheduler = start("dask_scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard", "--scheduler-file", str(file),
                      folder=folder)  # fmt: skip
    workers: list[subprocess.Popen[bytes]] = []
    try:
        wait_for("the scheduler", lambda: file.exists() and file.stat().st_size)  # it is there before it is written
        import json

        address = json.loads(file.read_text("utf-8"))["address"]
        workers += [
            start("dask_worker", address, "--nthreads", "1", "--no-nanny", "--no-dashboard", "--local-directory",
                  str(folder), folder=folder)
            for _ in range(2)
        ]  # fmt: skip
        yield Here(address, scheduler, workers)
    finally:
        for process in (*workers, scheduler):
            process.kill()
            process.wait()


def mark(box: Path, course: Path, out: Path, *more: str) -> subprocess.Popen[bytes]:
    words = ["mark", str(box), "--course", str(course), "-o", str(out), "--time-limit", "300", *more]
    return subprocess.Popen([sys.executable, "-m", "sim.command.main", *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE)


@pytest.mark.skipif(not HAS_CLUSTER, reason="needs the optional part for clusters")
def test_a_worker_of_two_is_killed_and_nothing_is_lost(cluster: Here, tmp_path: Path) -> None:
    address, workers = cluster.address, cluster.workers
    room = class_room(tmp_path / "course", roster=LEARNERS)
    for n, learner in enumerate(LEARNERS):
        room.hand(learner, times=(2.0, 3.0, 3.5, 4.0 + 0.1 * n))
    out = tmp_path / "out"
    process = mark(room.box, room.course, out, "--jobs", "2", "--scheduler", address)
    wait_for("the first results", lambda: len(list(out.glob("results/*.json"))) >= 3 or process.poll() is not None)
    os.kill(workers[0].pid, signal.SIGKILL)
    killed_at = len(list(out.glob("results/*.json")))
    said, errors = process.communicate(timeout=120)
    assert process.returncode == 0, errors
    assert killed_at < len(LEARNERS), "killed too late to show anything"
    assert b"16 marked" in said
    home = mark(room.box, room.course, tmp_path / "home", "--jobs", "2")
    home.communicate(timeout=120)
    assert home.returncode == 0
    assert all_bytes(out) == all_bytes(tmp_path / "home")


GONE = {"scheduler": b"cannot be reached any more", "last worker": b"has lost its last worker"}
BY_HAND = bool(turns("TONEWRIGHT_LAST_WORKER", 0, 1))  # a last worker is waited for: some 20 s of doing nothing


@pytest.mark.skipif(not HAS_CLUSTER, reason="needs the optional part for clusters")
@pytest.mark.parametrize("who", GONE if BY_HAND else ["scheduler"], ids=lambda who: who.replace(" ", "-"))
def test_a_real_cluster_that_is_gone_is_said_within_half_a_minute_and_what_came_is_kept(
    who: str, cluster: Here, tmp_path: Path
) -> None:
    room = class_room(tmp_path / "course", roster=LEARNERS)
    for n, learner in enumerate(LEARNERS):
        room.hand(learner, times=(2.0, 3.0, 3.5, 4.0 + 0.1 * n))
    out = tmp_path / "out"
    process = mark(room.box, room.course, out, "--jobs", "1", "--scheduler", cluster.address)
    wait_for("the first result", lambda: list(out.glob("results/*.json")) or process.poll() is not None)
    for one in (cluster.scheduler,) if who == "scheduler" else cluster.workers:
        os.kill(one.pid, signal.SIGKILL)
    killed, kept = time.monotonic(), {file.name for file in out.glob("results/*.json")}
    said, errors = process.communicate(timeout=120)
    waited = time.monotonic() - killed
    assert process.returncode == 2, (said, errors)
    assert GONE[who] in errors
    assert b"what was marked is kept" in errors
    assert b"Traceback" not in errors
    assert waited < 30.0
    assert kept
    assert kept <= {file.name for file in out.glob("results/*.json")}
    assert len(kept) < len(LEARNERS), "killed too late to show anything"


@pytest.mark.skipif(not HAS_CLUSTER, reason="needs the optional part for clusters")
def test_an_address_where_nobody_answers_is_refused_in_words(tmp_path: Path) -> None:
    from sim.marking.running import chosen_executor

    with pytest.raises(ValueError, match="--scheduler"), chosen_executor(1, 5.0, "tcp://127.0.0.1:9", wait_s=1):
        pass


def test_without_the_optional_part_it_is_said_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    from sim.marking.running import chosen_executor

    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(ValueError, match="cluster"), chosen_executor(1, 5.0, "tcp://127.0.0.1:9"):
        pass
