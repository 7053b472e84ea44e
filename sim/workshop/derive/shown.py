"""The worked example's own negatives and prints: variants of those practised on, whose numbers do not solve the exercise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sim.negative.sleeve import find_sleeve
from sim.negative.sleeve_contents import Sleeve
from sim.negative.variants import variant
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
# Tones pinned by hand, as for a card in one half, fit only film much like the one they were set on: there variants near it are
# looked for among more, nearest first, those left out that are so near that their numbers would be the exercise's.
MORE_KEYS = tuple(f"shown-{k}" for k in range(9, 801))
NEAR, FAR = 0.2, 0.6
TRIED_OF_MORE = 16
STOPS_A_DEVELOPMENT, STOPS_A_FALLOFF = 2.0, 2.0  # chosen: either moves tones as far as two stops in camera
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
    sleeves = [name.partition(VARIANT_MARK)[0] for name in exercise.negatives]
    near = near_keys(sleeves)
    for key in (*near, *KEYS) if asked.cards and len(asked.filters) > 1 else (*KEYS, *near):
        names = [variant_negative(name, key) for name in sleeves]
        shown = exercise.on_negatives(*names)
        bench = LadderBench(shown, negatives_of(shown))
        try:
            records = derived_reference(shown, bench, asked)
            share = bench.marks_of(records).share
        except Refusal:
            continue
        if share >= FULL_SHARE and all(_other_light(one, two) for one, two in zip(records, reference, strict=True)):
            return records, []
    where, found = f"{exercise.name}, the worked example", f"none of {', '.join((*KEYS, *near))} can"
    return (), [Stop(where, "a variant can be printed with numbers of its own", found)]


def near_keys(sleeves: Sequence[str]) -> tuple[str, ...]:
    """Return the keys of variants whose film is much like the sleeves' own in all of them, nearest first."""
    far = {key: max(_apart(find_sleeve(name), key) for name in sleeves) for key in MORE_KEYS}
    between = [key for key in MORE_KEYS if NEAR <= far[key] <= FAR]
    return tuple(sorted(between, key=far.__getitem__)[:TRIED_OF_MORE])


def _apart(sleeve: Sleeve, key: str) -> float:
    """Return how far a variant's film is from its sleeve's, in stops of exposure and what counts as much."""
    other = variant(sleeve, key)
    exposed = abs(other.camera.error_stops - sleeve.camera.error_stops)
    developed = abs(factor_to_stops(other.development / sleeve.development))
    uneven = other.camera.falloff_stops - sleeve.camera.falloff_stops
    return exposed + STOPS_A_DEVELOPMENT * developed + STOPS_A_FALLOFF * uneven


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
