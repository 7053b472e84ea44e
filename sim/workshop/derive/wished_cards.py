"""Cards as a lesson wishes them, in the light for so many seconds: geometry from the sleeve's places, time from the tones."""

from __future__ import annotations

from dataclasses import replace

from sim.negative.negative import Negative, Place
from sim.printing.card_work import USUAL_AMPLITUDE_SHARE, USUAL_HEIGHT_MM, USUAL_PERIOD_S
from sim.printing.make_print import frame_on_sheet
from sim.printing.record import Card, Circling, Exposure, Motion, Path, PrintingRecord, Sweeping
from sim.quantities import burn_time_s, dodge_time_s
from sim.scoring.start import CARD_AREA, CARD_SHARE_OF_AREA
from sim.workshop.derive.wishes import CardWish

SWEEP_SHARE = 0.063  # of the frame's height: how far an edge is swept to either side of the skyline (chosen: fades softly)
WIRE_MM = 1.2
LEAST_TOOL_MM = 10.0


def card_seconds(wish: CardWish, base_s: float, stops: float) -> float:
    """Return how long a card stays for so many stops of the exposure it works on."""
    return dodge_time_s(base_s, stops) if wish.does == "hold-back" else burn_time_s(base_s, stops)


def with_wished_card(
    negative: Negative, record: PrintingRecord, wish: CardWish, seconds: float, copy: int = 0
) -> PrintingRecord:
    """Return the record with a wished card in the light for so many seconds, lengths to a tenth of a mm."""
    base = record.exposures[wish.exposure]
    card = _card(negative, record, wish, seconds, copy)
    if wish.does == "hold-back":
        held = replace(base, cards=(*base.cards, replace(card, stop_s=round(seconds, 2))))
        return record.with_exposure(wish.exposure, held)
    return record.with_exposures(*record.exposures, Exposure(seconds, base.f_number, base.filter, (card,)))


def _card(negative: Negative, record: PrintingRecord, wish: CardWish, seconds: float, copy: int) -> Card:
    place = negative.place(wish.place)
    area = wish.area or place.area or CARD_AREA
    left, top, width, height = frame_on_sheet(negative, record)
    if wish.does == "burn-in" and area[0] >= 1.0:
        skyline_mm = top + (place.y + 0.5 * area[1]) * height
        middle_mm = 0.5 * record.sheet.width_mm
        sweep = Sweeping(_mm(middle_mm), _mm(skyline_mm), _mm(SWEEP_SHARE * height), USUAL_PERIOD_S, 90.0)
        return Card("edge", sweep, USUAL_HEIGHT_MM, angle_deg=90.0)
    across, down = (
        _mm(max(LEAST_TOOL_MM, CARD_SHARE_OF_AREA * share * side)) for share, side in zip(area, (width, height), strict=True)
    )
    motion = _motion(wish, place, (left, top, width, height), seconds, min(across, down), copy)
    if wish.does == "hold-back":
        return Card("oval", motion, USUAL_HEIGHT_MM, across, down, wire_mm=WIRE_MM)
    return Card("oval", motion, USUAL_HEIGHT_MM, across, down, lets_through="inside")


def _motion(
    wish: CardWish, place: Place, frame: tuple[float, float, float, float], seconds: float, size_mm: float, copy: int
) -> Motion:
    """Return the hand's own path where one is wished, else small circles around the place."""
    left, top, width, height = frame
    if wish.hands:
        hand = wish.hands[copy % len(wish.hands)]
        return Path(tuple((round(t * seconds, 2), _mm(left + x * width), _mm(top + y * height)) for t, x, y in hand))
    x_mm, y_mm = _mm(left + place.x * width), _mm(top + place.y * height)
    return Circling(x_mm, y_mm, _mm(USUAL_AMPLITUDE_SHARE * size_mm), USUAL_PERIOD_S)


def _mm(value: float) -> float:
    return round(value, 1)
