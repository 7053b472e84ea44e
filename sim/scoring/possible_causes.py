"""What could be put right about a print's tones with the controls that are unlocked: each a number to be solved for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from sim.negative.negative import Negative, Place
from sim.printing.exposure import LightCache
from sim.printing.flash import through_negative
from sim.printing.place_model import PlaceModel
from sim.quantities import FloatArray
from sim.scoring.burn_stops import main_exposures
from sim.scoring.exercise import Exercise
from sim.scoring.flash_known import MOST_FLASH, Flashed
from sim.scoring.hand_faults import card_lies_at, held_cards
from sim.scoring.points import LEAST_DEVELOPED, MOST_DEVELOPED
from sim.scoring.start import CARD_AREA, card_places
from sim.scoring.under_a_card import shares_of_a_usual_card, shares_of_cards

MOST_STOPS, MOST_LOCAL_STOPS = 6.0, 2.5
SPLIT_GRADES = 0.75  # main exposures further apart than that are a soft and a hard one, each with its own light
LEAST_WORK = 0.01  # of the light: a card that does less does nothing, and none leaves less (chosen)
SHADED, BURNT = 0.98, 0.1  # share of the time lit below (above) which a card works at a place in a main exposure (a burn)


@dataclass(frozen=True)
class Cause:
    """One number to be solved for. ``rays`` are the exposures it acts on, ``place`` the index of the place it acts at.

    ``reached`` are the places without a card of their own that the card at ``place`` works at too.
    ``shares`` say how much of a card's work at its place arrives at every other (none: nothing does).
    """

    kind: str
    rays: tuple[int, ...] = ()
    place: int | None = None
    low: float = -MOST_STOPS
    high: float = MOST_STOPS
    which: str = ""
    reached: tuple[int, ...] = ()
    shares: tuple[float, ...] = ()

    @property
    def only_undoes(self) -> bool:
        """Tell whether it takes away what another place's card does here, and can do no more than that."""
        return self.kind == "local" and self.low * self.high == 0.0


def possible_causes(
    exercise: Exercise, negative: Negative, model: PlaceModel, places: tuple[Place, ...], progress: float,
    lights: LightCache, flashed: Flashed | None = None,
) -> Iterator[Cause]:  # fmt: skip
    """Yield what the unlocked controls can put right. ``progress`` is the share of complete development reached.

    With a soft and a hard exposure each has its own light and contrast is no third number: their ratio is the contrast.
    """
    unlocked = set(exercise.unlocked)
    mains = main_exposures(model.record) or (0,)
    grades = {k: model.grade_of(k) for k in through_negative(model.record)}
    split = len(mains) > 1 and max(grades[k] for k in mains) - min(grades[k] for k in mains) > SPLIT_GRADES
    if unlocked & {"time_s", "f_number", "exposures"}:
        yield from soft_and_hard(grades) if split else (Cause("exposure", tuple(grades)),)
    if "filter" in unlocked and not split and model.stock.is_variable_contrast:
        low, high = model.room_for_grades()
        yield Cause("contrast", tuple(grades), low=min(low, 0.0), high=max(high, 0.0))
    if unlocked & {"development_time_s", "temperature_c"} and not LEAST_DEVELOPED <= progress <= MOST_DEVELOPED:
        yield Cause("development", low=1.0 - progress, high=1.0 - progress)
    if flashed is not None:
        yield Cause("flash", flashed.rays, low=-flashed.share, high=MOST_FLASH)
    if "cards" in unlocked:
        if split:
            yield from _local_in_halves(exercise, negative, model, places, lights)
        else:
            yield from _local_causes(exercise, negative, model, places)


def _local_causes(exercise: Exercise, negative: Negative, model: PlaceModel, places: tuple[Place, ...]) -> Iterator[Cause]:
    """Yield light for single places: where a card is meant or lies; where one only reaches over, no more than its undoing.

    What lies within a place that a card is meant for is covered on purpose: there is nothing to undo.
    """
    cards = card_places(exercise, negative)
    meant = {place.name for place in cards}
    held = held_cards(negative, model.record)
    every = through_negative(model.record)
    worked = [carded_rays(model, index) for index in range(len(places))]
    own = [p.name in meant or (any(card_lies_at(p, one) for one in held) and not covered(p, cards)) for p in places]
    for index, rays in enumerate(worked):
        if own[index]:
            reached = tuple(k for k, others in enumerate(worked) if not own[k] and set(others) & set(rays))
            yield Cause("local", rays or every, index, -MOST_LOCAL_STOPS, MOST_LOCAL_STOPS, reached=reached)
        elif rays and not covered(places[index], cards):
            undone = -work_at(model, index, rays)
            yield Cause("local", rays, index, min(undone, 0.0), max(undone, 0.0))


