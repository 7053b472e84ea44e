"""The flash of a print as a number to be solved for: its share of what the paper bears unseen, and what that might be."""

from __future__ import annotations

from dataclasses import dataclass
from math import log2

from sim.negative.negative import Negative
from sim.paper.stock import Stock
from sim.printing.flash import flash_share, flashed_by, flashes
from sim.printing.record import PrintingRecord

MOST_FLASH = 3.0  # shares: thrice what stays unseen is fog
NO_LIGHT_STOPS = -40.0
LEAST_SHARE = 1e-6


@dataclass(frozen=True)
class Flashed:
    """Which exposures of a record are its flash, and their share of what the paper bears unseen.

    A record without one is solved with one laid on it: ``laid`` is the share that its exposures hold, ``share`` what the print
    really had.
    """

    rays: tuple[int, ...]
    share: float
    laid: float

    def stops(self, more: float) -> float:
        """Return the stops against the exposures as laid for so many shares more than the print had."""
        share = self.share + more
        return log2(share / self.laid) if share > LEAST_SHARE else NO_LIGHT_STOPS


def flash_laid_on(negative: Negative, record: PrintingRecord, stock: Stock) -> tuple[PrintingRecord, Flashed]:
    """Return a record whose flash can be solved for: itself where it has one, else with a flash of one share laid on it."""
    share = flash_share(negative, record, stock)
    laid = record if share > 0.0 else flashed_by(negative, record, stock, 1.0)
    return laid, Flashed(flashes(laid), share, share or 1.0)
