"""Burns: which exposures are burns, the stops they add, and what the sheet would be without card work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from sim.enlarger.filters import FilterSetting
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


@dataclass(frozen=True)
class Burn:
    """What a burn adds, in stops, and over what: what its own ``filter`` had given the place, else all light there was.

    ``mixed``: light of another filter had reached the place too; ``several``: more than one exposure had.
    """

    stops: float
    filter: FilterSetting
    over_own_filter: bool
    mixed: bool
    several: bool


def burn_of(exposures: Sequence[Exposure], index: int) -> Burn | None:
    """Return what a burn adds: its light over what the place had before behind the same filter, through the negative.

    Two filters print two ends of the scale, so seconds behind them are no sum: twice the light of one half is that half's
    stop, whatever the other gave. Before are the exposures of the whole picture and every earlier burn whose card left the
    middle of this one's hole lit. Only where nothing went before behind the filter is it told against all light before.
    Dialled seconds count, and exact apertures. None for an exposure that is no burn, or has nothing to add to.
    """
    if not is_burn(exposures[index], index):
        return None
    burn = exposures[index]
    lights = [(exposures[k].filter, _light_before(exposures, k, index)) for k in range(index)]
    lit = [(behind, light) for behind, light in lights if light > 0.0]
    same = [light for behind, light in lit if behind == burn.filter]
    counted = same or [light for _, light in lit]
    if not counted:
        return None
    added = factor_to_stops(1.0 + _light(burn) / sum(counted))
    return Burn(added, burn.filter, bool(same), len(same) < len(lit), len(lit) > 1)


def burn_stops(exposures: Sequence[Exposure], index: int) -> float | None:
    """Return the stops that a burn adds (``burn_of``); None for an exposure that is no burn, or has nothing to add to."""
    burn = burn_of(exposures, index)
    return None if burn is None else burn.stops


def burnt_over(record: PrintingRecord, stops: float) -> PrintingRecord:
    """Return the record with its last exposure, a burn, so long that it adds ``stops`` as they are told (``burn_of``)."""
    last = len(record.exposures) - 1
    now = burn_stops(record.exposures, last)
    if now is None or abs(now - stops) < 1e-6:
        return record
    burn = record.exposures[last]
    return record.with_exposure(last, replace(burn, time_s=burn.time_s * (2.0**stops - 1.0) / (2.0**now - 1.0)))


def _light_before(exposures: Sequence[Exposure], k: int, index: int) -> float:
    """Return the light that one exposure before a burn had given to where that one burns in, or to the whole picture."""
    one = exposures[k]
    if one.step or one.through != "negative":
        return 0.0
    if not is_burn(one, k):
        return _light(one)
    hole = next((card for card in exposures[index].cards if card.lets_through == "inside"), None)
    if hole is None:
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
