"""A negative for a new attempt: one that the learner has not printed in this lesson, in the end a variant made for it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from sim.negative.develop import find_negative
from sim.printing.exposure import LightCache
from sim.printing.record import PrintingRecord
from sim.refusals import Refusal
from sim.scoring.exercise import Exercise
from sim.scoring.judged import judge
from sim.scoring.marks import score
from sim.scoring.variants import tone_share, variant_negative
from sim.shelf import VARIANT_MARK
from sim.teaching.own_decisions import shown_prints

DOABLE_SHARE = 0.95  # of the tones, as for learners of a course
MOST_TRIES = 24


def fresh_negative(folder: Path, exercise: Exercise, attempt: int, used: Iterable[str]) -> str:
    """Return the negative of an attempt: the first of the exercise's own not printed yet, else a variant of its own.

    On none of them do the settings pass that were shown. A negative of one's own cannot be varied: then all take turns.
    """
    candidates, before = (*exercise.negatives, *exercise.also), set(used)
    for name in candidates:
        if name not in before and not _passes_as_shown(folder, exercise, name):
            return name
    return _varied(folder, exercise, attempt) or candidates[attempt % len(candidates)]


def _varied(folder: Path, exercise: Exercise, attempt: int) -> str:
    """Return the first variant for an attempt that can be printed as asked; empty when there is none."""
    sleeve = exercise.negatives[0].split(VARIANT_MARK)[0]
    for count in range(MOST_TRIES):
        name = variant_negative(sleeve, f"attempt-{attempt}-{count}")
        try:
            share = tone_share(exercise.on_negatives(name), find_negative(name))
        except Refusal:
            return ""
        if share is not None and share >= DOABLE_SHARE and not _passes_as_shown(folder, exercise, name):
            return name
    return ""


def _passes_as_shown(folder: Path, exercise: Exercise, name: str) -> bool:
    """Tell whether the settings that were shown pass on a negative too."""
    return any(_passes(exercise.on_negatives(name), record) for record in _shown(folder, exercise))


@lru_cache(maxsize=8)
def _shown(folder: Path, exercise: Exercise) -> tuple[PrintingRecord, ...]:
    return shown_prints(folder, exercise)


def _passes(exercise: Exercise, record: PrintingRecord) -> bool:
    (name,) = exercise.negatives
    records: Sequence[PrintingRecord] = [replace(record, negative=name, negative_digest="")] * exercise.copies
    try:
        judged = judge(exercise, (find_negative(name),), records, 0.0, lights=LightCache(), only_places=True)
    except Refusal:
        return False
    return score(judged, exercise).passed(exercise)
