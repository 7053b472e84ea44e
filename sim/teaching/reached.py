"""The print that an exercise can reach on a negative: what a finished print is laid beside once its marks are shown."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import make_print
from sim.printing.record import PrintingRecord
from sim.scoring.best_prints_of_an_exercise import solved_records
from sim.scoring.derived import read_shown
from sim.scoring.ladder_bench import LadderBench
from sim.teaching.lesson import LessonRun, NotNow
from sim.teaching.lesson_marks import index_of
from sim.teaching.worked_example import read_references


def reached_maker(run: LessonRun, number: int, px_per_mm: float) -> Callable[[], NDArray[np.float32]]:
    """Return what makes the print that reaches what was asked on the negative of a sheet, its densities [row, col].

    It may be called elsewhere.

    The exercise's own reference where it is of that negative, else what the solver finds. Raises NotNow before the marks
    are shown, and in an examination, where they are not.
    """
    run.result()  # refuses before
    if run.exam:
        raise NotNow("in an examination what can be reached is shown with the marks")
    record = run.record_of(number)
    index = index_of(run.negatives, record)
    known = {one.negative: one for one in (*read_shown(run.folder), *read_references(run.folder))}
    exercise, negatives = run.exercise, run.negatives

    def made() -> NDArray[np.float32]:
        reached = known.get(record.negative) or _solved(index)
        return make_print(negatives[index], reached, find_stock(exercise.paper), px_per_mm, lights=LightCache()).density

    def _solved(at: int) -> PrintingRecord:
        return solved_records(exercise, LadderBench(exercise, negatives))[at * exercise.copies]

    return made
