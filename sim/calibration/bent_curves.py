"""How far a paper's curves bend away from the form all papers here have, told from its readings.

A slipped step makes a jump, a wrong step a spike, another form a bend that goes smoothly along the curve and is much alike
behind all settings. How likely readings are under bends of every size is reckoned along the fit's tangents, the free numbers
taken out by their prior (C. E. Rasmussen and C. K. I. Williams, Gaussian Processes for Machine Learning, 2006, 2.7 and 5.4).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sim.calibration.own_paper import BEND_IN_DENSITY, OwnPaper, Tangent, tangent_at
from sim.calibration.wedge_strips import STEP_ERROR
from sim.quantities import FloatArray

IntArray = NDArray[np.intp]

BENDS = (0.0, 0.005, 0.01, 0.015, 0.02, 0.03, 0.045, 0.065, 0.09, 0.13, 0.18)  # density, all as likely at first (chosen)
NO_BEND = 0.004  # density: less widens nothing that anybody sees (chosen)
# A fit's numbers take up most of a bend: what is left to see at the readings is so many times smaller. Of papers of our own
# making with six other forms (logistic, normal, exponential, two layers, long toe, long shoulder) nine of ten then lie inside.
ABSORBED = 3.4
NUMBERS_FREE = 5.0  # prior deviations: what a paper's own numbers explain is no bend, however odd they are (chosen)


def unlikeliness(
    tangent: Tangent, places: tuple[IntArray, IntArray] | None = None, bends: tuple[float, ...] = BENDS
) -> FloatArray:  # fmt: skip
    """Return -2 ln of the readings' likelihood for every size of bend, but for what all readings of a count share.

    ``places``: which readings are kept and which step's place in the model each belongs to; None: all where they are.
    """
    whole = np.arange(len(tangent.read), dtype=np.intp)
    reading, at = places or (whole, whole)
    count, white = len(at), len(tangent.rest) - len(tangent.free)
    leaning = np.concatenate([tangent.jacobian[at], tangent.rest_jacobian[:white]])
    off = np.concatenate([tangent.density[at] - tangent.read[reading], tangent.rest[:white]]) - leaning @ tangent.free
    slope, step = tangent.slope[at], tangent.step[at]
    known = NUMBERS_FREE**2 * leaning @ leaning.T
    known[:count, :count] += np.where(step[:, None] == step[None, :], np.outer(slope, slope) * STEP_ERROR**2, 0.0)
    known[np.diag_indices(len(off))] += np.concatenate([tangent.own_variance[at], np.ones(white)])
    bent = np.zeros_like(known)
    bent[:count, :count] = tangent.bends[np.ix_(at, at)]
    return np.array([_unlikely(off, known + bend**2 * bent) for bend in bends])


def _unlikely(off: FloatArray, covariance: FloatArray) -> float:
    lower = np.linalg.cholesky(covariance)
    return float(np.square(np.linalg.solve(lower, off)).sum() + 2.0 * np.log(np.diag(lower)).sum())


def bend_told(own: OwnPaper) -> float:
    """Return the bend (density) that a fit's readings tell: the root mean square of all sizes, each as likely as it is."""
    if any(one.density is None for strip in own.readings.strips for one in strip.readings):
        return own.bend  # the eye calls three steps: no curve's form is told by them
    unlikely = unlikeliness(tangent_at(own))
    weight = np.exp(-0.5 * (unlikely - unlikely.min()))
    return float(np.sqrt(weight @ np.square(BENDS) / weight.sum()))


def with_its_bend(own: OwnPaper) -> OwnPaper:
    """Return the same fit, its errors widened by what a bend that its readings tell does to it."""
    told = bend_told(own)
    bend = ABSORBED * bend_seen(replace(own, bend=told)) if told >= NO_BEND else 0.0
    if bend < NO_BEND:
        return own
    tangent, model = tangent_at(own), own.model()
    white = model.whitener(own.free)
    moved = own.covariance / max(own.misfit, 1.0) @ (white @ tangent.jacobian).T @ white
    here = (BEND_IN_DENSITY * bend) ** 2
    return replace(own, bend=bend, covariance=own.covariance + here * moved @ tangent.bends @ moved.T)


def bend_seen(own: OwnPaper) -> float:
    """Return by how much readings depart smoothly from the fitted curves (rms density over tones between white and black)."""
    response = own.model().predicted(own.free)[1]
    base, net_dmax = response.base_plus_fog, response.black - response.base_plus_fog
    smooth = np.concatenate(own.smooth_misfit())
    density = np.concatenate([[one.density or 0.0 for one in strip.readings] for strip in own.readings.strips])
    between = (density > base + 0.04) & (density < base + 0.9 * net_dmax)
    return float(np.sqrt(np.mean(np.square(smooth[between])))) if between.any() else 0.0
