"""A ring-around of a print: nine small prints with less and more light through softer and harder filters, for the eye."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.bench.comparing import fitted
from sim.enlarger.filters import GRADED_NAMES
from sim.negative.negative import Negative
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import make_print
from sim.printing.record import PrintingRecord
from sim.printing.strips import ring_around
from sim.refusals import Refused
from sim.viewing.lightness import screen_values

STEP_STOPS = 1.0 / 3.0
GRADES_APART = 2  # places in the list of filters, which goes by half grades from 0 on


@dataclass(frozen=True, eq=False)
class RingPrint:
    """One small print: stops of light more than the middle one, filter, seconds, and how it looks [row, col]."""

    stops: float
    filter: str
    time_s: float
    picture: NDArray[np.uint8]


def ring_of(negative: Negative, record: PrintingRecord, stock: Stock, side_px: int) -> tuple[tuple[RingPrint, ...], ...]:
    """Return rows (soft to hard) of prints (less to more light) around a straight print. Raises Refused in words."""
    if record.sheet.kind == "strip" or len(record.exposures) != 1:
        raise Refused("a ring-around must be made of a whole print of one exposure, not of a strip or of several")
    here = record.exposures[0].filter.graded
    if here is None or not stock.is_variable_contrast:
        raise Refused("a ring-around must have a graded filter to go softer and harder from, got none in the light")
    at, lights = GRADED_NAMES.index(here), LightCache()
    places = dict.fromkeys(min(len(GRADED_NAMES) - 1, max(0, at + k * GRADES_APART)) for k in (-1, 0, 1))
    px_per_mm = side_px / max(record.sheet.width_mm, record.sheet.height_mm)
    rows = []
    for cells in ring_around(record, STEP_STOPS, tuple(GRADED_NAMES[place] for place in places)):
        prints = []
        for cell in cells:
            sheet = make_print(negative, cell.record, stock, px_per_mm, lights=lights)
            picture = fitted(screen_values(sheet.density), (side_px, side_px))
            name, time_s = str(cell.filtration.name), cell.record.exposures[0].time_s
            prints.append(RingPrint(cell.stops, name, time_s, picture))
        rows.append(tuple(prints))
    return tuple(rows)
