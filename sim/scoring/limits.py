"""Why a goal cannot be reached, in words: which tone, which limit, and by how much."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import log2

from sim.paper.response import Response
from sim.viewing.plain_names import plain_name

ALIKE_STOPS = 0.75  # places this far apart in light cannot be printed to one tone by any single filter


@dataclass(frozen=True)
class Limit:
    """One tone that falls short: how far (density, + too dark) and what binds."""

    place: str
    wanted: float
    reached: float
    binds: str

    @property
    def miss_density(self) -> float:
        """Reached minus wanted."""
        return self.reached - self.wanted

    def in_words(self) -> str:
        """Return the limit as a sentence."""
        side = "dark" if self.miss_density > 0 else "light"
        return (
            f"{plain_name(self.place)} comes out {abs(self.miss_density):.2f} too {side} "
            f"({self.reached:.2f} instead of {self.wanted:.2f}): {self.binds}"
        )


def binding_limits(
    goals: Sequence[tuple[str, float]], reached: Sequence[float], misses_lightness: Sequence[float],
    light: Sequence[float], response: Response, filters: Sequence[str], at_time: Sequence[str],
    at_card: Mapping[str, str], tolerance_lightness: float,
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


def _beyond_paper(wanted: float, response: Response) -> str | None:
    if wanted > response.black - 0.005:
        return f"the paper's black is {response.black:.2f}"
    if wanted < response.base_plus_fog:
        return f"the paper's white is {response.base_plus_fog:.2f}"
    return None


def _out_of_order(
    index: int, goals: Sequence[tuple[str, float]], light: Sequence[float], at_card: Mapping[str, str]
) -> str | None:
    """A place that gets more light cannot print lighter without a card, nor with one that can do no more."""
    words = _against_its_light(index, goals, light)
    if words is None:
        return None
    other, why = words
    return f"{other} is at {at_card[other]}" if other in at_card else why


def _against_its_light(
    index: int, goals: Sequence[tuple[str, float]], light: Sequence[float]
) -> tuple[str, str] | None:
    """Return the other place that a tone is at odds with, and the sentence that says so."""
    _, wanted = goals[index]
    for other, (name, density) in enumerate(goals):
        if light[other] > light[index] * 1.03 and density < wanted - 0.02:
            return name, f"{name} gets more light through the negative and is wanted lighter; only a card can do that"
        if light[other] < light[index] / 1.03 and density > wanted + 0.02:
            return name, f"{name} gets less light through the negative and is wanted darker; only a card can do that"
    for other, (name, density) in enumerate(goals):
        stops = log2(light[other] / light[index])
        if abs(density - wanted) < 0.08 and abs(stops) > ALIKE_STOPS:
            side = "more" if stops > 0 else "less"
            words = f"{name} gets {abs(stops):.1f} stops {side} light and is wanted alike; only a card can do that"
            return name, words
    return None


def _contrast(
    index: int, goals: Sequence[tuple[str, float]], reached: Sequence[float], light: Sequence[float],
    filters: Sequence[str],
) -> str:  # fmt: skip
    """Compare the wanted and the reached range of the tones furthest apart."""
    order = sorted(range(len(goals)), key=lambda k: goals[k][1])
    low, high = order[0], order[-1]
    wanted_range = goals[high][1] - goals[low][1]
    reached_range = reached[high] - reached[low]
    filter_words = " and ".join(f"filter {name}" for name in filters)
    middle_off = max(abs(reached[k] - goals[k][1]) for k in order)
    if abs(reached_range - wanted_range) < 0.3 * middle_off:
        return f"{filter_words} cannot bend the tones between the ends; only a card can"
    if reached_range > wanted_range:
        return f"the negative's range is too long: {filter_words} prints {reached_range:.2f} where {wanted_range:.2f} is wanted"
    return f"the negative's range is too short: {filter_words} prints {reached_range:.2f} where {wanted_range:.2f} is wanted"
