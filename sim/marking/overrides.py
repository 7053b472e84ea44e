"""Marks given by a person: points with a reason, kept in a table of their own, so that no run of marking forgets them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sim.marking.csv_tables import read_rows
from sim.marking.review import Points


@dataclass(frozen=True)
class Override:
    """Points a person gives a learner for an exercise, and why. They stand as they are: no late rule touches them.

    ``reason`` is for the learner; ``private`` is for whoever teaches and stands on no learner's page. ``learner`` is an id, or
    the code under which a blind marker sees the learner.
    """

    learner: str
    exercise: str
    points: Points
    reason: str
    private: str = ""


def read_overrides(file: Path) -> tuple[Override, ...]:
    """Return the overrides of a CSV with these columns; the last may be missing. Raises OutsideError."""
    return read_rows(file, Override)
