"""What the densitometer's reading is worth on a real sheet of the same paper."""

from __future__ import annotations

from collections.abc import Sequence

from sim.negative.negative import Negative
from sim.negative.sleeve import find_sleeve
from sim.paper.stock import Stock
from sim.printing.record import PrintingRecord
from sim.refusals import Refused
from sim.scoring.readings import on_sheet
from sim.viewing.real_paper import RealTone, real_tones


def tones_on_real_paper(negative: Negative, record: PrintingRecord, stock: Stock) -> tuple[RealTone, ...]:
    """Return every place that lies on the sheet, the lightest that must keep texture put right by a strip.

    Takes seconds: every uncertain number of paper, film, head and lens is moved once. Raises Refused where no place lies there.
    """
    places = tuple(place for place in negative.places if on_sheet(negative, record, place))
    if not places:
        raise Refused("a tone on a real paper needs a named place on the sheet, got none")
    strip_at = next((place for place in places if place.part == "lightest"), places[0])
    return real_tones(find_sleeve(record.negative), negative, record, stock, places, strip_at)


def nearest_in_tone(tones: Sequence[RealTone], density: float) -> RealTone | None:
    """Return the named place whose density is nearest: a tone elsewhere on the sheet is worth about what that place is."""
    return min(tones, key=lambda tone: abs(tone.density - density), default=None)
