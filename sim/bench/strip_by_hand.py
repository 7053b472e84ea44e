"""Covering a strip by hand: cardboard over the part that has had its seconds."""

from __future__ import annotations

from sim.bench.desk_file import InHand
from sim.printing.record import Card, Sheet
from sim.printing.strips import bands_of, cover


def cover_card(hand: InHand, paper: str) -> tuple[Card, ...]:
    """Return the cardboard lying over a piece, in the piece's own coordinates; nothing where none lies there."""
    if hand.cover is None:
        return ()
    share, angle_deg = hand.cover
    bands = bands_of(Sheet(paper, hand.width_mm, hand.height_mm), angle_deg, 1)
    low, high = bands.marks_mm
    return (cover(bands, low + share * (high - low), angle_deg).placed(1.0, *hand.moved_mm),)
