"""Grain as a film has it: how coarse in density, how large its clumps, and where on the film each of them lies.

Densities fluctuate as a sum of many like clumps thrown down at random (shot process; Campbell's theorem), so the granularity
spectrum has the form of one clump's own: flat up to about half a cycle per clump, then it fades. By Selwyn's law
fluctuation times the root of the area is the same for all areas well above a clump; smaller ones fluctuate less than that.
A clump's profile is taken as Gaussian (assumption). Every number of noise is stored, in a tile of white noise: cells of it,
chosen and turned by a hash of the negative's key and of where the cell lies, cover any film without an end or a pattern.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.bands import bands, look_up
from sim.lost_detail import diffraction_mtf
from sim.picture_reading import read_grey_image
from sim.quantities import Float32Array, FloatArray
from sim.reading import data_folder

GRAIN_LEVELS_PER_SD = 32.0
GRAIN_MIDDLE = 128.0
GRANULARITY_APERTURE_MM = 0.048
GRANULARITY_EXPONENT = 0.45  # grain grows with density about as D**0.4-0.5 (from memory)
CLEAR = 0.02  # density whose grain clear film shows
CELL = 256  # nodes of white noise that are taken from the tile in one piece
NEARLY_WHITE = 3  # weights up to which the tile is clumped, not the picture: a clump is then cut where a cell ends
MEAN_LIGHT = float(np.log(10.0) / 2.0)  # times the variance: by so much mean light reads less than mean density
MIX = (0x9E3779B97F4A7C15, 0xBF58476D1CE4E5B9, 0x94D049BB133111EB)  # odd 64-bit numbers of a well-known mixing step
WHOLE = (1 << 64) - 1


@dataclass(frozen=True)
class Grain:
    """A film's grain as it was developed.

    ``rms_granularity`` is 1000 times the fluctuation in a 48 um circle at density 1.0, ``clump_mm`` the diameter of a clump
    where it has faded to 1/e (0: points), ``key`` tells one negative's grain from another's.
    """

    rms_granularity: float
    clump_mm: float = 0.0
    key: int = 0

    def sd(self, density: FloatArray, pitch_mm: float) -> FloatArray:
        """Return how net densities fluctuate from pixel to pixel of a pitch in mm on the film, in density."""
        share = circle_share(self.clump_mm)
        at_one = self.rms_granularity / 1000.0 * np.sqrt(_circle_mm2() / share) / pitch_mm
        at_one *= pixel_covariance(round(self.clump_mm / pitch_mm, 6))[0]
        return np.asarray(at_one * ((np.maximum(density, 0.0) + CLEAR) / (1.0 + CLEAR)) ** GRANULARITY_EXPONENT)

    def spectrum(self, frequency_lp_mm: FloatArray) -> FloatArray:
        """Return the granularity spectrum in density**2 mm**2 at density 1.0, at cycles/mm on the film."""
        flat = (self.rms_granularity / 1000.0) ** 2 * _circle_mm2() / circle_share(self.clump_mm)
        return np.asarray(flat * np.exp(-((np.pi * np.asarray(frequency_lp_mm) * self.clump_mm) ** 2) / 4.0))

    def table(self, pitch_mm: float) -> Float32Array:
        """Return the fluctuation of a pixel for densities 0 to 4, in 256 steps a density."""
        return self.sd(np.linspace(0.0, 4.0, 1025), pitch_mm).astype(np.float32)

    def laid_on(self, silver: Float32Array, pitch_mm: float, first: tuple[int, int]) -> Float32Array:
        """Return silver density [row, col] with grain, whose first pixel is that row and column of the film's.

        The mean of the LIGHT that comes through stays what it was: density is told from it.
        """
        table, out = self.table(pitch_mm), np.empty_like(silver)
        for top in range(0, len(silver), CELL):
            cell, laid = silver[top : top + CELL], out[top : top + CELL]
            pattern = self.pattern(pitch_mm, (first[0] + top, first[1]), cell.shape)
            for band in bands(cell.shape):  # what is passed on stays near the processor
                sd, more = cell[band] * np.float32(256.0), pattern[band]
                look_up(table, sd, sd)
                more += np.float32(MEAN_LIGHT) * sd
                more *= sd
                np.add(cell[band], more, out=laid[band])
        return out

    def taken_off(self, silver: Float32Array, pitch_mm: float, first: tuple[int, int]) -> Float32Array:
        """Return the densities that grain was laid on; what it clipped at 0 stays there."""
        table, pattern, out = self.table(pitch_mm), self.pattern(pitch_mm, first, silver.shape), silver
        for _ in range(3):
            sd = table.take((np.maximum(out, 0.0) * np.float32(256.0)).astype(np.int32), mode="clip")
            out = silver - sd * (pattern + np.float32(MEAN_LIGHT) * sd)
        return np.maximum(out, np.float32(0.0))

    def pattern(self, pitch_mm: float, first: tuple[int, int], shape: tuple[int, ...]) -> Float32Array:
        """Return fluctuations of mean 0 and standard deviation 1, [row, col], clumped as far as pixels of a pitch show it."""
        kernel = clumping(round(self.clump_mm / pitch_mm, 6))
        if len(kernel) <= NEARLY_WHITE:
            return white_noise(self.key, first, shape, _clumped_tile(kernel))
        from scipy.ndimage import correlate1d

        reach = len(kernel) // 2
        around = (first[0] - reach, first[1] - reach), (shape[0] + 2 * reach, shape[1] + 2 * reach)
        out = correlate1d(correlate1d(white_noise(self.key, *around), kernel, axis=0), kernel, axis=1)
        return np.ascontiguousarray(out[reach:-reach, reach:-reach])


def _circle_mm2() -> float:
    return float(np.pi * (GRANULARITY_APERTURE_MM / 2.0) ** 2)


@lru_cache(maxsize=32)
def circle_share(clump_mm: float) -> float:
    """Return the variance in a 48 um circle over what Selwyn's law asks of points: clumps that lie across its rim count less.

    Overlap of two circles over all distances of a pair, weighed by how the clumps' fluctuations hang together (0-0.02 mm).
    """
    if clump_mm <= 0.0:
        return 1.0
    r = np.linspace(0.0, min(4.0 * clump_mm, GRANULARITY_APERTURE_MM), 4001)
    together = 8.0 * r / clump_mm**2 * np.exp(-((2.0 * r / clump_mm) ** 2))
    return float(np.trapezoid(diffraction_mtf(r, 1.0, 1.0 / GRANULARITY_APERTURE_MM) * together, r))


@lru_cache(maxsize=64)
def pixel_covariance(clump_px: float) -> tuple[float, ...]:
    """Return how means over pixels in a row hang together, for clumps of so many pixels: variance, next neighbour, …

    Against points of the same granularity, one direction: variance 1 for the smallest clumps, less for larger ones.
    """
    if clump_px < 0.01:
        return (1.0,)
    u = np.linspace(-1.0, 1.0, 4001)
    reach = int(np.ceil(1.0 + 2.0 * clump_px))
    profile = [2.0 / (np.sqrt(np.pi) * clump_px) * np.exp(-((2.0 * (u + k) / clump_px) ** 2)) for k in range(reach + 1)]
    return tuple(float(np.trapezoid((1.0 - np.abs(u)) * one, u)) for one in profile)


@lru_cache(maxsize=64)
def clumping(clump_px: float) -> tuple[float, ...]:
    """Return the weights in a row (an odd number, squares add up to 1) that make white noise hang together as clumps do."""
    lags = np.array(pixel_covariance(clump_px)) / pixel_covariance(clump_px)[0]
    if len(lags) == 1 or lags[1] < 0.01:
        return (1.0,)
    count = 16 * len(lags)
    both = np.zeros(count)
    both[: len(lags)] = lags
    both[-len(lags) + 1 :] = lags[:0:-1]
    kernel = np.fft.irfft(np.sqrt(np.maximum(np.fft.rfft(both).real, 0.0)), count)
    reach = next(k for k in range(count // 2, 0, -1) if abs(kernel[k]) > 0.004)
    row = np.concatenate([kernel[-reach:], kernel[: reach + 1]])
    return tuple(row / np.sqrt((row**2).sum()))


@lru_cache(maxsize=1)
def grain_tile() -> Float32Array:
    """Return the stored grain tile [row, col]: white noise of mean 0, standard deviation 1."""
    pixels, _ = read_grey_image(data_folder("assets_generated") / "grain.png")
    tile = (pixels.astype(np.float32) - np.float32(GRAIN_MIDDLE)) / np.float32(GRAIN_LEVELS_PER_SD)
    tile -= tile.mean()
    tile /= tile.std()
    tile.setflags(write=False)
    return tile


@lru_cache(maxsize=4)
def _clumped_tile(kernel: tuple[float, ...]) -> Float32Array:
    if len(kernel) == 1:
        return grain_tile()
    tile = grain_tile()
    beside, middle, _ = (np.float32(weight) for weight in kernel)  # NEARLY_WHITE: one neighbour on either side
    for down in (True, False):
        around = np.empty_like(tile)
        lines, sums = (tile, around) if down else (tile.T, around.T)
        np.add(lines[:-2], lines[2:], out=sums[1:-1])
        sums[0], sums[-1] = lines[-1] + lines[1], lines[-2] + lines[0]  # the tile goes round
        around *= beside
        around += middle * tile
        tile = around
    tile /= tile.std()
    tile.setflags(write=False)
    return tile


def white_noise(
    key: int, first: tuple[int, int], shape: tuple[int, ...], tile: Float32Array | None = None
) -> Float32Array:
    """Return noise of mean 0 and standard deviation 1 on a film's nodes [row, col], from a first row and column on.

    Every cell of 256 x 256 nodes is a piece of the tile that lies somewhere else and turned otherwise than its neighbours'.
    """
    tile = grain_tile() if tile is None else tile
    out = np.empty(shape, dtype=np.float32)
    (top, left), (rows, cols) = first, shape
    for i in range(top // CELL, (top + rows - 1) // CELL + 1):
        for j in range(left // CELL, (left + cols - 1) // CELL + 1):
            r0, c0 = max(i * CELL, top), max(j * CELL, left)
            r1, c1 = min((i + 1) * CELL, top + rows), min((j + 1) * CELL, left + cols)
            cell = _cell(tile, _mixed(_mixed(_mixed(key) ^ (i & WHOLE)) ^ (j & WHOLE)))
            out[r0 - top : r1 - top, c0 - left : c1 - left] = cell[
                r0 - i * CELL : r1 - i * CELL, c0 - j * CELL : c1 - j * CELL
            ]
    return out


def _cell(tile: Float32Array, mixed: int) -> Float32Array:
    spare = tile.shape[0] - CELL + 1
    row, col = mixed % spare, (mixed >> 20) % spare
    cell = tile[row : row + CELL, col : col + CELL]
    cell = cell[::-1] if mixed >> 61 & 1 else cell
    cell = cell[:, ::-1] if mixed >> 62 & 1 else cell
    return cell.T if mixed >> 63 & 1 else cell


def _mixed(number: int) -> int:
    """Return a number of 64 bits in which every bit depends on every bit of the one given."""
    number = (number + MIX[0]) & WHOLE
    number = ((number ^ (number >> 30)) * MIX[1]) & WHOLE
    number = ((number ^ (number >> 27)) * MIX[2]) & WHOLE
    return number ^ (number >> 31)
