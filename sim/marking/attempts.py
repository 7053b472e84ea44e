"""Which of a learner's files counts: attempts in the order they came, a limit, and best, last or first.

A file with the same content handed in again is not a new attempt. Attempts beyond the limit are listed, not counted. A
file that could not be marked takes no attempt: accidents cost nobody a try.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
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


def _chosen(valid: list[Attempt], policy: Policy, came_after: Collection[str]) -> Attempt | None:
    """Return the attempt that counts; where the first would, the better of it and of what a person asked for or accepted."""
    if not valid:
        return None
    if policy == "last":
        return valid[-1]
    if policy == "first":
        first = next((a for a in valid if not a.handed.accepted), valid[0])
        valid = [first, *(a for a in valid if a is not first and (a.handed.accepted or a.handed.file in came_after))]
    return max(valid, key=lambda a: (a.handed.points or 0.0, -a.number))
