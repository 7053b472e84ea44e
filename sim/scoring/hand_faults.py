"""What a hand did with a card otherwise than is usual: another place, another exposure, a size, a height, at rest.

A card is compared with the usual one for the place it is meant for: as large as the place, a hand's breadth up, kept turning.
Each difference comes with the record in which only that is as usual; whether it matters is for the print to say, not for this
list (``advice_of_hands.py`` asks it).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from sim.enlarger.settings import set_up
from sim.negative.negative import Negative, Place
from sim.printing.card_work import USUAL_AMPLITUDE_SHARE, USUAL_HEIGHT_MM, turning
from sim.printing.cards import path_mm
from sim.printing.make_print import frame_on_sheet
from sim.printing.record import Card, Exposure, PrintingRecord
from sim.quantities import burn_time_s, factor_to_stops
from sim.scoring.burn_stops import is_burn, main_exposures
from sim.scoring.exercise import Exercise
from sim.scoring.start import CARD_AREA, card_places, carded

TOO_LARGE, TOO_SMALL = 1.25, 0.8  # times as wide as the usual card: nearer than that is a printer's choice (chosen)
TOO_HIGH_MM, TOO_NEAR_MM = 200.0, 50.0  # half as high again as a hand's breadth and more; so near that its edge is sharp
AT_REST = 0.25  # of the usual way: a hand that trembles is no hand that moves
OVER_ITS_PLACE = 0.5  # of the place's own reach: further out a card lies beside the place
NEAR_A_PLACE = 0.15  # of the frame: so near a named place a card is said to be over it
NEAR_ITS_PLACE = 0.12  # of the frame, across and down together: a card so near a place is meant for it


@dataclass(frozen=True)
class HandFault:
    """One thing that is not as usual about a card, and the record were it so.

    ``direction``: move, other-exposure, smaller, larger, lower, higher, moving. ``place`` is where the card is meant for,
    ``over`` where it lay; ``through_hole`` tells a hole from a tool. ``amount`` is how many times as wide as is usual (size),
    or how many mm above the paper (height).
    """

    direction: str
    place: str
    record: PrintingRecord
    card: tuple[int, int]
    over: str = ""
    through_hole: bool = False
    amount: float = 0.0
    filter_grade: str = ""


@dataclass(frozen=True)
class HeldCard:
    """A card of a record: where it stands in it, and where its shadow's middle lay (fractions of the frame)."""

    at: tuple[int, int]
    card: Card
    exposure: Exposure
    burns: bool
    x: float
    y: float
    wandered_mm: float
    frame_mm: tuple[float, float]

    @property
    def usual_way_mm(self) -> float:
        """How far from its middle a tool of that size usually turns."""
        return USUAL_AMPLITUDE_SHARE * min(self.card.width_mm, self.card.length_mm)


def held_cards(negative: Negative, record: PrintingRecord) -> tuple[HeldCard, ...]:
    """Return the cards of a record with the middle of their way; cards of whole strips are none."""
    if record.sheet.kind != "sheet":
        return ()
    left, top, width, height = frame_on_sheet(negative, record)
    found = []
    for k, exposure in enumerate(record.exposures):
        for i, card in enumerate(exposure.cards):
            way = path_mm(card, card.start_s, card.stop_s or exposure.time_s)
            x, y = float(way.x_mm @ way.share), float(way.y_mm @ way.share)
            wandered = float(np.sqrt(((way.x_mm - x) ** 2 + (way.y_mm - y) ** 2) @ way.share))
            at = ((x - left) / width, (y - top) / height)
            found.append(HeldCard((k, i), card, exposure, is_burn(exposure, k), *at, wandered, (width, height)))
    return tuple(found)


