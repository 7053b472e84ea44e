"""A strip's steps found again in its record: how it was laid, its times, and where each step lies.

The record holds the exposures and cards and nothing else, so a strip can be read after a power cut, or by a marker.
"""

from __future__ import annotations

import itertools

from sim.printing.record import Card, Exposure, Path, PrintingRecord, Still
from sim.printing.strips import Strip, lay_strip
from sim.refusals import Refused

SAME_EDGE_MM = 0.5  # a piece of cardboard laid by hand lies no truer
COVERED, STEP, SLOT, COVER = "covered step by step", "step ", "slot", "cover card"


def strip_in(record: PrintingRecord) -> Strip | None:
    """Return the strip that a record lays, or None when it is none, or was laid in a way of its own."""
    steps = [e for e in record.exposures if e.note == COVERED or e.note.startswith(STEP)]
    if record.sheet.kind != "strip":
        return None
    if not steps:
        return _covered_by_hand(record)
    try:
        way, times, angle_deg = _way(steps)
        first = steps[0]
        laid = lay_strip(record, times, first.f_number, first.filter, way, angle_deg)  # type: ignore[arg-type]
    except (Refused, IndexError):
        return None
    return Strip(record, laid.steps)


def _covered_by_hand(record: PrintingRecord) -> Strip | None:
    """Return the strip of somebody who exposed it whole, then moved cardboard on by even steps and exposed again."""
    first, *more = record.exposures
    cards = [e.cards[0] for e in more if len(e.cards) == 1 and e.cards[0].note == COVER]
    plain = not first.cards and not any(any(e.paper_shift_mm) for e in record.exposures)
    one_light = {(e.f_number, e.filter) for e in record.exposures}
    if not more or len(cards) != len(more) or not plain or len(one_light) > 1:
        return None
    times = tuple(itertools.accumulate(e.time_s for e in record.exposures))
    try:
        laid = lay_strip(record, times, first.f_number, first.filter, "bursts", cards[0].angle_deg - 180.0)
    except Refused:
        return None
    wanted = [e.cards[0] for e in laid.record.exposures[1:]]
    return Strip(record, laid.steps) if all(_same_edge(a, b) for a, b in zip(cards, wanted, strict=True)) else None


def _same_edge(a: Card, b: Card) -> bool:
    """Tell whether two pieces of cardboard end at the same place."""
    if not isinstance(a.motion, Still) or not isinstance(b.motion, Still) or abs(a.angle_deg - b.angle_deg) > 0.1:
        return False
    return max(abs(a.motion.x_mm - b.motion.x_mm), abs(a.motion.y_mm - b.motion.y_mm)) <= SAME_EDGE_MM


def strip_exposures(record: PrintingRecord) -> tuple[Exposure, ...]:
    """Return one exposure for each different light a strip was given (aperture, filter), without cards and shifts."""
    seen: dict[tuple[object, object], Exposure] = {}
    for exposure in record.exposures:
        seen.setdefault((exposure.f_number, exposure.filter), exposure)
    return tuple(seen.values())


def _way(steps: list[Exposure]) -> tuple[str, tuple[float, ...], float]:
    """Return the way a strip was laid, its times, and the direction in which they grow."""
    last = steps[-1]
    card = last.cards[0]
    if last.note == COVERED:
        if not isinstance(card.motion, Path):
            raise Refused(f"a covered strip's card must jump along a path, got {card.motion.kind}")
        ends = card.motion.points[1::2]
        return "covered", (*(t for t, _, _ in ends), last.time_s), card.angle_deg - 180.0
    if card.note == SLOT:
        return "same-place", tuple(e.time_s for e in steps), card.angle_deg
    return "bursts", tuple(itertools.accumulate(e.time_s for e in steps)), card.angle_deg - 180.0
