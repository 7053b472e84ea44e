"""A program that is killed while it writes: run by test_killed, one fork for every death, told on the command line.

Arguments: a folder, and a JSON list of deaths. A death is ``{"step": k, "when": "before" | "half" | "after"}`` (at the
k-th call that touches the disk) or ``{"ms": t}`` (at any moment). Prints as JSON what was acknowledged before each.
"""

from __future__ import annotations

import builtins
import json
import os
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from sim.evening.log import Line, append_line
from sim.writing import write_durably

ROUNDS = 2
LONG = "a long note " * 100


def acknowledge(pipe: int, words: str) -> None:
    REAL_WRITE(pipe, (words + "\n").encode())


REAL_WRITE = os.write


def work(folder: Path, pipe: int, rounds: int) -> None:
    """Write the way the bench does; say what has been acknowledged."""
    last: Line | None = None
    for k in range(rounds):
        last = append_line(folder / "evening.jsonl", "note", {"text": f"{k} {LONG}"}, last)
        acknowledge(pipe, f"line {last.hash}")
        text = json.dumps({"version": k, "body": LONG * 20})
        write_durably(folder / "state.json", lambda handle, t=text: handle.write(t.encode()), keep_previous=True)
        acknowledge(pipe, f"state {k}")


def deadly(death: dict[str, Any]) -> None:
    """Make the k-th call that touches the disk the last one."""
    count = 0

    def around(name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **kwargs: Any) -> Any:
            nonlocal count
            mine, count = count == death["step"], count + 1
            if mine and death["when"] == "half":
                if name != "write":
                    os._exit(0)  # only a write can be half done
                real(args[0], bytes(args[1])[: len(args[1]) // 2])
            if mine and death["when"] != "after":
                os.kill(os.getpid(), signal.SIGKILL)
            result = real(*args, **kwargs)
            if mine:
                os.kill(os.getpid(), signal.SIGKILL)
            return result

        return call

    for name in ("open", "write", "fsync", "replace", "link", "unlink", "close"):
        setattr(os, name, around(name, getattr(os, name)))
    builtins.open = around("builtin open", builtins.open)


def one(folder: Path, death: dict[str, Any]) -> dict[str, Any]:
    folder.mkdir()
    reading, writing = os.pipe()
    pid = os.fork()  # this interpreter has a single thread
    if pid == 0:
        os.close(reading)
        if "step" in death:
            deadly(death)
        work(folder, writing, ROUNDS if "step" in death else 100_000)
        os._exit(0)
    os.close(writing)
    if "ms" in death:
        time.sleep(death["ms"] / 1000)
        os.kill(pid, signal.SIGKILL)
    _, status = os.waitpid(pid, 0)
    with os.fdopen(reading) as pipe:
        acks = pipe.read().splitlines()
    return {"killed": os.WIFSIGNALED(status), "code": status, "acknowledged": acks}


if __name__ == "__main__":
    base, deaths = Path(sys.argv[1]), json.loads(sys.argv[2])
    print(json.dumps([one(base / f"run-{k}", death) for k, death in enumerate(deaths)]))
