"""How far a paper's contrast dips along its curve."""

from __future__ import annotations

import numpy as np

from sim.paper.sensitometry import CharacteristicCurve


def deepest_dip(curve: CharacteristicCurve, up_to_share: float = 0.97) -> float:
    """Return how far the local gradient dips below the lower of the peaks on either side (0 = no dip).

    Tones darker than ``up_to_share`` (0..1) of net Dmax are left out.
    """
    net = curve.density - curve.density[0]
    inside = (net > 0.03) & (net < up_to_share * curve.net_dmax)
    gradient = curve.gradient()[inside]
    left = np.maximum.accumulate(gradient)
    right = np.maximum.accumulate(gradient[::-1])[::-1]
    return float(np.max(1.0 - gradient / np.minimum(left, right)))
