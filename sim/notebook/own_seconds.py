"""Seconds of one's own enlarger with the interval in which nine of ten lie: "11.5 s (10.6-12.4)"."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.calibration.own_curves import NINETY
from sim.enlarger.equipment import Head
from sim.enlarger.light_given import dialled_time_s, expected_light_s
from sim.enlarger.settings import Bench, set_up
from sim.negative.develop import find_negative
from sim.notebook.control_words import filter_words
from sim.paper.stock import Stock, find_stock
from sim.printing.record import Exposure, PrintingRecord

OTHER_PAPER_ERROR = 0.10  # log10: speed of a paper the enlarger was not measured on, where its file says nothing


@dataclass(frozen=True)
class OwnSeconds:
    """Seconds to dial, and between which nine of ten prints would be right."""

    time_s: float
    low_s: float
    high_s: float

    def __str__(self) -> str:
        return f"{self.time_s:.1f} s ({self.low_s:.1f}\N{EN DASH}{self.high_s:.1f})"


def own_seconds(exposure: Exposure, bench: Bench, stock: Stock) -> OwnSeconds | None:
    """Return an exposure's seconds with their interval; None of a head that nobody measured."""
    own = bench.head.own
    if own is None:
        return None
    error = own.log_error(exposure.filter.name, exposure.f_number, bench.magnification)
    if stock.name != own.paper:
        error = float(np.hypot(error, stock.uncertainty.get("emulsion.log_speed", OTHER_PAPER_ERROR)))
    low_s, high_s = (stretched(exposure.time_s, bench.head, sign * NINETY * error) for sign in (-1.0, 1.0))
    return OwnSeconds(exposure.time_s, low_s, high_s)


def own_seconds_of(record: PrintingRecord) -> list[OwnSeconds | None]:
    """Return the seconds of every exposure of a record; None throughout for a head that nobody measured."""
    bench, stock = set_up(record.enlarger, find_negative(record.negative)), find_stock(record.sheet.paper)
    return [own_seconds(exposure, bench, stock) for exposure in record.exposures]


def own_seconds_lines(record: PrintingRecord) -> list[str]:
    """Return in words what to dial on one's own enlarger, exposure by exposure; nothing for a head that nobody measured."""
    lines = []
    for number, (exposure, own) in enumerate(zip(record.exposures, own_seconds_of(record), strict=True), 1):
        if own is not None:
            lines.append(f"Exposure {number}, {filter_words(exposure.filter)}, f/{exposure.f_number:g}: {own}.")
    return lines


def stretched(time_s: float, head: Head, log_more: float) -> float:
    """Return the seconds to dial for more light (log10) than a time gives, what a switching loses taken care of."""
    return dialled_time_s(expected_light_s(time_s, head) * 10.0**log_more, head)
