"""Test files watched in forks of a process that has collected them all: which lines every test comes to, and how long it takes.

A test that fails without a fault, or that takes more processor time than a witness may, is no witness; it is told and left out.
"""

from __future__ import annotations

import itertools
import os
import sys
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path

import pytest
from _pytest.runner import runtestprotocol

from .bounded import TooLong, no_longer_than
from .reached import Reached, Watching
from .tree import Tree, run_tests, share_negatives

MOST_FILE_S = 600.0  # by the clock, on a machine that may be busy


class _Files:
    """A process that has collected tests, and watches those of one file after the other."""

    def __init__(self, tree: Tree, into: Path, most_s: float) -> None:
        self.tree, self.into, self.most_s = tree, into, most_s
        self.shared = Path(tempfile.mkdtemp(dir=tree.root))

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Watch every file in a fork, instead of running all."""
        sys.dont_write_bytecode = True
        for file, items in itertools.groupby(session.items, lambda item: item.nodeid.split("::")[0]):
            self._watch(session, file, list(items))
        return True

    def _watch(self, session: pytest.Session, file: str, items: Sequence[pytest.Item]) -> None:
        def watch() -> dict[str, object]:
            notes = Watching(self.tree.sim)
            share_negatives(self.shared)
            session.config.pluginmanager.register(notes)
            for item, after in zip(items, [*items[1:], None], strict=True):
                session.config.hook.pytest_runtest_logstart(nodeid=item.nodeid, location=item.location)
                try:
                    with no_longer_than(self.most_s):
                        runtestprotocol(item, log=True, nextitem=after)
                except TooLong:  # between its parts
                    notes.failed.add(item.nodeid)
                session.config.hook.pytest_runtest_logfinish(nodeid=item.nodeid, location=item.location)
            notes.reached().kept(_kept_at(self.into, file))
            return {"outcome": "watched", "tests": len(items), "fails": sorted(notes.failed)}

        print(f"{file}: {self.tree.forked(watch, MOST_FILE_S)}", file=sys.stderr, flush=True)


def _kept_at(into: Path, file: str) -> Path:
    return into / "reached" / (file.replace("/", "-") + ".json")


def watched(tree: Tree, into: Path, files: Iterable[str], most_s: float) -> Reached:
    """Return which tests reach what, as it was found before or by running them all once; most seconds that a test may take."""
    new = [file for file in files if not _kept_at(into, file).exists()]
    if new:
        (into / "reached").mkdir(parents=True, exist_ok=True)
        said = os.dup(2)

        def watch() -> dict[str, object]:
            os.dup2(said, 2)
            return {"code": run_tests(new, _Files(tree, into, most_s))}

        print(f"watched: {tree.forked(watch, MOST_FILE_S * len(new))}", file=sys.stderr, flush=True)
    found = [Reached.read(_kept_at(into, file)) for file in files if _kept_at(into, file).exists()]
    lines: dict[str, dict[str, frozenset[int]]] = {}
    for one in found:
        for name, tests in one.lines.items():
            lines.setdefault(name, {}).update(tests)
    return Reached(lines, {test: s for one in found for test, s in one.seconds.items()})
