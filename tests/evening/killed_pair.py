"""Two programs at one darkroom, one of them killed at a random moment, and again: run by test_killed_pair.

Arguments: a folder, and a JSON list of ``[milliseconds, which]``. Each program opens the evening (waiting while it is open
elsewhere), takes a few decisions, changes the desk, puts it away, and again. Prints as JSON for every round what each
program acknowledged: the notes, and the last time that was set on the desk.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import time
from pathlib import Path

from sim.bench.darkroom import Darkroom
from sim.locking import OpenElsewhere

A_FEW = 3


def time_after(count: int) -> float:
    """Return the seconds that a program sets on the timer after so many notes."""
    return round(2.0 + 0.1 * (count % 400), 1)


def work(folder: Path, name: str, pipe: int) -> None:
    """Take decisions for ever; say what has been acknowledged, in the order of the acts."""
    count = 0
    while True:
        try:
            room = Darkroom.open(folder)
        except OpenElsewhere:
            time.sleep(0.001)
            continue
        for _ in range(A_FEW):
            count += 1
            room.note(f"{name} {count}")
            os.write(pipe, f"note {name} {count}\n".encode())
            room.desk.set("time_s", time_after(count))
            os.write(pipe, f"desk {room.desk.now.time_s} {time.monotonic_ns()}\n".encode())
        room.close()
        time.sleep(0.002)


def one(folder: Path, name: str, ms: float, which: int) -> list[str]:
    """Let two programs work, kill one after some time and the other a little later; return what they acknowledged."""
    pids, pipes = [], []
    for k in range(2):
        reading, writing = os.pipe()
        pid = os.fork()
        if pid == 0:
            os.close(reading)
            work(folder, f"{name}-{'ab'[k]}", writing)
        os.close(writing)
        pids.append(pid)
        pipes.append(reading)
    for k in (which, 1 - which):
        time.sleep(ms / 1000)
        os.kill(pids[k], signal.SIGKILL)
        os.waitpid(pids[k], 0)
    said = []
    for pipe in pipes:
        with os.fdopen(pipe) as reader:
            said += reader.read().splitlines()
    return said


if __name__ == "__main__":
    base, deaths = Path(sys.argv[1]), json.loads(sys.argv[2])
    Darkroom.open(base, sheets=400, minutes=1400.0).close()
    print(json.dumps([one(base, f"round-{k}", ms, which) for k, (ms, which) in enumerate(deaths)]))
