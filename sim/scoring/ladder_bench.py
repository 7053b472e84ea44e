"""An exercise on the bench for many evenings: its marks, its strips, and how often chance alone passes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from sim.negative.negative import Negative, Place
from sim.printing.exposure import LightCache
from sim.printing.place_model import Change, PlaceModel
from sim.printing.record import PrintingRecord
from sim.quantities import FloatArray
from sim.scoring.exercise import Exercise
from sim.scoring.judged import judge
from sim.scoring.marks import Marks, score
from sim.scoring.readings import PlaceReadings, on_sheet
from sim.scoring.start import Dials, card_places, random_dials
from sim.scoring.tone_aims import Aim, tone_aims

Generator = np.random.Generator
STRIP_TONES = 24
LIGHTS_KEPT = 64  # the spots of an evening's negatives at a few apertures


@dataclass
class LadderBench:
    """An exercise with its negatives and their light, kept over many evenings."""

    exercise: Exercise
    negatives: tuple[Negative, ...]
    lights: LightCache = field(default_factory=lambda: LightCache(LIGHTS_KEPT))

    def slots(self) -> tuple[int, ...]:
        """Return which negative each nominated sheet is of."""
        return tuple(index for index in range(len(self.negatives)) for _ in range(self.exercise.copies))

    def marks(self, dials: Sequence[Dials]) -> Marks:
        """Return the marks of one sheet for each slot."""
        stock = self.exercise.stock
        records = [d.record(self.negatives[index], stock) for d, index in zip(dials, self.slots(), strict=True)]
        return self.marks_of(records)

    def marks_of(self, records: Sequence[PrintingRecord]) -> Marks:
        """Return the marks of records, one for each slot."""
        judged = judge(self.exercise, self.negatives, records, 0.0, lights=self.lights, only_places=True)
        return score(judged, self.exercise)

    def random(self, rng: Generator) -> list[Dials]:
        """Return a random start for every slot."""
        return [random_dials(self.exercise, self.negatives[index], rng) for index in self.slots()]


def accident_share(bench: LadderBench, count: int, seed: int = 0) -> float:
    """Return the share of random records of the declared spread that pass as they are."""
    rng = np.random.Generator(np.random.PCG64(seed))
    return sum(bench.marks(bench.random(rng)).passed(bench.exercise) for _ in range(count)) / count


def ends_of(
    bench: LadderBench, dials: Dials, negative: Negative
) -> tuple[Aim | None, Aim | None, list[tuple[Aim, Place]]]:
    """Return the lightest and the darkest tone asked for, and those that a card is meant for, with their places."""
    exercise = bench.exercise
    aims, places = aims_of(bench, dials, negative)
    meant = card_places(exercise, negative) if "cards" in exercise.unlocked else ()
    single = [aim for aim in aims if len(aim.at) == 1]
    carded = [(aim, places[aim.at[0]]) for aim in single if places[aim.at[0]] in meant and aim.exact]
    plain = sorted((aim for aim in single if places[aim.at[0]] not in meant), key=lambda aim: aim.wanted)
    tones = [aim for aim in plain if aim.exact] or plain or [aim for aim, _ in carded]
    light = tones[0] if tones else None
    dark = plain[-1] if plain and plain[-1] is not light else None
    return light, dark, carded if plain else []


def darks_of(bench: LadderBench, dials: Dials, negative: Negative) -> tuple[Aim, ...]:
    """Return the dark tones that contrast is judged by: the darkest of all, then the darkest that must not be passed."""
    light, dark, _ = ends_of(bench, dials, negative)
    if dark is None:
        return ()
    meant = card_places(bench.exercise, negative) if "cards" in bench.exercise.unlocked else ()
    aims, places = aims_of(bench, dials, negative)
    tones = [aim for aim in aims if aim.exact and len(aim.at) == 1 and places[aim.at[0]] not in meant]
    exact = max(tones, key=lambda aim: aim.wanted, default=dark)
    return (dark,) if exact in (dark, light) else (dark, exact)


def aims_of(bench: LadderBench, dials: Dials, negative: Negative) -> tuple[tuple[Aim, ...], tuple[Place, ...]]:
    """Return the tones an exercise asks of a negative, and their places."""
    exercise = bench.exercise
    record = dials.record(negative, exercise.stock)
    judged = judge(exercise, bench.negatives, (record,), 0.0, lights=bench.lights, only_places=True)
    aims = tone_aims(exercise, judged, judged.judged_prints[0])
    return aims.aims, aims.places


def read_of(bench: LadderBench, dials: Dials, negative: Negative) -> FloatArray:
    """Return what a print with these settings reads at the places of ``aims_of``; NaN off the sheet."""
    stock = bench.exercise.stock
    _, places = aims_of(bench, dials, negative)
    record = dials.record(negative, stock)
    read = PlaceReadings(negative, record, stock, bench.lights, places)
    return np.array([read.spot(place) if on_sheet(negative, record, place) else np.nan for place in places])


def on_strip(bench: LadderBench, dials: Dials, negative: Negative, aim: Aim, steps: FloatArray) -> float:
    """Return the stops at which a tone comes out as wanted, read between the steps of a strip on its place."""
    stock = bench.exercise.stock
    _, places = aims_of(bench, dials, negative)
    record = dials.record(negative, stock)
    model = PlaceModel(negative, record, stock, (places[aim.at[0]],), bench.lights, tones=STRIP_TONES)
    read = [float(model.readings(Change(np.full(len(model.rays), stops)))[0]) for stops in steps]
    return float(np.interp(aim.wanted, np.maximum.accumulate(read) + 1e-9 * np.arange(len(read)), steps))
