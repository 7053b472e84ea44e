"""What makes derive stop and ask a person: a claim that no longer holds, with the numbers that say so."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Stop:
    """A lesson or sleeve, the claim that broke, and what was found instead."""

    where: str
    claim: str
    found: str

    def in_words(self) -> str:
        """Return the stop in one line."""
        return f"{self.where}: {self.claim}; {self.found}"
