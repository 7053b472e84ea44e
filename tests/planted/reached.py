"""Which tests reach which lines of the program, and how long each takes: worked out once for a room, then read.

A test that never comes to a line cannot notice what is wrong there, so only those that do are asked, the quick ones first.
What other processes do is not seen; a fault that nobody reaches here is told apart from one that nobody noticed.
"""

from __future__ import annotations

import ast
import json
import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from .faults import Fault, modules, tree_of
from .witnesses import names_it


@dataclass(frozen=True)
class Reached:
    """Lines of ``sim`` by file and test, and the seconds of every test."""

    lines: Mapping[str, Mapping[str, frozenset[int]]]
    seconds: Mapping[str, float]

    def tests_for(self, sim: Path, fault: Fault, most_s: float) -> list[str]:
        """Return the tests of at most so many seconds that come to a fault, quick ones first; of a number, to its use."""
        wanted: set[str] = set()
        numbers = numbers_of(fault)
        for file, (first, last) in _used_at(sim, fault):
            for test, lines in self.lines.get(file, {}).items():
                if self.seconds.get(test, 0.0) <= most_s and any(first <= line <= last for line in lines):
                    wanted.add(test)
        if numbers:
            wanted = {test for test in wanted if not _names_it(sim.parent, test, numbers)}
        return sorted(wanted, key=lambda test: (self.seconds.get(test, 0.0), test))

    def kept(self, file: Path) -> None:
        """Write it down."""
        lines = {name: {test: sorted(found) for test, found in tests.items()} for name, tests in self.lines.items()}
        file.write_text(json.dumps({"lines": lines, "seconds": dict(self.seconds)}), encoding="utf-8")

    @staticmethod
    def read(file: Path) -> Reached:
        """Return what was written down."""
        data = json.loads(file.read_text(encoding="utf-8"))
        lines = {name: {test: frozenset(found) for test, found in tests.items()} for name, tests in data["lines"].items()}
        return Reached(lines, data["seconds"])


def numbers_of(fault: Fault) -> list[str]:
    """Return the names under which a module keeps the number that is wrong; none for what stands in a function or a class."""
    return [] if fault.scope else [part.strip(" ()") for part in fault.name.split(",") if part.strip(" ()")]


def _names_it(root: Path, test: str, numbers: Sequence[str]) -> bool:
    file, *parts = test.split("[")[0].split("::")
    return names_it(root / file, parts[0], numbers)


def _used_at(sim: Path, fault: Fault) -> Iterator[tuple[str, tuple[int, int]]]:
    """Yield files and lines (first, last) that a test must come to if it is to notice a fault."""
    tree = tree_of(modules(sim)[fault.file])
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    around = [f for f in functions if f.body[0].lineno <= fault.line <= (f.end_lineno or f.lineno)]
    if around:
        yield fault.file, (fault.line, fault.line)
        return
    heads = [f for f in functions if f.lineno <= fault.line < f.body[0].lineno]
    if heads:  # a default: whoever calls it
        yield fault.file, _inside(heads[-1])
        return
    names = [part.strip(" ()") for part in fault.name.split(",") if part.strip(" ()")]
    found = list(_where_used(sim, fault.file, names)) if names else []
    yield from found or [(fault.file, _inside(function)) for function in functions]


def _where_used(sim: Path, file: str, names: Sequence[str]) -> Iterator[tuple[str, tuple[int, int]]]:
    module = "sim." + file.removesuffix(".py").replace("/", ".")
    for other, text in modules(sim).items():
        if not any(name in text for name in names):
            continue
        tree = tree_of(text)
        taken = {a.name for n in ast.walk(tree) if isinstance(n, ast.ImportFrom) and n.module == module for a in n.names}
        seen = names if other == file else [name for name in names if name in taken]
        for function in (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)):
            lines = {n.lineno for n in ast.walk(function) if isinstance(n, ast.Name) and n.id in seen}
            lines -= {n.lineno for d in function.args.defaults for n in ast.walk(d) if isinstance(n, ast.Name)}
            yield from ((other, (line, line)) for line in sorted(lines))


def _inside(function: ast.FunctionDef) -> tuple[int, int]:
    return function.body[0].lineno, function.end_lineno or function.lineno


def _seconds() -> float:
    """Return the processor time that this process and those it waited for have had."""
    used = os.times()
    return used.user + used.system + used.children_user + used.children_system


class Watching:
    """Notes for pytest: which lines of ``sim`` every test that holds without a fault comes to, and its processor time."""

    def __init__(self, sim: Path) -> None:
        import coverage

        self.sim, self.seconds, self._begun, self.failed = sim, dict[str, float](), 0.0, set[str]()
        self._coverage = coverage.Coverage(source=[str(sim)], data_file=None, config_file=False)
        self._coverage.start()

    def pytest_runtest_logstart(self, nodeid: str) -> None:
        """Count from here on for this test."""
        self._coverage.switch_context(nodeid)
        self._begun = _seconds()

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Remember who fails without a fault: it would be no witness to one."""
        if report.failed:
            self.failed.add(report.nodeid)

    def pytest_runtest_logfinish(self, nodeid: str) -> None:
        """Count no more."""
        self.seconds[nodeid] = round(_seconds() - self._begun, 3)
        self._coverage.switch_context("")

    def reached(self) -> Reached:
        """Return what was seen."""
        self._coverage.stop()
        data, lines = self._coverage.get_data(), dict[str, dict[str, set[int]]]()
        for file in data.measured_files():
            name = Path(file).relative_to(self.sim).as_posix()
            for line, tests in data.contexts_by_lineno(file).items():
                for test in set(tests) - self.failed - {""}:
                    lines.setdefault(name, {}).setdefault(test, set()).add(line)
        return Reached({n: {t: frozenset(f) for t, f in of.items()} for n, of in lines.items()}, self.seconds)


class Verdict:
    """Notes for pytest: the first test that holds what the fault broke, by what it asserts; else the first that only broke."""

    def __init__(self) -> None:
        self.by, self.said, self.outcome = "", "", "survived"

    @property
    def noticed(self) -> bool:
        """Tell whether a test has said so in its own words."""
        return self.outcome == "noticed"

    def pytest_exception_interact(self, node: Any, call: pytest.CallInfo[Any]) -> None:
        """Keep the first that notices; until then the first that crashes."""
        if self.noticed or call.excinfo is None:
            return
        kind = call.excinfo.type
        names = {base.__name__ for base in kind.__mro__}
        in_a_test = "tests" in Path(call.excinfo.traceback[-1].path).parts  # it wanted one thing and got two
        if "TooLong" in names:
            outcome = "hung"
        else:
            outcome = "noticed" if in_a_test or names & {"AssertionError", "Failed", "Refusal"} else "crashed"
        if outcome == "noticed" or not self.by:
            self.by, self.said, self.outcome = node.nodeid, f"{kind.__name__}: {str(call.excinfo.value)[:160]}", outcome

    def told(self) -> dict[str, Any]:
        """Return what became of the fault when the tests were run."""
        return {"outcome": self.outcome, "by": self.by, "said": self.said}
