"""What a step of a strip of burns, or of flashes, comes to on a whole sheet: the exposures that made it, as a plan."""

from __future__ import annotations

from dataclasses import replace

from sim.bench.dry_side import SetUp
from sim.notebook.exposure_plan import PlannedExposure, planned
from sim.printing.burn_past_card import which_burn
from sim.printing.record import FLASHES, Card, Exposure, PrintingRecord
from sim.printing.strips import PAST_A_CARD, stepped_light


def step_as_plan(record: PrintingRecord, number: int, now: SetUp) -> tuple[PlannedExposure, ...]:
    """Return the exposures of a step (from 1): the flash before the picture, a burn after it; nothing for other strips.

    A burn, or a flash at one place, keeps the cards that it went past where the enlarger stands as it did; else hands hold
    them anew.
    """
    strip = record.strip
    if strip is None or strip.way not in ("burn", *FLASHES):
        return ()
    time_s = strip.times_s[number - 1]
    stepped = [stepped_light(strip, time_s)] if time_s > 0.0 else []
    stands_alike = record.enlarger == now.settings() and record.negative == now.negative
    if strip.way in PAST_A_CARD and stepped and stands_alike:
        stepped = [replace(stepped[0], cards=_cards_of(record, number, now))]
    every: list[Exposure] = [*stepped, *strip.each] if strip.way in FLASHES else [*strip.each, *stepped]
    return tuple(planned(one) for one in every)


def _cards_of(record: PrintingRecord, number: int, now: SetUp) -> tuple[Card, ...]:
    """Return the cards over a step's burn as they lie over the easel, the slot aside."""
    assert record.strip is not None
    sheet = record.sheet
    left = now.sheet_width_mm / 2 + now.image_shift_x_mm - sheet.width_mm / 2 - sheet.image_shift_mm[0]
    top = now.sheet_height_mm / 2 + now.image_shift_y_mm - sheet.height_mm / 2 - sheet.image_shift_mm[1]
    burns = which_burn(record.exposures, len(record.strip.each))
    one = next(e for e, burnt in zip(record.exposures, burns, strict=True) if burnt and e.step == number)
    return tuple(card.placed(1.0, left, top) for card in one.cards[1:])
