"""Print what every check measures: python -m published.report [words of its name]."""

from __future__ import annotations

import json
import sys
import time

import sim

from .checks import every_check


def main(words: list[str]) -> None:
    """Measure the checks whose name holds the words (or is one of them, with --exact) and print a line for each."""
    exact = "--exact" in words
    words = [word for word in words if word != "--exact"]
    for check in every_check():  # in the order of the tables
        if (check.what not in words) if exact else not all(word in check.what for word in words):
            continue
        begun = time.perf_counter()
        measured: float | str
        holds: bool | None
        try:
            measured = float(check.measure()) if exact else check.measured()
            holds = check.holds(measured)
        except Exception as problem:  # told, and not taken for a check that holds or fails
            measured, holds = f"{type(problem).__name__}: {problem}", None
        row = {"what": check.what, "sim": sim.__file__, "holds": holds, "measured": measured, "value": check.value,
               "tolerance": check.tolerance, "s": round(time.perf_counter() - begun, 2)}  # fmt: skip
        print(json.dumps(row), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
