"""The picture coming up in the tray: the sheet's exposure is kept, only its development moves on from frame to frame."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.paper.development import Development
from sim.paper.response import LOG_LOW, LOG_STEPS, RATIO_HIGH, RATIO_LOW, Response, response_table
from sim.paper.stock import Stock
from sim.printing.exposure import PaperExposure
from sim.printing.tone_tables import code_table
from sim.viewing.lightness import screen_values

Float32Array = NDArray[np.float32]
SHARES = 16384  # steps of the developable share: finer than a screen level in the lights


class DevelopingView:
    """Draws one exposed sheet at any stage of its development, 8-bit screen values [row, col].

    Even sheets go through the table that make_print uses. Others keep, for every point, where it lies in the stock's
    table (log exposure, log green-to-blue ratio); development shifts the first and changes what a share develops to.
    """

    def __init__(self, exposure: PaperExposure, stock: Stock):
        self._exposure, self._stock = exposure, stock
        even = not isinstance(exposure.blue, np.ndarray) and not isinstance(exposure.green, np.ndarray)
        self._even = exposure.light is not None and even
        if not self._even:
            self._place_in_table()

    def _place_in_table(self) -> None:
        table, tiny = response_table(self._stock.emulsion), np.float32(1e-12)
        blue, green = self._exposure.planes()
        self._per_log = np.float32(1.0 / (table.log_exposure[1] - table.log_exposure[0]))
        self._along = (np.log10(blue + np.float32(table.green_weight) * green + tiny) - np.float32(LOG_LOW)) * self._per_log
        ratios = len(table.log_ratio)
        across = (np.log10((green + tiny) / (blue + tiny)) - np.float32(RATIO_LOW)) * np.float32(
            (ratios - 1) / (RATIO_HIGH - RATIO_LOW)
        )
        np.clip(across, 0.0, ratios - 1.001, out=across)
        row = across.astype(np.int32)
        self._part = across - row
        self._row = row * LOG_STEPS
        self._share = np.ascontiguousarray(table.share.ravel())

    def frame(self, development: Development, wet: bool) -> NDArray[np.uint8]:
        """Return the sheet after so much development."""
        response = Response(self._stock, development, wet)
        exposure = self._exposure
        if self._even:
            assert exposure.light is not None
            table = code_table(exposure.light, float(exposure.blue), float(exposure.green), exposure, response)
            return np.asarray(screen_values(table).take(exposure.light.codes, mode="clip"))
        x = self._along + np.float32(response.log_shift) * self._per_log
        np.clip(x, 0.0, LOG_STEPS - 1.001, out=x)
        column = x.astype(np.int32)
        x -= column
        index = self._row + column
        near = self._between(index, x)
        index += LOG_STEPS
        near += self._part * (self._between(index, x) - near)
        near *= np.float32(SHARES)
        near += np.float32(0.5)
        levels = screen_values(response.finish(np.arange(SHARES + 1) / SHARES).astype(np.float32))
        return np.asarray(levels.take(near.astype(np.int32), mode="clip"))

    def _between(self, index: NDArray[np.int32], part: Float32Array) -> Float32Array:
        low = self._share.take(index)
        low += part * (self._share.take(index + 1) - low)
        return low
