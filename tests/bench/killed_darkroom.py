"""A darkroom that is killed at any moment: run by test_darkroom_killed, one fork for every death.

Arguments: a folder, and a JSON list of milliseconds. Prints as JSON how many steps were acknowledged before each death.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from sim.bench.darkroom import Darkroom
from tests.bench.darkrooms import small_room

Seen = tuple[float, int, str, int, int]


def seen(room: Darkroom) -> Seen:
    """Return what a learner would miss: dialled time, exposures in hand (-1: none), bath, sheets, predictions."""
    piece, state = room.paper.piece, room.evening.state
    return (
        room.desk.now.time_s, -1 if piece is None else piece.exposures, room.tray.stage, len(state.sheets),
        len(state.said_of("predicted")),
    )  # fmt: skip


def steps(room: Darkroom) -> Iterator[Seen]:
    """Work through strips for ever; after every step say what there is to be seen."""
    number = len(room.evening.state.sheets)
    while True:
        number += 1
        room.desk.set("time_s", round(2.0 + 0.1 * number, 1))
        yield seen(room)
        room.paper.take("strip")
        yield seen(room)
        for _ in range(3):
            room.paper.expose()
            yield seen(room)
        room.predict("darker", f"strip {number}")
        yield seen(room)
        room.tray.put_in()
        yield seen(room)
        room.tray.finish()
        yield seen(room)
        room.tray.clear()
        yield seen(room)


def opened(folder: Path) -> Darkroom:
    """Return the darkroom of a folder with the small negative in the carrier."""
    return small_room(folder, sheets=400, minutes=1400.0)


def one(folder: Path, ms: float) -> int:
    opened(folder).close()
    reading, writing = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(reading)
        for _ in steps(opened(folder)):
            os.write(writing, b".")
        os._exit(0)
    os.close(writing)
    time.sleep(ms / 1000)
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    with os.fdopen(reading, "rb") as pipe:
        return len(pipe.read())


if __name__ == "__main__":
    base, deaths = Path(sys.argv[1]), json.loads(sys.argv[2])
    print(json.dumps([one(base / f"run-{k}", ms) for k, ms in enumerate(deaths)]))
