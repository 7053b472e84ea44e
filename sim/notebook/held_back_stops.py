"""What a card does in stops: the most that any point under its shadow gains or loses, by the engine's own average."""

from __future__ import annotations

import numpy as np

from sim.enlarger.easel import SheetGrid
from sim.enlarger.settings import Bench
from sim.printing.cards import card_optics, covered_share
from sim.printing.record import Card, Exposure, Sheet
from sim.quantities import factor_to_stops

COARSE_PX_PER_MM = 0.5
LEAST_SHARE = 2.0**-8  # a place that gets less light than this counts as fully held back


def held_back_stops(card: Card, exposure: Exposure, sheet: Sheet, bench: Bench) -> float:
    """Return the stops (0 or less) that a tool takes from the place it covers most, of its exposure."""
    rows, cols = (max(8, round(side * COARSE_PX_PER_MM)) for side in (sheet.height_mm, sheet.width_mm))
    grid = SheetGrid(sheet.width_mm, sheet.height_mm, 0.0, COARSE_PX_PER_MM, rows, cols)
    stop_s = card.stop_s or exposure.time_s
    covered = float(np.max(covered_share(card, grid, card_optics(bench, exposure.f_number), card.start_s, stop_s)))
    lit = 1.0 - covered * (stop_s - card.start_s) / exposure.time_s
    return factor_to_stops(max(lit, LEAST_SHARE)) + 0.0

