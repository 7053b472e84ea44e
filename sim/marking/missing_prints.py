"""What prints that were not put forward cost: the first thing that a page of an evening in part has to name."""

from __future__ import annotations

from collections.abc import Sequence

from sim.marking.results import AdviceResult
from sim.scoring.criterion_kinds import KINDS
from sim.scoring.exercise import Exercise
from sim.scoring.judged import Judged
from sim.scoring.marks import Mark, Marks

MISSING_PRINT = "missing-print"


def with_missing_prints(
    advice: Sequence[AdviceResult], marks: Marks, exercise: Exercise, judged: Judged
) -> list[AdviceResult]:
    """Return advice with the prints that are missing among it, by what they cost; paper then costs only what was wasted."""
    wanted, there = exercise.copies * len(exercise.negatives), len(judged.judged_prints)
    if there >= wanted:
        return list(advice)
    missing = wanted - there
    economy_full = marks.economy.full_points if marks.economy else 0.0
    of_paper = economy_full * missing / wanted
    loss = of_paper + sum(_lost(mark, exercise, judged) for mark in marks.marks)
    are = "is" if missing == 1 else "are"
    words = f"{missing} of the {wanted} prints asked for {are} missing, and what is missing earns nothing."
    told = AdviceResult(
        cause=MISSING_PRINT, direction="more-prints", size=float(missing), unit="prints", place="", loss_points=loss,
        words=words, hidden=False, exposure="", measured=float(there), wanted=float(wanted), after_others=False,
    )  # fmt: skip
    others = [_of_paper_there(one, of_paper) for one in advice]
    before = [one for one in others if one.loss_points > loss]
    return [*before, told, *(one for one in others if one.loss_points <= loss)]


def _of_paper_there(one: AdviceResult, of_paper: float) -> AdviceResult:
    """Return a line of advice; one about paper without what went with prints that are missing."""
    if one.cause != "economy":
        return one
    return one.model_copy(update={"loss_points": round(max(one.loss_points - of_paper, 0.0), 4)})


def _lost(mark: Mark, exercise: Exercise, judged: Judged) -> float:
    """Return the points of a criterion that went with prints that are not there; a series is none without all of them."""
    if KINDS[mark.kind].series:
        return mark.full_points
    return mark.full_points * (1.0 - len(judged.of_negative(mark.negative - 1)) / exercise.copies)
