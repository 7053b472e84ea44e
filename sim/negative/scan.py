"""A learner's own scan as a density negative: from pixel values through light to density.

Pixel values are undone to linear light (a stated gamma or sRGB, and the scanner's black offset), and light to density
against the clear film base. With a step wedge of known densities in the frame the scanner need not be trusted: each step
is measured and the scan is bent so that the steps come out right. Eight bits hold about two densities at best.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.quantities import Float32Array, FloatArray
from sim.refusals import Refused

DENSEST = 4.0
BAND_ROWS = 128


@dataclass(frozen=True)
class ScanEncoding:
    """How the scanner wrote light: ``gamma`` (1 is linear, 0 stands for the sRGB curve), black offset as a share of full
    scale, whether light and dark were turned over, and which channel to take."""

    gamma: float = 1.0
    black_offset: float = 0.0
    inverted: bool = False
    channel: str = "mean"

    def __post_init__(self) -> None:
        if not (self.gamma == 0.0 or 0.3 <= self.gamma <= 4.0):
            raise Refused(f"gamma must be between 0.3 and 4 (or 0 for sRGB), got {self.gamma!r}")
        if not 0.0 <= self.black_offset <= 0.5:
            raise Refused(f"black_offset must be between 0 and 0.5 of full scale, got {self.black_offset!r}")
        if self.channel not in ("mean", "red", "green", "blue"):
            raise Refused(f"channel must be mean, red, green or blue, got {self.channel!r}")


@dataclass(frozen=True)
class WedgeInFrame:
    """Where a step wedge lies in the scan (fractions left, top, right, bottom) and what its steps are."""

    left: float
    top: float
    right: float
    bottom: float
    steps: int
    first_density: float = 0.05
    increment: float = 0.15

    def __post_init__(self) -> None:
        if not (0.0 <= self.left < self.right <= 1.0 and 0.0 <= self.top < self.bottom <= 1.0):
            raise Refused(f"the wedge must lie inside the scan (0 to 1, left before right), got {self}")
        if not 3 <= self.steps <= 64:
            raise Refused(f"the wedge must have 3 to 64 steps, got {self.steps}")
        if not 0.02 <= self.increment <= 0.6 or not 0.0 <= self.first_density <= 1.0:
            raise Refused(f"the wedge's first density and increment must be those of a wedge, got {self}")


def linear_light(pixels: NDArray[np.integer], encoding: ScanEncoding) -> FloatArray:
    """Return linear light 0-1 [row, col] of 8- or 16-bit pixels, grey or RGB."""
    full = 255 if pixels.dtype == np.uint8 else 65535
    table = light_of_value(np.arange(full + 1) / full, encoding)  # every value a scanner can write, once
    if pixels.ndim == 3 and encoding.channel != "mean":
        pixels = pixels[:, :, ("red", "green", "blue").index(encoding.channel)]
    if pixels.ndim == 2:
        return table[pixels]
    return (table[pixels[:, :, 0]] + table[pixels[:, :, 1]] + table[pixels[:, :, 2]]) / 3.0


def light_of_value(value: FloatArray, encoding: ScanEncoding) -> FloatArray:
    """Return linear light 0-1 of a scanner's values, as shares of full scale."""
    if encoding.inverted:
        value = 1.0 - value
    value = np.clip((value - encoding.black_offset) / (1.0 - encoding.black_offset), 0.0, 1.0)
    if encoding.gamma == 0.0:
        return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    return np.asarray(value**encoding.gamma)


def light_of_bands(bands: Iterable[NDArray[np.integer]], rows: int, cols: int, encoding: ScanEncoding) -> Float32Array:
    """Return linear light [row, col] of a picture that comes in bands of rows from the top; no band outlives its turn."""
    light, top = np.empty((rows, cols), np.float32), 0
    for band in bands:
        light[top : top + len(band)] = linear_light(band, encoding)
        top += len(band)
    return light


