"""Draw faults by seed over rooms and see whether the rooms' own tests notice: python -m planted.drawn --room scoring ...

Results are kept line by line in ``FOLDER/results.jsonl``: what was tried is not tried again, so that the work can be stopped
and carried on. ``FOLDER/survivors.txt`` lists what passed unnoticed. A fault that only breaks the program (an exception that
no test asserts) is counted apart: it shows that a line is reached, not that anybody holds what it says. No test counts that
names the wrong number. Processor time is bounded, not the clock's; a fault whose time is up has survived. Run it with ``tests``
on the path, without another copy of the program before it, and with one ``TONEWRIGHT_DRAW``, so that drawn cases stay the same.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from .faults import Fault, in_rooms
from .swapped import can_be_swapped
from .tree import CLOCK_S, HERE, Tree, Warm, afresh, run_tests
from .watching import watched

TESTS = HERE / "tests"
PHYSICS = ("published", "laws", "oracle")  # what alone may notice a fault of a physics room


def drawn(seed: int, count: int, rooms: tuple[str, ...]) -> list[Fault]:
    """Return so many faults: a place in the text first, then one of what may be planted there."""
    generator = np.random.Generator(np.random.PCG64(seed))
    places: dict[tuple[str, int, int], list[Fault]] = {}
    for fault in in_rooms(HERE / "sim", rooms):
        places.setdefault((fault.file, fault.start, fault.end), []).append(fault)
    order = sorted(places)
    chosen = generator.choice(len(order), size=min(count, len(order)), replace=False)
    return [places[order[int(k)]][int(generator.integers(len(places[order[int(k)]])))] for k in chosen]


def constants(rooms: tuple[str, ...]) -> list[Fault]:
    """Return faults of the numbers that modules name: half as much again, a third less; of counts one more, one less."""
    found = [f for f in in_rooms(HERE / "sim", rooms) if f.name and not f.scope and _is_number(f.old)]
    return [f for f in found if f.old.lstrip("-").isdecimal() or _ratio(f) in (1.5, 0.67)]


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _ratio(fault: Fault) -> float:
    return round(float(fault.new) / float(fault.old), 2)


def titled(titles: Sequence[str], rooms: tuple[str, ...]) -> list[Fault]:
    """Return faults by their titles. Raises KeyError where there is none of that title any more."""
    known = {fault.title: fault for fault in in_rooms(HERE / "sim", rooms)}
    return [known[title] for title in titles]


def test_files(folders: Sequence[str]) -> list[str]:
    """Return the test files of folders or single files under ``tests``, from the root of the copy."""
    found = [path for name in folders for path in ([TESTS / name] if name.endswith(".py") else _tests_in(TESTS / name))]
    return [path.relative_to(HERE).as_posix() for path in dict.fromkeys(found)]


def _tests_in(folder: Path) -> list[Path]:
    return sorted(folder.glob("test_*.py"))


def tried(
    tree: Tree, asked: Sequence[tuple[Fault, list[str]]], into: Path, files: Sequence[str], most_s: float
) -> None:
    """Try faults, those in functions in a warm process, the others each in a fresh one."""
    results = into / "results.jsonl"

    def tell(fault: Fault, got: dict[str, Any], tests: int) -> None:
        row = {"title": fault.title, **got, "tests": tests}
        with results.open("a", encoding="utf-8") as file:
            file.write(json.dumps(row) + "\n")
        print(f"{row['outcome']:11} {fault.title} {row['by']} {row.get('cpu_s', 0)}", file=sys.stderr, flush=True)

    warm, cold = [], []
    for fault, tests in asked:
        if tests:
            (warm if can_be_swapped(HERE / "sim", fault) else cold).append((fault, tests))
        else:
            tell(fault, {"outcome": "not-reached", "by": ""}, 0)
    if warm:
        said = os.dup(2)

        def together() -> dict[str, Any]:
            os.dup2(said, 2)
            return {"code": run_tests(files, Warm(tree, warm, tell, most_s))}

        print(tree.forked(together, CLOCK_S * (len(warm) + 10)), file=sys.stderr)
    for fault, tests in cold:
        tell(fault, tree.with_fault(fault, lambda tests=tests: afresh(tests, most_s), CLOCK_S + most_s), len(tests))  # type: ignore[misc]


def read_results(into: Path) -> list[dict[str, Any]]:
    """Return all results so far."""
    results = into / "results.jsonl"
    return [json.loads(line) for line in results.read_text("utf-8").splitlines()] if results.exists() else []


def told(rows: Sequence[dict[str, Any]], into: Path) -> None:
    """Write the list of survivors and say how many there are of each."""
    unnoticed = [row for row in rows if row["outcome"] not in ("noticed", "crashed", "hung")]
    lines = sorted(f"{row['title']} ({row['outcome']})\n" for row in unnoticed)
    (into / "survivors.txt").write_text("".join(lines), encoding="utf-8")
    print(f"{len(rows)} tried: {dict(Counter(row['outcome'] for row in rows))}")


def main() -> None:
    """Read what is asked for and try it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--room", action="append", required=True, help="a room, or one module of it (scoring/points.py)")
    parser.add_argument("--seed", type=int, default=13)
    parser.add_argument("--count", type=int, default=20)
    parser.add_argument("--most", type=int, default=1000, help="try at most so many this time")
    parser.add_argument("--most-test-s", type=float, default=5.0, help="ask no test that takes longer")
    parser.add_argument("--constants", action="store_true", help="every number that a module names, instead of a draw")
    parser.add_argument("--titles", type=Path, help="a file of titles, one a line, instead of a draw")
    parser.add_argument("--most-fault-s", type=float, default=30.0, help="ask on no longer, and call it survived")
    parser.add_argument("--test", action="append", help="ask these folders or files of tests only, instead of the rooms' own")
    parser.add_argument("--physics", action="store_true", help=f"ask only {', '.join(PHYSICS)}")
    parser.add_argument("--list", action="store_true", help="only name them")
    parser.add_argument("--into", type=Path, required=True)
    given = parser.parse_args()
    rooms = tuple(given.room)
    if given.titles:
        faults = titled(given.titles.read_text(encoding="utf-8").splitlines(), rooms)
    else:
        faults = constants(rooms) if given.constants else drawn(given.seed, given.count, rooms)
    if given.list:
        print("\n".join(fault.title for fault in faults))
        return
    given.into.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        tree = Tree(Path(folder))
        folders = PHYSICS if given.physics else given.test or list(dict.fromkeys(room.split("/")[0] for room in rooms))
        files = test_files(folders)
        reached = watched(tree, given.into, files, given.most_test_s)
        done = {row["title"] for row in read_results(given.into)}
        left = [fault for fault in faults if fault.title not in done][: given.most]
        asked = [(fault, reached.tests_for(HERE / "sim", fault, given.most_test_s)) for fault in left]
        tried(tree, asked, given.into, files, given.most_fault_s)
    told(read_results(given.into), given.into)


if __name__ == "__main__":
    assert "sim" not in sys.modules
    main()
