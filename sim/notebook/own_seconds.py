"""Seconds of one's own enlarger with the interval in which nine of ten lie: "11.5 s (10.6-12.4)"."""

from __future__ import annotations

from dataclasses import dataclass

from sim.calibration.print_scatter import nine_of_ten_within
from sim.enlarger.equipment import head_digest
from sim.enlarger.light_given import stretched_s
from sim.enlarger.settings import Bench, set_up
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.notebook.control_words import filter_words
from sim.notebook.safelight_words import safelight_words
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


def measured_since(record: PrintingRecord) -> bool:
    """Tell whether an enlarger of one's own was measured anew since a record was written: the record's seconds are older."""
    named = record.enlarger.head_digest
    return bool(named) and named != head_digest(record.enlarger.head)


def since_then(record: PrintingRecord) -> str:
    """Return in words which darkroom a record's seconds are of, where its enlarger has been measured anew; else nothing."""
    if not measured_since(record):
        return ""
    return (
        "Seconds are those of your enlarger as it was known when this record was written. It has been measured anew since: no "
        "interval of today's belongs to them. Make a strip, or set the print up anew for today's seconds."
    )


def own_seconds(exposure: Exposure, bench: Bench, stock: Stock) -> OwnSeconds | None:
    """Return an exposure's seconds with their interval; None of a head that nobody measured."""
    own = bench.head.own
    if own is None:
        return None
    another = stock.name != own.paper
    paper_error = stock.uncertainty.get("emulsion.log_speed", OTHER_PAPER_ERROR) if another else 0.0
    within = nine_of_ten_within(*own.next_print(exposure.filter.name, exposure.f_number, bench.magnification, paper_error))
    low_s, high_s = (stretched_s(exposure.time_s, 10.0 ** (sign * within), bench.head) for sign in (-1.0, 1.0))
    return OwnSeconds(exposure.time_s, low_s, high_s)


def own_seconds_lines(record: PrintingRecord, negative: Negative | None = None, stock: Stock | None = None) -> list[str]:
    """Return in words what to dial on one's own enlarger, exposure by exposure, and what its safelight allows.

    ``negative`` and ``stock`` are those the record names, where they are in hand.
    """
    bench, paper = set_up(record.enlarger, negative or find_negative(record.negative)), stock or find_stock(record.sheet.paper)
    then = since_then(record)
    lines = [then] if then else []
    for number, exposure in enumerate(() if then else record.exposures, 1):
        own = own_seconds(exposure, bench, paper)
        if own is not None:
            lines.append(f"Exposure {number}, {filter_words(exposure.filter)}, f/{exposure.f_number:g}: {own}.")
    coin = safelight_words(record)
    if coin is not None:
        lines.append(f"Safelight: {coin[0]}.")
    return lines
