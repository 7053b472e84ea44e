"""Why a goal cannot be reached: which tone, which limit, and by how much. ``sim/notebook/limit_words.py`` says it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import log2
from typing import Literal

from sim.paper.response import Response

ALIKE_STOPS = 0.75  # places this far apart in light cannot be printed to one tone by any single filter


@dataclass(frozen=True)
class Binds:
    """What stops a tone, with the numbers that belong to it.

    ``other`` is the place it is at odds with; ``exposure`` counts from 1; ranges are densities apart.
    """

    what: Literal[
        "paper-black", "paper-white", "card", "wanted-lighter", "wanted-darker", "wanted-alike", "shortest-time",
        "longest-time", "curve", "range-too-long", "range-too-short",
    ]  # fmt: skip
    other: str = ""
    density: float = 0.0
    stops: float = 0.0
    exposure: int = 0
    seconds: float = 0.0
    filters: tuple[str, ...] = ()
    reached_range: float = 0.0
    wanted_range: float = 0.0


@dataclass(frozen=True)
class Limit:
    """One tone that falls short: how far (density, + too dark) and what binds."""

    place: str
    wanted: float
    reached: float
    binds: Binds

    @property
    def miss_density(self) -> float:
        """Reached minus wanted."""
        return self.reached - self.wanted


def binding_limits(
    goals: Sequence[tuple[str, float]], reached: Sequence[float], misses_lightness: Sequence[float],
    light: Sequence[float], response: Response, filters: Sequence[str], at_time: Sequence[Binds],
    at_card: Mapping[str, Binds], tolerance_lightness: float,
) -> tuple[Limit, ...]:  # fmt: skip
    """Return the limits of goals not met, worst first. ``light`` is the relative light at each goal's place."""
    found = []
    for index, ((place, wanted), got) in enumerate(zip(goals, reached, strict=True)):
        if abs(misses_lightness[index]) <= tolerance_lightness:
            continue
        why = (
            _beyond_paper(wanted, response)
            or at_card.get(place)
            or _out_of_order(index, goals, light, at_card)
            or (at_time[0] if at_time else None)
            or _contrast(index, goals, reached, light, filters)
        )
        found.append((abs(misses_lightness[index]), Limit(place, wanted, got, why)))
    return tuple(limit for _, limit in sorted(found, key=lambda item: -item[0]))


def _beyond_paper(wanted: float, response: Response) -> Binds | None:
    if wanted > response.black - 0.005:
        return Binds("paper-black", density=response.black)
    if wanted < response.base_plus_fog:
        return Binds("paper-white", density=response.base_plus_fog)
    return None


def _out_of_order(
    index: int, goals: Sequence[tuple[str, float]], light: Sequence[float], at_card: Mapping[str, Binds]
) -> Binds | None:
    """A place that gets more light cannot print lighter without a card, nor with one that can do no more."""
    odds = _against_its_light(index, goals, light)
    if odds is None:
        return None
    return replace(at_card[odds.other], other=odds.other) if odds.other in at_card else odds


def _against_its_light(index: int, goals: Sequence[tuple[str, float]], light: Sequence[float]) -> Binds | None:
    """Return the other place that a tone is at odds with, and how; only a card can put that right."""
    _, wanted = goals[index]
    for other, (name, density) in enumerate(goals):
        if light[other] > light[index] * 1.03 and density < wanted - 0.02:
            return Binds("wanted-lighter", name)
        if light[other] < light[index] / 1.03 and density > wanted + 0.02:
            return Binds("wanted-darker", name)
    for other, (name, density) in enumerate(goals):
        stops = log2(light[other] / light[index])
        if abs(density - wanted) < 0.08 and abs(stops) > ALIKE_STOPS:
            return Binds("wanted-alike", name, stops=stops)
    return None


def _contrast(
    index: int, goals: Sequence[tuple[str, float]], reached: Sequence[float], light: Sequence[float],
    filters: Sequence[str],
) -> Binds:  # fmt: skip
    """Compare the wanted and the reached range of the tones furthest apart."""
    order = sorted(range(len(goals)), key=lambda k: goals[k][1])
    low, high = order[0], order[-1]
    wanted_range = goals[high][1] - goals[low][1]
    reached_range = reached[high] - reached[low]
    middle_off = max(abs(reached[k] - goals[k][1]) for k in order)
    what: Literal["curve", "range-too-long", "range-too-short"] = "curve"
    if abs(reached_range - wanted_range) >= 0.3 * middle_off:
        what = "range-too-long" if reached_range > wanted_range else "range-too-short"
    return Binds(what, filters=tuple(filters), reached_range=reached_range, wanted_range=wanted_range)
