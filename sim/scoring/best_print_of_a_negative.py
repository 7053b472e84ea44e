"""The best print that can be made of a negative by its aim tones: as real exposures and real cards, ready for make_print.

Tried in the order a printer would: one exposure; a soft and a hard one; a card over the places that refuse, in one of
the two exposures; in both. The first that holds is taken, else the nearest.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sim.enlarger.settings import set_up
from sim.negative.negative import Negative, Place
from sim.paper.stock import Stock
from sim.printing.card_work import CUT_HEIGHT_MM, burnt_above, burnt_in_cut_to
from sim.printing.cards import CardOptics
from sim.printing.exposure import LightCache
from sim.printing.make_print import frame_on_sheet, points_on_sheet
from sim.printing.record import PrintingRecord
from sim.scoring.reach import Reached, ReachOptions, reach
from sim.scoring.start import carded
from sim.scoring.target_tones import Goal


def best_print(
    negative: Negative, record: PrintingRecord, stock: Stock, goals: Sequence[Goal], lights: LightCache | None = None
) -> Reached:
    """Return the simplest way that holds every goal, or the one that comes nearest (root mean square L*)."""
    cache = lights or LightCache()
    tried = [reach(negative, record, stock, goals, "one", lights=cache)]
    if tried[-1].holds:
        return tried[-1]
    carded = tuple(goal.place.name for goal in goals if goal.place.area is not None)
    if not carded:
        tried.append(reach(negative, record, stock, goals, "pair", lights=cache))
        return min(tried, key=lambda found: found.rms_lightness)
    for exposures in ((0,), (1,), (0, 1)):
        options = ReachOptions(card_places=carded, card_exposures=exposures)
        tried.append(reach(negative, record, stock, goals, "pair", options, cache))
    holding = [found for found in tried if found.holds]
    return holding[0] if holding else min(tried, key=lambda found: found.rms_lightness)


def with_real_cards(negative: Negative, found: Reached, cut: bool = True) -> PrintingRecord:
    """Return the record with the solver's card factors as cards of the places' own size, kept moving."""
    record = found.record
    for factor in found.card_factors:
        place = next(goal.place for goal in found.goals if goal.place.name == factor.place)
        record = with_a_real_card(negative, record, place, factor.stops, factor.exposure, cut)
    return record


def with_a_real_card(
    negative: Negative, record: PrintingRecord, place: Place, stops: float, exposure: int = 0, cut: bool = True
) -> PrintingRecord:
    """Return the record with a place held back (-) or burnt in (+) by its usual card.

    An area as wide as the frame (a sky) is burnt in over the edge of a card instead of through a hole; a place that says what
    hole is cut for it, through that, unless the oval of the rack is asked for (``cut`` False).
    """
    if stops > 0 and place.area is not None and place.area[0] >= 1.0:
        _, top, _, height = frame_on_sheet(negative, record)
        return burnt_above(record, exposure, top + place.y * height + 0.5 * place.area[1] * height, stops)
    if stops > 0 and place.hole is not None and cut:
        return through_its_hole(negative, record, place, stops, exposure)
    return carded(negative, record, place, stops, exposure)


def through_its_hole(
    negative: Negative, record: PrintingRecord, place: Place, stops: float, exposure: int = 0
) -> PrintingRecord:
    """Return the record with a burn through the hole that is cut for a place, wherever that falls on the sheet."""
    assert place.hole is not None
    left, top, right, bottom = place.hole
    corners = points_on_sheet(negative, record, np.array([(left, top), (right, top), (right, bottom), (left, bottom)]))
    low, high = corners.min(axis=0), corners.max(axis=0)
    optics = CardOptics(set_up(record.enlarger, negative).lens_to_paper_mm, 1.0)
    across, down = ((high - low) / optics.shadow_scale(CUT_HEIGHT_MM)).tolist()
    x_mm, y_mm = (0.5 * (low + high)).tolist()
    return burnt_in_cut_to(record, exposure, (x_mm, y_mm), (across, down), stops)
