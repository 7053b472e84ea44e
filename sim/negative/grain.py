"""The grain tile: stored noise of mean 0 and standard deviation 1, so that no random draw is needed at load."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sim.picture_reading import read_grey_image
from sim.reading import data_folder

Float32Array = NDArray[np.float32]

GRAIN_LEVELS_PER_SD = 32.0
GRAIN_MIDDLE = 128.0


@lru_cache(maxsize=1)
def grain_tile() -> Float32Array:
    """Return the stored grain tile [row, col]: mean 0, standard deviation 1."""
    pixels, _ = read_grey_image(data_folder("assets_generated") / "grain.png")
    tile = (pixels.astype(np.float32) - np.float32(GRAIN_MIDDLE)) / np.float32(GRAIN_LEVELS_PER_SD)
    tile -= tile.mean()
    tile /= tile.std()
    tile.setflags(write=False)
    return tile


def grain_field(shape: tuple[int, ...], offset: int) -> Float32Array:
    """Return the grain tile laid over a frame, shifted by an offset so that no two negatives share their grain.

    Every second tile is turned over, so that no edge or pattern repeats at the tile's pitch.
    """
    rows, cols = shape
    tile = grain_tile()
    size = tile.shape[0]
    rolled = np.roll(tile, (-(offset % size), -((offset // size) % size)), axis=(0, 1))
    row = np.concatenate([rolled, rolled[:, ::-1]], axis=1)
    both = np.concatenate([row, row[::-1]], axis=0)
    return np.resize(both, (rows, cols)) if max(rows, cols) > 2 * size else both[:rows, :cols]
