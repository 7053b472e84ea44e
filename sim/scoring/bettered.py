"""A print bettered on its own marks: seconds of each exposure and work of each card moved a little, as long as points rise."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from sim.printing.record import PrintingRecord
from sim.refusals import Refusal
from sim.scoring.burn_stops import main_exposures
from sim.scoring.trial import with_card_stops, with_light

# A stop and its parts, finer as the print comes nearer: the last is what a hand can do again (chosen).
STEPS_STOPS = (0.3, 0.15, 0.08, 0.04)
MOST_MOVES = 6  # a step: who is further off than that is not near a print (chosen)


def bettered(record: PrintingRecord, worth: Callable[[PrintingRecord], float]) -> PrintingRecord:
    """Return the record with the settings nearby that are worth most; ``worth`` is a share of points from 0 to 1.

    What ``reach`` finds meets tones as if every card shaded all of its area alike; the marks read the real one.
    """
    best, share = record, worth(record)
    for step in STEPS_STOPS:
        for _ in range(MOST_MOVES):
            if share >= 1.0:
                return best
            tried = [(worth(one), one) for one in _moved(best, step)]
            better = max(tried, key=lambda found: found[0], default=(share, best))
            if better[0] <= share:
                break
            share, best = better
    return best


def _moved(record: PrintingRecord, stops: float) -> Iterator[PrintingRecord]:
    """Yield the record with one exposure of the whole sheet, or the cards of one exposure, changed by so many stops."""
    for change in (-stops, stops):
        for at in main_exposures(record):
            yield with_light(record, change, at)
        for at, exposure in enumerate(record.exposures):
            if exposure.cards:
                try:
                    yield with_card_stops(record, change, at)
                except (Refusal, ValueError):  # less than no card, or more than its exposure
                    continue
