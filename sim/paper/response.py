"""From exposure to density: the ONE place where a sheet's blue and green exposures become reflection density.

``Response.density`` is exact (every grain class is summed). ``ResponseTable`` holds the same function on a grid of
log exposure and log green-to-blue ratio, for whole pictures; its error against the exact sum is tested.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from sim.paper.development import Development, Stage
from sim.paper.emulsion import Emulsion
from sim.paper.stock import Stock
from sim.paper.wet_and_dry import Swelling
from sim.quantities import FloatArray

# Grid of the table. Log exposure: from far below the toe to far above the shoulder of the slowest class. Ratio: beyond
# +-4 decades one of the two exposures no longer matters.
LOG_LOW, LOG_HIGH, LOG_STEPS = -4.0, 3.6, 3041
RATIO_LOW, RATIO_HIGH, RATIO_STEPS = -4.0, 4.0, 481


def with_surface(image_density: FloatArray, reflection: float) -> FloatArray:
    """Return the density seen when the surface sends back a share of the light: ``-log10(r + (1-r) 10**-D)``.

    The surface sets the deepest black: no density can exceed ``-log10(r)``.
    """
    return np.asarray(-np.log10(reflection + (1.0 - reflection) * 10.0**-image_density))


def without_surface(density: FloatArray, reflection: float) -> FloatArray:
    """Return the image density behind a surface: the inverse of ``with_surface``."""
    inside = (10.0 ** -np.asarray(density) - reflection) / (1.0 - reflection)
    return np.asarray(-np.log10(np.maximum(inside, 1e-12)))


@dataclass(frozen=True)
class Response:
    """A stock developed in one way: maps blue and green exposure to dry (or wet) reflection density."""

    stock: Stock
    development: Development
    wet: bool = False

    @cached_property
    def _stage(self) -> Stage:
        return self.stock.development.stage(self.development)

    @property
    def log_shift(self) -> float:
        """Log exposure by which this development lags behind completion (0 or negative)."""
        return self.stock.development.log_shift(self._stage)

    def finish(self, developable: FloatArray) -> FloatArray:
        """Return reflection density for a developable share 0..1: development, fog, base, drying, surface."""
        stock = self.stock
        image = stock.emulsion.image_density * stock.development.image_share(self._stage) * developable
        fog = stock.development.fog_density(self._stage)
        dry = stock.base_density + fog + image
        if self.wet:
            wet = Swelling(stock.base_density, stock.wet_gelatin_share, stock.support == "rc").wet(dry)
            return with_surface(wet, stock.wet_surface_reflection)
        return with_surface(dry, stock.surface_reflection)

    def density(self, blue: FloatArray, green: FloatArray) -> FloatArray:
        """Return reflection density for blue and green exposures (same shape, >= 0), every grain class summed."""
        factor = 10.0**self.log_shift
        blue = np.asarray(blue, dtype=np.float64) * factor
        return self.finish(self.stock.emulsion.developable(blue, np.asarray(green) * factor))

    @property
    def base_plus_fog(self) -> float:
        """Density of an unexposed sheet."""
        return float(self.finish(np.zeros(1))[0])

    @property
    def black(self) -> float:
        """Density of a fully exposed sheet: Dmax."""
        return float(self.finish(np.ones(1))[0])


class ResponseTable:
    """The developable share of an emulsion on a grid, shared by all developments of the stock.

    Every second row is summed, those between follow by cubics: so close together that straight lines between rows, by which
    pictures are looked up, are within 0.0004 of density where colours mix.

    Row axis: log10 of ``blue + weight * green`` where ``weight`` makes the axis a nearly constant speed, so that rows
    change little between ratios; column axis: log10(green/blue).
    """

    def __init__(self, emulsion: Emulsion):
        self.emulsion = emulsion
        self.green_weight = _speed_weight(emulsion)
        self.log_exposure = np.linspace(LOG_LOW, LOG_HIGH, LOG_STEPS)
        self.log_ratio = np.linspace(RATIO_LOW, RATIO_HIGH, RATIO_STEPS)
        self.share: NDArray[np.float32] = np.empty((RATIO_STEPS, LOG_STEPS), dtype=np.float32)
        for row, ratio in enumerate(10.0 ** self.log_ratio[::2]):
            blue = 1.0 / (1.0 + self.green_weight * ratio)
            self.share[2 * row] = emulsion.developable_along(self.log_exposure, blue, blue * ratio)
        summed = self.share[::2]
        between = 0.5 * (summed[:-1] + summed[1:])
        between[1:-1] += (between[1:-1] - 0.5 * (summed[:-3] + summed[3:])) / 8.0
        self.share[1::2] = between

    def row(self, log_ratio: float) -> FloatArray:
        """Return the share along ``log_exposure`` for one ratio, cubic between the grid's ratios."""
        position = (np.clip(log_ratio, RATIO_LOW, RATIO_HIGH) - RATIO_LOW) / (self.log_ratio[1] - self.log_ratio[0])
        k = int(min(max(int(position), 1), RATIO_STEPS - 3))
        t = float(position) - k
        weights = (
            -t * (t - 1) * (t - 2) / 6,
            (t + 1) * (t - 1) * (t - 2) / 2,
            -(t + 1) * t * (t - 2) / 2,
            (t + 1) * t * (t - 1) / 6,
        )
        total = np.zeros(LOG_STEPS)
        for offset, weight in enumerate(weights):
            total += weight * self.share[k - 1 + offset]
        return total


def _speed_weight(emulsion: Emulsion) -> float:
    """Return the green weight that makes half-developable exposures of pure blue and pure green equal."""
    if not emulsion.green_nodes:
        return 0.0
    log_h = np.linspace(-5.0, 5.0, 4001)
    h, none = 10.0**log_h, np.zeros(4001)
    at_blue = np.interp(0.3, emulsion.developable(h, none), log_h)
    at_green = np.interp(0.3, emulsion.developable(none, h), log_h)
    return float(10.0 ** (at_blue - at_green))


@lru_cache(maxsize=8)
def response_table(emulsion: Emulsion) -> ResponseTable:
    """Return the table of an emulsion; built once (about half a second) and kept for the process."""
    return ResponseTable(emulsion)
