"""Print what every check measures: python -m published.report [words of its name].

With --exact the words are whole names; with --until-wrong they are names of tables, likeliest first, and the report ends at
the first check that does not hold.
"""

from __future__ import annotations

import json
import sys
import time
from typing import Any

import sim

from .checks import Check, every_check, tables


def told(check: Check, plainly: bool) -> dict[str, Any]:
    """Return what a check measures; ``plainly`` leaves out the proof that it tests what make_print does."""
    begun = time.perf_counter()
    measured: float | str
    holds: bool | None
    try:
        measured = float(check.measure()) if plainly else check.measured()
        holds = check.holds(measured)
    except Exception as problem:  # told, and not taken for a check that holds or fails
        measured, holds = f"{type(problem).__name__}: {problem}", None
    return {"what": check.what, "sim": sim.__file__, "holds": holds, "measured": measured, "value": check.value,
            "tolerance": check.tolerance, "s": round(time.perf_counter() - begun, 2)}  # fmt: skip


def likeliest_first(names: list[str]) -> list[Check]:
    """Return all checks, those of the tables that are named before the others."""
    order = sorted(tables(), key=lambda table: next((k for k, name in enumerate(names) if name in table), len(names)))
    return [check for table in order for check in tables()[table]]


def main(words: list[str]) -> None:
    """Measure the checks that are asked for and print a line for each, in the order of the tables."""
    options = {word for word in words if word.startswith("--")}
    words = [word for word in words if word not in options]
    if "--until-wrong" in options:
        for check in likeliest_first(words):
            row = told(check, True)
            print(json.dumps(row), flush=True)
            if not row["holds"]:
                return
        return
    exact = "--exact" in options
    for check in every_check():
        if (check.what in words) if exact else all(word in check.what for word in words):
            print(json.dumps(told(check, exact)), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
