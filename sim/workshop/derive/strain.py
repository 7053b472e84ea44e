"""How hard a print leans on its tolerances: 0 in their middle, 1 at their edge; the reference is the print that leans least."""

from __future__ import annotations

from collections.abc import Sequence
from math import log, sqrt

from sim.printing.record import PrintingRecord
from sim.scoring.criterion_kinds import KINDS
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.marks import Mark

UNREADABLE = 99.0


def strain_of(mark: Mark, most_s: float | None = None, least_s: float = 0.0) -> float:
    """Return how far a reading leans towards the edge of what earns all points, with its sign where it has two sides.

    A one-sided wish is at ease a tolerance beyond what is wished, a time at the geometric middle of its window.
    """
    if mark.missing:
        return UNREADABLE
    side = KINDS[mark.kind].side
    if side == "none":
        return 0.0
    if mark.kind == "time-window" and most_s is not None:
        middle, half = sqrt(least_s * most_s), 0.5 * log(most_s / least_s)
        return log(max(mark.measured, 0.01) / middle) / half
    off = (mark.measured - mark.wanted) / mark.tolerance
    if side == "too-little":
        return max(0.0, 0.5 * (1.0 - off))
    if side == "too-much":
        return max(0.0, 0.5 * (1.0 + off))
    return off


def strains(bench: LadderBench, index: int, record: PrintingRecord) -> tuple[float, ...]:
    """Return the strains of one negative's print (0-based index); what belongs to the whole series is left out."""
    exercise = bench.exercise
    windows = {c.name: (c.wanted, c.most) for c in exercise.criteria if c.kind == "time-window"}
    marks = bench.marks_of([record] * exercise.copies).marks
    own = [mark for mark in marks if mark.negative == index + 1 and mark.kind != "match-series" and mark.full_points > 0]
    found = []
    for mark in own:
        least_s, most_s = windows.get(mark.name, (0.0, None))
        found.append(strain_of(mark, most_s, least_s))
    return tuple(found)


def ease(values: Sequence[float]) -> tuple[float, float]:
    """Return what prints are compared by: the worst strain, then the sum of squares. Smaller is better."""
    return round(max((abs(v) for v in values), default=0.0), 3), round(sum(v * v for v in values), 6)
