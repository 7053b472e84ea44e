"""What handing in late costs, computed from due time, received time and rule each time anew.

A day late is a day on the wall clock of the course's time zone: what was due on Saturday at six is one day late until
Sunday at six, even in the night when the clocks change. Hours are hours that really passed. Common practice.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from sim.marking.course import LateRule
from sim.refusals import Refused

MOST_DAYS = 4000


@dataclass(frozen=True)
class Lateness:
    """How late a file came and what it costs: ``late_s`` after the due time, ``percent`` of the points earned taken off.

    ``days`` have begun since; ``grace_days`` of the learner's days of grace were spent on it.
    """

    late_s: float = 0.0
    counts: bool = False
    percent: float = 0.0
    words: str = "in time"
    days: int = 0
    grace_days: int = 0

    def points_left(self, points: float) -> float:
        """Return what is left of points."""
        return points * (1.0 - self.percent / 100.0)


def _days_started(due: datetime, zone: ZoneInfo, received: datetime) -> int:
    """Return how many wall-clock days after the due time have begun."""
    days = max(1, math.floor((received - due.replace(tzinfo=zone).astimezone(UTC)) / timedelta(days=1)))
    while days < MOST_DAYS and (due + timedelta(days=days)).replace(tzinfo=zone).astimezone(UTC) < received:
        days += 1
    return days


def _beyond(due: datetime, zone: ZoneInfo, received: datetime, days: float) -> bool:
    return (due + timedelta(days=days)).replace(tzinfo=zone).astimezone(UTC) < received


def lateness(
    rule: LateRule, due: datetime | None, zone: ZoneInfo, received: datetime, learner: str, grace_days: int = 0
) -> Lateness:
    """Return what the rule says about a file received at an instant (with offset). ``due`` is local time of ``zone``.

    ``grace_days`` are forgiven: what counts is how late it came after so many days more.
    """
    late = _lateness(rule, due, zone, received, learner)
    if not grace_days or due is None or not late.counts:
        return late
    after = _lateness(rule, due + timedelta(days=grace_days), zone, received, learner)
    spent = "1 day of grace" if grace_days == 1 else f"{grace_days} days of grace"
    rest = f": {after.percent:g} % of the points taken off" if after.percent else ""
    begun = f" (day {late.days} begun)" if rule.percent_per_day else ""  # what is charged are days begun
    words = f"{_by(late.late_s)} late{begun}, {spent} spent{rest}"
    return Lateness(late.late_s, after.counts, after.percent, words, late.days, grace_days)


def _lateness(rule: LateRule, due: datetime | None, zone: ZoneInfo, received: datetime, learner: str) -> Lateness:
    if due is None:
        return Lateness(words="no due time")
    if received.tzinfo is None:
        raise Refused(f"received must carry an offset from UTC, got {received!r}")
    received = received.astimezone(UTC)
    late_s = (received - due.replace(tzinfo=zone).astimezone(UTC)).total_seconds()
    if late_s <= 0.0:
        return Lateness(late_s)
    by = _by(late_s)
    if late_s <= rule.grace_minutes * 60.0:
        return Lateness(late_s, words=f"{by} late, within the grace of {rule.grace_minutes:g} minutes")
    if learner in rule.exempt:
        return Lateness(late_s, words=f"{by} late, exempt")
    days = _days_started(due, zone, received)
    if rule.zero_after_days is not None and _beyond(due, zone, received, rule.zero_after_days):
        return Lateness(late_s, True, 100.0, f"{by} late: nothing is counted after {rule.zero_after_days:g} days",
                        days)  # fmt: skip
    percent = rule.percent_per_day * days
    percent += rule.percent_per_hour * math.ceil(late_s / 3600.0)
    percent = min(percent, rule.cap_percent)
    return Lateness(late_s, True, percent, f"{by} late: {percent:g} % of the points taken off", days)


def _by(seconds: float) -> str:
    """Return a delay in words."""
    minutes = math.ceil(seconds / 60.0)
    if minutes < 120:
        return f"{minutes} min"
    hours = minutes / 60.0
    return f"{hours:.1f} h" if hours < 48 else f"{hours / 24.0:.1f} days"
