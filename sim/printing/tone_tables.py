"""From exposure to density for whole pictures, by tables; the exact sum over grain classes is their source.

Even sheets (one dose for all points) go through ONE table from light code to density. Sheets with cards or stain go
through the stock's table of log exposure and log green-to-blue ratio, linear between its points. Work is done in
bands that fit the cache.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from sim.bands import bands, looked_up, read_between
from sim.enlarger.easel_light import CODES, DensityCodes
from sim.paper.emulsion import Emulsion
from sim.paper.response import (
    LOG_HIGH,
    LOG_LOW,
    LOG_STEPS,
    RATIO_HIGH,
    RATIO_LOW,
    Response,
    ResponseTable,
    response_table,
)
from sim.printing.exposure import PaperExposure
from sim.printing.patch import Patch
from sim.quantities import Float32Array, FloatArray

TINY = np.float32(1e-12)  # exposure so small that the table has white paper there


def densities_of(exposure: PaperExposure, response: Response) -> Float32Array:
    """Return reflection density [row, col] of an exposed and developed sheet."""
    light, blue, green = exposure.light, exposure.blue, exposure.green
    if light is not None and isinstance(blue, Patch) and isinstance(green, Patch):
        out = light.picture_of(*tones_of(light, blue.beyond, green.beyond, exposure, response))
        out[blue.box] = _under_doses(light.piece(*blue.box), blue.inside, green.inside, exposure, response)
        return out
    if light is not None and exposure.even_doses is not None:
        return light.picture_of(*tones_of(light, *exposure.even_doses, exposure, response))
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


def _under_doses(
    light: DensityCodes, blue: Float32Array, green: Float32Array, exposure: PaperExposure, response: Response
) -> Float32Array:
    """Return the densities of a piece of a coded picture of light under doses that differ from point to point."""
    ratio = None if exposure.even_blue > 0.0 or exposure.even_green > 0.0 else _one_colour(blue, green)
    if ratio is not None:
        return _of_one_colour(light, blue, ratio, response)
    return _finished(InTable.under_doses(light, blue, green, exposure, response.stock.emulsion), response)


def _one_colour(blue: Float32Array, green: Float32Array) -> float | None:
    """Return green over blue where it is the same for all doses, so that one row of the table serves them; else None.

    As where a card burns in through the filter of the rest. The same to 0.03 %: less than 0.0002 of density.
    """
    most = float(blue.max(initial=0.0))
    if most <= 0.0:
        return None
    ratio = float(green.max(initial=0.0)) / most
    for band in bands(blue.shape):
        green_of_it = blue[band] * np.float32(ratio)
        if (np.abs(green[band] - green_of_it) > np.float32(3e-4) * green_of_it).any():
            return None
    return ratio


def _of_one_colour(light: DensityCodes, blue: Float32Array, ratio: float, response: Response) -> Float32Array:
    """Return the densities of a picture of light under doses of one colour: along one row of the stock's table."""
    table = response_table(response.stock.emulsion)
    density = response.finish(table.row(np.log10(ratio) if ratio > 0.0 else RATIO_LOW)).astype(np.float32)
    rise = np.append(np.diff(density), np.float32(0.0))
    per_log = (LOG_STEPS - 1) / (LOG_HIGH - LOG_LOW)
    first = float(np.log10(1.0 + table.green_weight * ratio)) + response.log_shift - LOG_LOW
    of_light = light.table_of(lambda passed: (first - passed) * per_log, dark=-1e6)
    per_dose = np.float32(per_log / np.log(10.0))
    out = np.empty(blue.shape, dtype=np.float32)
    for band in bands(blue.shape):
        step = np.log(np.maximum(blue[band], TINY))
        step *= per_dose
        step += looked_up(of_light, light.codes[band])
        np.clip(step, 0.0, LOG_STEPS - 1.001, out=step)
        read_between(density, rise, step)
        out[band] = step
    return out