def hand_faults(exercise: Exercise, negative: Negative, record: PrintingRecord) -> Iterator[HandFault]:
    """Yield what is not as usual about the cards of a record, place before exposure, height and rest before size."""
    held = held_cards(negative, record)
    meant = card_places(exercise, negative)
    for one in held:
        if one.card.shape == "edge":
            continue
        free = [place for place in meant if all(_beside(place, other) > OVER_ITS_PLACE for other in held)]
        own = min((p for p in meant if p not in free), key=lambda p: _beside(p, one), default=None)
        if own is None or _beside(own, one) > 1.0:
            yield from (_moved(negative, record, one, place) for place in free)
        target = own or _nearest(negative, one)
        if target is None:
            continue
        yield from _other_exposures(record, one, target)
        yield from _of_the_hand(negative, record, one, target)


def card_lies_at(place: Place, one: HeldCard) -> bool:
    """Tell whether a card's middle lies so near a place that it is meant for it."""
    if one.card.shape == "edge":  # it covers all beyond its line
        angle, (width, height) = np.radians(one.card.angle_deg), one.frame_mm
        beyond = (place.x - one.x) * width * np.cos(angle) + (place.y - one.y) * height * np.sin(angle) > 0.0
        return bool(beyond) != one.burns
    reach = max(NEAR_ITS_PLACE, 0.3 * sum(place.area)) if place.area else NEAR_ITS_PLACE
    return abs(one.x - place.x) + abs(one.y - place.y) <= reach


def _beside(place: Place, one: HeldCard) -> float:
    """Return how far a card's middle lies from a place, 1 at the border of what belongs to the place."""
    width, height = place.area or CARD_AREA
    return float(np.hypot((one.x - place.x) / (0.5 * width), (one.y - place.y) / (0.5 * height)))


def _nearest(negative: Negative, one: HeldCard, within: float = 1.0) -> Place | None:
    """Return the named place nearest to a card's middle."""
    by_distance = sorted((float(np.hypot(one.x - p.x, one.y - p.y)), p.name, p) for p in negative.places)
    return by_distance[0][2] if by_distance and by_distance[0][0] <= within else None


def usual_card(negative: Negative, record: PrintingRecord, place: Place, burns: bool) -> Card:
    """Return the card that is usual for a place of this print: as large as the place, a hand's breadth up, turning."""
    bare = record.with_exposures(replace(record.exposures[0], cards=()))
    made = carded(negative, bare, place, 1.0 if burns else -1.0)
    return made.exposures[-1].cards[-1]


def with_its_card(record: PrintingRecord, at: tuple[int, int], change: Callable[[Card], Card]) -> PrintingRecord:
    """Return a record with one of its cards changed."""
    exposures = list(record.exposures)
    cards = list(exposures[at[0]].cards)
    cards[at[1]] = change(cards[at[1]])
    exposures[at[0]] = replace(exposures[at[0]], cards=tuple(cards))
    return record.with_exposures(*exposures)


def _moved(negative: Negative, record: PrintingRecord, one: HeldCard, place: Place) -> HandFault:
    usual = usual_card(negative, record, place, one.burns)
    right = replace(usual, start_s=one.card.start_s, stop_s=one.card.stop_s)
    near = _nearest(negative, one, NEAR_A_PLACE)
    over = near.name if near and near.name != place.name else ""  # beside its own place it lies over none
    return HandFault("move", place.name, with_its_card(record, one.at, lambda card: right), one.at, over, one.burns)


def _other_exposures(record: PrintingRecord, one: HeldCard, place: Place) -> Iterator[HandFault]:
    """Yield the card's work in another main exposure, as many stops of that one."""
    mains = main_exposures(record)
    own = [k for k in mains if record.exposures[k].filter == one.exposure.filter]
    for k in mains:
        other = record.exposures[k]
        if not own or other.filter == one.exposure.filter or len(one.exposure.cards) != 1:
            continue
        exposures = list(record.exposures)
        if one.burns:
            stops = factor_to_stops(1.0 + one.exposure.time_s / record.exposures[own[0]].time_s)
            burn = replace(one.exposure, filter=other.filter, time_s=round(burn_time_s(other.time_s, stops), 2), light_s=None)
            exposures[one.at[0]] = replace(burn, cards=tuple(_within(card, burn.time_s) for card in burn.cards))
        else:
            share = other.time_s / one.exposure.time_s
            card = replace(one.card, start_s=one.card.start_s * share, stop_s=min(one.card.stop_s * share, other.time_s))
            exposures[one.at[0]] = replace(one.exposure, cards=())
            exposures[k] = replace(other, cards=(*other.cards, card))
        yield HandFault(
            "other-exposure", place.name, record.with_exposures(*exposures), one.at, "", one.burns,
            filter_grade=other.filter.graded or "",
        )  # fmt: skip


