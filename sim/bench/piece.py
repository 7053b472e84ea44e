"""A piece of paper on the easel, worked out from what is kept of it: its size, its place, and its record so far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from sim.bench.desk_file import InHand
from sim.bench.dry_side import SetUp
from sim.negative.negative import Negative
from sim.printing.record import Exposure, PrintingRecord, Sheet, StripDecision
from sim.printing.setup import picture_on_sheet, strip_size_mm
from sim.printing.strip_agreement import as_covered_by_hand
from sim.refusals import Refused

Kind = Literal["sheet", "strip"]

FURTHEST_MOVED_MM = 500.0


@dataclass(frozen=True)
class Piece:
    """A sheet or strip on the easel: its top left corner and size in mm, how often and how long it was exposed.

    ``seconds`` are those through the negative, ``flash_s`` those without it.
    """

    kind: Kind
    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    exposures: int
    seconds: float
    flash_s: float = 0.0


def piece_of(hand: InHand | None) -> Piece | None:
    """Return what lies on the easel, or None."""
    if hand is None:
        return None
    x, y = (a + m for a, m in zip(hand.at_mm, hand.moved_mm))
    seconds, flash_s = (sum(e.time_s for e in hand.exposures if e.through == way) for way in ("negative", "open"))
    return Piece(hand.kind, x, y, hand.width_mm, hand.height_mm, len(hand.exposures), seconds, flash_s)


def sheet_out_of_the_box(number: int, now: SetUp) -> InHand:
    """Return a whole sheet in the easel's stops."""
    return InHand("sheet", number, now.sheet_width_mm, now.sheet_height_mm)


def strip_out_of_the_box(
    number: int, now: SetUp, negative: Negative, upright: bool, at_mm: tuple[float, float] | None
) -> InHand:
    """Return a strip of a quarter sheet with its middle at a point of the easel (the sheet's middle without one)."""
    width, height = _strip_size_mm(now, negative, upright)
    middle = at_mm or (now.sheet_width_mm / 2, now.sheet_height_mm / 2)
    return InHand("strip", number, width, height, _corner(width, height, *middle))


def laid_at(hand: InHand, x_mm: float, y_mm: float) -> InHand:
    """Return the piece with its middle at a point of the easel. Once exposed, it is moved under the same picture."""
    corner = _corner(hand.width_mm, hand.height_mm, x_mm, y_mm)
    if hand.exposures:
        moved = (round(corner[0] - hand.at_mm[0], 2), round(corner[1] - hand.at_mm[1], 2))
        if max(map(abs, moved)) > FURTHEST_MOVED_MM:
            raise Refused(f"the paper must stay within {FURTHEST_MOVED_MM:g} mm of where it was first exposed")
        return replace(hand, moved_mm=moved)
    if hand.kind == "sheet":
        raise Refused("a whole sheet lies in the easel's stops: shift the image instead")
    return replace(hand, at_mm=corner)


def turned(hand: InHand, now: SetUp, negative: Negative) -> InHand:
    """Return a strip lying along turned across, or the other way round, about its middle."""
    if hand.kind == "sheet" or hand.exposures:
        raise Refused("only a strip that has had no light yet can be turned")
    middle = (hand.at_mm[0] + hand.width_mm / 2, hand.at_mm[1] + hand.height_mm / 2)
    width, height = _strip_size_mm(now, negative, upright=hand.width_mm >= hand.height_mm)
    return replace(hand, width_mm=width, height_mm=height, at_mm=_corner(width, height, *middle), cover=None)


def sheet_of(hand: InHand, now: SetUp) -> Sheet:
    """Return the piece as a record's sheet: a strip is a small sheet with the image shifted on it."""
    shift = (
        now.sheet_width_mm / 2 + now.image_shift_x_mm - hand.at_mm[0] - hand.width_mm / 2,
        now.sheet_height_mm / 2 + now.image_shift_y_mm - hand.at_mm[1] - hand.height_mm / 2,
    )
    border = now.border_mm if hand.kind == "sheet" else 0.0
    return Sheet(now.paper, hand.width_mm, hand.height_mm, border, shift, hand.kind)


def record_of(
    hand: InHand, now: SetUp, digest: str, exposures: Sequence[Exposure], strip: StripDecision | None = None
) -> PrintingRecord:
    """Return the record of a piece with exposures, and with the decision they follow where it is a strip.

    The picture's light stands before a sheet's flashes, whichever was given first: paper adds them.
    """
    given = tuple(exposures) if hand.kind == "strip" else tuple(sorted(exposures, key=lambda one: one.through == "open"))
    return replace(now.record(digest), sheet=sheet_of(hand, now), exposures=given, strip=strip)


def record_so_far(hand: InHand, now: SetUp, digest: str) -> PrintingRecord:
    """Return the record of a piece as exposed so far; covered by hand in even steps, it is a strip's."""
    record = record_of(hand, now, digest, hand.exposures, hand.strip)
    return record if hand.strip is not None else as_covered_by_hand(record)


def _strip_size_mm(now: SetUp, negative: Negative, upright: bool) -> tuple[float, float]:
    """Return the sides of a strip cut to lie inside the picture as it is projected now."""
    record = now.record()
    return strip_size_mm(record.sheet, picture_on_sheet(negative, record)[2:], upright)


def _corner(width_mm: float, height_mm: float, x_mm: float, y_mm: float) -> tuple[float, float]:
    return round(x_mm - width_mm / 2, 2), round(y_mm - height_mm / 2, 2)
