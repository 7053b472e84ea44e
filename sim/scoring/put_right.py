"""A print with the causes that were found put right, as a printer would: seconds dialled, the filter changed, cards longer.

What a cause comes to is solved for with the print's own light (``advice_from_tones.py``); whether it really comes to that is
seen by making the next print: a lamp comes slowly, and what a card's time does depends on where it was held.
"""

from __future__ import annotations

from dataclasses import replace
from math import log2

from sim.control_ranges import CONTROLS
from sim.enlarger.filters import GRADE_OF_FILTER, FilterSetting
from sim.enlarger.light_given import dialled_time_s, expected_light_s
from sim.enlarger.settings import head_of
from sim.negative.negative import Negative, Place
from sim.paper.stock import Stock, find_stock
from sim.printing.exposure import LightCache
from sim.printing.flash import flash_share, flashed_by
from sim.printing.record import Exposure, PrintingRecord
from sim.quantities import burn_time_s, dodge_time_s, factor_to_stops
from sim.refusals import Refused
from sim.scoring.advice_from_tones import Explained
from sim.scoring.burn_stops import is_burn, main_exposures
from sim.scoring.criterion_measures import measure
from sim.scoring.exercise import Exercise
from sim.scoring.hand_faults import HeldCard, card_lies_at, held_cards
from sim.scoring.judged import Judged, JudgedPrint, read_places
from sim.scoring.possible_causes import Cause
from sim.scoring.readings import PlaceReadings
from sim.scoring.start import carded
from sim.scoring.trial import timed

LEAST_CARD_STOPS, MOST_CARD_STOPS = 0.05, 4.0


def printed_again(exercise: Exercise, judged: Judged, one: JudgedPrint, record: PrintingRecord) -> JudgedPrint:
    """Return a print's place in the evening taken by another record of the same negative, read at the places asked for."""
    negative = judged.negatives[one.negative]
    places, lights = read_places(exercise, negative, one.negative), judged.lights or LightCache()
    readings = PlaceReadings(negative, record, find_stock(record.sheet.paper), lights, places)
    return replace(one, record=record, readings=readings, sheet=None)


def tone_points(exercise: Exercise, judged: Judged, one: JudgedPrint) -> float:
    """Return the points of one print's tones and of its evenness: what light and hands decide."""
    earned = 0.0
    for criterion in exercise.criteria:
        kind = criterion.of_kind
        if not criterion.counts or kind.series or not criterion.belongs_to(one.negative):
            continue
        if kind.tones != "none" or kind.cause == "evenness":
            try:
                earned += criterion.points * measure(criterion, judged, one).share
            except Refused:  # it lies off the sheet
                continue
    return earned


def put_right(negative: Negative, record: PrintingRecord, stock: Stock, found: Explained) -> PrintingRecord:
    """Return the record with the causes put right, size and sharpness left as they are."""
    stops = dict.fromkeys(range(len(record.exposures)), 0.0)
    grades = flash = 0.0
    for cause, size in zip(found.causes, found.sizes, strict=True):
        if cause.kind == "exposure":
            stops |= {k: stops[k] + size for k in cause.rays}
        elif cause.kind == "contrast":
            grades = size
        elif cause.kind == "development":
            record = _developed(record, stock)
        elif cause.kind == "flash":
            flash += size
    exposures = [lit_by(record, e, stops[k]) for k, e in enumerate(record.exposures)]
    record = record.with_exposures(*(_behind(e, grades) for e in exposures))
    for cause, size in zip(found.causes, found.sizes, strict=True):
        if cause.place is not None:
            record = _with_work(negative, record, found.aims.places[cause.place], cause, size)
    return flashed_by(negative, record, stock, flash_share(negative, record, stock) + flash) if flash else record


def dialled_stops(record: PrintingRecord, exposure: Exposure, stops: float) -> float:
    """Return the stops of dialled time that give an exposure so many stops of light: a lamp that comes slowly eats of it."""
    return log2(max(_time_for(record, exposure, stops), 1e-3) / exposure.time_s)


