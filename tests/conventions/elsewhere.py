"""Work for a marker's worker on a system that holds no bound on memory: importable by workers."""

from __future__ import annotations

import resource
import time
from pathlib import Path

from sim.marking import worker_walls


def without_statm() -> None:
    """Let this worker be on a system that does not tell how much address space is used."""
    worker_walls.STATM = "/not/here"


def hog() -> int:
    """Take memory, and use it, until somebody says stop; at most a few times what may be taken."""
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024  # begun by a large process this counts its memory too
    resident = int(Path("/proc/self/statm").read_text().split()[1]) * resource.getpagesize()
    kept = [bytearray(b"x") * max(0, used - resident)]
    for _ in range(60):
        kept.append(bytearray(b"x") * (10 * 1024 * 1024))
        time.sleep(0.02)
    return len(kept)


def square(number: int) -> int:
    """Return the square."""
    return number * number
