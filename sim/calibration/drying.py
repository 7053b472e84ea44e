"""How much a paper of one's own dries down: steps of a strip read wet, and again when dry.

The same silver in swollen and in shrunken gelatin (``paper/wet_and_dry``): one number, the gelatin's share of the wet layer, is
found from how much lighter the wet steps read. The readings' own errors, wet and dry, weigh against how far papers are apart.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.calibration.wedge_strips import PaperReadings
from sim.paper.response import with_surface, without_surface
from sim.paper.stock import Stock
from sim.paper.wet_and_dry import Swelling
from sim.quantities import FloatArray
from sim.refusals import Refused

SHARE_SPREAD = 0.5  # ln: from paper to paper of one support (assumption)
PAIR_ERROR = 0.015  # density between two readings of one spot, where the instrument's own error is the same (assumption)
THICKEST, THINNEST = 0.06, 0.9  # gelatin's share of the wet layer that is looked for
TRIED = 25
WET_DARKER_BY = 0.08  # density by which a wet step may not read darker than it dries: five errors
MOST_MISSED = 3.0  # errors rms that no swelling explains


@dataclass(frozen=True)
class Drying:
    """The gelatin's share of the wet layer with its standard error; what a light grey of 0.30 dry reads wet."""

    gelatin_share: float
    error: float
    light_grey_wet: float
    count: int


def drying_of(stock: Stock, readings: PaperReadings) -> Drying | None:
    """Return how a paper dries as steps read wet and dry tell it; None where none was read wet. Raises Refused."""
    pairs = _pairs(readings)
    if not pairs:
        return None
    dry, wet = np.array(pairs).T
    shares = np.geomspace(THICKEST, THINNEST, TRIED)
    off = np.array([(_wet(stock, share, dry) - wet) / PAIR_ERROR for share in shares])
    apart = (np.log(shares / stock.wet_gelatin_share) / SHARE_SPREAD) ** 2
    cost = (off**2).sum(axis=1) + apart
    weight = np.exp(-0.5 * (cost - cost.min()))
    middle = float(np.sum(weight * np.log(shares)) / weight.sum())
    error = float(np.sqrt(np.sum(weight * (np.log(shares) - middle) ** 2) / weight.sum()))
    share = float(np.exp(middle))
    missed = float(np.sqrt(np.mean(((_wet(stock, share, dry) - wet) / PAIR_ERROR) ** 2)))
    if missed > MOST_MISSED:
        raise Refused(
            f"steps read wet must go with the same steps dry, got departures of {missed:.1f} errors in the mean: read them "
            "while the sheet is wet through, surface water wiped off"
        )
    return Drying(round(share, 4), round(share * error, 4), float(_wet(stock, share, np.array([0.30]))[0]), len(dry))


def _pairs(readings: PaperReadings) -> list[tuple[float, float]]:
    """Return dry and wet densities of every step that was read both ways."""
    dry = {(s.setting, one.step): one.density for s in readings.strips for one in s.readings}
    pairs = []
    for one in readings.wet:
        there = dry.get((one.setting, one.step))
        if there is None:  # left out of the fit
            continue
        if one.density > there + WET_DARKER_BY:
            raise Refused(
                f"strip {one.setting}, step {one.step} must not read darker wet than dry, got {one.density:.2f} wet and "
                f"{there:.2f} dry"
            )
        pairs.append((there, one.density))
    return pairs


def _wet(stock: Stock, share: float, dry: FloatArray) -> FloatArray:
    """Return what steps read wet that read ``dry`` when dry, surfaces taken off and put on."""
    silver = without_surface(dry, stock.surface_reflection)
    swollen = Swelling(stock.base_density, float(share), stock.support == "rc").wet(silver)
    return with_surface(swollen, stock.wet_surface_reflection)
