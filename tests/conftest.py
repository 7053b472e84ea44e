"""What all tests share: negatives that are developed once, and which cases a run draws (``night.py``).

A negative is developed once and lies on the light table (``light_table.py``) for the next test, as it does for the next sheet.

Shared are negatives of shipped scenes, found by name, in the rooms that print from them. Where developing itself is tried, or
a law on its way is changed while it runs, every negative is developed anew; so is it in every program that a test starts.

Where a test is about what hands, words and windows do, and nothing hangs on how fine a picture is, it prints by day from copies
of the shipped scenes with a thousand pixels or so along their longer side; by night from the negatives as they are shipped.
"""

from __future__ import annotations

import ctypes
import os
from collections.abc import Generator
from typing import Any

import hypothesis
import light_table
import pytest
from night import AGAIN, NIGHT, first_of_all

import sim.negative.develop as developing

hypothesis.settings.register_profile("loaded machine", suppress_health_check=[hypothesis.HealthCheck.too_slow], deadline=None)
hypothesis.settings.load_profile("loaded machine")  # no test waits on a clock: other work beside it is no fault of a law
GIVE_BACK = getattr(ctypes.CDLL(None), "malloc_trim", None) if os.name == "posix" else None
developing.find_negative = light_table.find_negative  # before anybody else has taken it by its name


@pytest.hookimpl(optionalhook=True)
def pytest_configure_node(node: Any) -> None:
    """Give a process of many its place at the light table."""
    node.workerinput["light_table"] = light_table.laid_out_for_many()


def pytest_configure(config: pytest.Config) -> None:
    """Take the place that was given."""
    given = getattr(config, "workerinput", {}).get("light_table")
    if given is not None:
        light_table.take_place_at(given)


def pytest_unconfigure(config: pytest.Config) -> None:
    """Clear the table when all have gone."""
    if not hasattr(config, "workerinput"):
        light_table.clear()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long files first, so that no process is left alone with one at the end."""
    items.sort(key=lambda item: first_of_all(item.location[0]))


@pytest.hookimpl(tryfirst=True)
def pytest_collectstart(collector: pytest.Collector) -> None:
    """Lay out what a file holds ready while it is read."""
    if isinstance(collector, pytest.File):
        light_table.lay_out_for(collector.path)


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    """Lay out what a test may have: as it is shipped, made small, or developed for this test alone."""
    light_table.lay_out_for(item.path)


@pytest.hookimpl(trylast=True)
def pytest_runtest_teardown(item: pytest.Item, nextitem: pytest.Item | None) -> None:
    """Put them away; after a file's last test the memory goes back, for freed pieces of many sizes are seldom used again."""
    light_table.lay_out_for(None)
    if GIVE_BACK is not None and (nextitem is None or nextitem.path != item.path):
        GIVE_BACK(0)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Say with every failure how the same cases are drawn again."""
    report = yield
    if report.failed:
        report.sections.append(("drawn for this run", AGAIN))
    return report


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say at the end which cases were taken."""
    terminalreporter.write_line(f"{'All cases, by night' if NIGHT else 'Some cases, by day'}: {AGAIN}.")