def lit_by(record: PrintingRecord, exposure: Exposure, stops: float) -> Exposure:
    """Return an exposure with so many stops more light, its cards' time with it."""
    if abs(stops) < 1e-6:
        return exposure
    return timed(exposure, CONTROLS["time_s"].nearest(_time_for(record, exposure, stops)))


def _time_for(record: PrintingRecord, exposure: Exposure, stops: float) -> float:
    head = head_of(record.enlarger)
    light_s = expected_light_s(exposure.time_s, head) if exposure.light_s is None else exposure.light_s
    return dialled_time_s(light_s * 2.0**stops, head)


def _behind(exposure: Exposure, grades: float) -> Exposure:
    graded = exposure.filter.graded
    if abs(grades) < 1e-6 or graded is None:
        return exposure
    wanted = GRADE_OF_FILTER[graded] + grades
    name = min(GRADE_OF_FILTER, key=lambda one: abs(GRADE_OF_FILTER[one] - wanted))
    return replace(exposure, filter=FilterSetting(name))


def _developed(record: PrintingRecord, stock: Stock) -> PrintingRecord:
    progress = max(stock.development.progress(record.development), 0.05)
    time_s = min(record.development.time_s / progress, CONTROLS["development_time_s"].high)
    return replace(record, development=replace(record.development, time_s=round(time_s, 1)))


def _with_work(negative: Negative, record: PrintingRecord, place: Place, cause: Cause, size: float) -> PrintingRecord:
    """Return the record with so many stops more (+) light at a place: its card's time changed, or a card begun with."""
    own = card_at(negative, record, place)
    now = 0.0 if own is None else stops_of(record, own)
    then = max(-MOST_CARD_STOPS, min(MOST_CARD_STOPS, now + size))
    if own is not None and now * then > 0.0 and abs(then) >= LEAST_CARD_STOPS:
        return _held_longer(record, own, abs(then))
    if own is not None:
        record = _without(record, own)
    if abs(then) < LEAST_CARD_STOPS:
        return record
    mains = [k for k in main_exposures(record) if k in cause.rays] or [0]
    return carded(negative, record, place, then, mains[0])


def card_at(negative: Negative, record: PrintingRecord, place: Place) -> HeldCard | None:
    """Return the card that works at a place: the one whose middle lies nearest, near enough to be meant for it."""
    near = [one for one in held_cards(negative, record) if card_lies_at(place, one)]
    return min(near, key=lambda one: abs(one.x - place.x) + abs(one.y - place.y), default=None)


def stops_of(record: PrintingRecord, one: HeldCard) -> float:
    """Return what a card does to its place in stops of the exposure it works on: + burns, - holds back."""
    if one.burns:
        return factor_to_stops(1.0 + one.exposure.time_s / _base_s(record, one))
    stop_s = one.card.stop_s or one.exposure.time_s
    return factor_to_stops(max(1.0 - (stop_s - one.card.start_s) / one.exposure.time_s, 2.0**-MOST_CARD_STOPS))


def _base_s(record: PrintingRecord, one: HeldCard) -> float:
    mains = [record.exposures[k] for k in main_exposures(record)]
    same = [e for e in mains if e.filter == one.exposure.filter] or mains
    return same[0].time_s


def _held_longer(record: PrintingRecord, one: HeldCard, stops: float) -> PrintingRecord:
    exposures = list(record.exposures)
    k, i = one.at
    if one.burns:
        exposures[k] = timed(one.exposure, burn_time_s(_base_s(record, one), stops))
    else:
        out_s = min(dodge_time_s(one.exposure.time_s, stops), one.exposure.time_s - one.card.start_s)
        cards = list(one.exposure.cards)
        cards[i] = replace(one.card, stop_s=one.card.start_s + out_s)
        exposures[k] = replace(one.exposure, cards=tuple(cards))
    return record.with_exposures(*exposures)


def _without(record: PrintingRecord, one: HeldCard) -> PrintingRecord:
    k, i = one.at
    if one.burns and is_burn(record.exposures[k], k):
        return record.with_exposures(*(e for n, e in enumerate(record.exposures) if n != k))
    cards = tuple(card for n, card in enumerate(one.exposure.cards) if n != i)
    return record.with_exposures(*(replace(e, cards=cards) if n == k else e for n, e in enumerate(record.exposures)))
