"""Covering a strip by hand: cardboard over the part that has had its seconds; and more light over a strip once laid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sim.bench.keeping import InHand
from sim.printing.record import Card, Exposure, Sheet, StripDecision
from sim.printing.strips import bands_of, cover


def cover_card(hand: InHand, paper: str) -> tuple[Card, ...]:
    """Return the cardboard lying over a piece, in the piece's own coordinates; nothing where none lies there."""
    if hand.cover is None:
        return ()
    share, angle_deg = hand.cover
    bands = bands_of(Sheet(paper, hand.width_mm, hand.height_mm), angle_deg, 1)
    low, high = bands.marks_mm
    return (cover(bands, low + share * (high - low), angle_deg).placed(1.0, *hand.moved_mm),)


def with_more(strip: StripDecision | None, more: Sequence[Exposure]) -> StripDecision | None:
    """Return a strip's decision once every step has got more light; None where the steps did not all get the same."""
    if strip is None or any(e.cards or any(e.paper_shift_mm) for e in more):
        return None
    return replace(strip, each=(*strip.each, *(e.bare() for e in more)))
