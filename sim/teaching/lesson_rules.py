"""A lesson at the enlarger: its darkroom, and the rules the stations ask before they move a control or develop a sheet."""

from __future__ import annotations

from dataclasses import dataclass

from sim.bench.darkroom import Darkroom
from sim.bench.dry_side import set_up_of
from sim.teaching.lesson import LessonRun


@dataclass(frozen=True)
class LessonRules:
    """The rules of a lesson under way, as the darkroom wants them."""

    run: LessonRun

    def locked(self, control: str) -> str | None:
        """Return why a control is locked, None when it is free."""
        return self.run.locked(control)

    def prediction_wanted(self, strip: bool) -> str | None:
        """Return the words that ask for a prediction, or for looking at the last sheet first."""
        if self.run.shown_next:
            return "The next piece of paper is made for you: throw yours away, then touch Show me."
        return self.run.wanted_before(strip)

    def negatives(self) -> tuple[str, ...]:
        """Return the negatives of this lesson."""
        return tuple(negative.name for negative in self.run.negatives)


def darkroom_of(run: LessonRun) -> Darkroom:
    """Return the darkroom of a lesson's evening; new, it stands as the exercise's start. Raises OutsideError, WritingFailed."""
    try:
        start = set_up_of(run.start())
    except BaseException:
        run.evening.close()
        raise
    return Darkroom(run.evening, LessonRules(run), start)
