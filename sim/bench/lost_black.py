"""What pulling a sheet cost: how much of the paper's blackest black was not there yet when it left the developer."""

from __future__ import annotations

from dataclasses import dataclass

from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.printing.record import PrintingRecord


@dataclass(frozen=True)
class LostBlack:
    """The blackest black of a sheet as developed, and of the same paper developed out; seconds had, and seconds for that.

    ``wanted_s`` is the time for this developer as it was: warm or cold, fresh or tired.
    """

    black: float
    developed_out: float
    time_s: float
    wanted_s: float

    @property
    def lost(self) -> float:
        """Density missing in the blacks (0 when the sheet stayed in long enough)."""
        return max(0.0, self.developed_out - self.black)


def lost_black(record: PrintingRecord) -> LostBlack:
    """Return the price of a sheet's time in the developer."""
    stock, had = find_stock(record.sheet.paper), record.development
    full = Response(stock, Development(stock.development.completion_time_s))
    return LostBlack(Response(stock, had).black, full.black, had.time_s, stock.development.time_to_completion_s(had))
