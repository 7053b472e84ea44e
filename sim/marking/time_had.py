"""How much time a piece of work has really had, on a machine that others use as well: what a time limit counts.

Work that is under way counts by the processor time it took. Work that takes none, since it hangs or sleeps, counts by the
clock, divided by how much slower the machine is just then than one that is free; that is measured by a moment of plain
reckoning. Whatever is measured, the clock ends it at last.
"""

from __future__ import annotations

import time
from collections.abc import Callable

PROBE_S = 0.01  # of processor time; chosen: two of a system's usual slices of some milliseconds
LONGEST_PROBE_S = 0.5  # by the clock
AT_WORK = 0.05  # of the time by the clock; chosen: who gets less of two processors shares them with forty others, or sleeps
MOST_BY_THE_CLOCK = 60.0  # times the limit, whatever the machine does; chosen: 20 minutes for the usual 20 s

Clock = Callable[[], float]


def slowness() -> float:
    """Return how many times slower than alone this thread is served by the machine just now, 1 or more."""
    began, cpu = time.perf_counter(), time.thread_time()
    while time.thread_time() - cpu < PROBE_S and time.perf_counter() - began < LONGEST_PROBE_S:
        pass
    took, had = time.perf_counter() - began, time.thread_time() - cpu
    return max(1.0, took / had) if had > 0.0 else LONGEST_PROBE_S / PROBE_S


class TimeHad:
    """Adds up the time that a piece of work has had. ``cpu_s`` tells the processor time it took, None where nobody can."""

    def __init__(
        self, cpu_s: Callable[[], float | None], clock: Clock = time.perf_counter, slow: Callable[[], float] = slowness
    ) -> None:
        """Begin now."""
        self._cpu_s, self._clock, self._slow = cpu_s, clock, slow
        self._began = self._last = clock()
        self._last_cpu_s = cpu_s()
        self._had_s = 0.0

    def s(self) -> float:
        """Return the seconds it has had so far; to be asked several times within a limit, for each part counts by itself."""
        now, cpu_s = self._clock(), self._cpu_s()
        part = now - self._last
        took = None if cpu_s is None or self._last_cpu_s is None else cpu_s - self._last_cpu_s
        if took is not None and took >= AT_WORK * part:
            self._had_s += took
        else:
            self._had_s += part / self._slow()
        self._last, self._last_cpu_s = self._clock(), cpu_s
        return max(self._had_s, (now - self._began) / MOST_BY_THE_CLOCK)


def next_look_s(limit_s: float, had_s: float) -> float:
    """Return after how long to look again: a part of the limit, and never before what is left can have been had."""
    return min(max(limit_s - had_s, 0.02), max(limit_s / 4.0, 0.02))
