"""The tones that an exercise asks of one print, as numbers: aims at places, and what readings of them are worth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.negative.negative import Place
from sim.quantities import FloatArray
from sim.scoring.criterion_kinds import EXACT_TONE_KINDS, KINDS
from sim.scoring.criterion_measures import aim_density
from sim.scoring.exercise import Criterion, Exercise
from sim.scoring.judged import Judged, JudgedPrint
from sim.scoring.points import alike_tolerance, share_for_miss


@dataclass(frozen=True)
class Aim:
    """One tone, or the distance of two, that should read something: places by index, one-sided or not, what it is worth."""

    kind: str
    at: tuple[int, ...]
    wanted: float
    tolerance: float
    points: float
    criterion: str
    hidden: bool = False
    matches: bool = False

    @property
    def exact(self) -> bool:
        """Tell whether neither side of it is as good as met."""
        return KINDS[self.kind].side == "both"

    def off(self, readings: FloatArray) -> float:
        """Return how far readings are off, as far as the kind minds: + too dark."""
        value = readings[self.at[0]] if len(self.at) == 1 else readings[self.at[1]] - readings[self.at[0]]
        return KINDS[self.kind].kept_off(float(value) - self.wanted)


@dataclass(frozen=True)
class ToneAims:
    """All aims of one print and the places they are read at."""

    places: tuple[Place, ...]
    aims: tuple[Aim, ...]

    @property
    def full_points(self) -> float:
        """Points that the tones are worth."""
        return sum(aim.points for aim in self.aims)

    def points(self, readings: FloatArray) -> float:
        """Return the points that readings would earn; of a match the furthest place counts."""
        groups: dict[str, list[float]] = {}
        for aim in self.aims:
            groups.setdefault(aim.criterion, []).append(share_for_miss(aim.off(readings), aim.tolerance))
        worth: dict[str, float] = {}
        for aim in self.aims:
            worth[aim.criterion] = worth.get(aim.criterion, 0.0) + aim.points
        return sum(worth[name] * min(shares) for name, shares in groups.items())

    def misses(self, readings: FloatArray) -> FloatArray:
        """Return every miss in tolerances, weighed by the root of its points, for least squares."""
        return np.array([np.sqrt(aim.points) * aim.off(readings) / aim.tolerance for aim in self.aims])


def tone_aims(exercise: Exercise, judged: Judged, one: JudgedPrint) -> ToneAims:
    """Return what an exercise asks of the tones of one print."""
    negative = judged.negatives[one.negative]
    places: list[Place] = []
    aims: list[Aim] = []

    def index_of(criterion: Criterion, k: int) -> int:
        place = criterion.spots[k].on(negative)
        if place not in places:
            places.append(place)
        return places.index(place)

    for c in exercise.criteria:
        if not (c.counts and c.belongs_to(one.negative)):
            continue
        if c.of_kind.tones == "one":
            aims.append(
                Aim(c.kind, (index_of(c, 0),), aim_density(c, judged), c.tolerance, c.points, c.name, c.hidden)
            )
        elif c.of_kind.tones == "apart":
            at = (index_of(c, 0), index_of(c, 1))
            aims.append(Aim(c.kind, at, c.wanted, c.tolerance, c.points, c.name, c.hidden))
        elif c.of_kind.tones == "match":
            share = c.points / len(c.spots)
            for k, wanted in enumerate(_to_match(c, exercise, judged, one)):
                tolerance = alike_tolerance(wanted, c.tolerance) / c.of_kind.series_factor
                aims.append(Aim(c.kind, (index_of(c, k),), wanted, tolerance, share, c.name, c.hidden, True))
    return ToneAims(tuple(places), tuple(aims))


def _to_match(criterion: Criterion, exercise: Exercise, judged: Judged, one: JudgedPrint) -> tuple[float, ...]:
    """Return what to match at each place. In a series: the tone asked for there, else what the best print reads."""
    if not criterion.of_kind.series:
        return judged.matched_densities(criterion, one.negative)
    best = max(judged.judged_prints, key=lambda other: _own_points(exercise, judged, other))
    negative, wanted = judged.negatives[one.negative], []
    tones = [c for c in exercise.criteria if c.kind in EXACT_TONE_KINDS and c.belongs_to(one.negative)]
    for spot in criterion.spots:
        asked = [c.wanted for c in tones if c.spots[0].on(negative) == spot.on(negative)]
        wanted.append(asked[0] if asked else best.readings.spot(spot.on(judged.negatives[best.negative])))
    return tuple(wanted)


def _own_points(exercise: Exercise, judged: Judged, one: JudgedPrint) -> float:
    """Return the points of a print's own tones, the others of the series left out."""
    negative = judged.negatives[one.negative]
    points = 0.0
    for c in exercise.criteria:
        if c.of_kind.tones == "one" and c.belongs_to(one.negative):
            off = c.of_kind.kept_off(one.readings.spot(c.spots[0].on(negative)) - aim_density(c, judged))
            points += c.points * share_for_miss(off, c.tolerance)
    return points
