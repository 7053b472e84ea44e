"""Records of version 1, lifted: there a strip was known by free text in its notes. The only file that reads notes.

Nothing about light changes: the same exposures with the same cards print the same sheet. Added are the strip's decision
and the step each exposure belongs to, as far as the notes tell them.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

from sim.printing.record import Exposure, Path, PrintingRecord, StripDecision, StripWay
from sim.printing.strip_agreement import as_covered_by_hand, disagreement
from sim.refusals import Refused

COVERED, STEP, SLOT, COVER = "covered step by step", "step ", "slot", "cover card"


def lifted(record: PrintingRecord) -> PrintingRecord:
    """Return a record read from version 1 with what its notes said about strips as a decision, and those notes gone."""
    found = _laid_in_one_go(record) or as_covered_by_hand(_without_notes(record))
    return found if disagreement(found) is None else _without_notes(record)


def _without_notes(record: PrintingRecord) -> PrintingRecord:
    return replace(record, exposures=tuple(_bare_of_notes(e) for e in record.exposures))


def _bare_of_notes(exposure: Exposure) -> Exposure:
    cards = tuple(replace(c, note="") if c.note in (SLOT, COVER) else c for c in exposure.cards)
    note = "" if exposure.note == COVERED or exposure.note.startswith(STEP) else exposure.note
    return replace(exposure, cards=cards, note=note)


def _laid_in_one_go(record: PrintingRecord) -> PrintingRecord | None:
    steps = [e for e in record.exposures if e.note == COVERED or e.note.startswith(STEP)]
    if record.sheet.kind != "strip" or not steps:
        return None
    try:
        way, times, angle_deg = _way(steps)
        rest = tuple(e.bare() for e in record.exposures if e not in steps and not e.cards)
        decision = StripDecision(way, times, steps[0].f_number, steps[0].filter, angle_deg, rest)
        exposures = tuple(replace(_bare_of_notes(e), step=_step(e, len(times))) for e in record.exposures)
        return replace(record, exposures=exposures, strip=decision)
    except (Refused, IndexError):
        return None


def _step(exposure: Exposure, count: int) -> int:
    if exposure.note == COVERED:
        return count
    number = exposure.note.removeprefix(STEP)
    return int(number) if exposure.note.startswith(STEP) and number.isdecimal() else 0


def _way(steps: list[Exposure]) -> tuple[StripWay, tuple[float, ...], float]:
    """Return the way a strip was laid, its times, and the direction in which they grow."""
    last = steps[-1]
    card = last.cards[0]
    if last.note == COVERED:
        if not isinstance(card.motion, Path):
            raise Refused(f"a covered strip's card must jump along a path, got {card.motion.kind}")
        return "covered", (*(t for t, _, _ in card.motion.points[1::2]), last.time_s), card.angle_deg - 180.0
    if card.note == SLOT:
        return "same-place", tuple(e.time_s for e in steps), card.angle_deg
    return "bursts", tuple(itertools.accumulate(e.time_s for e in steps)), card.angle_deg - 180.0
