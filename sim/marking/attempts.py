"""Which of a learner's files counts: attempts in the order they came, a limit, and best, last or first.

A file with the same content handed in again is not a new attempt. Attempts beyond the limit are listed, not counted. A
file that could not be marked takes no attempt: accidents cost nobody a try.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from sim.marking.course import Policy
from sim.marking.statuses import SAME_AGAIN


@dataclass(frozen=True)
class Handed:
    """One file handed in: its content, when it came, and, when it could be marked, the points it would bring.

    ``accepted``: it is marked because a person settled what was doubtful; it then takes its place from no other.
    """

    file: str
    content: str
    received: datetime
    points: float | None = None
    accepted: bool = False


@dataclass(frozen=True)
class Attempt:
    """A file in its place among the learner's attempts. ``number`` 0: took no attempt."""

    handed: Handed
    number: int = 0
    counted: bool = False
    note: str = ""


def in_order(handed: Sequence[Handed]) -> list[Handed]:
    """Return the files by time of handing in; what came at the same instant by content, so that no order is by chance."""
    return sorted(handed, key=lambda one: (one.received, one.content, one.file))


def attempts_of(
    handed: Sequence[Handed], policy: Policy, limit: int | None, came_after: Collection[str] = ()
) -> tuple[Attempt, ...]:
    """Return every file as an attempt, the one that counts marked.

    One of the files that ``came_after`` a person opened the work again may go beyond the limit.
    """
    attempts: list[Attempt] = []
    seen: set[str] = set()
    number, allowed, again = 0, limit, bool(came_after)
    for one in in_order(handed):
        if one.content in seen:
            attempts.append(Attempt(one, note=SAME_AGAIN))
            continue
        seen.add(one.content)
        if one.points is None:
            attempts.append(Attempt(one, note="not marked, takes no attempt"))
            continue
        number += 1
        taken = sum(1 for a in attempts if a.number and not a.note and not a.handed.accepted)
        if allowed is not None and taken >= allowed and again and not one.accepted and one.file in came_after:
            allowed, again = taken + 1, False
        over = allowed is not None and taken >= allowed and not one.accepted
        attempts.append(Attempt(one, number, note=f"over the limit of {allowed} attempts" if over else ""))
    chosen = _chosen([a for a in attempts if a.number and not a.note], policy, came_after)
    return tuple(Attempt(a.handed, a.number, a is chosen, a.note) for a in attempts)


def which_counts(
    attempts: Sequence[Attempt], policy: Policy, came_after: Collection[str], names: Mapping[str, str]
) -> str:
    """Say which of several attempts counts, and why; empty where there is only one. ``names`` are the files' as shown."""
    valid = [a for a in attempts if a.number and not a.note]
    counted = next((a for a in valid if a.counted), None)
    if counted is None or len(valid) < 2:
        return ""
    among, shown = _that_may_count(valid, policy, came_after), names[counted.handed.file]
    if policy == "best":
        return f"Of your {len(valid)} attempts the best counts: {shown}."
    if policy == "last":
        return f"Of your {len(valid)} attempts the last counts: {shown}."
    if len(among) < 2:
        return f"Of your {len(valid)} attempts the first counts: {shown}."
    first, *asked = (f"{names[a.handed.file]} ({a.handed.points or 0.0:g} points)" for a in among)
    return (f"The first attempt would count: {first}. Beside it stands what somebody accepted or asked for: "
            f"{', '.join(asked)}. Of these the better counts: {shown}.")  # fmt: skip


def _that_may_count(valid: list[Attempt], policy: Policy, came_after: Collection[str]) -> list[Attempt]:
    """Return the attempts among which one counts: where the first does, it, what was accepted, and the one more asked for."""
    if policy != "first":
        return valid
    first = next((a for a in valid if not a.handed.accepted), valid[0])
    later = [a for a in valid if a is not first]
    one_more = next((a for a in later if a.handed.file in came_after and not a.handed.accepted), None)
    return [first, *(a for a in later if a.handed.accepted or a is one_more)]


def _chosen(valid: list[Attempt], policy: Policy, came_after: Collection[str]) -> Attempt | None:
    """Return the attempt that counts; where the first would, the better of it and of what a person asked for or accepted."""
    if not valid:
        return None
    if policy == "last":
        return valid[-1]
    valid = _that_may_count(valid, policy, came_after)
    return max(valid, key=lambda a: (a.handed.points or 0.0, -a.number))
