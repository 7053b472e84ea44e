"""The picture coming up in the tray: the sheet's exposure is kept, only its development moves on from frame to frame."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.paper.development import Development
from sim.paper.response import Response, response_table
from sim.paper.stock import Stock
from sim.printing.exposure import PaperExposure
from sim.printing.tone_tables import InTable, tones_of
from sim.viewing.lightness import screen_values

SHARES = 16384  # steps of the developable share: finer than a screen level in the lights


class DevelopingView:
    """Draws one exposed sheet at any stage of its development, 8-bit screen values [row, col].

    Even sheets go through the table that make_print uses. Others keep, for every point, where it lies in the stock's
    table (log exposure, log green-to-blue ratio); development shifts the first and changes what a share develops to.
    """

    def __init__(self, exposure: PaperExposure, stock: Stock):
        self._exposure, self._stock = exposure, stock
        if exposure.even_doses is None:
            self._in_table = InTable.of_planes(*exposure.planes(), stock.emulsion)
            self._share = np.ascontiguousarray(response_table(stock.emulsion).share.ravel())

    def frame(self, development: Development, wet: bool) -> NDArray[np.uint8]:
        """Return the sheet after so much development."""
        response = Response(self._stock, development, wet)
        exposure = self._exposure
        if exposure.light is not None and exposure.even_doses is not None:
            tones = tones_of(exposure.light, *exposure.even_doses, exposure, response)
            table = screen_values(exposure.light.table_of(*tones))
            return np.asarray(table.take(exposure.light.codes, mode="clip"))
        near = self._in_table.read(self._share.take, response.log_shift)
        near *= np.float32(SHARES)
        near += np.float32(0.5)
        levels = screen_values(response.finish(np.arange(SHARES + 1) / SHARES).astype(np.float32))
        return np.asarray(levels.take(near.astype(np.int32), mode="clip"))
