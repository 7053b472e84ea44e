"""Screen pictures of a sheet, fast enough to follow a hand: the same exposures, the same response, 8-bit answers.

For looking only; marks and readings come from make_print's densities. Each point's exposure is kept as its total
``blue + w green`` and as ``total / blue``; the bits of those float32 numbers are a free logarithm and index one table of
screen values per stock and development. Chunks that fit the cache, two threads. Error bounds are in the benchmark.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.paper.response import RATIO_LOW, Response, response_table
from sim.printing.exposure import ExposurePart, PaperExposure
from sim.printing.tone_tables import CHUNK_PX, tones_of

Float32Array = NDArray[np.float32]
ToScreen = Callable[[NDArray[np.floating]], NDArray[np.uint8]]

# Bits of a float32 kept as index: 11 bits of fraction for the total (0.00015-0.0003 log), 7 for the ratio.
TOTAL_SHIFT, RATIO_SHIFT = 12, 16
TOTAL_LOW, TOTAL_HIGH = 2.0**-10, 2.0**9
RATIO_HIGH_FACTOR = 2.0**11
THREADS = 2


def _bits(value: float, shift: int) -> int:
    return int(np.float32(value).view(np.int32)) >> shift


def _nodes(low: float, high: float, shift: int) -> NDArray[np.float64]:
    """Return the value in the middle of every index between two float32 numbers."""
    bits = np.arange(_bits(low, shift), _bits(high, shift)) << shift
    middle = (bits + (1 << (shift - 1))).astype(np.int32).view(np.float32)
    return middle.astype(np.float64)


@dataclass(frozen=True, eq=False)
class ScreenTable:
    """Screen values over (ratio, total) of one stock and development; flat, row by row of ratios."""

    values: NDArray[np.uint8]
    columns: int
    rows: int
    green_weight: float

    def fill(self, total: Float32Array, blue: Float32Array, out: NDArray[np.uint8]) -> None:
        """Write screen values for totals and blue exposures (both overwritten)."""
        np.divide(total, blue, out=blue)
        column, row = total.view(np.int32), blue.view(np.int32)
        np.right_shift(column, TOTAL_SHIFT, out=column)
        column -= _bits(TOTAL_LOW, TOTAL_SHIFT)
        np.clip(column, 0, self.columns - 1, out=column)
        np.right_shift(row, RATIO_SHIFT, out=row)
        row -= _bits(1.0, RATIO_SHIFT)
        np.clip(row, 0, self.rows - 1, out=row)
        row *= self.columns
        column += row
        np.take(self.values, column, out=out, mode="clip")


def screen_table(response: Response, to_screen: ToScreen) -> ScreenTable:
    """Return the table of a stock and development (about a third of a second; keep it)."""
    ratios = _nodes(1.0, RATIO_HIGH_FACTOR, RATIO_SHIFT)
    values = np.stack([one_colour(response, to_screen, float(ratio)) for ratio in ratios])
    weight = response_table(response.stock.emulsion).green_weight
    return ScreenTable(values.ravel(), values.shape[1], len(ratios), weight)


def one_colour(response: Response, to_screen: ToScreen, ratio: float) -> NDArray[np.uint8]:
    """Return screen values over the total exposure for light whose total is ``ratio`` times its blue."""
    table = response_table(response.stock.emulsion)
    totals = np.log10(_nodes(TOTAL_LOW, TOTAL_HIGH, TOTAL_SHIFT)) + response.log_shift
    weight = table.green_weight
    log_ratio = np.log10(max(ratio - 1.0, 1e-6) / weight) if weight else RATIO_LOW
    share = np.interp(totals, table.log_exposure, table.row(float(log_ratio)))
    return to_screen(response.finish(share).astype(np.float32))


@dataclass(frozen=True, eq=False)
class _Share:
    """One exposure as tables over its codes: total and blue exposure of the whole time it lasted."""

    codes: NDArray[np.uint16]
    total: Float32Array
    blue: Float32Array
    lit: Float32Array | None
    ratio: float | None = None  # total over blue where one colour of light serves the whole sheet


def _share(part: ExposurePart, response: Response, weight: float) -> _Share:
    light, lit = part.light, part.lit
    assert light is not None
    if light.is_neutral:
        passed = np.append(10.0**-light.neutral_light.levels, 0.0) * part.seconds
        blue, green = part.rates
        total = passed * (blue + weight * green)
        ratio = (blue + weight * green) / blue if blue > 0.0 else None
        codes, planes = light.neutral_light.codes, (total.astype(np.float32), (passed * blue).astype(np.float32))
        return _Share(codes, *planes, _flat(lit), ratio)
    curves = light.stained_curves(response.stock.emulsion.weightings(), part.filtration)
    tables = np.array([light.film.table_of(*curve) for curve in curves]) * part.seconds
    total = tables[0] + weight * tables[1] if len(tables) == 2 else tables[0]
    both = light.relative if lit is None else light.relative * lit
    return _Share(light.film.codes, total.astype(np.float32), tables[0].astype(np.float32), _flat(both))


def _flat(lit: Float32Array | None) -> Float32Array | None:
    return None if lit is None else np.ascontiguousarray(lit, dtype=np.float32).ravel()


class QuickView:
    """Draws sheets of one stock and development; keeps its table and buffers between calls."""

    def __init__(self, response: Response, to_screen: ToScreen):
        self.response = response
        self.to_screen = to_screen
        self._table: ScreenTable | None = None

    @property
    def table(self) -> ScreenTable:
        """The table of (ratio, total), made when first needed."""
        if self._table is None:
            self._table = screen_table(self.response, self.to_screen)
        return self._table

    def picture(self, exposure: PaperExposure) -> NDArray[np.uint8]:
        """Return the sheet as 8-bit screen values [row, col]."""
        return self.drawing(exposure)()

    def drawing(self, exposure: PaperExposure) -> Callable[[], NDArray[np.uint8]]:
        """Return a function that draws the sheet: tables are made now, pixels when it is called."""
        light = exposure.light
        if light is not None and not isinstance(exposure.blue, np.ndarray):
            tones = tones_of(light, float(exposure.blue), float(exposure.green), exposure, self.response)
            table = self.to_screen(light.table_of(*tones))
            return lambda: self._even(table, light.codes)
        weight = response_table(self.response.stock.emulsion).green_weight
        shares = [_share(part, self.response, weight) for part in exposure.parts]
        if not shares:
            return lambda: self._from_planes(exposure)
        shape = (exposure.grid.rows, exposure.grid.cols)
        ratios = {share.ratio for share in shares}
        if len(ratios) == 1 and None not in ratios and exposure.even_blue == exposure.even_green == 0.0:
            row = one_colour(self.response, self.to_screen, float(ratios.pop() or 1.0))
            return lambda: self._added_in_one_colour(shares, shape, row)
        even = (exposure.even_blue + weight * exposure.even_green, exposure.even_blue)
        _ = self.table  # made now, so that drawing itself stays quick
        return lambda: self._added(shares, shape, even)

    def _even(self, table: NDArray[np.uint8], codes: NDArray[np.uint16]) -> NDArray[np.uint8]:
        out = np.empty(codes.shape, dtype=np.uint8)
        flat, flat_codes = out.ravel(), codes.ravel()
        _in_chunks(flat.size, lambda part, _: np.take(table, flat_codes[part], out=flat[part], mode="clip"))
        return out

    def _added_in_one_colour(
        self, shares: Sequence[_Share], shape: tuple[int, int], row: NDArray[np.uint8]
    ) -> NDArray[np.uint8]:
        """Draw a sheet whose exposures all went through one filter: cards change how much light, not its colour."""
        out = np.empty(shape, dtype=np.uint8)
        flat = out.ravel()
        codes = [share.codes.ravel() for share in shares]
        lowest = _bits(TOTAL_LOW, TOTAL_SHIFT)

        def draw(part: slice, buffers: list[Float32Array]) -> None:
            total, one = (buffer[: part.stop - part.start] for buffer in buffers[:2])
            for k, (share, code) in enumerate(zip(shares, codes, strict=True)):
                into = total if k == 0 else one
                np.take(share.total, code[part], out=into, mode="clip")
                if share.lit is not None:
                    into *= share.lit[part]
                if k:
                    total += one
            index = total.view(np.int32)
            np.right_shift(index, TOTAL_SHIFT, out=index)
            index -= lowest
            np.take(row, index, out=flat[part], mode="clip")

        _in_chunks(flat.size, draw)
        return out

    def _added(
        self, shares: Sequence[_Share], shape: tuple[int, int], even: tuple[float, float]
    ) -> NDArray[np.uint8]:
        out = np.empty(shape, dtype=np.uint8)
        flat = out.ravel()
        codes = [share.codes.ravel() for share in shares]
        floor = np.float32(max(even[1], 1e-12))

        def draw(part: slice, buffers: list[Float32Array]) -> None:
            size = part.stop - part.start
            total, blue, one = (buffer[:size] for buffer in buffers)
            total[:], blue[:] = even[0] + 1e-12, floor
            for share, code in zip(shares, codes, strict=True):
                for table, into in ((share.total, total), (share.blue, blue)):
                    np.take(table, code[part], out=one, mode="clip")
                    if share.lit is not None:
                        one *= share.lit[part]
                    into += one
            self.table.fill(total, blue, flat[part])

        _in_chunks(flat.size, draw)
        return out

    def _from_planes(self, exposure: PaperExposure) -> NDArray[np.uint8]:
        blue, green = exposure.planes()
        out = np.empty(blue.shape, dtype=np.uint8)
        total = blue + np.float32(self.table.green_weight) * green + np.float32(1e-12)
        self.table.fill(total.ravel(), (blue + np.float32(1e-12)).ravel(), out.ravel())
        return out


def _in_chunks(size: int, draw: Callable[[slice, list[Float32Array]], object]) -> None:
    """Draw a flat picture in chunks on two threads, each with buffers of its own."""
    starts = range(0, size, CHUNK_PX)

    def lane(offset: int) -> None:
        buffers = [np.empty(CHUNK_PX, dtype=np.float32) for _ in range(3)]
        for start in starts[offset::THREADS]:
            draw(slice(start, min(start + CHUNK_PX, size)), buffers)

    if len(starts) < 2 * THREADS:
        for offset in range(THREADS):
            lane(offset)
        return
    with ThreadPoolExecutor(THREADS) as pool:
        list(pool.map(lane, range(THREADS)))
