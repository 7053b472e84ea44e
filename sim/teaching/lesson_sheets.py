"""A lesson's sheets for whoever shows them beside other work: made again from the record, without touching the lesson."""

from __future__ import annotations

from collections.abc import Callable

from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import Print, make_print
from sim.teaching.lesson import LessonRun
from sim.teaching.lesson_marks import index_of
from sim.teaching.lesson_plan import fineness


def sheet_at_hand(run: LessonRun, number: int) -> Print | None:
    """Return a sheet that has been made or made again since the lesson was opened, None otherwise."""
    return run.sheets_at_hand.get(number)


def sheet_maker(run: LessonRun, number: int) -> Callable[[], Print]:
    """Return what makes a sheet again. It holds all it needs, so it may be called while the lesson goes on.

    Raises IndexError for a number that is not there.
    """
    record = run.evening.state.sheets[number - 1].record
    negative = run.negatives[index_of(run.negatives, record)]
    px_per_mm = fineness(negative, record)
    return lambda: make_print(negative, record, find_stock(record.sheet.paper), px_per_mm, lights=LightCache())


def lay_by(run: LessonRun, number: int, sheet: Print) -> None:
    """Keep a sheet that was made again, so that it need not be made once more."""
    run.sheets_at_hand[number] = sheet
