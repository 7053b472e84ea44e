"""A strip's steps found again in its record: how it was laid, its times, and where each step lies.

The record holds the exposures and cards and nothing else, so a strip can be read after a power cut, or by a marker.
"""

from __future__ import annotations

import itertools

from sim.printing.record import Exposure, Path, PrintingRecord
from sim.printing.strips import Strip, lay_strip

COVERED, STEP, SLOT, COVER = "covered step by step", "step ", "slot", "cover card"


def strip_in(record: PrintingRecord) -> Strip | None:
    """Return the strip that a record lays, or None when it is none, or was laid in a way of its own."""
    steps = [e for e in record.exposures if e.note == COVERED or e.note.startswith(STEP)]
    if record.sheet.kind != "strip" or not steps:
        return None
    try:
        way, times, angle_deg = _way(steps)
        first = steps[0]
        laid = lay_strip(record, times, first.f_number, first.filter, way, angle_deg)  # type: ignore[arg-type]
    except (ValueError, IndexError):
        return None
    return Strip(record, laid.steps)


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
            raise ValueError(f"a covered strip's card must jump along a path, got {card.motion.kind}")
        ends = card.motion.points[1::2]
        return "covered", (*(t for t, _, _ in ends), last.time_s), card.angle_deg - 180.0
    if card.note == SLOT:
        return "same-place", tuple(e.time_s for e in steps), card.angle_deg
    return "bursts", tuple(itertools.accumulate(e.time_s for e in steps)), card.angle_deg - 180.0
