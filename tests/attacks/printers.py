"""Four printers who game the marks, and an honest one beside them. Each returns records for every slot of an exercise."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from sim.enlarger.filters import FilterSetting
from sim.negative.negative import Negative
from sim.paper.stock import find_stock
from sim.printing.card_work import burnt_in
from sim.printing.make_print import frame_on_sheet
from sim.printing.place_print import PlacePrint
from sim.printing.record import Card, Circling, Exposure, Path, PrintingRecord
from sim.scoring.ladder_bench import LadderBench, aims_of
from sim.scoring.start import Dials, start_record
from sim.scoring.trial import with_light

PINHOLE_MM, PINHOLE_HEIGHT_MM = 6.0, 20.0
BISECTIONS = 8
MOST_STOPS = 5.0
TENTH_S = 0.1
SCATTER_STOPS = 0.05  # of a printer's hand and clock, one standard deviation: up to a tenth of a stop either way
SCATTER_MM = 3.0


def millimetre_cards(bench: LadderBench) -> list[PrintingRecord]:
    """A thin print, and every named dot burnt to its tone through a hole of a few millimetres."""
    return [_pinholes(bench, bench.negatives[index]) for index in bench.slots()]


def _pinholes(bench: LadderBench, negative: Negative) -> PrintingRecord:
    stock = find_stock(bench.exercise.paper)
    aims, places = aims_of(bench, Dials(bench.exercise.start), negative)
    wanted = [(places[aim.at[0]], aim.wanted) for aim in aims if len(aim.at) == 1]
    at = [place for place, _ in wanted]

    def dots(record: PrintingRecord) -> np.ndarray:
        return PlacePrint(negative, record, stock, bench.lights).readings(*at)

    record = start_record(bench.exercise, negative, stock)
    aim = np.array([density for _, density in wanted])
    while (dots(record) > aim + 0.005).any() and record.exposures[0].time_s > 0.3:
        record = with_light(record, -0.3)
    left, top, width, height = frame_on_sheet(negative, record)
    base = record
    for k, (place, density) in enumerate(wanted):
        x, y = left + place.x * width, top + place.y * height

        def off(stops: float, k: int = k, x: float = x, y: float = y, density: float = density) -> float:
            return float(dots(_pinhole(base, x, y, stops))[k]) - density

        stops = _solved(off)
        record = _pinhole(record, x, y, stops) if stops > 0.02 else record
    return record


def _pinhole(record: PrintingRecord, x_mm: float, y_mm: float, stops: float) -> PrintingRecord:
    return burnt_in(record, 0, x_mm, y_mm, PINHOLE_MM, stops, card_height_mm=PINHOLE_HEIGHT_MM)


def _solved(off: Callable[[float], float]) -> float:
    low, high = 0.01, MOST_STOPS
    for _ in range(BISECTIONS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if off(middle) < 0.0 else (low, middle)
    return 0.5 * (low + high)


def with_a_tenth_of_a_second(records: Sequence[PrintingRecord]) -> list[PrintingRecord]:
    """Add a second exposure that is one in name only."""
    return [
        one.with_exposures(*one.exposures, Exposure(TENTH_S, one.exposures[0].f_number, FilterSetting("5"))) for one in records
    ]


def blind_box(bench: LadderBench, rng: np.random.Generator) -> list[list[PrintingRecord]]:
    """Lay the whole box at random settings in the lesson's range; return the rounds, each a sheet for every slot."""
    stock, slots = find_stock(bench.exercise.paper), bench.slots()
    return [
        [dials.record(bench.negatives[index], stock) for dials, index in zip(bench.random(rng), slots, strict=True)]
        for _ in range(bench.exercise.box.sheets // len(slots))
    ]


def by_hand(records: Sequence[PrintingRecord], rng: np.random.Generator) -> list[PrintingRecord]:
    """Print records as a person does: every dialled time a little off, every card moved like a hand and never twice alike.

    Copies of one negative get the same dialled seconds, as in any edition.
    """
    off: dict[tuple[str, int], float] = {}
    found = []
    for record in records:
        exposures = []
        for k, exposure in enumerate(record.exposures):
            factor = off.setdefault((record.negative, k), 2.0 ** float(rng.normal(0.0, SCATTER_STOPS)))
            exposures.append(_by_hand(exposure, factor, rng))
        found.append(record.with_exposures(*exposures))
    return found


def _by_hand(exposure: Exposure, factor: float, rng: np.random.Generator) -> Exposure:
    cards = tuple(_wandering(card, exposure.time_s, factor, rng) for card in exposure.cards)
    light_s = exposure.light_s * factor if exposure.light_s else None
    return replace(exposure, time_s=exposure.time_s * factor, light_s=light_s, light_by_second=(), cards=cards)


def _wandering(card: Card, time_s: float, factor: float, rng: np.random.Generator) -> Card:
    """A circle becomes a hand's path around the same point; other ways of moving are only moved a little."""
    dx, dy = (float(d) for d in rng.normal(0.0, SCATTER_MM, 2))
    stop_s = card.stop_s * factor * 2.0 ** float(rng.normal(0.0, SCATTER_STOPS)) if card.stop_s else 0.0
    stop_s = min(stop_s, time_s * factor)
    moved = replace(card.placed(1.0, dx, dy), start_s=0.0, stop_s=stop_s)
    if not isinstance(moved.motion, Circling):
        return moved
    centre, reach, until = moved.motion, moved.motion.amplitude_mm, stop_s or time_s * factor
    times = np.linspace(0.0, until, max(6, round(4.0 * until)))
    turn = 2.0 * np.pi * times / centre.period_s + rng.uniform(0.0, 2.0 * np.pi) + rng.normal(0.0, 0.3, len(times)).cumsum()
    out = reach * np.clip(rng.normal(0.9, 0.25, len(times)), 0.2, 1.4)
    points = zip(times, centre.x_mm + out * np.cos(turn), centre.y_mm + out * np.sin(turn), strict=True)
    return replace(moved, motion=Path(tuple((float(t), float(x), float(y)) for t, x, y in points)))


