"""Which light of a record is card work, and what the sheet would be without it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sim.printing.record import Card, Exposure, PrintingRecord
from sim.quantities import exact_f_number, factor_to_stops


def stays(card: Card, exposure: Exposure) -> bool:
    """Tell whether a card is in the light from the beginning of an exposure to its end."""
    return card.start_s <= 1e-9 and (card.stop_s == 0.0 or card.stop_s >= exposure.time_s - 1e-9)


def is_burn(exposure: Exposure, index: int) -> bool:
    """Tell whether an exposure is a burn: one more exposure through a hole, or past an edge, held there all the time.

    A tool on a wire over a whole exposure holds back; a sheet needs a main exposure, so the first is never a burn.
    """
    if index == 0 or exposure.through == "open":  # a flash of one place brings no picture
        return False
    return any(stays(card, exposure) and (card.lets_through == "inside" or card.shape == "edge") for card in exposure.cards)


def burn_stops(exposures: Sequence[Exposure], index: int) -> float | None:
    """Return the stops that a burn adds: all the light a place then gets over that of the exposure it adds to.

    That is the main exposure through the same filter, else the first; dialled seconds count, and exact apertures. None for
    an exposure that is no burn, or has nothing to add to.
    """
    if not is_burn(exposures[index], index):
        return None
    mains = [e for k, e in enumerate(exposures) if not is_burn(e, k) and e.through == "negative" and not e.step]
    same = [e for e in mains if e.filter == exposures[index].filter] or mains
    return factor_to_stops(1.0 + _light(exposures[index]) / _light(same[0])) if same else None


def _light(exposure: Exposure) -> float:
    return exposure.time_s / exact_f_number(exposure.f_number) ** 2


def main_exposures(record: PrintingRecord) -> tuple[int, ...]:
    """Return the indices of the exposures that light the whole picture, burns left out."""
    return tuple(
        index
        for index, exposure in enumerate(record.exposures)
        if not is_burn(exposure, index) and exposure.through == "negative"
    )


def without_cards(record: PrintingRecord) -> PrintingRecord:
    """Return the record as it would be printed without any card: burns dropped, tools taken away."""
    kept = [replace(e, cards=()) for k, e in enumerate(record.exposures) if not is_burn(e, k)]
    return record.with_exposures(*kept)