def covered(place: Place, cards: Iterable[Place]) -> bool:
    """Tell whether a place lies within another that a card is meant for, so that the card covers it on purpose."""
    for card in cards:
        width, height = card.area or CARD_AREA
        if card.name != place.name and np.hypot((place.x - card.x) / (0.5 * width), (place.y - card.y) / (0.5 * height)) <= 1.0:
            return True
    return False


def reached_stops(model: PlaceModel, cause: Cause, index: int, size: float) -> FloatArray:
    """Return the stops that a reached place gets, pixel by pixel, when the card at its own place gives that ``size`` stops.

    A card held longer does more of what it does, wherever it is: its light, or the light it takes, grows in one proportion.
    """
    assert cause.place is not None
    rays, mains = [model.rays[k] for k in cause.rays], main_exposures(model.record)
    given = np.sum([ray.seconds * ray.lit for ray in rays], axis=0)
    bare = sum(model.rays[k].seconds for k in cause.rays if k in mains)
    own, there = float(model.points.averages(given)[cause.place]), given[model.points.group(index)]
    if abs(own - bare) < LEAST_WORK * max(own, bare):  # no card yet, and nobody knows how large one will be cut
        return np.zeros_like(there)
    times = (own * 2.0**size - bare) / (own - bare)
    return np.asarray(np.log2(np.maximum(bare + times * (there - bare), LEAST_WORK * there) / there))


def _local_in_halves(
    exercise: Exercise, negative: Negative, model: PlaceModel, places: tuple[Place, ...], lights: LightCache
) -> Iterator[Cause]:
    """Yield light for single places of a soft and a hard exposure: a card in either half, and all that lies under it.

    A card that lies where one is meant is that place's own, however near it comes to others.
    """
    meant = {place.name: place for place in card_places(exercise, negative)}
    held = held_cards(negative, model.record)
    strays = [one for one in held if not any(card_lies_at(place, one) for place in meant.values())]
    halves = soft_and_hard({k: model.grade_of(k) for k in through_negative(model.record)})
    for index, place in enumerate(places):
        rays = carded_rays(model, index)
        if place.name in meant and not rays:
            shares = shares_of_a_usual_card(negative, model, place, places, lights)
            for half in halves:
                yield Cause("local", half.rays, index, -MOST_LOCAL_STOPS, MOST_LOCAL_STOPS, shares=shares)
        elif place.name in meant or any(card_lies_at(place, one) for one in strays):
            every = rays or through_negative(model.record)
            yield Cause("local", every, index, -MOST_LOCAL_STOPS, MOST_LOCAL_STOPS, shares=shares_of_cards(model, index, every))
        elif rays and not covered(place, meant.values()):
            undone = -work_at(model, index, rays)
            yield Cause("local", rays, index, min(undone, 0.0), max(undone, 0.0))


def soft_and_hard(grades: Mapping[int, float]) -> tuple[Cause, Cause]:
    """Return the light of the soft exposures and that of the hard ones, told apart in the middle of their grades."""
    middle = 0.5 * (max(grades.values()) + min(grades.values()))
    soft = tuple(k for k in grades if grades[k] < middle)
    return Cause("exposure", soft, which="soft"), Cause("exposure", tuple(k for k in grades if k not in soft), which="hard")


def work_at(model: PlaceModel, index: int, rays: tuple[int, ...]) -> float:
    """Return what cards do to a place in stops of the exposures they work in: + more light, - less."""
    mains = main_exposures(model.record)
    given = sum(model.rays[k].seconds * float(model.points.averages(model.rays[k].lit)[index]) for k in rays)
    bare = sum(model.rays[k].seconds for k in rays if k in mains)
    return float(np.clip(np.log2(given / bare), -MOST_STOPS, MOST_STOPS)) if given > 0.0 and bare > 0.0 else 0.0


def carded_rays(model: PlaceModel, index: int) -> tuple[int, ...]:
    """Return the exposures that a card at a place works in: its own, and those of the same filter it adds to."""
    mains, worked = main_exposures(model.record), []
    for k, ray in enumerate(model.rays):
        lit = float(model.points.averages(ray.lit)[index])
        if ray.exposure.cards and (lit < SHADED if k in mains else lit > BURNT):
            worked.append(ray.exposure.filter)
    return tuple(k for k, ray in enumerate(model.rays) if ray.exposure.filter in worked)
