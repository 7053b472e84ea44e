"""What a lesson allows at the enlarger: locked controls, and the prediction that comes before developing.

Free work has no rules but the darkroom's own. A lesson hands in its rules when the darkroom is opened; an exercise by
name gets the plain ones here: what its file does not unlock is locked.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

# Always free: they belong to working safely, not to the task.
FREE = ("red_filter", "focus_light", "negative")


class HouseRules(Protocol):
    """What the darkroom asks a lesson."""

    @property
    def may_preview(self) -> bool:
        """Whether the print may be shown before it is developed."""
        ...

    def locked(self, control: str) -> str | None:
        """Return why a control is locked, in words, or None."""
        ...

    def prediction_wanted(self, strip: bool) -> str | None:
        """Return the question to be answered before a sheet or strip goes into the developer, or None."""
        ...

    def negatives(self) -> tuple[str, ...]:
        """Return the negatives to be printed here, or none: all of them."""
        ...


@dataclass(frozen=True)
class FreeWork:
    """No lesson: every control is free and nothing has to be said beforehand."""

    may_preview: bool = True

    def locked(self, control: str) -> str | None:
        """Nothing is locked."""
        return None

    def prediction_wanted(self, strip: bool) -> str | None:
        """Nothing is asked."""
        return None

    def negatives(self) -> tuple[str, ...]:
        """All negatives are there."""
        return ()


@dataclass(frozen=True)
class ExerciseRules:
    """An exercise's rules: what is not unlocked is locked; a prediction comes before developing."""

    title: str
    unlocked: tuple[str, ...]
    prints: tuple[str, ...] = ()
    predict: str = ""
    may_preview: bool = False

    def locked(self, control: str) -> str | None:
        """Return why a control is locked."""
        if control in FREE or control in self.unlocked:
            return None
        return f"locked in this exercise ({self.title}): it is not what is practised here"

    def prediction_wanted(self, strip: bool) -> str | None:
        """Return the question of the exercise's kind."""
        if not self.predict:
            return None
        return QUESTIONS.get(self.predict, QUESTIONS["lighter-darker"]) if not strip else QUESTIONS["which-step"]

    def negatives(self) -> tuple[str, ...]:
        """The exercise's negatives."""
        return self.prints


QUESTIONS = {
    "which-step": "Before it develops: which step will be the right one?",
    "lighter-darker": "Before it develops: will it be lighter or darker than the last one, or just right?",
    "softer-harder": "Before it develops: will it be softer or harder than the last one, or just right?",
    "filter": "Before it develops: which filter will the negative want?",
    "seconds": "Before it develops: how many seconds will be right?",
}
