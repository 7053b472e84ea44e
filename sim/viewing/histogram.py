"""How much of a print is how dark: a histogram in density, with the shares of paper white and full black."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.printing.make_print import Print
from sim.refusals import Refused

# What cannot be told apart any more: paper white below IDmin, black above the standard's IDmax.
WHITE_NET_DENSITY = 0.04
BLACK_SHARE = 0.9


@dataclass(frozen=True, eq=False)
class ToneHistogram:
    """Shares of the picture per density bin; edges in density, shares sum to 1."""

    edges: NDArray[np.float64]
    shares: NDArray[np.float64]
    white_share: float
    black_share: float


def tone_histogram(sheet: Print, bin_density: float = 0.05) -> ToneHistogram:
    """Return the histogram of the picture area of a print (the part of the frame that lies on the sheet)."""
    left, top, width, height = sheet.frame_mm
    r0, c0 = sheet.at(left, top)
    r1, c1 = sheet.at(left + width, top + height)
    window_y, window_x = sheet.grid.open_window()
    rows = slice(max(r0, window_y.start), min(r1 + 1, window_y.stop))
    cols = slice(max(c0, window_x.start), min(c1 + 1, window_x.stop))
    picture = sheet.density[rows, cols]
    if picture.size == 0:
        raise Refused("the picture does not lie on the sheet")
    edges = np.arange(0.0, 2.6 + bin_density, bin_density)
    counts, _ = np.histogram(picture, edges)
    net = picture - sheet.base_plus_fog
    return ToneHistogram(
        edges,
        counts / picture.size,
        float((net < WHITE_NET_DENSITY).mean()),
        float((net > BLACK_SHARE * (sheet.black - sheet.base_plus_fog)).mean()),
    )
