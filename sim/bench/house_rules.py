"""What a lesson allows at the enlarger: locked controls, and the prediction that comes before developing.

Free work has no rules but the darkroom's own. A lesson hands in its rules when the darkroom is opened.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from sim.printing.controls import lock_of


class HouseRules(Protocol):
    """What the darkroom asks a lesson."""

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

    def locked(self, control: str) -> str | None:
        """Nothing is locked."""
        return None

    def prediction_wanted(self, strip: bool) -> str | None:
        """Nothing is asked."""
        return None

    def negatives(self) -> tuple[str, ...]:
        """All negatives are there."""
        return ()


def locked(rules: HouseRules, name: str) -> str | None:
    """Return why a control, or what it moves in the set-up, is locked here, or None."""
    lock = lock_of(name)
    return rules.locked(lock) if lock else None