def _band_by_band(
    work: Callable[[NDArray[Any]], NDArray[Any]], picture: NDArray[Any], shrink: int = 1
) -> NDArray[Any]:
    """Return ``work`` done on some rows at a time, so that a large scan needs no second and third copy of itself.

    With ``shrink`` the work returns one row and column for that many; what is left over at the right and below is cut off.
    """
    out = np.empty((picture.shape[0] // shrink, picture.shape[1] // shrink), picture.dtype)
    rows = max(BAND_ROWS // shrink, 1)
    for top in range(0, out.shape[0], rows):
        end = min(top + rows, out.shape[0])
        out[top:end] = work(picture[top * shrink : end * shrink, : out.shape[1] * shrink])
    return out


def scanned_density(light: NDArray[Any], clear_share: float | None = None) -> NDArray[Any]:
    """Return density above the clear base: ``-log10(light / clear)``; clear is given, or the brightest hundredth.

    Light below the scanner's last step is taken as half of it, so that black never becomes infinite. What is clearer than
    the clear base comes out negative; it is for the caller to cut that off, once nothing more is to be measured.
    """
    clear = float(np.percentile(light, 99.5)) if clear_share is None else clear_share
    if clear <= 0.0:
        raise Refused("the scan must hold some light, got none")
    least = float(np.min(light, where=light > 0, initial=np.inf))
    floor = max(least / 2.0, clear * 10.0**-DENSEST)
    return _band_by_band(
        lambda band: np.minimum(-np.log10(np.maximum(band.astype(np.float64), floor) / clear), DENSEST), light
    )


def wedge_readings(density: NDArray[Any], wedge: WedgeInFrame) -> FloatArray:
    """Return the mean density read in the middle of every step of the wedge, left to right."""
    rows, cols = density.shape
    top, bottom = round(wedge.top * rows), max(round(wedge.bottom * rows), round(wedge.top * rows) + 1)
    height = bottom - top
    strip = density[top + height // 5 : bottom - height // 5 or bottom]
    width = (wedge.right - wedge.left) * cols / wedge.steps
    if width < 4 or strip.shape[0] < 2:
        raise Refused(f"each wedge step must be at least 4 px wide and 2 px high in the scan, got {width:.1f} px")
    readings = []
    for k in range(wedge.steps):
        first = round(wedge.left * cols + (k + 0.25) * width)
        last = max(round(wedge.left * cols + (k + 0.75) * width), first + 1)
        readings.append(float(-np.log10(np.mean(10.0 ** -strip[:, first:last].astype(np.float64)))))
    return np.array(readings)


def calibrated(density: NDArray[Any], wedge: WedgeInFrame) -> NDArray[Any]:
    """Return the scan's densities bent so that the wedge's steps read what they are.

    Steps the scanner could no longer tell apart are left out. Raises Refused when fewer than three remain, which
    means that the wedge does not lie where it was said to, or lies the other way round.
    """
    read = wedge_readings(density, wedge)
    true = wedge.first_density + wedge.increment * np.arange(wedge.steps)
    keep = [0]
    for k in range(1, wedge.steps):
        if read[k] > read[keep[-1]] + 0.2 * wedge.increment:
            keep.append(k)
    if len(keep) < max(3, wedge.steps // 3):
        raise Refused(
            f"the wedge's steps must grow denser from left to right, got {len(keep)} of {wedge.steps} that do"
        )
    x, y = read[keep], true[keep]
    low_slope = (y[1] - y[0]) / (x[1] - x[0])
    high_slope = (y[-1] - y[-2]) / (x[-1] - x[-2])

    def bent(band: NDArray[Any]) -> NDArray[Any]:
        curved = np.interp(band, x, y)
        curved = np.where(band < x[0], y[0] + (band - x[0]) * low_slope, curved)
        curved = np.where(band > x[-1], y[-1] + (band - x[-1]) * high_slope, curved)
        return np.clip(curved, 0.0, DENSEST)

    return _band_by_band(bent, density)


def reduced(density: NDArray[Any], most_px: int) -> NDArray[Any]:
    """Return a scan small enough to print quickly: light averaged over whole blocks of pixels."""
    step = -(-max(density.shape) // most_px)
    if step <= 1:
        return density

    def smaller(band: NDArray[Any]) -> NDArray[Any]:
        rows, cols = (size // step for size in band.shape)
        light = 10.0 ** -band.astype(np.float64)
        return -np.log10(light.reshape(rows, step, cols, step).mean(axis=(1, 3)))

    return _band_by_band(smaller, density, shrink=step)


def encode_density(density: NDArray[Any]) -> NDArray[np.uint16]:
    """Return densities 0-4 as 16-bit values, one step 0.00006."""
    codes = np.empty(density.shape, np.uint16)
    for top in range(0, len(density), BAND_ROWS):
        band = density[top : top + BAND_ROWS].astype(np.float64)
        codes[top : top + BAND_ROWS] = np.round(np.clip(band, 0.0, DENSEST) / DENSEST * 65535.0)
    return codes


def decode_density(codes: NDArray[np.uint16]) -> Float32Array:
    """Return densities of 16-bit values."""
    return codes.astype(np.float32) * np.float32(DENSEST / 65535.0)
