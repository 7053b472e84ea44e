"""An Executor that does the work where it is asked for, and shorthand for marking a class room with it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from class_room import ClassRoom

from sim.marking.batch import Outcome, mark_batch, read_batch
from sim.marking.reopened import remember
from sim.marking.replaying import mark_evening
from sim.marking.results import RowResult


class AtOnce(Executor):
    """Works in this process, one piece after the other."""

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        future: Future[Any] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except Exception as error:
            future.set_exception(error)
        return future


@contextmanager
def here(*_: object) -> Iterator[AtOnce]:
    """Stand in for the worker processes of a command: what is tested is not where the work is done."""
    yield AtOnce()


def marked(
    room: ClassRoom, out: Path | None = None, received: Path | None = None, overrides: Path | None = None,
    hide_names: bool = False, work: Callable[[Any], Any] = mark_evening,
) -> Outcome:  # fmt: skip
    """Mark what was handed in."""
    batch = read_batch(room.box, room.course, None, received, overrides, hide_names)
    remember(batch.course, batch.tables)
    return mark_batch(batch, out or room.folder / "out", AtOnce(), work=work)


def row_of(outcome: Outcome, learner: str) -> RowResult:
    """Return a learner's row."""
    return next(row for row in outcome.results.rows if row.learner == learner)
