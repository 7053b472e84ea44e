"""A copy of program and tests in which one fault at a time is planted, and a process of its own that tries it.

The process is a fork of one that has the libraries at hand but not the program, so that a try costs little more than its tests.
"""

from __future__ import annotations

import compileall
import importlib
import json
import os
import select
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from _pytest.runner import runtestprotocol

from .bounded import TooLong, no_longer_than
from .faults import Fault
from .reached import Verdict
from .swapped import swapped_in

HERE = Path(__file__).parents[2]
LIBRARIES = (
    "numpy", "scipy.optimize", "scipy.ndimage", "scipy.spatial", "pydantic", "hypothesis", "PIL.Image", "jinja2", "babel",
    "filelock", "platformdirs", "rich.console",
)  # fmt: skip
CLOCK_S = 150.0  # chosen: by the clock a fault may take so much more than its processor time, beside other work
LEAST_S = 10.0  # chosen: twice what the slowest witness takes; whoever takes longer hangs
MOST_CRASHES = 4  # chosen: tests that break one after the other without a word, after which none is expected to speak
LINKED = ("lessons", "assets_generated", "pyproject.toml", "README.md", "DEVELOPERS.md")


class Tree:
    """A copy of program and tests, whole until a fault is planted in it."""

    def __init__(self, into: Path, compiled: bool = True) -> None:
        """Copy. ``compiled``: with all modules compiled, which pays where many faults want a fresh start."""
        self.root, self.sim = into, into / "sim"
        for name in ("sim", "tests"):
            shutil.copytree(HERE / name, into / name, ignore=shutil.ignore_patterns("*.log"))
        for name in LINKED:
            (into / name).symlink_to(HERE / name)
        if compiled:
            compileall.compile_dir(self.sim, quiet=2)
        for name in LIBRARIES:
            importlib.import_module(name)

    def with_fault(self, fault: Fault, try_it: Callable[[], dict[str, Any]], most_s: float) -> dict[str, Any]:
        """Return what became of a fault while it stood in the copy: noticed, crashed, survived or hung, and by which test."""
        path = self.sim / fault.file
        whole = path.read_bytes()
        kept = [(file, file.read_bytes()) for file in (path.parent / "__pycache__").glob(f"{path.stem}.*")]
        try:
            for file, _ in kept:
                file.unlink()
            path.write_bytes(fault.planted(whole))
            return self.forked(try_it, most_s)
        finally:
            path.write_bytes(whole)
            for file, content in kept:
                file.write_bytes(content)
            _as_old_as(HERE / "sim" / fault.file, path)

    def forked(self, work: Callable[[], dict[str, Any]], most_s: float) -> dict[str, Any]:
        """Do some work in a process of its own that imports the program from here; ``hung`` where it takes too long."""
        reading, writing = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(reading)
            os.setsid()
            self._go(work, writing)
        os.close(writing)
        got, begun = b"", os.times().elapsed
        with os.fdopen(reading, "rb", buffering=0) as pipe:
            while waiting := bool(select.select([pipe], [], [], max(most_s - (os.times().elapsed - begun), 0.0))[0]):
                part = pipe.read(65536)
                if not part:
                    break
                got += part
        with suppress(ProcessLookupError):
            os.killpg(child, signal.SIGKILL)
        _, _, used = os.wait4(child, 0)
        said: dict[str, Any] = json.loads(got) if got else {"outcome": "crashed" if waiting else "hung", "by": "start"}
        return {**said, "cpu_s": round(used.ru_utime + used.ru_stime, 2)}

    def _go(self, work: Callable[[], dict[str, Any]], writing: int) -> None:
        code = 1
        try:
            os.chdir(self.root)
            os.environ["PYTHONPATH"] = str(self.root)
            sys.path[:] = [str(self.root), *(p for p in sys.path if Path(p or ".").resolve() not in (HERE, HERE / "tests"))]
            quiet = os.open(os.devnull, os.O_WRONLY)
            os.dup2(quiet, 1)
            os.dup2(quiet, 2)
            _the_same_examples_every_time()
            os.write(writing, json.dumps(_told(work)).encode())
            code = 0
        finally:
            os._exit(code)


def _the_same_examples_every_time() -> None:
    """Have searched examples follow from the test alone: one found by luck for one fault must not be held against the next."""
    settings = importlib.import_module("hypothesis").settings
    settings.register_profile("planted", derandomize=True, database=None)
    settings.load_profile("planted")


def _told(work: Callable[[], dict[str, Any]]) -> dict[str, Any]:
    try:
        return work()
    except BaseException as error:
        return {"outcome": "crashed", "by": "start", "said": f"{type(error).__name__}: {error}"}


