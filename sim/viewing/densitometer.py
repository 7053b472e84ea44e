"""The spot densitometer: what a round spot on a print or a negative reads."""

from __future__ import annotations

from collections.abc import Iterator

from sim.negative.negative import Negative, Place
from sim.printing.make_print import Print
from sim.printing.spot import spot_on
from sim.refusals import Refused


def places_read(sheet: Print, negative: Negative) -> Iterator[tuple[Place, float]]:
    """Yield every named place that lies on a print, or on a piece of one, with the density read there."""
    for place in negative.places:
        try:
            density = read_place(sheet, place)
        except Refused:
            continue
        yield place, density


def spot_density(sheet: Print, x_mm: float, y_mm: float, spot_mm: float = 3.0) -> float:
    """Return the reflection density of a round spot on a print (diffuse, 45/0 geometry in the trade)."""
    return sheet.spot(x_mm, y_mm, spot_mm).density(sheet.density)


def read_place(sheet: Print, place: Place) -> float:
    """Return the density of a named place on a print, with the place's own spot (mm on the print)."""
    return spot_density(sheet, *sheet.place_mm(place), place.spot_mm)


def negative_density(negative: Negative, place: Place, spot_mm: float = 1.0) -> float:
    """Return the diffuse transmission density of a place on the negative, base and fog included."""
    rows, cols = negative.silver_density.shape
    row, col = min(max(place.y * rows - 0.5, 0.0), rows - 1.0), min(max(place.x * cols - 0.5, 0.0), cols - 1.0)
    spot = spot_on((rows, cols), row, col, 0.5 * spot_mm * negative.px_per_mm)
    return spot.density(negative.silver_density) + negative.base_density
