"""Whether a stored photograph is what its description gives: a small window of it is traced once more, and compared."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sim.workshop.photographs.catalogue import PLATES, described
from sim.workshop.photographs.stored import luminance_of
from sim.workshop.photographs.tracer import trace

WINDOWS_CHECKED = 2
WINDOW_PX = 96  # side of a window, in the middle of the picture
WINDOW_PATHS = 64  # a pixel, for the window only: chosen, 256 say the same of the kiln mouth's dark joints, 8 say 0.009 more
BLOCK_PX = 16  # a traced block of so many pixels a side has as little noise as the denoised one


def tracer_is_there() -> bool:
    """Tell whether the path tracer is installed and starts here."""
    try:
        import bpy  # noqa: F401
    except ImportError:
        return False
    return True


def window_off_by(name: str, steps: NDArray[np.uint16]) -> float:
    """Return by how much the middle of a stored photograph differs from a fresh trace, log10: the median of its blocks."""
    high, wide = steps.shape
    top, left = (high - WINDOW_PX) // 2, (wide - WINDOW_PX) // 2
    window = (top, top + WINDOW_PX, left, left + WINDOW_PX)
    quality = replace(PLATES[name].quality, paths=WINDOW_PATHS, denoise=False)
    fresh = trace(described(name), wide, high, quality, window)
    stored = luminance_of(steps[top : top + WINDOW_PX, left : left + WINDOW_PX])
    return float(np.median(np.abs(np.log10(_blocks(fresh) / _blocks(stored)))))


def _blocks(luminance: NDArray[np.float32]) -> NDArray[np.float64]:
    many = WINDOW_PX // BLOCK_PX
    mean = luminance.astype(np.float64).reshape(many, BLOCK_PX, many, BLOCK_PX).mean((1, 3))
    return np.maximum(mean, 1e-3)
