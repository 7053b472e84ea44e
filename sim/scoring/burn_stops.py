"""Burns: which exposures are burns, the stops they add, and what the sheet would be without card work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sim.printing.cards import path_mm, shaded_share_at
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
    """Return the stops that a burn adds: all the light a place then has over all that it had before.

    Before is every exposure of the whole picture, whatever its filter, and every earlier burn whose card left the middle of
    this one's hole lit; dialled seconds count, and exact apertures. None for an exposure that is no burn, or has nothing to
    add to.
    """
    if not is_burn(exposures[index], index):
        return None
    before = sum(_light_before(exposures, k, index) for k in range(len(exposures)))
    return factor_to_stops(1.0 + _light(exposures[index]) / before) if before > 0.0 else None


def burn_stops_in_half(exposures: Sequence[Exposure], index: int) -> float | None:
    """Return the stops that a burn adds to the exposure through its own filter alone, else to the first: one half of a split.

    None for an exposure that is no burn, or has nothing to add to.
    """
    if not is_burn(exposures[index], index):
        return None
    mains = [e for k, e in enumerate(exposures) if not is_burn(e, k) and e.through == "negative" and not e.step]
    same = [e for e in mains if e.filter == exposures[index].filter] or mains
    return factor_to_stops(1.0 + _light(exposures[index]) / _light(same[0])) if same else None


def burnt_over_all(record: PrintingRecord, stops: float) -> PrintingRecord:
    """Return the record with its last exposure, a burn, so long that it adds ``stops`` to all light that was there before."""
    last = len(record.exposures) - 1
    now = burn_stops(record.exposures, last)
    if now is None or abs(now - stops) < 1e-6:
        return record
    burn = record.exposures[last]
    return record.with_exposure(last, replace(burn, time_s=burn.time_s * (2.0**stops - 1.0) / (2.0**now - 1.0)))


def _light_before(exposures: Sequence[Exposure], k: int, index: int) -> float:
    """Return the light that one exposure had given to where another burns in, or was to give if it is of the whole picture."""
    one = exposures[k]
    if one.step or one.through != "negative" or k == index:
        return 0.0
    if not is_burn(one, k):
        return _light(one)
    hole = next((card for card in exposures[index].cards if card.lets_through == "inside"), None)
    if k > index or hole is None:
        return 0.0
    path = path_mm(hole, 0.0, exposures[index].time_s)
    x_mm, y_mm = float(np.mean(path.x_mm)), float(np.mean(path.y_mm))
    dark = [shaded_share_at(card, x_mm, y_mm, 0.0, one.time_s) for card in one.cards]
    return _light(one) * float(np.prod([1.0 - share for share in dark]))


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
