"""How far single prints of one darkroom lie apart that were each called right, as far as a few of them tell.

An interval is wanted that holds nine of ten next prints in every darkroom, the calm and the wild ones alike, from a twentieth
of a stop to three tenths. Were every scatter as likely as every other in proportion, without end, it would hold exactly so
many from two prints on (log of a standard deviation uniform: G. E. P. Box and G. C. Tiao, Bayesian Inference in Statistical
Analysis, 1973, section 2.4); but nobody's prints lie stops apart, and where the guess falls off, at two thirds of a stop, the
wildest darkrooms are held too seldom. So the guess leans towards wild ones by the root of the scatter: what the far end lacks
is made up for at the near one (a prior that favours the worst case: J. O. Berger, Statistical Decision Theory and Bayesian
Analysis, 2nd ed., 1985, section 5.3). Root and fall were chosen on sums over all darkrooms. What the prints leave of the
guess is told as a Student's t whose nine and ninety-nine of a hundred are those of all scatters together, each weighed by how
likely it made them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from sim.quantities import FloatArray

LEAST = 0.015  # log10: no eye, timer and developer do better, however well a few prints agree (assumption)
SELDOM = 0.2  # log10, two thirds of a stop: prints called right that lie further apart are seldom one darkroom's (assumption)
LEANS_WITH, FALLS_WITH = 0.5, 6.0  # power with which larger scatters become likelier up to there, and less likely beyond
MOST, STEPS, MIXED = 3.0, 60, 400
FEWEST_FREEDOM, MOST_FREEDOM = 1.0, 300.0


@dataclass(frozen=True)
class Told:
    """The scatter of one print (log10), how surely it is known (degrees of freedom)."""

    scatter: float
    freedom: float


def scatter_told(off: FloatArray, spread: FloatArray) -> Told:
    """Return what prints tell of their scatter; ``off`` is what each lies from what was foretold before any print (log10).

    ``spread`` is the covariance of that by itself, scatter left out: of level, filter, mark and size.
    """
    scatters, weight = _guess()
    if len(off):
        variances, axes = np.linalg.eigh(spread)
        whole = np.maximum(variances, 0.0)[None, :] + scatters[:, None] ** 2
        log_likely = -0.5 * (np.log(whole) + (axes.T @ off) ** 2 / whole).sum(axis=1)
        weight = weight * np.exp(log_likely - log_likely.max())
    return _as_student(scatters, weight / weight.sum())


def _guess() -> tuple[FloatArray, FloatArray]:
    """Return scatters (log10), growing in even proportion, and how likely each is before any print."""
    scatters = np.exp(np.linspace(np.log(LEAST), np.log(MOST), STEPS))
    wild = scatters / SELDOM
    return scatters, wild**LEANS_WITH / (1.0 + wild ** (FALLS_WITH + LEANS_WITH))


def chance_within(width: float, known: float, scattered: float, freedom: float) -> float:
    """Return how often a print lies within a width (log10) of what is foretold of it.

    ``known`` is the part of the standard error that hangs on no print; ``scattered`` the part that a scatter makes which is
    known as surely as so many degrees of freedom: a normal error with a Student's t.
    """
    from scipy.special import gammaincinv, ndtr

    x = (np.arange(MIXED) + 0.5) / MIXED  # closer together where scatters are large
    share = 2.0 / freedom * gammaincinv(0.5 * freedom, x**2)
    sure = 2.0 * ndtr(width / np.sqrt(known**2 + scattered**2 / share)) - 1.0
    return float(np.sum(2.0 * x * sure) / np.sum(2.0 * x))


def nine_of_ten_within(known: float, scattered: float, freedom: float) -> float:
    """Return the width (log10) either way in which nine of ten next prints will be right."""
    from scipy.optimize import brentq

    whole = float(np.hypot(known, scattered))

    def too_many(width: float) -> float:
        return chance_within(width, known, scattered, freedom) - 0.9

    return float(brentq(too_many, 0.5 * whole, 20.0 * whole, rtol=1e-5))


def _as_student(scatters: FloatArray, weight: FloatArray) -> Told:
    """Return the Student's t that holds nine and ninety-nine of a hundred where the normal errors together hold them."""
    from scipy.special import ndtr

    points = np.geomspace(0.3 * LEAST, 20.0 * MOST, 250)
    inside = (2.0 * ndtr(points[:, None] / scatters) - 1.0) @ weight
    nine, nearly_all = np.exp(np.interp([0.90, 0.99], inside, np.log(points)))
    freedoms, ratios, nines = _students()
    freedom = float(np.exp(np.interp(-nearly_all / nine, -ratios, np.log(freedoms))))
    return Told(float(nine / np.exp(np.interp(np.log(freedom), np.log(freedoms), np.log(nines)))), freedom)


@cache
def _students() -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return degrees of freedom, how much further ninety-nine of a hundred reach than nine of ten, and how far those do."""
    from scipy.special import stdtrit

    freedoms = np.geomspace(FEWEST_FREEDOM, MOST_FREEDOM, 200)
    nines = stdtrit(freedoms, 0.95)
    return freedoms, stdtrit(freedoms, 0.995) / nines, nines
