"""Target tones: what a print should read where, how far off still counts, and how many points it is worth."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, model_validator

from sim.negative.negative import Negative, NoSuchPlace, Place
from sim.paper.response import Response
from sim.paper.sensitometry import SHARE_IDMAX
from sim.reading import OutsideFile, OutsideTable, Problem, ValueRefused, read_toml
from sim.scoring.criterion_kinds import KINDS, TONE_KINDS
from sim.scoring.exercise import Spot
from sim.scoring.points import eye_tolerance

LIGHTEST_NET_DENSITY = 0.07  # middle of 0.04-0.10: the lightest place that must keep texture
DARKEST_SHARE = SHARE_IDMAX


@dataclass(frozen=True)
class Goal:
    """A place and the density it should print to."""

    place: Place
    density: float


@dataclass(frozen=True)
class ToneTarget(Goal):
    """A goal that is marked: a place that should print to a density (``kind`` tone), or at least/at most so dark."""

    tolerance_density: float
    points: float = 1.0
    kind: str = TONE_KINDS[0]

    def miss(self, measured: float) -> float:
        """Return how far a reading is off, in densities: + too dark, - too light, 0 within what the kind allows."""
        return KINDS[self.kind].kept_off(measured - self.density)


def aim_densities(response: Response) -> tuple[float, float]:
    """Return the densities that the lightest and the darkest textured place should have on a paper."""
    base, net = response.base_plus_fog, response.black - response.base_plus_fog
    return base + LIGHTEST_NET_DENSITY, base + DARKEST_SHARE * net


def aim_tones(negative: Negative, response: Response) -> tuple[ToneTarget, ...]:
    """Return the aim of a straight print by one rule for all negatives.

    Lightest textured place net 0.07 (within 0.04-0.10), darkest textured place 0.9 of net Dmax; places that may go white or
    black have no aim. Source of the two ends: the standard's IDmin and IDmax (ISO 6846).
    """
    ends = dict(zip(("lightest", "darkest"), aim_densities(response), strict=True))
    aims = []
    for place in negative.places:
        if place.part not in ends:
            continue
        density = ends[place.part]
        aims.append(ToneTarget(place, density, max(eye_tolerance(density, 2.0), 0.02)))
    return tuple(aims)


class _TargetEntry(OutsideTable):
    """A target as it is written: its place by name, or with a point of its own; the negative turns it into a place."""

    place: Annotated[str, Field(max_length=48)]
    x: Annotated[float, Field(ge=0.0, le=1.0)] | None = None
    y: Annotated[float, Field(ge=0.0, le=1.0)] | None = None
    spot_mm: Annotated[float, Field(ge=0.2, le=50.0)] = 3.0
    density: Annotated[float, Field(ge=0.0, le=3.0)]
    tolerance_density: Annotated[float, Field(gt=0.0, le=1.0)] | None = None
    points: Annotated[float, Field(gt=0.0, le=1000.0)] = 1.0
    kind: Literal[TONE_KINDS] = TONE_KINDS[0]  # type: ignore[valid-type]

    @model_validator(mode="after")
    def _both_or_neither(self) -> _TargetEntry:
        self.spot()
        return self

    def spot(self) -> Spot:
        """Return where it is read. Raises Refused for half a point."""
        return Spot(self.place, self.x, self.y, self.spot_mm)


class _TargetsFile(OutsideFile):
    target: Annotated[list[_TargetEntry], Field(min_length=1, max_length=60)]


def read_targets(file: Path, negative: Negative) -> tuple[ToneTarget, ...]:
    """Return the target tones of a TOML file; places without x and y are the negative's own. Raises OutsideError."""
    targets = []
    for index, entry in enumerate(read_toml(file, _TargetsFile).target):
        try:
            place = entry.spot().on(negative)
        except NoSuchPlace as error:
            raise ValueRefused(file, [Problem(f"target[{index}].place", str(error.args[0]), "")]) from None
        tolerance = entry.tolerance_density or eye_tolerance(entry.density)
        targets.append(ToneTarget(place, entry.density, tolerance, entry.points, entry.kind))
    return tuple(targets)