def _as_old_as(whole: Path, path: Path) -> None:
    at = whole.stat()
    os.utime(path, ns=(at.st_atime_ns, at.st_mtime_ns))


Tell = Callable[[Fault, dict[str, Any], int], None]
QUIET = (
    "-q", "-n", "0", "-p", "no:cacheprovider", "--no-header", "--tb", "no", "-m", "not slow",
    "-W", "ignore::pytest.PytestAssertRewriteWarning",
)  # fmt: skip


def run_tests(tests: Sequence[str], notes: object, *options: str) -> int:
    """Run tests in this process with somebody who takes notes."""
    return int(pytest.main([*QUIET, *options, *tests], plugins=[notes]))


def afresh(tests: Sequence[str], most_s: float) -> dict[str, Any]:
    """Try tests, for so many seconds, in a process that has not loaded the program yet."""
    sys.dont_write_bytecode = True
    one = _Once(tests, most_s)
    code = run_tests(list(dict.fromkeys(test.split("::")[0] for test in tests)), one)
    import sim

    assert Path(sim.__file__).parent.parent == Path.cwd(), "the copy was not imported"
    if code not in (0, 1) and not one.verdict.by:
        return {"outcome": "crashed", "by": "start", "said": f"tests could not be collected: {code}"}
    return one.verdict.told()


class _Once:
    """Notes for pytest: tests are asked one after the other until one notices."""

    def __init__(self, tests: Sequence[str], most_s: float) -> None:
        self.tests, self.most_s, self.verdict = tests, most_s, Verdict()

    def pytest_configure(self, config: pytest.Config) -> None:
        """Listen from the collecting on."""
        config.pluginmanager.register(self.verdict)

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Ask in the order that is given."""
        ask(_chosen(session.items, self.tests), self.verdict, self.most_s)
        return True


class Warm:
    """A process that has collected the tests of a room: faults are swapped in one after the other, each in a fork."""

    def __init__(self, tree: Tree, asked: Iterable[tuple[Fault, Sequence[str]]], tell: Tell, most_s: float) -> None:
        self.tree, self.asked, self.tell, self.most_s = tree, asked, tell, most_s

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Try every fault instead of running the tests once."""
        sys.dont_write_bytecode = True
        verdict = Verdict()
        session.config.pluginmanager.register(verdict)
        shared = Path(tempfile.mkdtemp(dir=self.tree.root))
        for fault, tests in self.asked:
            chosen = _chosen(session.items, tests)

            def try_it(fault: Fault = fault, chosen: Sequence[pytest.Item] = chosen) -> dict[str, Any]:
                name = "sim." + fault.file.removesuffix(".py").replace("/", ".")
                if name in sys.modules:  # else it is loaded, with the fault, by the test that wants it
                    swapped_in(sys.modules[name], (self.tree.sim / fault.file).read_bytes())
                if "/" in fault.file and not fault.file.startswith("negative/"):
                    share_negatives(shared)
                asked = ask(chosen, verdict, self.most_s)
                return {**verdict.told(), "asked": asked}

            self.tell(fault, self.tree.with_fault(fault, try_it, CLOCK_S + self.most_s), len(chosen))
        return True


def share_negatives(folder: Path) -> None:
    """Have tests of this process take from a folder what another has developed, and lay there what they develop.

    Only for faults that come after the film: the room of negatives imports no other room.
    """
    table = sys.modules.get("light_table")
    if table is not None:
        table.take_place_at(str(folder))
        table._whose = os.getpid()  # type: ignore[attr-defined]


def _chosen(items: Sequence[pytest.Item], tests: Sequence[str]) -> list[pytest.Item]:
    """Return the items of tests in their order; a name without brackets stands for all its cases."""
    by_name: dict[str, list[pytest.Item]] = {}
    for item in items:
        for name in dict.fromkeys((item.nodeid, item.nodeid.split("[")[0])):
            by_name.setdefault(name, []).append(item)
    return [item for test in tests for item in by_name.get(test, [])]


def ask(items: Sequence[pytest.Item], verdict: Verdict, most_s: float) -> int:
    """Ask tests until one notices, some have crashed, or the time is up; return how many were asked.

    What only breaks the program is asked on: a later test may hold in its own words what the fault says.
    """
    crashes, until = 0, time.process_time() + most_s
    for number, (item, after) in enumerate(zip(items, [*items[1:], None], strict=True), 1):
        try:
            with no_longer_than(max(until - time.process_time(), LEAST_S)):
                reports = runtestprotocol(item, log=False, nextitem=after)
        except TooLong:  # between its parts
            return number
        crashes += any(report.failed for report in reports)
        if verdict.noticed or crashes >= MOST_CRASHES or time.process_time() >= until:
            return number
    return len(items)
