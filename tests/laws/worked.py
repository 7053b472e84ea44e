"""A figure worked out by hand or set by a data file, and the product's own: what must agree, with no claim on the world.

These tests hold the product to its formulas and to what its papers, films and filters were made to do. They say nothing
for the formulas; ``tests/published`` does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

MEMORY = "from memory"
PRACTICE = "common practice"


@dataclass(frozen=True)
class Worked:
    """One figure, how far off it may be, where it comes from, and how the product's own figure is measured."""

    what: str
    value: float
    tolerance: float
    source: str
    measure: Callable[[], float]
    kind: str = "print"

    def run(self) -> None:
        """Measure, and fail with both numbers when they differ by more than the tolerance."""
        measured = float(self.measure())
        assert abs(measured - self.value) <= self.tolerance, (
            f"{self.what}: measured {measured:.5g}, worked out {self.value:.5g} +- {self.tolerance:.3g} ({self.source})"
        )


def as_parameters(table: tuple[Worked, ...]) -> list[Any]:
    """Return a table as parameters for a test, each named by what is worked out."""
    return [pytest.param(row, id=row.what.replace(" ", "-")) for row in table]
