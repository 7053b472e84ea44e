"""Holding back and burning in as a printer plans them: so many stops, at this place, in this exposure."""

from __future__ import annotations

from dataclasses import replace

from sim.printing.record import Card, Circling, Exposure, Motion, PrintingRecord, Sweeping
from sim.quantities import burn_time_s, dodge_time_s
from sim.refusals import Refused

# A tool kept turning while it is in the light, about a hand's breadth above the paper (common practice).
USUAL_HEIGHT_MM = 120.0
USUAL_AMPLITUDE_SHARE = 0.18
USUAL_PERIOD_S = 1.6
MOST_STOPS = 6.0
CUT_HEIGHT_MM, CUT_AMPLITUDE_MM = 50.0, 2.5  # of a card cut for one print (chosen: a soft edge some 5 mm wide)


def _checked_stops(stops: float) -> float:
    if not 0.0 < stops <= MOST_STOPS:
        raise Refused(f"stops must be between 0 and {MOST_STOPS:g}, got {stops!r}")
    return stops


def turning(x_mm: float, y_mm: float, size_mm: float) -> Motion:
    """Return the usual small circling of a tool of that size."""
    return Circling(x_mm, y_mm, USUAL_AMPLITUDE_SHARE * size_mm, USUAL_PERIOD_S)


def _oval(
    x_mm: float, y_mm: float, size_mm: float, length_mm: float | None, angle_deg: float, card_height_mm: float
) -> Card:
    """Return an oval tool kept turning over a place; of one side said, it is round."""
    long_mm = length_mm or size_mm
    return Card("oval", turning(x_mm, y_mm, min(size_mm, long_mm)), card_height_mm, size_mm, long_mm, angle_deg)


def _burnt(record: PrintingRecord, exposure: int, stops: float, card: Card) -> PrintingRecord:
    """Return the record with one more exposure like one of its own, past a card, that gives ``stops`` (> 0) more."""
    base = record.exposures[exposure]
    extra = Exposure(burn_time_s(base.time_s, _checked_stops(stops)), base.f_number, base.filter, (card,))
    return record.with_exposures(*record.exposures, extra)


def held_back(
    record: PrintingRecord, exposure: int, x_mm: float, y_mm: float, size_mm: float, stops: float,
    length_mm: float | None = None, angle_deg: float = 0.0, card_height_mm: float = USUAL_HEIGHT_MM,
) -> PrintingRecord:  # fmt: skip
    """Return the record with an oval tool over a place for as long as takes ``stops`` (> 0) away from an exposure.

    The size is that of the shadow on the easel; the tool is cut smaller by its height.
    """
    chosen = record.exposures[exposure]
    out_s = dodge_time_s(chosen.time_s, _checked_stops(stops))
    card = replace(_oval(x_mm, y_mm, size_mm, length_mm, angle_deg, card_height_mm), stop_s=out_s, wire_mm=1.2)
    return record.with_exposure(exposure, replace(chosen, cards=(*chosen.cards, card)))


def burnt_in(
    record: PrintingRecord, exposure: int, x_mm: float, y_mm: float, size_mm: float, stops: float,
    length_mm: float | None = None, angle_deg: float = 0.0, card_height_mm: float = USUAL_HEIGHT_MM,
) -> PrintingRecord:  # fmt: skip
    """Return the record with one more exposure, through a card with a hole, that gives a place ``stops`` more.

    Aperture and filter are those of the exposure it adds to.
    """
    hole = replace(_oval(x_mm, y_mm, size_mm, length_mm, angle_deg, card_height_mm), lets_through="inside")
    return _burnt(record, exposure, stops, hole)


def burnt_in_cut_to(
    record: PrintingRecord, exposure: int, middle_mm: tuple[float, float], size_mm: tuple[float, float], stops: float,
) -> PrintingRecord:  # fmt: skip
    """Return the record with one more exposure through a rectangle cut into a card for it (a window), given ``stops`` more.

    It is held lower than a tool of the rack and kept just moving, so that its edge stays within what bounds it.
    """
    motion = Circling(*middle_mm, CUT_AMPLITUDE_MM, USUAL_PERIOD_S)
    return _burnt(record, exposure, stops, Card("bar", motion, CUT_HEIGHT_MM, *size_mm, lets_through="inside"))


def burnt_above(
    record: PrintingRecord, exposure: int, horizon_mm: float, stops: float
) -> PrintingRecord:
    """Return the record with one more exposure over the edge of a card, that gives everything above a line ``stops`` more.

    The card's edge is swept up and down, so that the burn fades out at the horizon.
    """
    return burnt_at_edge(record, exposure, (record.sheet.width_mm / 2, horizon_mm), 90.0, stops)


def burnt_at_edge(
    record: PrintingRecord, exposure: int, line_mm: tuple[float, float], angle_deg: float, stops: float,
    softness_mm: float = 12.0, card_height_mm: float = USUAL_HEIGHT_MM,
) -> PrintingRecord:  # fmt: skip
    """Return the record with one more exposure over the edge of a card that lies through a point of the sheet.

    ``angle_deg`` is the way from what is burnt into what is covered (0 right, 90 down); the edge is swept along it.
    """
    sweep = Sweeping(*line_mm, softness_mm, USUAL_PERIOD_S, angle_deg)
    return _burnt(record, exposure, stops, Card("edge", sweep, card_height_mm, angle_deg=angle_deg))
