"""What stands on a negative's sleeve, read without developing the film."""

from __future__ import annotations

from dataclasses import dataclass

from sim.negative.sleeve import find_sleeve


@dataclass(frozen=True)
class PlaceMark:
    """A named place of a negative, in fractions of the frame."""

    name: str
    x: float
    y: float
    part: str
    what: str


@dataclass(frozen=True)
class NegativeCard:
    """What stands on a sleeve."""

    name: str
    title: str
    teaches: str
    places: tuple[PlaceMark, ...]
    frame_mm: tuple[float, float]


def negative_card(name: str) -> NegativeCard:
    """Return what stands on a sleeve. Raises OutsideError."""
    sleeve = find_sleeve(name)
    marks = tuple(PlaceMark(p.name, p.x, p.y, p.part, p.what) for p in sleeve.places)
    return NegativeCard(sleeve.name, sleeve.title, sleeve.teaches, marks, sleeve.frame_mm)
