"""Walls around one piece of work inside a worker: so many seconds, so much memory, and then it is a row, not a crash.

Where the work runs in a process's main thread the system's alarm stops it; in another thread (a cluster's workers) a
watcher raises the same exception in that thread. What answers to neither is stopped from outside, by the supervisor.
"""

from __future__ import annotations

import contextlib
import ctypes
import signal
import sys
import threading
from collections.abc import Iterator
from types import FrameType

MEGABYTE = 1024 * 1024


class TimeLimitReached(Exception):
    """The work took longer than it may."""


@contextlib.contextmanager
def time_limit(seconds: float) -> Iterator[None]:
    """Raise TimeLimitReached in the block when it takes longer than ``seconds``."""
    main = threading.current_thread() is threading.main_thread()
    with _alarm(seconds) if main and hasattr(signal, "setitimer") else _watcher(seconds):
        yield


@contextlib.contextmanager
def _alarm(seconds: float) -> Iterator[None]:
    def ring(number: int, frame: FrameType | None) -> None:
        raise TimeLimitReached

    before = signal.signal(signal.SIGALRM, ring)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0.0)
        signal.signal(signal.SIGALRM, before)


@contextlib.contextmanager
def _watcher(seconds: float) -> Iterator[None]:
    thread = ctypes.c_ulong(threading.get_ident())
    lock, done = threading.Lock(), False

    def ring() -> None:
        with lock:
            if not done:
                ctypes.pythonapi.PyThreadState_SetAsyncExc(thread, ctypes.py_object(TimeLimitReached))

    timer = threading.Timer(seconds, ring)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        with lock:
            done = True
        timer.cancel()


def limit_memory(megabytes: int) -> None:
    """Let this process take so much more address space than it has now; beyond it Python raises MemoryError.

    Where the system has no such limit nothing is done. Linux counts what is used now; elsewhere the bound is absolute.
    """
    if sys.platform == "win32":
        return
    import resource

    now = 0
    with contextlib.suppress(OSError, ValueError), open("/proc/self/statm", encoding="ascii") as handle:
        now = int(handle.read().split()[0]) * resource.getpagesize()
    with contextlib.suppress(OSError, ValueError):
        hard = resource.getrlimit(resource.RLIMIT_AS)[1]
        resource.setrlimit(resource.RLIMIT_AS, (now + megabytes * MEGABYTE, hard))
