"""A small negative of even patches and exercises on it, quick enough for hundreds of prints."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from sim.enlarger.filters import FilterSetting
from sim.negative.negative import Negative, Place
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.record import Card, PrintingRecord, Still
from sim.scoring.exercise import Criterion, Exercise, Spot, Start
from sim.scoring.judged import Judged, judge
from sim.scoring.start import record_of_start

COLS, ROWS, PATCH = 3, 2, 40
NAMES = tuple(f"patch-{k + 1}" for k in range(ROWS * COLS))
PLACES = tuple(
    Place(name, (k % COLS + 0.5) / COLS, (k // COLS + 0.5) / ROWS, 8.0, area=(0.9 / COLS, 0.9 / ROWS))
    for k, name in enumerate(NAMES)
)
SILVER = (1.35, 1.15, 0.95, 0.75, 0.55, 0.35)  # lightest on the print first
START = Start(time_s=8.0, f_number=8.0, filter="2", width_mm=160.0, height_mm=120.0, border_mm=4.0)
PAPER = "glossy-rc-vc"
LIGHTS = LightCache(most=16)


def patches(name: str = "patches", shift: float = 0.0) -> Negative:
    """Return a negative of six even patches, two rows of three."""
    silver = np.kron(np.reshape(SILVER, (ROWS, COLS)) + shift, np.ones((PATCH, PATCH))).astype(np.float32)
    return Negative(name, silver, 0.25, (56.25, 37.5), places=PLACES)


FILM = patches()


def record(film: Negative = FILM, **changes: Any) -> PrintingRecord:
    """Return the record of the start with changes to it."""
    return record_of_start(replace(START, **changes), film, find_stock(PAPER))


def criterion(kind: str, *places: str, **keys: Any) -> Criterion:
    """Return a criterion at named places."""
    name = keys.pop("name", f"{kind}-{'-'.join(places)}")
    return Criterion(name, kind, tuple(Spot(place) for place in places), **{"points": 4.0, **keys})  # type: ignore[arg-type]


def exercise(*criteria: Criterion, unlocked: tuple[str, ...] = ("time_s", "filter"), **keys: Any) -> Exercise:
    """Return an exercise on the patches."""
    return Exercise("small", "Small", "small", ("patches",), PAPER, unlocked, criteria, start=START, **keys)


def judged(task: Exercise, *records: PrintingRecord, films: tuple[Negative, ...] = (FILM,), used: float = 1.0) -> Judged:
    """Return records judged."""
    return judge(task, films, records, used, lights=LIGHTS, only_places=True)


def as_printed(answer: PrintingRecord, *places: str, film: Negative = FILM, tolerance: float = 0.03) -> tuple[Criterion, ...]:
    """Return tone criteria that a record meets exactly."""
    read = judged(exercise(criterion("tone", places[0])), answer, films=(film,)).judged_prints[0].readings
    return tuple(
        criterion("tone", name, wanted=read.spot(film.place(name)), tolerance=tolerance) for name in places
    )


def behind(answer: PrintingRecord, name: str) -> PrintingRecord:
    """Return the record with all exposures behind another filter."""
    return answer.with_exposures(*(replace(e, filter=FilterSetting(name)) for e in answer.exposures))


def held_still(answer: PrintingRecord) -> PrintingRecord:
    """Return the record with every circling or sweeping card held still where it was."""
    def still(card: Card) -> Card:
        return replace(card, motion=Still(card.motion.x_mm, card.motion.y_mm))  # type: ignore[union-attr]

    return answer.with_exposures(*(replace(e, cards=tuple(map(still, e.cards))) for e in answer.exposures))
