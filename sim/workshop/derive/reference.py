"""The reference of a lesson: solved from its wishes within the unlocked controls, set to what a dial can be set to.

For every set-up and filter that the lesson leaves open, times and cards are sought by least squares on the print's own
strains; the best are then tried at the dials' marks nearby, and the print that leans least on its tolerances is taken.
Nothing here reads an earlier reference.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import log2
from typing import Literal

import numpy as np

from sim.enlarger.filters import FilterSetting
from sim.negative.negative import Negative
from sim.paper.stock import find_stock
from sim.printing.flash import flashed_by, with_flash
from sim.printing.record import Exposure, PrintingRecord
from sim.quantities import FloatArray
from sim.refusals import Refusal, Refused
from sim.scoring.best_prints_of_an_exercise import filters_allowed, ready_set_up, set_ups
from sim.scoring.exercise import Exercise
from sim.scoring.judged import judge
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.reach import ReachOptions, reach
from sim.scoring.target_tones import Goal
from sim.scoring.tone_aims import tone_aims
from sim.workshop.derive.strain import UNREADABLE, ease, strains
from sim.workshop.derive.wished_cards import card_seconds, with_wished_card
from sim.workshop.derive.wishes import Wishes

Seconds = tuple[list[float], list[float]]  # of the main exposures, of the cards
DIALS = ((10.0, 0.1), (20.0, 0.5), (1000.0, 1.0))  # seconds up to which a timer is set in such steps (chosen: 2-5 % or finer)
DIALLED_TIMES_S = (0.8, 180.0)
CARD_LIMITS_STOPS = (0.1, 3.5)
FLASH_TRIED_FIRST = 0.7  # of what the paper bears unseen
STEP = 0.04  # stops, for slopes
MOST_STEPS = 10
COARSE_FILTERS = 3  # every third filter is tried first, then the neighbours of the best
FINALISTS = 2
NEARBY = {1: 3, 2: 2, 3: 2}  # dial marks tried to either side, by the number of dials
GOAL_KINDS = ("tone", "black", "white")


@dataclass(frozen=True)
class Layout:
    """A set-up with its filters, on which times and cards are sought; the last time is the flash's, where one is wished."""

    negative: Negative
    set_up: PrintingRecord
    filters: tuple[str, ...]
    wishes: Wishes

    def record(self, times_s: Sequence[float], cards_s: Sequence[float], copy: int = 0) -> PrintingRecord:
        """Return the record with these seconds for the main exposures and the cards."""
        f_number = self.set_up.exposures[0].f_number
        named = zip(times_s[: len(self.filters)], self.filters, strict=True)
        record = self.set_up.with_exposures(*(Exposure(t, f_number, FilterSetting.named(name)) for t, name in named))
        for wish, seconds in zip(self.wishes.cards, cards_s, strict=True):
            record = with_wished_card(self.negative, record, wish, seconds, copy)
        return with_flash(record, times_s[-1]) if self.wishes.flash else record

    @property
    def mains(self) -> int:
        """How many times are sought: one for each filter, and the flash's."""
        return len(self.filters) + self.wishes.flash

    def seconds(self, x: FloatArray) -> tuple[list[float], list[float]]:
        """Return times and cards' seconds for log2 seconds and card stops."""
        times = [round(float(2.0**value), 9) for value in x[: self.mains]]
        cards = self.wishes.cards
        return times, [
            card_seconds(wish, times[wish.exposure], float(stops))
            for wish, stops in zip(cards, x[self.mains :], strict=True)
        ]


Sought = tuple[tuple[float, float], Layout, FloatArray]


def derived_reference(exercise: Exercise, bench: LadderBench, wishes: Wishes) -> tuple[PrintingRecord, ...]:
    """Return the reference of an exercise: a record for each negative and copy, in order.

    Of an edition the first copy is sought; the others get its seconds, each under its own hand.
    """
    alone = LadderBench(replace(exercise, copies=1), bench.negatives, bench.lights)
    records = []
    for index in range(len(bench.negatives)):
        layout, seconds = Search(alone, wishes.of(index), index).best()
        records += [layout.record(*seconds, copy) for copy in range(exercise.copies)]
    return tuple(records)


