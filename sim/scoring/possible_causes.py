"""What could be put right about a print's tones with the controls that are unlocked: each a number to be solved for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from sim.negative.negative import Negative, Place
from sim.printing.place_model import PlaceModel
from sim.scoring.burns_and_tools import main_exposures
from sim.scoring.exercise import Exercise
from sim.scoring.hand_faults import card_lies_at, held_cards
from sim.scoring.start import card_places

MOST_STOPS, MOST_LOCAL_STOPS = 6.0, 2.5
COMPLETED = (0.97, 2.0)  # development between these shares of completion is left alone
SPLIT_GRADES = 0.75  # main exposures further apart than that are a soft and a hard one, each with its own light
SHADED, BURNT = 0.98, 0.1  # share of the time lit below (above) which a card works at a place in a main exposure (a burn)


@dataclass(frozen=True)
class Cause:
    """One number to be solved for. ``rays`` are the exposures it acts on, ``place`` the index of the place it acts at."""

    kind: str
    rays: tuple[int, ...] = ()
    place: int | None = None
    low: float = -MOST_STOPS
    high: float = MOST_STOPS
    which: str = ""


def possible_causes(
    exercise: Exercise, negative: Negative, model: PlaceModel, places: tuple[Place, ...], progress: float
) -> Iterator[Cause]:
    """Yield what the unlocked controls can put right. ``progress`` is the share of complete development reached.

    With a soft and a hard exposure each has its own light and contrast is no third number: their ratio is the contrast.
    """
    unlocked = set(exercise.unlocked)
    mains = main_exposures(model.record) or (0,)
    grades = {k: model.grade_of(k) for k in range(len(model.rays))}
    split = len(mains) > 1 and max(grades[k] for k in mains) - min(grades[k] for k in mains) > SPLIT_GRADES
    if unlocked & {"time_s", "f_number", "exposures"}:
        yield from soft_and_hard(grades) if split else (Cause("exposure", tuple(grades)),)
    if "filter" in unlocked and not split and model.stock.is_variable_contrast:
        low, high = model.room_for_grades()
        yield Cause("contrast", tuple(grades), low=min(low, 0.0), high=max(high, 0.0))
    if unlocked & {"development_time_s", "temperature_c"} and not COMPLETED[0] <= progress <= COMPLETED[1]:
        yield Cause("development", low=1.0 - progress, high=1.0 - progress)
    if "cards" in unlocked:
        yield from _local_causes(exercise, negative, model, places)


def _local_causes(exercise: Exercise, negative: Negative, model: PlaceModel, places: tuple[Place, ...]) -> Iterator[Cause]:
    """Yield light for single places: where a card is meant or lies; where one only reaches over, no more than its undoing."""
    meant = {place.name for place in card_places(exercise, negative)}
    held = held_cards(negative, model.record)
    every = tuple(range(len(model.rays)))
    for index, place in enumerate(places):
        rays = carded_rays(model, index)
        own = place.name in meant or any(card_lies_at(place, one) for one in held)
        if own:
            yield Cause("local", rays or every, index, -MOST_LOCAL_STOPS, MOST_LOCAL_STOPS)
        elif rays:
            undone = -work_at(model, index, rays)
            yield Cause("local", rays, index, min(undone, 0.0), max(undone, 0.0))


def soft_and_hard(grades: Mapping[int, float]) -> tuple[Cause, Cause]:
    """Return the light of the soft exposures and that of the hard ones, told apart in the middle of their grades."""
    middle = 0.5 * (max(grades.values()) + min(grades.values()))
    soft = tuple(k for k in grades if grades[k] < middle)
    return Cause("exposure", soft, which="soft"), Cause("exposure", tuple(k for k in grades if k not in soft), which="hard")


def work_at(model: PlaceModel, index: int, rays: tuple[int, ...]) -> float:
    """Return what cards do to a place in stops of the exposures they work in: + more light, - less."""
    inside, mains = model.points.group(index), main_exposures(model.record)
    given = sum(model.rays[k].seconds * float(model.rays[k].lit[inside].mean()) for k in rays)
    bare = sum(model.rays[k].seconds for k in rays if k in mains)
    return float(np.clip(np.log2(given / bare), -MOST_STOPS, MOST_STOPS)) if given > 0.0 and bare > 0.0 else 0.0


def carded_rays(model: PlaceModel, index: int) -> tuple[int, ...]:
    """Return the exposures that a card at a place works in: its own, and those of the same filter it adds to."""
    inside = model.points.group(index)
    mains, worked = main_exposures(model.record), []
    for k, ray in enumerate(model.rays):
        lit = float(ray.lit[inside].mean())
        if ray.exposure.cards and (lit < SHADED if k in mains else lit > BURNT):
            worked.append(ray.exposure.filter)
    return tuple(k for k, ray in enumerate(model.rays) if ray.exposure.filter in worked)
