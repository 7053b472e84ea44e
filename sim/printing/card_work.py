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


def in_stops(stops: float) -> str:
    """Return a number of stops as a printer writes it: 1 stop, 1.8 stops."""
    number = f"{stops:.2g}"
    return f"{number} stop" if number == "1" else f"{number} stops"


def turning(x_mm: float, y_mm: float, size_mm: float) -> Motion:
    """Return the usual small circling of a tool of that size."""
    return Circling(x_mm, y_mm, USUAL_AMPLITUDE_SHARE * size_mm, USUAL_PERIOD_S)


def held_back(
    record: PrintingRecord, exposure: int, x_mm: float, y_mm: float, size_mm: float, stops: float,
    length_mm: float | None = None, angle_deg: float = 0.0, card_height_mm: float = USUAL_HEIGHT_MM,
) -> PrintingRecord:  # fmt: skip
    """Return the record with an oval tool over a place for as long as takes ``stops`` (> 0) away from an exposure.

    The size is that of the shadow on the easel; the tool is cut smaller by its height.
    """
    if not 0.0 < stops <= 6.0:
        raise Refused(f"stops must be between 0 and 6, got {stops!r}")
    chosen = record.exposures[exposure]
    out_s = dodge_time_s(chosen.time_s, stops)
    card = Card(
        "oval", turning(x_mm, y_mm, min(size_mm, length_mm or size_mm)), card_height_mm, size_mm, length_mm or size_mm,
        angle_deg, stop_s=out_s, wire_mm=1.2, note=f"hold back {in_stops(stops)}",
    )  # fmt: skip
    with_card = replace(chosen, cards=(*chosen.cards, card))
    exposures = (*record.exposures[:exposure], with_card, *record.exposures[exposure + 1 :])
    return record.with_exposures(*exposures)


def burnt_in(
    record: PrintingRecord, exposure: int, x_mm: float, y_mm: float, size_mm: float, stops: float,
    length_mm: float | None = None, angle_deg: float = 0.0, card_height_mm: float = USUAL_HEIGHT_MM,
) -> PrintingRecord:  # fmt: skip
    """Return the record with one more exposure, through a card with a hole, that gives a place ``stops`` more.

    Aperture and filter are those of the exposure it adds to.
    """
    if not 0.0 < stops <= 6.0:
        raise Refused(f"stops must be between 0 and 6, got {stops!r}")
    base = record.exposures[exposure]
    card = Card(
        "oval", turning(x_mm, y_mm, min(size_mm, length_mm or size_mm)), card_height_mm, size_mm, length_mm or size_mm,
        angle_deg, lets_through="inside", note=f"burn in {in_stops(stops)}",
    )  # fmt: skip
    extra = Exposure(burn_time_s(base.time_s, stops), base.f_number, base.filter, (card,), note=card.note)
    return record.with_exposures(*record.exposures, extra)


def burnt_above(
    record: PrintingRecord, exposure: int, horizon_mm: float, stops: float, softness_mm: float = 12.0,
    card_height_mm: float = USUAL_HEIGHT_MM,
) -> PrintingRecord:  # fmt: skip
    """Return the record with one more exposure over the edge of a card, that gives everything above a line ``stops`` more.

    The card's edge is swept up and down by ``softness_mm``, so that the burn fades out at the horizon.
    """
    if not 0.0 < stops <= 6.0:
        raise Refused(f"stops must be between 0 and 6, got {stops!r}")
    base = record.exposures[exposure]
    sweep = Sweeping(record.sheet.width_mm / 2, horizon_mm, softness_mm, USUAL_PERIOD_S, 90.0)
    card = Card("edge", sweep, card_height_mm, angle_deg=90.0, note=f"burn in {in_stops(stops)} above the horizon")
    extra = Exposure(burn_time_s(base.time_s, stops), base.f_number, base.filter, (card,), note=card.note)
    return record.with_exposures(*record.exposures, extra)
