"""Naming the sheets that count in a lesson, from the lesson's own place or from the wall: one set of rules, the lesson's."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from sim.window.kit.events import Outcome, said
from sim.window.room import Room


def with_sheet(run: Any, chosen: Sequence[int], number: int) -> tuple[int, ...]:
    """Return the sheets chosen once ``number`` is among them; of too many of one negative the one chosen first gives way."""
    found = [n for n in chosen if n != number] + [number]
    negative = _negative(run, number)
    same = [n for n in found if _negative(run, n) == negative]
    for spare in same[: max(0, len(same) - run.exercise.copies)]:
        found.remove(spare)
    return tuple(found)


def missing(run: Any, chosen: Sequence[int]) -> int:
    """Return how many sheets are still to be named before these can count."""
    there = Counter(_negative(run, n) for n in chosen)
    return sum(max(0, int(run.exercise.copies) - there[negative.name]) for negative in run.negatives)


def _negative(run: Any, number: int) -> str:
    return str(run.evening.state.sheets[number - 1].record.negative)


def count_in(room: Room, numbers: Sequence[int], told: str) -> Outcome:
    """Have the lesson name these sheets, mark them and keep the progress. Raises what the lesson refuses, in words."""
    run, folder, today = room.lesson, room.folder, room.today
    run.nominate(*numbers)

    def marking() -> Any:
        from sim.window.lesson_desk import keep_progress

        if not run.exam:
            run.result()
        return keep_progress(folder, run, today)

    if run.exam:
        told = room.words.text("It counts. The marks are given out by whoever teaches.")
    room.later(marking, lambda _: said(told), room.words.text("The print is read …"))
    return Outcome()
