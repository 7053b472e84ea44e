"""Marks: the nominated print's readings against its targets. One ``score`` for every door."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sim.printing.make_print import Print
from sim.scoring.targets import ToneTarget, share_for_miss
from sim.viewing.densitometer import read_place


@dataclass(frozen=True)
class Mark:
    """One criterion: what was measured, what was wanted, the tolerance, and the points it earned."""

    place: str
    kind: str
    measured: float
    wanted: float
    tolerance: float
    points: float
    full_points: float

    @property
    def miss(self) -> float:
        """Measured minus wanted: + too dark, - too light."""
        return self.measured - self.wanted


@dataclass(frozen=True)
class Marks:
    """All criteria of a print."""

    marks: tuple[Mark, ...]

    @property
    def points(self) -> float:
        """Points earned."""
        return sum(mark.points for mark in self.marks)

    @property
    def full_points(self) -> float:
        """Points that could be earned."""
        return sum(mark.full_points for mark in self.marks)

    @property
    def share(self) -> float:
        """Points earned as a share of all, 0 to 1."""
        return self.points / self.full_points if self.full_points else 0.0


def score(sheet: Print, targets: Sequence[ToneTarget]) -> Marks:
    """Return the marks of a print: every target read with the densitometer where it lies."""
    marks = []
    for target in targets:
        measured = read_place(sheet, target.place)
        share = share_for_miss(target.miss(measured), target.tolerance_density)
        marks.append(
            Mark(
                target.place.name, target.kind, measured, target.density, target.tolerance_density,
                share * target.points, target.points,
            )
        )  # fmt: skip
    return Marks(tuple(marks))
