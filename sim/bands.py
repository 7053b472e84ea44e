"""Large pictures worked on in bands of rows, so that what lies between two steps stays in the processor's cache."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

BAND_PX = 32768  # 128 kB of float32: measured best from 16,384 to 65,536 on two machines' caches of 512 kB and more


def bands(shape: tuple[int, ...]) -> Iterator[slice]:
    """Yield slices of the rows of a picture [row, col], some 32,768 pixels each."""
    rows, cols = shape[0], max(shape[1] if len(shape) > 1 else 1, 1)
    step = max(BAND_PX // cols, 1)
    for start in range(0, rows, step):
        yield slice(start, min(start + step, rows))


def looked_up(table: NDArray[np.float32], codes: NDArray[np.integer[Any]]) -> NDArray[np.float32]:
    """Return a table's value for every code of a picture [row, col], band by band; beyond its ends the last value."""
    out = np.empty(codes.shape, dtype=np.float32)
    for band in bands(codes.shape):
        look_up(table, codes[band], out[band])
    return out


def read_between(values: NDArray[np.float32], rises: NDArray[np.float32], steps: NDArray[np.float32]) -> None:
    """Put in the place of the steps of one band what a table has there, linear between its entries, ``rises`` apart."""
    whole = np.floor(steps)
    steps -= whole
    low = whole.astype(np.intp)
    steps *= rises.take(low)
    steps += values.take(low)


def look_up(table: NDArray[np.float32], steps: NDArray[Any], out: NDArray[np.float32]) -> None:
    """Write a table's values at the steps of one band, fractions cut off, into ``out``: no copy on the way."""
    np.take(table, steps.astype(np.intp, copy=False), out=out, mode="clip")
