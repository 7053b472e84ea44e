"""Walls around one piece of work inside a worker: so many seconds, so much memory, and then it is a row, not a crash.

Seconds are those that the work has had (``time_had.py``): a busy machine fails nobody's evening.

Where the work runs in a process's main thread the system's alarm stops it; in another thread (a cluster's workers) a
watcher raises the same exception in that thread. What answers to neither is stopped from outside, by the supervisor.
"""

from __future__ import annotations

import contextlib
import ctypes
import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from types import FrameType

from sim.marking.time_had import TimeHad, next_look_s

MEGABYTE = 1024 * 1024
STATM = "/proc/self/statm"  # how much a process uses, where the system tells it so
STAT = "/proc/{process}/stat"  # what a process has used of a processor: user and system time, in ticks
LOOK_S = 0.05  # how often memory is looked at where the system holds no bound


class TimeLimitReached(Exception):
    """The work took longer than it may."""


@contextlib.contextmanager
def time_limit(seconds: float) -> Iterator[None]:
    """Raise TimeLimitReached in the block once it has had ``seconds`` of a machine's time."""
    main = threading.current_thread() is threading.main_thread()
    with _alarm(seconds) if main and hasattr(signal, "setitimer") else _watcher(seconds):
        yield


@contextlib.contextmanager
def _alarm(seconds: float) -> Iterator[None]:
    had, over = TimeHad(time.process_time), False

    def ring(number: int, frame: FrameType | None) -> None:
        if over:  # it rang while the block was left: nothing must be set to ring again
            return
        so_far = had.s()
        if so_far >= seconds:
            raise TimeLimitReached
        signal.setitimer(signal.ITIMER_REAL, next_look_s(seconds, so_far))

    before = signal.signal(signal.SIGALRM, ring)
    signal.setitimer(signal.ITIMER_REAL, next_look_s(seconds, 0.0))
    try:
        yield
    finally:
        over = True
        signal.setitimer(signal.ITIMER_REAL, 0.0)
        signal.signal(signal.SIGALRM, before)


@contextlib.contextmanager
def _watcher(seconds: float) -> Iterator[None]:
    left = threading.Event()
    with _raised_from_outside(TimeLimitReached) as ring:
        had = TimeHad(_processor_time_of_this_thread())

        def look() -> None:
            so_far = 0.0
            while not left.wait(next_look_s(seconds, so_far)):
                so_far = had.s()
                if so_far >= seconds:
                    ring()
                    return

        threading.Thread(target=look, daemon=True).start()
        try:
            yield
        finally:
            left.set()


def _processor_time_of_this_thread() -> Callable[[], float | None]:
    """Return what tells, from any thread, the processor time that this one took; None where the system does not tell."""
    clock_of = getattr(time, "pthread_getcpuclockid", None)
    if clock_of is None:
        return lambda: None
    clock = clock_of(threading.get_ident())

    def told() -> float | None:
        try:
            return time.clock_gettime(clock)
        except OSError:
            return None

    return told


def processor_time_of(process: int) -> Callable[[], float | None]:
    """Return what tells the processor time that a process took so far, by its id; None where the system does not tell."""

    def told() -> float | None:
        try:
            with open(STAT.format(process=process), encoding="ascii", errors="replace") as handle:
                numbers = handle.read().rpartition(")")[2].split()
            return (int(numbers[11]) + int(numbers[12])) / os.sysconf("SC_CLK_TCK")
        except (OSError, ValueError, AttributeError, IndexError):
            return None

    return told


@contextlib.contextmanager
def _raised_from_outside(what: type[BaseException]) -> Iterator[Callable[[], None]]:
    """Hand out a call by which another thread raises an exception in this one, as long as the block lasts and no longer."""
    thread = ctypes.c_ulong(threading.get_ident())
    lock, done = threading.Lock(), False

    def ring() -> None:
        with lock:
            if not done:
                ctypes.pythonapi.PyThreadState_SetAsyncExc(thread, ctypes.py_object(what))

    try:
        yield ring
    finally:
        with lock:
            done = True


def limit_memory(megabytes: int) -> int | None:
    """Let this process take so much more memory than it has now; beyond it Python raises MemoryError.

    Where the system tells how much address space is used now, it holds the bound itself, and None is returned. Elsewhere it is
    returned in bytes of the most memory held so far, for ``memory_watched`` to hold; None where nothing tells that either.
    """
    used, peak = _address_space_used(), _most_held()
    if used is None:
        return None if peak is None else peak + megabytes * MEGABYTE
    import resource

    with contextlib.suppress(OSError, ValueError):
        hard = resource.getrlimit(resource.RLIMIT_AS)[1]
        resource.setrlimit(resource.RLIMIT_AS, (used + megabytes * MEGABYTE, hard))
    return None


@contextlib.contextmanager
def memory_watched(most_bytes: int | None) -> Iterator[None]:
    """Raise MemoryError in the block soon after this process has held more than so many bytes; None: nothing is watched."""
    if most_bytes is None:
        yield
        return
    left = threading.Event()
    with _raised_from_outside(MemoryError) as ring:

        def look() -> None:
            while not left.wait(LOOK_S):
                if (_most_held() or 0) > most_bytes:
                    ring()
                    return

        threading.Thread(target=look, daemon=True).start()
        try:
            yield
        finally:
            left.set()


def _address_space_used() -> int | None:
    """Return the bytes of address space in use, None where the system does not tell."""
    try:
        with open(STATM, encoding="ascii") as handle:
            pages = int(handle.read().split()[0])
        import resource
    except (OSError, ValueError, ImportError):
        return None
    return pages * resource.getpagesize()


def _most_held() -> int | None:
    """Return the most bytes of memory that this process has held at once, None where the system does not tell."""
    try:
        import resource
    except ImportError:
        return None
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak if sys.platform == "darwin" else peak * 1024  # one family of systems counts in bytes, the others in kilobytes
