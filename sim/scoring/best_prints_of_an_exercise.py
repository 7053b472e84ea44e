"""The best prints that reach finds for an exercise: never worse than the trade's rules, and what ``check`` measures by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

import numpy as np

from sim.enlarger.equipment import find_lens
from sim.enlarger.filters import GRADED_NAMES, NO_FILTER
from sim.negative.negative import Negative, Place
from sim.printing.flash import flashed_by
from sim.printing.place_model import PlaceModel
from sim.printing.record import PrintingRecord
from sim.quantities import ENGRAVED_F_NUMBERS
from sim.refusals import Refusal
from sim.scoring.best_print_of_a_negative import with_a_real_card, with_real_cards
from sim.scoring.bettered import bettered
from sim.scoring.criterion_kinds import KINDS
from sim.scoring.exercise import Exercise
from sim.scoring.judged import judge
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.reach import ReachOptions, reach
from sim.scoring.start import card_places, ready, record_of_start
from sim.scoring.target_tones import Goal
from sim.scoring.tone_aims import tone_aims
from sim.scoring.trial import with_light
from sim.viewing.loupe import sharpness_at

Way = Literal["one", "pair"]
FLASH_SHARES = (0.3, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0)  # of what the paper bears unseen
BESIDE_A_FLASH = np.linspace(-1.5, 1.0, 26)  # a tenth of a stop apart
CARD_STOPS = (-2.5, 3.5)  # as far as the solver holds back and burns in: as the trade's rules plan a card, and derive a burn
TONES_UNDER_A_CARD, LEAST_LIT = 8, 0.05
NEARBY_STOPS = tuple(np.linspace(-0.3, 0.3, 13).tolist())  # real cards shade more than their factor: light is sought again


def solved_records(exercise: Exercise, bench: LadderBench) -> tuple[PrintingRecord, ...]:
    """Return the best record found for every nominated sheet.

    Size, focus, level and development are set as the criteria ask; for each aperture that is sharp enough ``reach`` finds
    filter, times and cards. What is marked best is taken.
    """
    found = []
    for index in range(len(bench.negatives)):
        tried = list(_tried(exercise, bench, index))
        best = max(tried, key=lambda record: _share(exercise, bench, index, record))
        if "flash" in exercise.unlocked:
            best = _flashed(exercise, bench, index, best)
        if "time_s" in exercise.unlocked and _share(exercise, bench, index, best) < 1.0:
            for changed in (with_light, _around_the_tools):
                nearby = [best, *(changed(best, stops) for stops in NEARBY_STOPS)]
                best = max(nearby, key=lambda record: _share(exercise, bench, index, record))
            best = _bettered_halves(exercise, bench, index, tried, best)
        found += [best] * exercise.copies
    return tuple(found)


def _bettered_halves(
    exercise: Exercise, bench: LadderBench, index: int, tried: list[PrintingRecord], best: PrintingRecord
) -> PrintingRecord:
    """Return the best print, or what comes of the best with a card in one of two halves alone when it is bettered on its marks.

    ``reach`` shares a card's work between the halves; which half alone it belongs in shows once the seconds are right.
    """

    def share(record: PrintingRecord) -> float:
        return _share(exercise, bench, index, record)

    halves = [[one for one in tried if _carded(one) == at] for at in ((0,), (1,))] if share(best) < 1.0 else []
    begun = [max(ones, key=share) for ones in halves if ones]
    return max([best, *(bettered(one, share) for one in begun)], key=share)


def _carded(record: PrintingRecord) -> tuple[int, ...]:
    """Return which exposures of a pair have a card; nothing for a print through one filter."""
    exposures = record.exposures
    return tuple(k for k, one in enumerate(exposures) if one.cards) if len(exposures) == 2 else ()


def _around_the_tools(record: PrintingRecord, stops: float) -> PrintingRecord:
    """Return the record with so many stops more light, and as much as before under each tool that holds a place back.

    ``reach`` holds back by a stop at most; where more is wanted the light around the tool must make up for it.
    """
    exposures = []
    for one in record.exposures:
        time_s = round(one.time_s * 2.0**stops, 2)
        more_s = time_s - one.time_s
        held = [card.lets_through == "outside" and card.start_s == 0.0 and card.stop_s + more_s > 0.0 < card.stop_s
                for card in one.cards]  # fmt: skip
        if not held or not all(held) or one.light_s is not None:
            return record
        cards = tuple(replace(card, stop_s=round(card.stop_s + more_s, 2)) for card in one.cards)
        exposures.append(replace(one, time_s=time_s, cards=cards))
    return record.with_exposures(*exposures)


def _share(exercise: Exercise, bench: LadderBench, index: int, record: PrintingRecord) -> float:
    """Return the points of one negative's print as a share; prints of the others are left out on both sides."""
    marks = bench.marks_of([record] * exercise.copies)
    own = [mark for mark in marks.marks if mark.negative == index + 1 and not KINDS[mark.kind].series]
    return sum(mark.points for mark in own) / max(sum(mark.full_points for mark in own), 1e-9)


def _flashed(exercise: Exercise, bench: LadderBench, index: int, record: PrintingRecord) -> PrintingRecord:
    """Return the best of a record without a flash and with several, its light looked for anew beside each."""
    negative, tried = bench.negatives[index], [record]
    for share in FLASH_SHARES:
        flashed = flashed_by(negative, record, exercise.stock, share)
        tried += [with_light(flashed, float(stops), 0) for stops in BESIDE_A_FLASH]
    return max(tried, key=lambda one: _share(exercise, bench, index, one))


