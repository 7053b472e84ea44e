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
        table = code_table(light, float(exposure.blue), float(exposure.green), exposure, response)
        return table.take(light.codes, mode="clip")
    return plane_densities(*exposure.planes(), response)


def code_table(
    light: DensityCodes, dose_blue: float, dose_green: float, exposure: PaperExposure, response: Response
) -> Float32Array:
    """Return density for every light code at one pair of doses [65536]; the last code is paper that got no image light."""
    even_blue, even_green = exposure.even_blue, exposure.even_green
    dark = response.density(np.array([even_blue]), np.array([even_green]))
    if even_blue == 0.0 and even_green == 0.0 and dose_blue > 0.0:
        along = _from_row(light, dose_blue, dose_green, response)
    else:
        nodes = np.linspace(light.low, light.low + light.step * (CODES - 1), 4097)
        pass_through = 10.0**-nodes
        exact = response.density(pass_through * dose_blue + even_blue, pass_through * dose_green + even_green)
        along = np.interp(light.levels, nodes, exact)
    return np.append(along, dark).astype(np.float32)


def _from_row(light: DensityCodes, dose_blue: float, dose_green: float, response: Response) -> FloatArray:
    """Return density along the codes from the stock's table: one colour of light, so one row of it."""
    table = response_table(response.stock.emulsion)
    ratio = np.log10(dose_green / dose_blue) if dose_green > 0.0 else RATIO_LOW
    density = response.finish(table.row(ratio))
    log_dose = np.log10(dose_blue + table.green_weight * dose_green) + response.log_shift
    return np.asarray(np.interp(log_dose - light.levels, table.log_exposure, density))


def chunks(size: int) -> Iterator[slice]:
    """Yield slices of a flat picture that fit the cache."""
    for start in range(0, size, CHUNK_PX):
        yield slice(start, min(start + CHUNK_PX, size))


def plane_densities(blue: Float32Array, green: Float32Array, response: Response) -> Float32Array:
    """Return reflection density [row, col] of blue and green exposure planes."""
    lookup = _plane_lookup(response)
    out = np.empty(blue.shape, dtype=np.float32)
    flat_b, flat_g, flat = np.ascontiguousarray(blue).ravel(), np.ascontiguousarray(green).ravel(), out.ravel()
    for part in chunks(flat.size):
        flat[part] = lookup(flat_b[part], flat_g[part])
    return out


def _plane_lookup(response: Response) -> Callable[[Float32Array, Float32Array], Float32Array]:
    table: ResponseTable = response_table(response.stock.emulsion)
    density = response.finish(table.share.astype(np.float64)).astype(np.float32).ravel()
    weight = np.float32(table.green_weight)
    per_log = np.float32(1.0 / (table.log_exposure[1] - table.log_exposure[0]))
    ratios = len(table.log_ratio)
    per_ratio = np.float32((ratios - 1) / (RATIO_HIGH - RATIO_LOW))
    shift = np.float32(response.log_shift - LOG_LOW)
    tiny = np.float32(1e-12)

    def lookup(blue: Float32Array, green: Float32Array) -> Float32Array:
        x = np.log10(blue + weight * green + tiny)
        x += shift
        x *= per_log
        np.clip(x, 0.0, LOG_STEPS - 1.001, out=x)
        r = np.log10((green + tiny) / (blue + tiny))
        r -= np.float32(RATIO_LOW)
        r *= per_ratio
        np.clip(r, 0.0, ratios - 1.001, out=r)
        column, row = x.astype(np.int32), r.astype(np.int32)
        x -= column
        r -= row
        index = row * LOG_STEPS + column
        near = density.take(index)
        near += x * (density.take(index + 1) - near)
        index += LOG_STEPS
        far = density.take(index)
        far += x * (density.take(index + 1) - far)
        near += r * (far - near)
        return near

    return lookup
