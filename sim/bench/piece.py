"""A piece of paper on the easel, worked out from what is kept of it: its size, its place, and its record so far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from sim.bench.keeping import InHand
from sim.bench.set_up import SetUp
from sim.printing.record import Exposure, PrintingRecord, Sheet
from sim.refusals import Refused

Kind = Literal["sheet", "strip"]

LEAST_STRIP_MM = 20.0
FURTHEST_MOVED_MM = 500.0


@dataclass(frozen=True)
class Piece:
    """A sheet or strip on the easel: its top left corner and size in mm, how often and how long it was exposed."""

    kind: Kind
    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    exposures: int
    seconds: float


def piece_of(hand: InHand | None) -> Piece | None:
    """Return what lies on the easel, or None."""
    if hand is None:
        return None
    x, y = (a + m for a, m in zip(hand.at_mm, hand.moved_mm))
    seconds = sum(e.time_s for e in hand.exposures)
    return Piece(hand.kind, x, y, hand.width_mm, hand.height_mm, len(hand.exposures), seconds)


def out_of_the_box(kind: Kind, number: int, now: SetUp, upright: bool, at_mm: tuple[float, float] | None) -> InHand:
    """Return a sheet in the easel's stops, or a strip of a quarter sheet with its middle at a point of the easel."""
    if kind == "sheet":
        return InHand(kind, number, now.sheet_width_mm, now.sheet_height_mm)
    width, height = _strip_size_mm(now, upright)
    middle = at_mm or (now.sheet_width_mm / 2, now.sheet_height_mm / 2)
    return InHand(kind, number, width, height, _corner(width, height, *middle))


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


def turned(hand: InHand, now: SetUp) -> InHand:
    """Return a strip lying along turned across, or the other way round, about its middle."""
    if hand.kind == "sheet" or hand.exposures:
        raise Refused("only a strip that has had no light yet can be turned")
    middle = (hand.at_mm[0] + hand.width_mm / 2, hand.at_mm[1] + hand.height_mm / 2)
    width, height = _strip_size_mm(now, upright=hand.width_mm >= hand.height_mm)
    return replace(hand, width_mm=width, height_mm=height, at_mm=_corner(width, height, *middle), cover=None)


def record_of(hand: InHand, now: SetUp, digest: str, exposures: Sequence[Exposure]) -> PrintingRecord:
    """Return the record of a piece with exposures: a strip is a small sheet with the image shifted on it."""
    shift = (
        now.sheet_width_mm / 2 + now.image_shift_x_mm - hand.at_mm[0] - hand.width_mm / 2,
        now.sheet_height_mm / 2 + now.image_shift_y_mm - hand.at_mm[1] - hand.height_mm / 2,
    )
    border = now.border_mm if hand.kind == "sheet" else 0.0
    sheet = Sheet(now.paper, hand.width_mm, hand.height_mm, border, shift, hand.kind)
    return replace(now.record(digest), sheet=sheet, exposures=tuple(exposures))


def _strip_size_mm(now: SetUp, upright: bool) -> tuple[float, float]:
    across, down = (4, 1) if upright else (1, 4)
    return max(now.sheet_width_mm / across, LEAST_STRIP_MM), max(now.sheet_height_mm / down, LEAST_STRIP_MM)


def _corner(width_mm: float, height_mm: float, x_mm: float, y_mm: float) -> tuple[float, float]:
    return round(x_mm - width_mm / 2, 2), round(y_mm - height_mm / 2, 2)
