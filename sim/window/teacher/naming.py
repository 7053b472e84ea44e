"""Naming the sheets that count, at the wall: freely in an evening of one's own, by the lesson's rules in a lesson."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from sim.refusals import Refused
from sim.teaching.lesson import LessonRun
from sim.window.standing.room import OneRoom


class Naming:
    """Remembers the sheets named while others of a lesson are still to be named."""

    def __init__(self, room: OneRoom):
        self.room = room
        self.picked: tuple[int, ...] = ()

    def name(self, number: int) -> None:
        """Name a sheet, or take it out again. Raises what is refused, in words."""
        run = self.room.lesson
        if run is not None:
            self._name_in_lesson(run, number)
            return
        wall = self.room.darkroom.wall
        before = tuple(wall.nominated)
        after = tuple(n for n in before if n != number) if number in before else (*before, number)
        if not after:
            raise Refused(self.room.line("one has to count"))
        wall.nominate(*after)
        self._say(after)

    def _name_in_lesson(self, run: LessonRun, number: int) -> None:
        """Look first; one sheet for each negative and copy; then the marks."""
        if run.stage in ("see", "explain"):
            run.nominate(number)  # refuses, in the lesson's words
        named = tuple(self.room.darkroom.wall.nominated)
        if number in named and not self.picked:
            raise Refused(self.room.line("counts already"))
        before = self.picked or named
        after = tuple(n for n in before if n != number) if number in before else with_sheet(run, before, number)
        if missing(run, after):
            self.picked = after
            left = missing(run, after)
            words = self.room.words.count("{n} more sheet is to be named.", "{n} more sheets are to be named.", left)
            self.room.say_words(f"{words} {self.room.line('more to name')}")
            return
        self.picked = ()
        run.nominate(*after)
        self._say(after)

    def _say(self, numbers: Sequence[int]) -> None:
        named = ", ".join(map(str, numbers))
        said = self.room.words.count("Nominated: sheet {list}.", "Nominated: sheets {list}.", len(numbers), list=named)
        self.room.say_words(said)


def with_sheet(run: LessonRun, chosen: Sequence[int], number: int) -> tuple[int, ...]:
    """Return the sheets chosen once ``number`` is among them; of too many of one negative the one chosen first gives way."""
    found = [n for n in chosen if n != number] + [number]
    negative = _negative(run, number)
    same = [n for n in found if _negative(run, n) == negative]
    for spare in same[: max(0, len(same) - run.exercise.copies)]:
        found.remove(spare)
    return tuple(found)


def missing(run: LessonRun, chosen: Sequence[int]) -> int:
    """Return how many sheets are still to be named before these can count."""
    there = Counter(_negative(run, n) for n in chosen)
    return sum(max(0, run.exercise.copies - there[negative.name]) for negative in run.negatives)


def _negative(run: LessonRun, number: int) -> str:
    return run.evening.state.sheets[number - 1].record.negative
