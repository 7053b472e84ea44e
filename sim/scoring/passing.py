"""How far each unlocked control may be off before a print no longer passes: the width of the passing region."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from sim.enlarger.filters import GRADE_OF_FILTER, FilterSetting
from sim.printing.record import PrintingRecord
from sim.refusals import Refusal, Refused
from sim.scoring.exercise import Exercise
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.trial import with_card_stops, with_light

Moved = Callable[[PrintingRecord, float], PrintingRecord]
HALVINGS = 5


def _of_enlarger(name: str) -> Moved:
    """Return what moves a setting of the enlarger."""
    return lambda record, by: replace(
        record, enlarger=replace(record.enlarger, **{name: getattr(record.enlarger, name) + by})
    )


def _development(record: PrintingRecord, seconds: float) -> PrintingRecord:
    return replace(record, development=replace(record.development, time_s=record.development.time_s + seconds))


def _filter(record: PrintingRecord, grades: float) -> PrintingRecord:
    """Every graded filter that many half grades on, times as they are. Raises Refused past the end of the set."""
    names = {grade: name for name, grade in GRADE_OF_FILTER.items()}
    exposures = []
    for exposure in record.exposures:
        grade = GRADE_OF_FILTER[exposure.filter.graded or "2"] + round(2.0 * grades) / 2.0
        if grade not in names:
            raise Refused(f"grade must be between -0.5 and 5, got {grade:g}")
        exposures.append(replace(exposure, filter=FilterSetting.named(names[grade])))
    return record.with_exposures(*exposures)


# control: how it is moved, its unit, and how far is looked at most
_CONTROLS: dict[str, tuple[Moved, str, float]] = {
    "time_s": (with_light, "stops", 2.0),
    "filter": (_filter, "grades", 3.0),
    "cards": (with_card_stops, "stops", 2.0),
    "height_mm": (_of_enlarger("height_mm"), "mm", 120.0),
    "focus_offset_mm": (_of_enlarger("focus_offset_mm"), "mm", 1.0),
    "development_time_s": (_development, "s", 200.0),
}


def passing_width(
    exercise: Exercise, bench: LadderBench, reference: Sequence[PrintingRecord]
) -> tuple[tuple[str, float, str], ...]:
    """Return, for every unlocked control that can be moved alone, the width of the range that still passes.

    All nominated prints move together, everything else as in the reference.
    """
    if not bench.marks_of(reference).passed(exercise):
        return ()
    found = []
    for control in exercise.unlocked:
        if control not in _CONTROLS:
            continue
        moved, unit, most = _CONTROLS[control]
        width = sum(_edge(exercise, bench, reference, moved, side * most) for side in (-1.0, 1.0))
        found.append((control, round(width, 3), unit))
    return tuple(found)


def _edge(
    exercise: Exercise, bench: LadderBench, reference: Sequence[PrintingRecord], moved: Moved, furthest: float
) -> float:
    """Return how far on one side still passes, by halving."""

    def passes(amount: float) -> bool:
        try:
            return bench.marks_of([moved(record, amount) for record in reference]).passed(exercise)
        except Refusal:
            return False

    low, high = 0.0, furthest
    if passes(high):
        return abs(high)
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if passes(middle) else (low, middle)
    return abs(low)
