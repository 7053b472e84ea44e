"""A strip of burns past a card, through its hole or over its edge: every step is the base exposure, burnt in a little longer.

A strip of flashes at one place is the same with light that goes without the negative.

The slot on the paper keeps the other steps dark; the card is held above it as it will be held over the print, at its height and
kept moving. So a step shows the burnt tone and, beside it, how the burn runs out. How it was held stands in the exposures: the
cards after the slot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NoReturn

from sim.printing.cards import shaded_share_at
from sim.printing.record import Card, Exposure, PrintingRecord
from sim.printing.strips import PAST_A_CARD, SAME_PLACE, Point, Strip, lying_on_paper, strip_in
from sim.refusals import Refused

ALL_THE_TIME = 1e-3  # share of a burn that a point in full light may lie in the card's shadow


def past_card(strip: Strip, card: Card) -> Strip:
    """Return a strip whose burns, or flashes, go past a card, ``card`` as it is held over the piece as that first lies.

    Raises Refused for another strip, for a card with neither hole nor edge, or where the middle of the steps is not lit all
    the time.
    """
    record, decision = strip.record, strip.record.strip
    if decision is None or decision.way not in PAST_A_CARD:
        what = decision.way if decision else "no strip"
        raise Refused(f"a burn's card must be held over a strip of burns, or of flashes at one place, got {what}")
    if card.lets_through != "inside" and card.shape != "edge":
        raise Refused(f"a burn's card must have a hole, or an edge to burn past, got {card.shape}, {card.lets_through}")
    if not lit_past(card, slot_of(record), 1.0):
        _refuse_dark(card)
    exposures = tuple(
        replace(one, cards=(*one.cards, card)) if burns else one
        for one, burns in zip(record.exposures, which_burn(record.exposures, len(decision.each)), strict=True)
    )
    again = strip_in(replace(record, exposures=exposures))
    assert again is not None
    return again


def _refuse_dark(card: Card) -> NoReturn:
    if card.shape == "edge":
        raise Refused("the card's edge must leave the place beside it in its light all the time, got one that moves over it")
    raise Refused(
        f"the hole must leave the place under it in its light all the time, got one of {card.width_mm:g} x "
        f"{card.length_mm:g} mm that moves off it: a larger hole, or held still"
    )


def slot_of(record: PrintingRecord) -> Point:
    """Return the point of a burn's piece, as it first lies, that stands under the middle of the slot."""
    motion = next(one for one in record.exposures if one.step).cards[0].motion
    return motion.x_mm, motion.y_mm  # type: ignore[union-attr]


def which_burn(exposures: Sequence[Exposure], each: int) -> tuple[bool, ...]:
    """Return which of a burn strip's exposures are burns: a step's first ``each`` are its base exposure."""
    had: dict[int, int] = {}
    burns = []
    for one in exposures:
        had[one.step] = had.get(one.step, 0) + 1
        burns.append(one.step > 0 and had[one.step] > each)
    return tuple(burns)


def burn_card_of(record: PrintingRecord) -> Card | None:
    """Return the card that a strip's burns, or flashes, went past; None of a strip without one, and of what is no strip."""
    if record.strip is None or record.strip.way not in PAST_A_CARD:
        return None
    return next((one.cards[1] for one in record.exposures if one.step and len(one.cards) > 1), None)


def lit_past(card: Card, at_mm: Point, reach_mm: float, start_s: float = 0.0, stop_s: float = 10.0) -> bool:
    """Tell whether a point, and what lies within ``reach_mm`` of it, has the light of a card all the time it is held."""
    x, y = at_mm
    around = ((0.0, 0.0), (reach_mm, 0.0), (-reach_mm, 0.0), (0.0, reach_mm), (0.0, -reach_mm))
    return all(shaded_share_at(card, x + dx, y + dy, start_s, stop_s) < ALL_THE_TIME for dx, dy in around)


def lit_in_step(record: PrintingRecord, step: int, at_mm: Point, reach_mm: float) -> bool:
    """Tell whether a point of the piece, as it first lies, has all the light meant for a strip's step, whatever hands held.

    Slot and cardboard on the paper aside, which make the steps.
    """
    slotted = record.strip is not None and record.strip.way in SAME_PLACE
    for one in record.exposures:
        if slotted and one.step not in (0, step):
            continue
        held = one.cards[1:] if lying_on_paper(one) else one.cards
        if not all(lit_past(c, at_mm, reach_mm, c.start_s, min(c.stop_s or one.time_s, one.time_s)) for c in held):
            return False
    return True
