"""What the coin on pre-exposed grey allows a sheet under one's own safelight, and what a print asks for, in words."""

from __future__ import annotations

from sim.enlarger.equipment import find_head
from sim.printing.record import PrintingRecord

COIN_SHARE = 0.5  # of the time without a mark: paper is kept under the lamp for half of it (common practice)


def minutes_under_it(record: PrintingRecord) -> float:
    """Return the minutes that a print's sheet lies under the safelight: those it says, else all exposures and developing."""
    if record.safelight is not None and record.safelight.time_s > 0.0:
        return record.safelight.time_s / 60.0
    return (record.total_time_s + record.development.time_s) / 60.0


def safelight_words(record: PrintingRecord) -> tuple[str, bool] | None:
    """Return what the coin test of the record's head says of this print, and whether it passes what was allowed.

    None where nobody laid a coin under that safelight.
    """
    own = find_head(record.enlarger.head).own
    if own is None or own.safe_min is None:
        return None
    allowed, asked = COIN_SHARE * own.safe_min, minutes_under_it(record)
    if asked <= allowed:
        return f"{allowed:g} min at most by the coin; this print lies {asked:.1f} min under it", False
    advice = "keep the sheet covered between exposures, or move the lamp away and lay the coin again"
    return f"this print lies {asked:.1f} min under it, the coin allows {allowed:g}: {advice}", True
