"""Covering a strip by hand: cardboard over the part that has had its seconds, and the steps that come of it."""

from __future__ import annotations

import numpy as np

from sim.bench.keeping import InHand, StepMark, step_marks
from sim.printing.record import Card, PrintingRecord, Still
from sim.printing.strip_again import strip_in
from sim.printing.strips import COVER_HEIGHT_MM


def cover_card(hand: InHand) -> tuple[Card, ...]:
    """Return the cardboard lying over a piece, in the piece's own coordinates; nothing where none lies there."""
    if hand.cover is None:
        return ()
    share, angle_deg = hand.cover
    angle = np.radians(angle_deg)
    nx, ny = float(np.cos(angle)), float(np.sin(angle))
    corners = [x * nx + y * ny for x in (0.0, hand.width_mm) for y in (0.0, hand.height_mm)]
    along = min(corners) + share * (max(corners) - min(corners))
    middle = (hand.width_mm / 2 + hand.moved_mm[0], hand.height_mm / 2 + hand.moved_mm[1])
    off = along - (hand.width_mm / 2 * nx + hand.height_mm / 2 * ny)
    spot = Still(middle[0] + off * nx, middle[1] + off * ny)
    return (Card("edge", spot, COVER_HEIGHT_MM, angle_deg=angle_deg + 180.0, note="cover card"),)


def steps_after(record: PrintingRecord, before: tuple[StepMark, ...]) -> tuple[StepMark, ...]:
    """Return the steps of a piece after one more exposure: covered by hand they are found in its record.

    A strip laid in one go has known its steps since then (``before``).
    """
    laid_in_one_go = any(exposure.note for exposure in record.exposures)
    return before if laid_in_one_go else step_marks(strip_in(record))
