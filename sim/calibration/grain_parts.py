"""The grains of a sheet in few numbers: how much green dye they took up, or how far their speeds spread.

Three parts, as makers describe variable-contrast paper: grains without dye, grains with little dye, grains with much. The two
dyed parts are smooth: normal in the log of green sensitivity. They are summed on one even grid, so fine against the curve of
one class (about 0.2 from a tenth to nine tenths) that no ripple of the grid is left in the gradient.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.paper.emulsion import Emulsion
from sim.quantities import FloatArray

STEP = 0.10  # log sensitivity between neighbouring classes
NODES = STEP * np.arange(-22, 9)
# Assumption: grains without dye still see a hundredth of the green that grains with much dye see (their own sensitivity's
# tail, and dye that wandered), so that black is reached in any light. The readings do not tell 0.01 from nothing.
UNDYED = -2.0
TOO_FEW = 2e-4  # share of a class that is not worth summing


def _normal(centre: float, spread: float) -> FloatArray:
    shares = np.exp(-0.5 * ((NODES - centre) / spread) ** 2)
    return np.asarray(shares / shares.sum())


def _worth_summing(nodes: FloatArray, shares: FloatArray) -> tuple[tuple[float, ...], tuple[float, ...]]:
    kept = shares >= TOO_FEW
    return tuple(nodes[kept].tolist()), tuple((shares[kept] / shares[kept].sum()).tolist())


@dataclass(frozen=True)
class DyedGrains:
    """A variable-contrast emulsion in seven numbers.

    ``curve_a`` and ``curve_b`` are of the curve that all grains share; ``undyed`` and ``little`` are shares (0..1) of grains
    without and with little dye, the rest has much. Green sensitivities are log10 relative to the middle of those with
    much dye: ``little_at`` where the grains with little dye lie, ``little_spread`` and ``much_spread`` standard deviations.
    """

    curve_a: float
    curve_b: float
    undyed: float
    little: float
    little_at: float
    little_spread: float
    much_spread: float

    @property
    def much(self) -> float:
        """Share of grains with much dye."""
        return 1.0 - self.undyed - self.little

    @classmethod
    def from_free(cls, free: FloatArray) -> DyedGrains:
        """Return the grains of seven unbounded numbers, as a search changes them."""
        shares = np.exp([free[2], free[3], 0.0])
        undyed, little, _ = shares / shares.sum()
        b, little_spread, much_spread = np.exp([free[1], free[5], free[6]])
        return cls(
            float(free[0]),
            float(b),
            float(undyed),
            float(little),
            float(free[4]),
            float(little_spread),
            float(much_spread),
        )

    def emulsion(self, image_density: float, whole_grid: bool = False) -> Emulsion:
        """Return the emulsion (log_speed 0); ``whole_grid`` keeps classes of next to no grains, for a search."""
        shares = self.little * _normal(self.little_at, self.little_spread) + self.much * _normal(0.0, self.much_spread)
        nodes, weights = np.concatenate([[UNDYED], NODES]), np.concatenate([[self.undyed], shares])
        if whole_grid:
            classes = tuple(nodes.tolist()), tuple(weights.tolist())
        else:
            classes = _worth_summing(nodes, weights)
        return Emulsion(self.curve_a, self.curve_b, 0.0, image_density, *classes)


def spread_of_speed(curve_a: float, curve_b: float, image_density: float, spread: float) -> Emulsion:
    """Return a blue-sensitive emulsion whose grains' log speeds are normally spread (standard deviation ``spread``)."""
    nodes, weights = _worth_summing(NODES - NODES.mean(), _normal(float(NODES.mean()), spread))
    return Emulsion(curve_a, curve_b, 0.0, image_density, blue_nodes=nodes, blue_weights=weights)