class InTable:
    """Where points of a sheet lie in the stock's table; development shifts them along it."""

    def __init__(self, along: Float32Array, log_ratio: Float32Array, table: ResponseTable):
        """``along`` is log10 of the exposure that the table's rows run along, ``log_ratio`` of green over blue."""
        self._per_log = np.float32(1.0 / (table.log_exposure[1] - table.log_exposure[0]))
        self._along, ratios = along, len(table.log_ratio)
        self._between_rows, self._row = np.empty_like(along), np.empty(along.shape, dtype=np.int32)
        for band in bands(along.shape):
            r = log_ratio[band] - np.float32(RATIO_LOW)
            r *= np.float32((ratios - 1) / (RATIO_HIGH - RATIO_LOW))
            np.clip(r, 0.0, ratios - 1.001, out=r)
            row = np.floor(r)
            np.subtract(r, row, out=self._between_rows[band])
            row *= np.float32(LOG_STEPS)  # below 2**24: exact
            np.copyto(self._row[band], row, casting="unsafe")

    @classmethod
    def of_planes(cls, blue: Float32Array, green: Float32Array, emulsion: Emulsion) -> InTable:
        """Return where blue and green exposures lie."""
        table = response_table(emulsion)
        along, log_ratio = np.empty_like(blue), np.empty_like(blue)
        for band in bands(blue.shape):
            _log10_of(blue[band] + np.float32(table.green_weight) * green[band] + TINY, along[band])
            _log10_of((green[band] + TINY) / (blue[band] + TINY), log_ratio[band])
        return cls(along, log_ratio, table)

    @classmethod
    def under_doses(
        cls, light: DensityCodes, blue: Float32Array, green: Float32Array, exposure: PaperExposure, emulsion: Emulsion
    ) -> InTable:
        """Return where a piece of a coded picture of light lies under doses that differ from point to point."""
        if exposure.even_blue > 0.0 or exposure.even_green > 0.0:
            picture = light.passed
            planes = (picture * blue + np.float32(exposure.even_blue), picture * green + np.float32(exposure.even_green))
            return cls.of_planes(*planes, emulsion)
        out = cls.of_planes(blue, green, emulsion)
        log_light = np.append(-light.levels, -12.0).astype(np.float32)
        for band in bands(out._along.shape):
            out._along[band] += looked_up(log_light, light.codes[band])
        return out

    def read(self, value: Callable[[NDArray[np.intp]], Float32Array], log_shift: float) -> Float32Array:
        """Return a value of the table at every point, linear between its steps; ``value`` gives it at flat indices."""
        out = np.empty_like(self._along)
        for band in bands(out.shape):
            x = self._along[band] + np.float32(log_shift - LOG_LOW)
            x *= self._per_log
            np.clip(x, 0.0, LOG_STEPS - 1.001, out=x)
            whole = np.floor(x)
            x -= whole
            column = whole.astype(np.intp)
            column += self._row[band]
            near = self._on_row(value, column, x)
            column += LOG_STEPS
            far = self._on_row(value, column, x)
            far -= near
            far *= self._between_rows[band]
            np.add(near, far, out=out[band])
        return out

    @staticmethod
    def _on_row(
        value: Callable[[NDArray[np.intp]], Float32Array], index: NDArray[np.intp], part: Float32Array
    ) -> Float32Array:
        near = value(index)
        rise = value(index + 1)
        rise -= near
        rise *= part
        near += rise
        return near

    @property
    def points(self) -> int:
        """How many points."""
        return self._along.size

    @property
    def rows(self) -> slice:
        """The rows of the table that are read."""
        if self._row.size == 0:
            return slice(0, 0)
        return slice(int(self._row.min()) // LOG_STEPS, int(self._row.max()) // LOG_STEPS + 2)


def _log10_of(value: Float32Array, out: Float32Array) -> None:
    np.log(value, out=out)
    out *= np.float32(1.0 / np.log(10.0))


def plane_densities(blue: Float32Array, green: Float32Array, response: Response) -> Float32Array:
    """Return reflection density [row, col] of blue and green exposure planes."""
    blue = np.asarray(blue, dtype=np.float32)
    green = np.broadcast_to(np.asarray(green, dtype=np.float32), blue.shape)
    return _finished(InTable.of_planes(blue, green, response.stock.emulsion), response)


def _finished(in_table: InTable, response: Response) -> Float32Array:
    """Return print density at every point: of the stock's table those rows are finished that some point reads."""
    share = response_table(response.stock.emulsion).share
    rows = in_table.rows
    if 4 * in_table.points < (rows.stop - rows.start) * LOG_STEPS:
        flat = share.ravel()
        return in_table.read(
            lambda index: response.finish(flat.take(index).astype(np.float64)).astype(np.float32), response.log_shift
        )
    density = response.finish(share[rows].astype(np.float64)).astype(np.float32).ravel()
    first = rows.start * LOG_STEPS
    return in_table.read(lambda index: density.take(index - first), response.log_shift)