@dataclass(frozen=True)
class Search:
    """The search for one negative's print (0-based index) on an exercise's bench; ``only_f_number``: at that mark alone."""

    bench: LadderBench
    wishes: Wishes
    index: int
    only_f_number: float | None = None

    @property
    def negative(self) -> Negative:
        """The negative in the carrier."""
        return self.bench.negatives[self.index]

    def best(self) -> tuple[Layout, Seconds]:
        """Return the layout and the dialled seconds whose print leans least on its tolerances."""
        sought = [one for set_up in self._set_ups() for one in self._over_filters(set_up)]
        finalists = [
            (self.ease(layout, seconds), order, layout, seconds)
            for order, (_, layout, x) in enumerate(sorted(sought, key=lambda one: one[0])[:FINALISTS])
            for seconds in self._dialled(layout, x)
        ]
        if not finalists:
            raise Refused(f"{self.negative.name} must be printed with exposures and cards of {DIALLED_TIMES_S[0]:g} s or more")
        _, _, layout, seconds = min(finalists, key=lambda one: one[:2])
        return layout, seconds

    def _set_ups(self) -> Iterator[PrintingRecord]:
        exercise = self.bench.exercise
        start = ready_set_up(exercise, self.negative)
        if self.wishes.f_number is not None:
            start = start.with_exposures(replace(start.exposures[0], f_number=self.wishes.f_number))
        marks, only = set_ups(exercise, self.negative, start), self.only_f_number or self.wishes.f_number
        return marks if only is None else (one for one in marks if one.exposures[0].f_number == only)

    @property
    def _time_stands(self) -> bool:
        """Tell whether the seconds are the start's, because the lesson leaves no control of them."""
        return "time_s" not in self.bench.exercise.unlocked

    def _dialled(self, layout: Layout, x: FloatArray) -> Iterator[Seconds]:
        """Yield the dials' marks that are tried around what was sought."""
        return iter([layout.seconds(x)]) if self._time_stands else dialled(layout, x)

    def _over_filters(self, set_up: PrintingRecord) -> list[Sought]:
        """Return what was sought at each choice of filters; of single ones from the middle outwards while it gets better."""
        if set_up.exposures[0].filter.graded is None:
            return [self._sought(Layout(self.negative, set_up, ("none",), self.wishes))]
        if self.wishes.filters:
            return [self._sought(Layout(self.negative, set_up, self.wishes.filters, self.wishes))]
        names = filters_allowed(self.bench.exercise, set_up)
        found: dict[int, Sought] = {}

        def at(k: int) -> tuple[float, float]:
            if not 0 <= k < len(names):
                return UNREADABLE, UNREADABLE
            if k not in found:
                found[k] = self._sought(Layout(self.negative, set_up, (names[k],), self.wishes))
            return found[k][0]

        best = min(range(0, len(names), COARSE_FILTERS), key=at)
        while (better := min((best, best - 1, best + 1), key=at)) != best:
            best = better
        return list(found.values())

    def ease(self, layout: Layout, seconds: Seconds) -> tuple[float, float]:
        """Return how a print leans on its tolerances; the worst there is for one that cannot be made."""
        try:
            return ease(strains(self.bench, self.index, layout.record(*seconds)))
        except Refusal:
            return UNREADABLE, UNREADABLE

    def _sought(self, layout: Layout) -> Sought:
        """Return the log2 seconds and card stops that lean least, by least squares from reach's answer."""
        if self._time_stands:
            x = np.array([log2(layout.set_up.exposures[0].time_s)] * layout.mains)
            return self.ease(layout, layout.seconds(x)), layout, x
        from scipy.optimize import least_squares

        mains, cards = layout.mains, len(layout.wishes.cards)
        low = np.array([log2(DIALLED_TIMES_S[0])] * mains + [CARD_LIMITS_STOPS[0]] * cards)
        high = np.array([log2(DIALLED_TIMES_S[1])] * mains + [CARD_LIMITS_STOPS[1]] * cards)
        start = np.clip(self._start(layout), low + STEP, high - 2.0 * STEP)

        def leaning(x: FloatArray) -> FloatArray:
            return np.array(strains(self.bench, self.index, layout.record(*layout.seconds(x))))

        def slopes(x: FloatArray) -> FloatArray:
            at = leaning(x)
            return np.array([(leaning(x + STEP * axis) - at) / STEP for axis in np.eye(len(x))]).T

        found = least_squares(leaning, start, jac=slopes, bounds=(low, high - STEP), x_scale=0.3, max_nfev=MOST_STEPS)
        x = np.asarray(found.x)
        return self.ease(layout, layout.seconds(x)), layout, x

    def _start(self, layout: Layout) -> FloatArray:
        """Return where to begin: reach's times and card stops for the tones asked for, a stop where it says none."""
        exercise, lights = self.bench.exercise, self.bench.lights
        judged = judge(exercise, self.bench.negatives, (layout.set_up,), 0.0, lights=lights, only_places=True)
        asked = tone_aims(exercise, judged, judged.judged_prints[0])
        goals = tuple(
            {asked.places[aim.at[0]].name: Goal(asked.places[aim.at[0]], aim.wanted)
             for aim in asked.aims if len(aim.at) == 1 and aim.kind in GOAL_KINDS}.values()
        )  # fmt: skip
        cards = layout.wishes.cards
        options = ReachOptions(
            filters=layout.filters[:1], soft=layout.filters[0], hard=layout.filters[-1],
            card_places=tuple({wish.place for wish in cards}), card_exposures=tuple({wish.exposure for wish in cards}),
        )  # fmt: skip
        way: Literal["one", "pair"] = "pair" if len(layout.filters) == 2 else "one"
        found = reach(self.negative, layout.set_up, find_stock(exercise.paper), goals, way, options, lights)
        by_filter = {exposure.filter.graded or "none": exposure.time_s for exposure in found.record.exposures}
        times = [log2(max(by_filter.get(name, 1.0), DIALLED_TIMES_S[0])) for name in layout.filters]
        if layout.wishes.flash:
            stock = find_stock(exercise.paper)
            times.append(log2(flashed_by(self.negative, layout.set_up, stock, FLASH_TRIED_FIRST).exposures[-1].time_s))
        factors = {(factor.place, factor.exposure): abs(factor.stops) for factor in found.card_factors}
        return np.array([*times, *(factors.get((wish.place, wish.exposure), 1.0) for wish in cards)])


def dialled(layout: Layout, x: FloatArray) -> Iterator[Seconds]:
    """Yield the marks of the dials around what was sought, nearest first."""
    times, cards = layout.seconds(x)
    marks = [dial_marks(seconds, NEARBY.get(len(x), 1)) for seconds in (*times, *cards)]
    for chosen in product(*marks):
        yield list(chosen[: len(times)]), list(chosen[len(times) :])


def dial_marks(seconds: float, around: int) -> list[float]:
    """Return the timer's marks around a time: the nearest one first, then to either side."""
    step = next(step for limit, step in DIALS if seconds < limit)
    nearest = round(seconds / step)
    offsets = sorted(range(-around, around + 1), key=abs)
    return [round((nearest + k) * step, 1) for k in offsets if (nearest + k) * step >= DIALLED_TIMES_S[0]]
