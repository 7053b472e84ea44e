"""What the densitometer's reading is worth on a real sheet of the same paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sim.negative.negative import Negative
from sim.negative.sleeve import find_sleeve
from sim.paper.stock import Stock
from sim.printing.record import PrintingRecord
from sim.refusals import Refused
from sim.scoring.readings import on_sheet
from sim.viewing.real_paper import RealTone, real_tones

LIGHTER, DARKER = 0.03, 0.15  # density beyond the named tones, worth the last one (chosen: two steps of the eye)


def tones_on_real_paper(negative: Negative, record: PrintingRecord, stock: Stock) -> tuple[RealTone, ...]:
    """Return every place that lies on the sheet, the lightest that must keep texture put right by a strip.

    Takes seconds: every uncertain number of paper, film, head and lens is moved once. Raises Refused where no place lies there.
    """
    places = tuple(place for place in negative.places if on_sheet(negative, record, place))
    if not places:
        raise Refused("a tone on a real paper needs a named place on the sheet, got none")
    strip_at = next((place for place in places if place.part == "lightest"), places[0])
    return real_tones(find_sleeve(record.negative), negative, record, stock, places, strip_at)


def worth_of_a_tone(tones: Sequence[RealTone], density: float) -> RealTone | None:
    """Return what a tone elsewhere on the sheet is worth: between the two named places on either side of it, by its density.

    Up to 0.03 lighter or 0.15 darker than all of them it is worth what the last is; beyond that None: bare paper is not
    worth what the lightest tone is.
    """
    by_tone = sorted(tones, key=lambda tone: tone.density)
    if not by_tone or not by_tone[0].density - LIGHTER <= density <= by_tone[-1].density + DARKER:
        return None
    nearest = min(by_tone, key=lambda tone: abs(tone.density - density))
    read = [tone.density for tone in by_tone]
    untested, after = (
        float(np.interp(density, read, [getattr(tone, worth) for tone in by_tone])) for worth in ("untested", "after_a_strip")
    )
    return replace(nearest, density=density, untested=untested, after_a_strip=after)
