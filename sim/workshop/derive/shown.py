"""The worked example's own negatives and prints: variants of those practised on, whose numbers do not solve the exercise."""

from __future__ import annotations

from dataclasses import replace

from sim.printing.record import PrintingRecord
from sim.quantities import factor_to_stops
from sim.refusals import Refusal
from sim.scoring.checking import negatives_of
from sim.scoring.exercise import Exercise
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.variants import variant_negative
from sim.shelf import VARIANT_MARK
from sim.workshop.derive.broken_claims import Stop
from sim.workshop.derive.reference import derived_reference
from sim.workshop.derive.wishes import PrintWish, Wishes

KEYS = tuple(f"shown-{k}" for k in range(1, 9))
OTHER_LIGHT_STOPS = 1.0 / 3.0  # so far apart the light that two negatives want must lie, by time and aperture together
FULL_SHARE = 1.0 - 1e-9  # what is shown earns everything: nothing is left to say about it


def derived_shown(
    exercise: Exercise, reference: tuple[PrintingRecord, ...], wishes: Wishes
) -> tuple[tuple[PrintingRecord, ...], list[Stop]]:
    """Return the records of the worked example, one for each negative and copy; none for an exercise that shows nothing.

    The first variant is taken that can be printed as the exercise asks and whose light (time and aperture)
    lies a third of a stop from the reference's. It finds its own filter where the learner chooses one; else it is printed
    with the reference's.
    """
    if exercise.mode != "example":
        return (), []
    asked = wishes if "filter" in exercise.unlocked else _with_filters(wishes, exercise, reference)
    for key in KEYS:
        names = [variant_negative(name.partition(VARIANT_MARK)[0], key) for name in exercise.negatives]
        shown = exercise.on_negatives(*names)
        bench = LadderBench(shown, negatives_of(shown))
        try:
            records = derived_reference(shown, bench, asked)
            share = bench.marks_of(records).share
        except Refusal:
            continue
        if share >= FULL_SHARE and all(_other_light(one, two) for one, two in zip(records, reference, strict=True)):
            return records, []
    where = f"{exercise.name}, the worked example"
    return (), [Stop(where, "a variant can be printed with numbers of its own", f"none of {', '.join(KEYS)} can")]


def _with_filters(wishes: Wishes, exercise: Exercise, reference: tuple[PrintingRecord, ...]) -> Wishes:
    """Return the wishes with the filters that the reference found, negative by negative."""
    prints = []
    for index in range(len(exercise.negatives)):
        own, found = wishes.of(index), reference[index * exercise.copies]
        filters = own.filters or tuple(filter(None, (found.exposures[0].filter.graded,)))
        prints.append(PrintWish(index + 1, filters, own.f_number or found.exposures[0].f_number))
    return replace(wishes, prints=tuple(prints))


def _other_light(one: PrintingRecord, two: PrintingRecord) -> bool:
    first, second = one.exposures[0], two.exposures[0]
    light = (first.time_s / second.time_s) * (second.f_number / first.f_number) ** 2
    return abs(factor_to_stops(light)) >= OTHER_LIGHT_STOPS