def _tried(exercise: Exercise, bench: LadderBench, index: int) -> Iterator[PrintingRecord]:
    """Yield reach's answers for every set-up worth trying."""
    negative = bench.negatives[index]
    set_up = ready_set_up(exercise, negative)
    judged = judge(exercise, bench.negatives, (set_up,), 0.0, lights=bench.lights, only_places=True)
    aims = tone_aims(exercise, judged, judged.judged_prints[0])
    tones = [aim for aim in aims.aims if len(aim.at) == 1]
    sets = [[aim for aim in tones if aim.exact], tones]
    meant = {place.name for place in card_places(exercise, negative)} if "cards" in exercise.unlocked else set()
    for record in set_ups(exercise, negative, set_up):
        yield record
        for chosen in sets:
            goals = tuple({aims.places[a.at[0]].name: Goal(aims.places[a.at[0]], a.wanted) for a in chosen}.values())
            if not goals:
                continue
            ways: tuple[Way, ...] = ("one", "pair") if "exposures" in exercise.unlocked else ("one",)
            for way in ways:
                carded = tuple(goal.place for goal in goals if goal.place.name in meant)
                yield from _with_cards(bench, negative, record, goals, way, carded)


def _with_cards(
    bench: LadderBench, negative: Negative, record: PrintingRecord, goals: tuple[Goal, ...], way: Way, carded: tuple[Place, ...]
) -> Iterator[PrintingRecord]:
    """Yield reach's answer with cards over some of the goals' places; of a pair with cards also those of one half alone.

    A place that a hole is cut for is burnt in through that, and through the rack's oval too.
    """
    places = tuple(goal.place for goal in goals)
    for cut in (True, False) if any(place.hole for place in carded) else (True,):
        covered = {place.name: _under(bench, negative, record, place, places, cut) for place in carded}
        for exposures in ((0, 1), (0,), (1,)) if way == "pair" and carded else ((0, 1),):
            options = ReachOptions(
                filters=filters_allowed(bench.exercise, record), card_places=tuple(covered), card_exposures=exposures,
                card_stops=CARD_STOPS, covered=covered,
            )  # fmt: skip
            found = reach(negative, record, bench.exercise.stock, goals, way, options, bench.lights)
            try:
                yield with_real_cards(negative, found, cut)
            except Refusal:  # a card shorter than a lamp can be switched for: at this mark the half leaves no hand any room
                continue


def _under(
    bench: LadderBench, negative: Negative, record: PrintingRecord, place: Place, places: tuple[Place, ...], cut: bool
) -> dict[str, float]:
    """Return what share of a card's work at its place arrives at the others: a hole's where one is cut, else the tool's."""
    burnt = with_a_real_card(negative, record.with_exposures(record.exposures[0].bare()), place, 1.0, 0, cut)
    model = PlaceModel(negative, burnt, bench.exercise.stock, places, bench.lights, tones=TONES_UNDER_A_CARD)
    lit = model.points.averages(model.rays[-1].lit)
    own = max(float(lit[places.index(place)]), LEAST_LIT)
    return {other.name: min(float(share) / own, 1.0) for other, share in zip(places, lit, strict=True) if other != place}


def filters_allowed(exercise: Exercise, record: PrintingRecord) -> tuple[str, ...]:
    """Return the filters that may be tried: the set, where the learner chooses; else the one in the head, or none."""
    graded = record.exposures[0].filter.graded
    if not exercise.stock.is_variable_contrast:
        return (graded or NO_FILTER,)
    return GRADED_NAMES if "filter" in exercise.unlocked or graded is None else (graded,)


def ready_set_up(exercise: Exercise, negative: Negative) -> PrintingRecord:
    """Return the start with size, focus, level and development as they should be, as far as they are unlocked."""
    return record_of_start(ready(exercise, negative, exercise.start), negative, exercise.stock)


def set_ups(exercise: Exercise, negative: Negative, record: PrintingRecord) -> Iterator[PrintingRecord]:
    """Yield the record at every aperture worth trying: all where it is unlocked and something hangs on it, else its own."""
    causes = {c.of_kind.cause for c in exercise.criteria}
    if record.enlarger.contact and "height_mm" in exercise.unlocked:
        for height_mm in (900.0, 1100.0, 1300.0, 1500.0, 1650.0):
            yield replace(record, enlarger=replace(record.enlarger, height_mm=height_mm))
        return
    if "f_number" not in exercise.unlocked or not causes & {"sharpness", "time"}:
        yield record
        return
    lens = find_lens(record.enlarger.lens)
    for mark, _ in ENGRAVED_F_NUMBERS:
        if lens.widest_f_number <= mark <= lens.smallest_f_number:
            yield _focused(exercise, negative, record.with_exposures(replace(record.exposures[0], f_number=mark)))


def _focused(exercise: Exercise, negative: Negative, record: PrintingRecord) -> PrintingRecord:
    """Return the record focused so that the worst of the places that must be sharp is as sharp as it can be."""
    spots = [c.spots[0] for c in exercise.criteria if c.of_kind.cause == "sharpness"]
    if "focus_offset_mm" not in exercise.unlocked or not spots:
        return record
    from sim.printing.make_print import place_on_sheet

    def worst(offset_mm: float) -> float:
        moved = replace(record, enlarger=replace(record.enlarger, focus_offset_mm=offset_mm))
        places = [spot.on(negative) for spot in spots]
        return min(sharpness_at(negative, moved, *place_on_sheet(negative, moved, place)) for place in places)

    best = max((0.02 * k for k in range(-20, 21)), key=worst)
    return replace(record, enlarger=replace(record.enlarger, focus_offset_mm=round(best, 2)))
