"""The terminal a learner types at: the command line's own door, opened again and again in one process.

Run as a program, it takes one command line (JSON) at a time and works it as `tonewright` would at a real terminal: what is
typed comes from the pipe, what is shown goes to it. Imported, it is the hand at the other end of the two pipes.
"""

from __future__ import annotations

import contextlib
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import IO

PROMPT = "tonewright> "
ENDED = "\x1eended\x1e"
ROOT = Path(__file__).resolve().parents[2]


class Keys:
    """What is typed, line by line; the command line takes it for a terminal and asks for one line at a time."""

    def __init__(self, pipe: IO[str]) -> None:
        self.pipe = pipe
        self.encoding = "utf-8"
        self.errors = "strict"

    def isatty(self) -> bool:
        """Somebody sits here."""
        return True

    def readline(self, size: int = -1) -> str:
        """Return the next line typed."""
        return self.pipe.readline()

    def fileno(self) -> int:
        """There is no descriptor a program may read by itself."""
        raise OSError("typed lines come one by one")


def serve() -> None:
    """Work command lines until none comes any more."""
    from sim.command.main import main

    pipe = sys.stdin
    sys.stdin = Keys(pipe)  # type: ignore[assignment]
    for line in iter(pipe.readline, ""):
        with contextlib.suppress(SystemExit):
            main(json.loads(line))
        sys.stdout.write(f"\n{ENDED}")
        sys.stdout.flush()


class Terminal:
    """A learner's terminal: type a line, get back what it shows until it waits again."""

    def __init__(self) -> None:
        settings = {
            "PYTHONPATH": str(ROOT),
            "SDL_VIDEODRIVER": "dummy",
            "MPLBACKEND": "Agg",
            "COLUMNS": "160",
            "NO_COLOR": "1",
        }
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.readers.terminal"], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT, env={**os.environ, **settings},
        )  # fmt: skip
        self.running = False

    def _until_it_waits(self) -> str:
        assert self.process.stdout is not None
        seen = b""
        while True:
            piece = os.read(self.process.stdout.fileno(), 65536)
            if not piece:
                raise RuntimeError(f"the terminal broke off:\n{seen.decode(errors='replace')[-3000:]}")
            seen += piece
            for end, running in ((PROMPT, True), (ENDED, False)):
                if seen.endswith(end.encode()):
                    self.running = running
                    return seen.decode("utf-8", errors="replace")[: -len(end)].rstrip("\n")

    def _write(self, text: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(text.encode("utf-8") + b"\n")
        self.process.stdin.flush()

    def command(self, *words: str) -> str:
        """Begin a command line such as ("lesson", NAME); return what it shows until it waits or ends."""
        self._write(json.dumps(list(words)))
        return self._until_it_waits()

    def type(self, line: str) -> str:
        """Type a line; return what is shown until the next line is waited for."""
        self._write(line)
        return self._until_it_waits()

    def cpu_s(self) -> float:
        """Return the seconds of processor the program at the terminal has used (nought where the system does not tell)."""
        try:
            fields = Path(f"/proc/{self.process.pid}/stat").read_text().rsplit(")", 1)[1].split()
        except OSError:
            return 0.0
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def close(self) -> None:
        """Leave the terminal."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.close()
        self.process.wait(timeout=60)
        self.process.stdout.close()


if __name__ == "__main__":
    serve()
