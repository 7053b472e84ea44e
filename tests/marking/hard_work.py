"""Work that hangs, ends its process, or takes all memory, as the seed of an evening says: importable by workers."""

from __future__ import annotations

import json
import os
import time

from sim.marking.kept_work import Marked
from sim.marking.replaying import Task, mark_evening, prepare_worker

HANG, HANG_HARD, CRASH, HOG = 101, 102, 103, 104


def ready() -> None:
    """Let a fresh worker import all it needs, this module too, before any clock runs."""
    prepare_worker()


def seed_of(task: Task) -> int:
    """Return the seed in an evening's first line; 0 where there is none."""
    try:
        return int(json.loads(task.data.split(b"\n")[0])["data"]["seed"])
    except (ValueError, KeyError, TypeError, RecursionError):
        return 0


def misbehaving(task: Task) -> Marked:
    """Mark an evening, unless its seed says to do something terrible instead."""
    seed = seed_of(task)
    if seed in (HANG, HANG_HARD):
        if seed == HANG_HARD:
            _deaf()
        while True:
            time.sleep(0.05)
    if seed == CRASH:
        os._exit(11)
    if seed == HOG:
        kept = []
        while True:
            kept.append(bytearray(64 * 1024 * 1024))
    return mark_evening(task)


def _deaf() -> None:
    import signal

    if hasattr(signal, "SIGALRM"):
        signal.signal(signal.SIGALRM, signal.SIG_IGN)


def quick(number: int) -> int:
    """Return the square; the number 13 ends the process, 14 hangs."""
    if number == 13:
        os._exit(3)
    if number == 14:
        time.sleep(600)
    if number == 15:
        raise ValueError("fifteen")
    return number * number


_left_behind: list[bytearray] = []


def filling(megabytes: int) -> int:
    """Take so much memory and never give it back, as fragments of many evenings may."""
    _left_behind.append(bytearray(megabytes * 1024 * 1024))
    return megabytes
