"""What is typed after an exposure: a card over a place, everything above a place, one more exposure of the whole sheet.

One spelling for verbs and for a lesson's lines: PLACE:STOPS[:MM[:EXPOSURE]], PLACE:STOPS, FILTER:SECONDS.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from sim.command.lesson_lines import number_in, whole_in
from sim.command.setting_options import named_place
from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.negative.negative import Negative
    from sim.printing.record import Exposure, PrintingRecord


def with_typed_card(negative: Negative, record: PrintingRecord, key: str, sign: float, text: str) -> PrintingRecord:
    """Return the record with a place held back (sign -1) or burnt in (+1): PLACE:STOPS, with :MM and :EXPOSURE if wanted.

    Without a size the tool is of the place's own extent; without an exposure the first is meant. Raises Refused.
    """
    from sim.printing.card_work import burnt_in, held_back
    from sim.printing.make_print import place_on_sheet
    from sim.scoring.start import with_card

    name, *parts = text.split(":")
    if not 1 <= len(parts) <= 3:
        raise Refused(f"{key} must be a place, stops and if wanted mm, such as face:0.5:40, got {text[:60]!r}")
    place = named_place(negative, key, name)
    stops = number_in(f"{key} {name}, stops", parts[0])
    exposure = whole_in(f"{key} {name}, exposure", parts[2]) - 1 if len(parts) > 2 else 0
    if not 0 <= exposure < len(record.exposures):
        raise Refused(f"{key} {name}: the exposure must be between 1 and {len(record.exposures)}, got {exposure + 1}")
    if len(parts) == 1:
        return with_card(negative, record, place, sign * stops, exposure)
    work = held_back if sign < 0 else burnt_in
    size_mm = number_in(f"{key} {name}, mm", parts[1])
    return work(record, exposure, *place_on_sheet(negative, record, place), size_mm, stops)


def with_typed_burn_above(negative: Negative, record: PrintingRecord, text: str) -> PrintingRecord:
    """Return the record with everything above a place's lower edge burnt in over the edge of a card: PLACE:STOPS."""
    from sim.printing.card_work import burnt_above
    from sim.printing.make_print import frame_on_sheet, place_on_sheet

    name, _, stops = text.partition(":")
    place = named_place(negative, "burn-above", name)
    below_mm = 0.5 * place.area[1] * frame_on_sheet(negative, record)[3] if place.area else 0.0
    horizon_mm = place_on_sheet(negative, record, place)[1] + below_mm
    return burnt_above(record, 0, horizon_mm, number_in("burn-above, stops", stops))


def typed_exposure(first: Exposure, text: str, key: str) -> Exposure:
    """Return one more exposure of the whole sheet, at the first one's aperture: FILTER:SECONDS. Raises Refused."""
    from sim.enlarger.filters import FilterSetting

    name, colon, seconds = text.partition(":")
    if not colon or not seconds:
        raise Refused(f"{key} must be a filter and seconds such as 00:6, got {text[:40]!r}")
    time_s = number_in(f"{key}, seconds", seconds)
    return replace(first, filter=FilterSetting.named(name), time_s=time_s, cards=(), light_s=None)
