"""Naming the sheets that count, at the wall: freely in an evening of one's own, by the lesson's rules in a lesson."""

from __future__ import annotations

from sim.window.kit.events import Outcome, said, warned
from sim.window.lesson_counting import count_in, missing, with_sheet
from sim.window.room import Room


class Naming:
    """Remembers earlier namings, and in a lesson the sheets named while others are still to be named."""

    def __init__(self, room: Room):
        self.room = room
        self.earlier: list[tuple[int, ...]] = []
        self.picked: tuple[int, ...] = ()

    def counts(self, number: int) -> bool:
        """Tell whether a sheet is among those named."""
        return number in (self.picked or self.room.darkroom.wall.nominated)

    def name(self, number: int) -> Outcome:
        """Name a sheet, or take it out again. Raises what the lesson refuses, in words."""
        if self.room.lesson is not None:
            return self._name_in_lesson(number)
        wall, before = self.room.darkroom.wall, tuple(self.room.darkroom.wall.nominated)
        after = tuple(n for n in before if n != number) if number in before else (*before, number)
        if not after:
            return warned(self.room.words.text("One sheet has to count: name another, then this one can go."))
        wall.nominate(*after)
        self.earlier.append(before)
        return self._these_count(after)

    def _name_in_lesson(self, number: int) -> Outcome:
        """Look first; one sheet for each negative and copy; then the marks."""
        words, run = self.room.words, self.room.lesson
        if run.stage in ("see", "explain"):
            run.nominate(number)  # refuses, in the lesson's words
        named = tuple(self.room.darkroom.wall.nominated)
        if number in named and not self.picked:
            return warned(words.text("It counts already. Name another, and this one gives way."))
        before = self.picked or named
        after = tuple(n for n in before if n != number) if number in before else with_sheet(run, before, number)
        left = missing(run, after)
        if left:
            self.picked = after
            return said(words.count("{n} more sheet is to be named.", "{n} more sheets are to be named.", left))
        outcome = self._count_in_lesson(after)
        self.picked = ()
        self.earlier.append(named)
        return outcome

    def _count_in_lesson(self, numbers: tuple[int, ...]) -> Outcome:
        count_in(self.room, numbers, self.room.words.text("It is marked: the marks stand in the lesson."))
        return self._these_count(numbers)

    def undo(self) -> Outcome:
        """Take the last naming back."""
        if not self.earlier or not self.earlier[-1]:
            return said(self.room.words.text("There is no earlier naming to go back to."))
        before = self.earlier[-1]
        if self.room.lesson is not None:
            outcome = self._count_in_lesson(before)
        else:
            self.room.darkroom.wall.nominate(*before)
            outcome = self._these_count(before)
        self.earlier.pop()
        return outcome

    def _these_count(self, numbers: tuple[int, ...]) -> Outcome:
        return said(self.room.words.text("These count: {list}.", list=", ".join(map(str, numbers))))
