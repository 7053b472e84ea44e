"""Moments at which files came: as a disk or a table states them, however odd, and as pages show them.

A disk may say 1601, a broken clock the year 12000, a table 9999 in a far zone. No calendar reckons with all of these in
every time zone; a moment beyond what it can reckon with is taken as the last one within. None of this stops a batch.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

EARLIEST = datetime(1, 1, 4, tzinfo=UTC)  # some days from the calendar's ends, so that every zone can show it
LATEST = datetime(9999, 12, 28, tzinfo=UTC)
LIKELY = (datetime(1990, 1, 1, tzinfo=UTC), datetime(2200, 1, 1, tzinfo=UTC))  # outside, a clock was wrong

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_BEYOND = re.compile(r"(?P<sign>[+-]?)(?P<year>\d{4,12})-\d{2}-\d{2}([T ]\d{2}:\d{2}\S{0,30})", re.ASCII)


def moment_of(seconds: float) -> datetime:
    """Return the moment so many seconds after 1970 began in UTC, before it where negative, kept within the calendar."""
    try:
        return within_reach(_EPOCH + timedelta(seconds=seconds))
    except OverflowError:
        return EARLIEST if seconds < 0 else LATEST


def moment_in(text: str) -> datetime | None:
    """Return the moment that an ISO 8601 text with an offset states, kept within the calendar; None for what is none."""
    try:
        when = datetime.fromisoformat(text)
    except ValueError:
        beyond = _BEYOND.fullmatch(text)  # a year of five digits, or none: a time as it is written, in no calendar
        if beyond is None or (len(beyond["year"]) == 4 and beyond["year"] != "0000" and beyond["sign"] != "-"):
            return None
        return EARLIEST if beyond["sign"] == "-" or int(beyond["year"]) == 0 else LATEST
    if when.tzinfo is None:
        return None
    try:
        return within_reach(when.astimezone(UTC))
    except OverflowError:
        return EARLIEST if when.year < 5000 else LATEST


def within_reach(when: datetime) -> datetime:
    """Return a moment kept away from the ends of the calendar."""
    return min(max(when, EARLIEST), LATEST)


def is_likely(when: datetime) -> bool:
    """Tell whether somebody can have handed something in then; else a disk or a table had its clock wrong."""
    return LIKELY[0] <= when < LIKELY[1]


def in_utc(when: datetime) -> str:
    """Return a moment as outputs keep it, its year of four digits: 2026-12-01T18:00:00Z."""
    return when.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


def on_the_wall(moment: str, zone: ZoneInfo) -> str:
    """Return a kept moment to the minute, by the clocks of a time zone."""
    return datetime.fromisoformat(moment).astimezone(zone).replace(tzinfo=None).isoformat(" ", "minutes")
