"""Late rules, recomputed from inputs: grace, per day and per hour, cap, nothing after, exemptions, clocks that change."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from sim.marking.course import LateRule
from sim.marking.late import lateness

DAY = LateRule(grace_minutes=10, percent_per_day=10.0, cap_percent=50.0, zero_after_days=7, exempt=("kept",))
HOUR = LateRule(percent_per_hour=2.0, cap_percent=30.0)
CITY = "Europe/Lisbon"  # clocks: 29 March and 25 October 2026
FAR = "Pacific/Auckland"

# rule, zone, due (local), received (ISO with offset), learner -> percent taken off
CASES = {
    "a minute early": (DAY, "UTC", "2026-12-01T18:00", "2026-12-01T17:59:00+00:00", "a", 0),
    "to the second": (DAY, "UTC", "2026-12-01T18:00", "2026-12-01T18:00:00+00:00", "a", 0),
    "within the grace": (DAY, "UTC", "2026-12-01T18:00", "2026-12-01T18:10:00+00:00", "a", 0),
    "a second beyond the grace": (DAY, "UTC", "2026-12-01T18:00", "2026-12-01T18:10:01+00:00", "a", 10),
    "exactly one day": (DAY, "UTC", "2026-12-01T18:00", "2026-12-02T18:00:00+00:00", "a", 10),
    "a second into the second day": (DAY, "UTC", "2026-12-01T18:00", "2026-12-02T18:00:01+00:00", "a", 20),
    "four and a half days": (DAY, "UTC", "2026-12-01T18:00", "2026-12-06T06:00:00+00:00", "a", 50),
    "capped on the sixth day": (DAY, "UTC", "2026-12-01T18:00", "2026-12-07T06:00:00+00:00", "a", 50),
    "seven days are still counted": (DAY, "UTC", "2026-12-01T18:00", "2026-12-08T18:00:00+00:00", "a", 50),
    "nothing after seven days": (DAY, "UTC", "2026-12-01T18:00", "2026-12-08T18:00:01+00:00", "a", 100),
    "exempt": (DAY, "UTC", "2026-12-01T18:00", "2026-12-20T18:00:00+00:00", "kept", 0),
    "another offset, the same instant": (DAY, "UTC", "2026-12-01T18:00", "2026-12-01T20:00:00+02:00", "a", 0),
    "the zone decides": (DAY, FAR, "2026-12-01T18:00", "2026-12-01T05:30:00+00:00", "a", 10),
    "a spring day has 23 hours": (DAY, CITY, "2026-03-28T18:00", "2026-03-29T18:00:00+01:00", "a", 10),
    "and then the second day begins": (DAY, CITY, "2026-03-28T18:00", "2026-03-29T18:00:01+01:00", "a", 20),
    "an autumn day has 25 hours": (DAY, CITY, "2026-10-24T18:00", "2026-10-25T18:00:00+00:00", "a", 10),
    "hours are real hours": (HOUR, CITY, "2026-03-28T18:00", "2026-03-29T18:00:00+01:00", "a", 30),
    "a begun hour counts": (HOUR, "UTC", "2026-12-01T18:00", "2026-12-01T18:00:01+00:00", "a", 2),
    "three hours and a bit": (HOUR, "UTC", "2026-12-01T18:00", "2026-12-01T21:00:01+00:00", "a", 8),
    "the hours' cap": (HOUR, "UTC", "2026-12-01T18:00", "2026-12-20T18:00:00+00:00", "a", 30),
    "due in the hour that comes twice: the first": (DAY, CITY, "2026-10-25T01:30", "2026-10-25T01:45:00+01:00", "a", 10),
    "a rule that takes nothing": (LateRule(), "UTC", "2026-12-01T18:00", "2026-12-20T18:00:00+00:00", "a", 0),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_what_lateness_costs(case: str) -> None:
    rule, zone, due, received, learner, percent = CASES[case]
    found = lateness(rule, datetime.fromisoformat(due), ZoneInfo(zone), datetime.fromisoformat(received), learner)
    assert found.percent == pytest.approx(percent)
    assert found.points_left(80.0) == pytest.approx(80.0 * (1 - percent / 100))


def test_real_hours_over_the_spring_change_are_one_fewer() -> None:
    rule = LateRule(percent_per_hour=1.0)
    due = datetime(2026, 3, 28, 18, 0)
    received = datetime(2026, 3, 29, 18, 0, tzinfo=ZoneInfo(CITY))
    assert lateness(rule, due, ZoneInfo(CITY), received, "a").percent == pytest.approx(23.0)


def test_without_a_due_time_nothing_is_late() -> None:
    assert not lateness(DAY, None, ZoneInfo("UTC"), datetime(2030, 1, 1, tzinfo=UTC), "a").counts


def test_a_time_without_offset_is_refused() -> None:
    with pytest.raises(ValueError, match="offset"):
        lateness(DAY, datetime(2026, 1, 1), ZoneInfo("UTC"), datetime(2026, 1, 2), "a")


def test_later_never_costs_less() -> None:
    due = datetime(2026, 10, 24, 18, 0)
    for rule in (DAY, HOUR):
        costs = [
            lateness(rule, due, ZoneInfo(CITY), datetime.fromtimestamp(1792800000 + 1800 * n, UTC), "a").percent
            for n in range(500)
        ]
        assert costs == sorted(costs)
        assert costs[0] == 0
