"""A time limit counts the time that work has had: a busy machine fails no honest evening, and what hangs still ends."""

from __future__ import annotations

import itertools
import os
import subprocess
import sys
import threading
import time
from collections.abc import Iterator

import pytest

from sim.marking import worker_walls
from sim.marking.time_had import MOST_BY_THE_CLOCK, TimeHad, next_look_s, slowness
from sim.marking.worker_walls import TimeLimitReached, processor_time_of, time_limit


def played(wall_s: float, cpu_s: float, slow: float, limit_s: float = 20.0) -> float:
    """Return after how many seconds by the clock a limit ends work that gets ``cpu_s`` of every ``wall_s``."""
    now = 0.0

    def clock() -> float:
        return now

    had, so_far = TimeHad(lambda: now * cpu_s / wall_s, clock, lambda: slow), 0.0
    for _ in itertools.repeat(None, 100_000):
        now += next_look_s(limit_s, so_far)
        so_far = had.s()
        if so_far >= limit_s:
            return now
    raise AssertionError("it never ends")


@pytest.mark.parametrize(("share", "slow", "ends_after_s"), [
    (1.0, 1.0, 20.0),  # at work on a free machine
    (0.1, 10.0, 200.0),  # at work beside nine others: only what it got counts
    (0.0, 1.0, 20.0),  # asleep on a free machine
    (0.0, 7.0, 140.0),  # asleep on a busy one: it might have been waiting
    (0.01, 100.0, MOST_BY_THE_CLOCK * 20.0),  # starved: the clock ends it at last
])  # fmt: skip
def test_what_counts_is_the_time_that_work_has_had(share: float, slow: float, ends_after_s: float) -> None:
    assert played(1.0, share, slow) == pytest.approx(ends_after_s, rel=0.02)


def test_an_evening_of_half_a_second_is_marked_on_a_machine_forty_times_slower() -> None:
    """It ends by itself after 0.5 s of a processor: by the clock after 20 s, where a limit by the clock had failed it."""
    assert played(1.0, 1 / 40.0, 40.0) > 40 * 0.5 * 10


@pytest.fixture
def busy_machine() -> Iterator[None]:
    """Four processes that reckon without end, on however many processors there are."""
    endless = [subprocess.Popen([sys.executable, "-c", "while True: pass"]) for _ in range(4)]
    try:
        yield
    finally:
        for one in endless:
            one.kill()
            one.wait()


def test_work_within_its_limit_ends_well_beside_others(busy_machine: None) -> None:
    limit_s, needed_s = 0.3, 0.2
    for in_main in (True, False):
        found: list[str] = []

        def work(found: list[str] = found) -> None:
            try:
                with time_limit(limit_s):
                    began = time.thread_time()
                    while time.thread_time() - began < needed_s:
                        pass
                found.append("done")
            except TimeLimitReached:
                found.append("stopped")

        if in_main:
            work()
        else:
            thread = threading.Thread(target=work)
            thread.start()
            thread.join()
        assert found == ["done"]


@pytest.mark.parametrize("asleep", [True, False])
def test_what_hangs_ends_within_a_bounded_time(asleep: bool) -> None:
    def hang() -> None:
        with time_limit(0.2):
            while True:
                if asleep:
                    time.sleep(0.05)

    began = time.monotonic()
    with pytest.raises(TimeLimitReached):
        hang()
    assert time.monotonic() - began < 0.2 * MOST_BY_THE_CLOCK + 1.0


def test_where_no_processor_time_is_told_a_limit_counts_by_how_slow_the_machine_is(monkeypatch: pytest.MonkeyPatch) -> None:
    for module, name in ((time, "pthread_getcpuclockid"), (time, "clock_gettime"), (os, "sysconf")):
        monkeypatch.delattr(module, name, raising=False)
    assert processor_time_of(os.getpid())() is None
    monkeypatch.setattr(worker_walls, "STAT", "/nowhere/{process}")
    assert processor_time_of(os.getpid())() is None
    found: list[str] = []

    def work() -> None:
        try:
            with time_limit(0.1):
                while True:
                    pass
        except TimeLimitReached:
            found.append("stopped")

    thread = threading.Thread(target=work, daemon=True)
    thread.start()
    thread.join(0.1 * MOST_BY_THE_CLOCK + 5.0)
    assert found == ["stopped"]


def test_a_machine_is_never_told_to_be_faster_than_alone() -> None:
    assert slowness() >= 1.0


def test_processor_time_of_a_process_that_is_gone_is_not_known() -> None:
    gone = subprocess.Popen([sys.executable, "-c", ""])
    gone.wait()
    assert processor_time_of(gone.pid)() is None
