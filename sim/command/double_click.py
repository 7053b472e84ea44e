"""The window as a program of its own, opened by a double click: there is no console, so what goes wrong is shown in a window.

Evenings lie in the folder of this account, as with ``tonewright window``, whose options it takes. What is said of an opening
that failed also stands in ``could-not-open.txt`` there, for whoever is asked for help.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
import traceback
from collections.abc import Sequence
from pathlib import Path
from typing import TextIO

from sim.command.main import main as command

FILE_NAME = "could-not-open.txt"
OUR_FAULT = 70  # exit code of a fault of the program's own


class Said(io.TextIOBase):
    """What is said on the stream for errors: kept, and handed on to a console where there is one."""

    def __init__(self, console: TextIO | None):
        self.console, self.kept = console, io.StringIO()

    def write(self, text: str) -> int:
        """Keep text and hand it on; a console that is gone is no fault."""
        with contextlib.suppress(OSError, ValueError):
            if self.console is not None:
                self.console.write(text)
        return self.kept.write(text)

    def flush(self) -> None:
        """Hand on what is waiting."""
        with contextlib.suppress(OSError, ValueError):
            if self.console is not None:
                self.console.flush()

    def writable(self) -> bool:
        """It is there to be written to."""
        return True


def main(arguments: Sequence[str] | None = None) -> int:
    """Open the darkroom; show in a window why where it cannot be opened. Returns the exit code."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    said = Said(sys.stderr)
    with contextlib.redirect_stderr(said):
        code = _opened(words)
    text = said.kept.getvalue().strip()
    if code and text:
        _show(text, _kept(text))
    return code


def _opened(words: list[str]) -> int:
    """Return the exit code of the window; a fault of the program's own is told as Python tells it."""
    try:
        return command(["window", *words])
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else OUR_FAULT if end.code else 0
    except Exception:
        print(traceback.format_exc(), file=sys.stderr)
        return OUR_FAULT


def _kept(text: str) -> Path | None:
    """Write down what was said in the folder of this account; return the file, None where it cannot be written."""
    from sim.refusals import Refusal
    from sim.shelf import data_of_ones_own
    from sim.writing import write_text

    try:
        file = data_of_ones_own() / FILE_NAME
        write_text(file, f"{text}\n")
    except (Refusal, OSError):
        return None
    return file


def _show(text: str, file: Path | None) -> None:
    """Show what was said in a window of its own; without a display it has been said on the console, and is in the file."""
    os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
    from sim.refusals import Refusal
    from sim.window.could_not_open import show_trouble

    with contextlib.suppress(Refusal):
        show_trouble(text, file)


if __name__ == "__main__":
    sys.exit(main())
