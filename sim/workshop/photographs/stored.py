"""Keeping a scene: 16-bit log luminance in steps that film cannot show, dithered, so that the picture stays small.

Grain of the finest film is several times such a step; steps are dithered so that no smooth sky shows a border.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.negative.scene_file import LOG10_HIGH, LOG10_LOW

CODES_PER_STEP = 33  # chosen: 33 of the file's codes are 0.00403 log10, a third of the grain of the finest film seen at 0.1 mm
DITHER_SEED = 7


def stepped_codes(luminance_cd_m2: NDArray[np.float32]) -> NDArray[np.uint16]:
    """Return codes on the fixed scale of scene files, rounded to multiples of CODES_PER_STEP after a dither of one step."""
    log = np.log10(np.clip(luminance_cd_m2.astype(np.float64), 10.0**LOG10_LOW, 10.0**LOG10_HIGH))
    codes = (log - LOG10_LOW) / (LOG10_HIGH - LOG10_LOW) * 65535.0
    dither = np.random.Generator(np.random.PCG64(DITHER_SEED)).random(codes.shape) - 0.5
    steps = np.round(codes / CODES_PER_STEP + dither)
    return np.clip(steps * CODES_PER_STEP, 0, 65535).astype(np.uint16)