def _within(card: Card, time_s: float) -> Card:
    return replace(card, start_s=0.0, stop_s=0.0)


def _of_the_hand(negative: Negative, record: PrintingRecord, one: HeldCard, place: Place) -> Iterator[HandFault]:
    """Yield height, rest and size of a card against the usual one for a place."""
    usual, card = usual_card(negative, record, place, one.burns), one.card
    left, top, width, height = frame_on_sheet(negative, record)
    middle = (left + one.x * width, top + one.y * height)

    def fault(direction: str, change: Callable[[Card], Card], amount: float = 0.0) -> HandFault:
        made = with_its_card(record, one.at, change)
        return HandFault(direction, place.name, made, one.at, "", one.burns, amount)

    high = card.card_height_mm > TOO_HIGH_MM
    if high or card.card_height_mm < TOO_NEAR_MM:
        word = "lower" if high else "higher"
        yield fault(word, lambda c: replace(c, card_height_mm=USUAL_HEIGHT_MM), card.card_height_mm)
    if one.wandered_mm < AT_REST * one.usual_way_mm:
        yield fault("moving", lambda c: replace(c, motion=turning(*middle, min(c.width_mm, c.length_mm))))
    ratio = float(np.sqrt(card.width_mm * card.length_mm / (usual.width_mm * usual.length_mm)))
    higher = 1.0 if high else _shadow(negative, record, card) / _shadow(negative, record, usual)
    ratio *= higher
    if card.shape != "outline" and not TOO_SMALL <= ratio <= TOO_LARGE:
        if ratio > 1.0:
            yield fault("smaller", lambda c: _sized(c, 1.0 / ratio), ratio)
        else:
            yield fault("larger", lambda c: _grown(c, usual, 1.0 / higher), ratio)


def _shadow(negative: Negative, record: PrintingRecord, card: Card) -> float:
    """Return how much larger a card's shadow is than the card: v / (v - h), by the lens's distance from the paper."""
    to_paper = 1e9 if record.enlarger.contact else set_up(record.enlarger, negative).lens_to_paper_mm
    return to_paper / max(to_paper - card.card_height_mm, 1.0)


def _grown(card: Card, usual: Card, factor: float) -> Card:
    """Return a card too small for its place as it is usually cut, so many times as large, its way with it.

    A round hole grown to the breadth of a sky would reach far below it: what is cut anew is cut as the place is.
    """
    motion: Any = card.motion
    if hasattr(motion, "amplitude_mm"):
        amplitude_mm = USUAL_AMPLITUDE_SHARE * min(usual.width_mm, usual.length_mm) * factor
        motion = replace(motion, amplitude_mm=amplitude_mm)
    width_mm, length_mm = usual.width_mm * factor, usual.length_mm * factor
    return replace(card, width_mm=width_mm, length_mm=length_mm, angle_deg=usual.angle_deg, motion=motion)


def _sized(card: Card, factor: float) -> Card:
    """Return a card cut to another size, its way with it."""
    motion: Any = card.motion
    if hasattr(motion, "amplitude_mm"):
        motion = replace(motion, amplitude_mm=motion.amplitude_mm * factor)
    return replace(card, width_mm=card.width_mm * factor, length_mm=card.length_mm * factor, motion=motion)
