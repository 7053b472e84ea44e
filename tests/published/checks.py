"""The form of a check against the world outside, and the proof that it tests what make_print itself does.

A topic is one module with one ``TABLE`` of checks: what is measured, the published value, the tolerance and why that
one, the source and what kind of source it is, and a wrong constant that the check must notice (``wrong_constants``;
``test_notices`` plants it and sees the check fail). ``Check.run`` measures while noting which functions of ``sim``
were called; a check counts only if a sheet was printed, or if a function was called that ``make_print`` calls too.

What stands here is said of the world outside. Values that a fit aims at are tested where they are used (``tests/laws``,
the tests of the rooms). A few ranges here also guided an assumption in a data file (blacks of surfaces, dry-down, Clerc's
times, how much a condenser hardens, capacity of a bath, granularity): they hold that assumption to its source and are no
evidence beyond it.
"""

from __future__ import annotations

import importlib
import pkgutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache, wraps
from pathlib import Path
from types import CodeType, FrameType
from typing import Any, Literal, TypeVar

import pytest

import sim

Read = Literal["print", "negative", "light", "fit"]
Kind = Literal["published", "as quoted", "common practice", "from memory", "follows from the spectra", "arithmetic"]
SIM_FOLDER = str(Path(sim.__file__).parent)

# Reading files and checking ranges happen everywhere; calling only those proves nothing about a print.
_PROVES_NOTHING = ("reading.py", "writing.py")
_PROVES_NOTHING_NAMES = ("checked", "check", "find_stock", "find_head", "find_lens", "find_film", "find_sleeve")


@dataclass(frozen=True)
class Check:
    """One published value and how the product's own figure is measured.

    ``kind`` says how good the source is: read in the work named; quoted by somebody else; what printers commonly do or
    say; remembered and not looked up; what must follow from spectra that are not in question; or arithmetic of a worked
    example. ``why`` says why the tolerance is that wide. ``wrong`` names the wrong constants (``wrong_constants``) that
    it notices. ``read`` says what was read: a whole print, a negative in the carrier, the light of a lamp
    or on the easel, or a curve fitted anew without some of its readings.
    """

    what: str
    value: float
    tolerance: float
    why: str
    kind: Kind
    source: str
    wrong: tuple[str, ...]
    measure: Callable[[], float]
    read: Read = "print"

    def measured(self) -> float:
        """Measure, and make sure that what was measured is what make_print does."""
        measured, called = traced(lambda: float(self.measure()))
        if self.read == "print":
            assert ("printing/make_print.py", "make_print") in called, f"{self.what}: nothing was printed"
        assert called & calls_of_make_print(), f"{self.what}: calls nothing that make_print uses"
        return measured

    def holds(self, measured: float) -> bool:
        """Return whether a measured figure agrees with the published one."""
        return abs(measured - self.value) <= self.tolerance

    def run(self) -> None:
        """Measure, and fail with both numbers and the source when they differ by more than the tolerance."""
        measured = self.measured()
        assert self.holds(measured), (
            f"{self.what}: measured {measured:.5g}, published {self.value:.5g} +- {self.tolerance:.3g}"
            f" ({self.kind}: {self.source})"
        )


def between(low: float, high: float) -> tuple[float, float]:
    """Return middle and half width of a published range, as value and tolerance."""
    return (low + high) / 2.0, (high - low) / 2.0


Call = tuple[str, str]
Result = TypeVar("Result")
_open_traces: list[set[Call]] = []


def traced(work: Callable[[], Result]) -> tuple[Result, set[Call]]:
    """Return the result of some work, and the functions of ``sim`` it called as (file in sim, name)."""
    seen: set[CodeType] = set()
    kept_calls: set[Call] = set()
    before = sys.getprofile()

    def note(frame: FrameType, event: str, _argument: Any) -> None:
        if event == "call":
            seen.add(frame.f_code)

    _open_traces.append(kept_calls)
    sys.setprofile(note)
    try:
        result = work()
    finally:
        sys.setprofile(before)
        _open_traces.pop()
    return result, kept_calls | {call for code in seen if (call := _as_call(code)) is not None}


def kept(function: Callable[..., Result]) -> Callable[..., Result]:
    """Keep a function's results together with what it called, so that a remembered print still counts as a print."""
    memory: dict[Any, tuple[Result, set[Call]]] = {}

    @wraps(function)
    def remembered(*arguments: Any) -> Result:
        if arguments not in memory:
            memory[arguments] = traced(lambda: function(*arguments))
        result, calls = memory[arguments]
        for trace in _open_traces:
            trace |= calls
        return result

    return remembered


def _as_call(code: CodeType) -> Call | None:
    if not code.co_filename.startswith(SIM_FOLDER):
        return None
    file = Path(code.co_filename).relative_to(SIM_FOLDER).as_posix()
    name = code.co_name
    dull = name.startswith(("__", "<")) or name in _PROVES_NOTHING_NAMES or file in _PROVES_NOTHING
    return None if dull else (file, name)


@lru_cache(maxsize=1)
def calls_of_make_print() -> frozenset[Call]:
    """Return every function of ``sim`` that make_print calls, over prints that take each of its ways."""
    from . import ways

    total: set[Call] = set()
    for job in ways.every_way_of_printing():
        total |= traced(job)[1]
    return frozenset(total)


@lru_cache(maxsize=1)
def tables() -> dict[str, tuple[Check, ...]]:
    """Return the table of every topic, by module name."""
    package = __package__ or "published"
    folder = [str(Path(__file__).parent)]
    found = {}
    for module in pkgutil.iter_modules(folder):
        if module.name.startswith("test_published_"):
            found[module.name] = tuple(importlib.import_module(f"{package}.{module.name}").TABLE)
    return found


def every_check() -> list[Check]:
    """Return all checks of all topics."""
    return [check for table in tables().values() for check in table]


# Published values that the product does not meet. One that is met has been mended: take its line away.
OWED = {
    "dry-down of RC, per cent": "4.4 %: how far the hardened gelatin of RC swells is an assumption",
    "black lost in a tired bath with double time": "0.006: bromide holds back the lights, and time brings the black back",
}


def as_parameters(table: tuple[Check, ...]) -> list[Any]:
    """Return a table as parameters for a test, each named by what it checks; what is owed is expected to fail."""
    owed = {check: pytest.mark.xfail(strict=True, reason=OWED[check.what]) for check in table if check.what in OWED}
    return [
        pytest.param(check, id=check.what.replace(" ", "-"), marks=[owed[check]] if check in owed else []) for check in table
    ]
