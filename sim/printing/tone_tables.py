"""From exposure to density for whole pictures, by tables; the exact sum over grain classes is their source.

Even sheets (one dose for all points) go through ONE table from light code to density. Sheets with cards or stain go
through the stock's table of log exposure and log green-to-blue ratio, linear between its points. Work is done in
chunks that fit the cache.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.easel_light import CODES, DensityCodes
from sim.paper.response import LOG_LOW, LOG_STEPS, RATIO_HIGH, RATIO_LOW, Response, ResponseTable, response_table
from sim.printing.exposure import PaperExposure

Float32Array = NDArray[np.float32]
FloatArray = NDArray[np.float64]

CHUNK_PX = 131072


def densities_of(exposure: PaperExposure, response: Response) -> Float32Array:
    """Return reflection density [row, col] of an exposed and developed sheet."""
    light = exposure.light
    doses_even = not isinstance(exposure.blue, np.ndarray) and not isinstance(exposure.green, np.ndarray)
    if light is not None and doses_even:
        return light.picture_of(*tones_of(light, float(exposure.blue), float(exposure.green), exposure, response))
    return plane_densities(*exposure.planes(), response)


def tones_of(
    light: DensityCodes, dose_blue: float, dose_green: float, exposure: PaperExposure, response: Response
) -> tuple[Callable[[FloatArray], FloatArray], float]:
    """Return print density as a function of the light's density at one pair of doses, and that of paper without any."""
    even_blue, even_green = exposure.even_blue, exposure.even_green
    dark = float(response.density(np.array([even_blue]), np.array([even_green]))[0])
    if even_blue == 0.0 and even_green == 0.0 and dose_blue > 0.0:
        return _from_row(dose_blue, dose_green, response), dark
    nodes = np.linspace(light.low, light.low + light.step * (CODES - 1), 4097)
    pass_through = 10.0**-nodes
    exact = response.density(pass_through * dose_blue + even_blue, pass_through * dose_green + even_green)
    return lambda density: np.interp(density, nodes, exact), dark


def _from_row(dose_blue: float, dose_green: float, response: Response) -> Callable[[FloatArray], FloatArray]:
    """Return print density along the light's from the stock's table: one colour of light, so one row of it."""
    table = response_table(response.stock.emulsion)
    ratio = np.log10(dose_green / dose_blue) if dose_green > 0.0 else RATIO_LOW
    density = response.finish(table.row(ratio))
    log_dose = np.log10(dose_blue + table.green_weight * dose_green) + response.log_shift
    return lambda light: np.asarray(np.interp(log_dose - light, table.log_exposure, density))


def chunks(size: int) -> Iterator[slice]:
    """Yield slices of a flat picture that fit the cache."""
    for start in range(0, size, CHUNK_PX):
        yield slice(start, min(start + CHUNK_PX, size))


class InTable:
    """Where points of a sheet lie in the stock's table; development shifts them along it."""

    def __init__(self, blue: Float32Array, green: Float32Array, table: ResponseTable):
        tiny = np.float32(1e-12)
        self._per_log = np.float32(1.0 / (table.log_exposure[1] - table.log_exposure[0]))
        self._along = np.log10(blue + np.float32(table.green_weight) * green + tiny)
        ratios = len(table.log_ratio)
        r = np.log10((green + tiny) / (blue + tiny))
        r -= np.float32(RATIO_LOW)
        r *= np.float32((ratios - 1) / (RATIO_HIGH - RATIO_LOW))
        np.clip(r, 0.0, ratios - 1.001, out=r)
        row = r.astype(np.int32)
        r -= row
        self._between_rows, self._row = r, row * LOG_STEPS

    def read(self, value: Callable[[NDArray[np.int32]], Float32Array], log_shift: float) -> Float32Array:
        """Return a value of the table at every point, linear between its steps; ``value`` gives it at flat indices."""
        x = self._along + np.float32(log_shift - LOG_LOW)
        x *= self._per_log
        np.clip(x, 0.0, LOG_STEPS - 1.001, out=x)
        column = x.astype(np.int32)
        x -= column
        index = self._row + column
        near = value(index)
        near += x * (value(index + 1) - near)
        index += LOG_STEPS
        far = value(index)
        far += x * (value(index + 1) - far)
        near += self._between_rows * (far - near)
        return near


def plane_densities(blue: Float32Array, green: Float32Array, response: Response) -> Float32Array:
    """Return reflection density [row, col] of blue and green exposure planes."""
    table, value = response_table(response.stock.emulsion), _finished(response, blue.size)
    out = np.empty(blue.shape, dtype=np.float32)
    flat_b, flat_g, flat = np.ascontiguousarray(blue).ravel(), np.ascontiguousarray(green).ravel(), out.ravel()
    for part in chunks(flat.size):
        flat[part] = InTable(flat_b[part], flat_g[part], table).read(value, response.log_shift)
    return out


def _finished(response: Response, points: int) -> Callable[[NDArray[np.int32]], Float32Array]:
    """Return print density by flat index of the stock's table: all of it finished for a sheet, for a few points theirs."""
    share = response_table(response.stock.emulsion).share
    if 4 * points < share.size:
        flat = share.ravel()
        return lambda index: response.finish(flat.take(index).astype(np.float64)).astype(np.float32)
    density = response.finish(share.astype(np.float64)).astype(np.float32).ravel()
    return density.take
