"""Was a passed evening decided, or copied, or found by luck? A skill is met by decisions only.

A print whose tones all lie within half a tolerance of what the shown settings give on the same negative is a copy. One good
sheet among many that lie far off is luck: who works towards a print comes near it more than once, or nearer every time. Marks
are what they are in either case; only the skill is not counted as met.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Literal

from sim.evening.evening_state import EveningState, SheetMade
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.printing.exposure import LightCache
from sim.printing.record import PrintingRecord
from sim.refusals import Refusal
from sim.scoring.criterion_kinds import KINDS
from sim.scoring.derived import read_shown
from sim.scoring.exercise import Exercise
from sim.scoring.judged import judge
from sim.scoring.marks import Mark, score
from sim.teaching.lesson_marks import exercise_for_one, index_of
from sim.teaching.worked_example import FADED, plan_of, read_references, shown_negatives

NotCounted = Literal["", "shown", "by-chance", "over-limit"]
ALIKE_TOLERANCES = 0.5  # a print whose tones all lie so near a shown one's is that print again
NEAR_TOLERANCES = 4.0  # where a criterion earns nothing any more: on average over a print, it is far off
FURTHEST_TOLERANCES = 20.0  # paper white hides how far off it is
NEAR_SHARE = 0.5  # of the other whole sheets; measured with printers by the rules (all pass) and at random (1-3 % do)
GRADED_ATTEMPTS = 3  # of a graded lesson that count; a course says its own


def why_not_counted(
    folder: Path, exercise: Exercise, negatives: Sequence[Negative], state: EveningState, lights: LightCache
) -> NotCounted:
    """Return why a passed evening's nominated sheets do not count towards the skill; empty when they do."""
    if _is_copied(folder, exercise, negatives, state, lights):
        return "shown"
    return "by-chance" if _is_by_chance(exercise, negatives, state, lights) else ""


def shown_prints(folder: Path, exercise: Exercise) -> tuple[PrintingRecord, ...]:
    """Return the prints that a lesson makes in front of the learner while it is shown, of whatever negative."""
    if not FADED[exercise.mode]:
        return ()
    own = read_references(folder)
    example = read_shown(folder) if shown_negatives(folder, exercise) else own
    sheets: list[PrintingRecord] = []
    for mode in FADED[exercise.mode]:
        references = example if mode == "example" else own
        negatives = [find_negative(name) for name in dict.fromkeys(record.negative for record in references)]
        plan = plan_of(mode, exercise, negatives, references)
        sheets += [one.record for one in plan if one.record.sheet.kind == "sheet"]
    return tuple(dict.fromkeys(sheets))


def _is_copied(
    folder: Path, exercise: Exercise, negatives: Sequence[Negative], state: EveningState, lights: LightCache
) -> bool:
    """Tell whether every print that counts is one that was shown, printed on this evening's negative."""
    shown = shown_prints(folder, exercise)
    counted = [state.sheets[number - 1].record for number in state.nominated]
    return bool(shown and counted) and all(
        any(_is_alike(exercise, negatives, record, other, lights) for other in _fitting(exercise, shown, record))
        for record in counted
    )


def _fitting(exercise: Exercise, shown: Sequence[PrintingRecord], record: PrintingRecord) -> list[PrintingRecord]:
    """Return the shown prints that could be copied here: of the same negative, or of another in its place."""
    same = [one for one in shown if one.negative == record.negative]
    return same or [replace(one, negative=record.negative, negative_digest="") for one in shown]


def _is_alike(
    exercise: Exercise, negatives: Sequence[Negative], record: PrintingRecord, other: PrintingRecord, lights: LightCache
) -> bool:
    """Tell whether all tones of two prints lie within half a tolerance of each other."""
    try:
        pairs = list(zip(*(marks_alone(exercise, negatives, one, lights) for one in (record, other)), strict=True))
    except Refusal:  # the shown settings cannot be printed from this negative
        return False
    tones = [(a, b) for a, b in pairs if KINDS[a.kind].tones != "none" and not (a.missing or b.missing)]
    return bool(tones) and all(abs(a.measured - b.measured) <= ALIKE_TOLERANCES * a.tolerance for a, b in tones)


def marks_alone(
    exercise: Exercise, negatives: Sequence[Negative], record: PrintingRecord, lights: LightCache
) -> tuple[Mark, ...]:
    """Return the marks of one print by itself, read at its places."""
    index = index_of(negatives, record)
    single = exercise_for_one(exercise, index, negatives[index])
    return score(judge(single, [negatives[index]], [record], 0.0, lights=lights, only_places=True), single).marks


def tolerances_off(marks: Iterable[Mark]) -> float:
    """Return how far a print is off on average, in tolerances weighed by points."""
    counted = [mark for mark in marks if mark.full_points > 0.0]
    off = [
        FURTHEST_TOLERANCES if mark.missing
        else min(abs(KINDS[mark.kind].kept_off(mark.miss)) / mark.tolerance, FURTHEST_TOLERANCES)
        for mark in counted
    ]  # fmt: skip
    points = sum(mark.full_points for mark in counted)
    return sum(o * mark.full_points for o, mark in zip(off, counted, strict=True)) / points if points else 0.0


def _is_by_chance(
    exercise: Exercise, negatives: Sequence[Negative], state: EveningState, lights: LightCache
) -> bool:
    """Tell whether the sheets that count are a few good ones among many that lie far off, on any of the negatives."""
    return any(
        _is_lucky([made for made in whole if made.record.negative == negative.name], state, exercise, negatives, lights)
        for negative in negatives
        for whole in [[made for made in state.sheets if made.record.sheet.kind == "sheet"]]
    )


def _is_lucky(
    made: Sequence[SheetMade], state: EveningState, exercise: Exercise, negatives: Sequence[Negative], lights: LightCache
) -> bool:
    others = [k for k, one in enumerate(made) if k > 0 and one.number not in state.nominated]
    if not others:
        return False
    off = [tolerances_off(marks_alone(exercise, negatives, one.record, lights)) for one in made]
    return looks_lucky(off, others)


def looks_lucky(off: Sequence[float], others: Sequence[int]) -> bool:
    """Tell whether prints so many tolerances off, in their order, came near by luck.

    ``others`` are the places in that order of those that neither count nor were the first.
    """
    near = sum(off[k] <= NEAR_TOLERANCES for k in others)
    steadily = all(after <= before for before, after in itertools.pairwise(off))
    return near < NEAR_SHARE * len(others) and not steadily
