"""Papers whose curves have forms that nobody fitted to: how much of the truth the stated nine in ten hold.

Six families of curves, drawn, read with 0.02 D of noise under a wedge of 0.15 whose steps are off by 0.01 each.
TONEWRIGHT_OTHER_FORMS=80 draws so many; few in continuous testing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from night import turns
from numpy.typing import NDArray

from sim.calibration.bent_curves import with_its_bend
from sim.calibration.own_curves import NINETY, Behind, behind
from sim.calibration.own_paper import fit_own_paper
from sim.calibration.wedge_strips import PaperReadings, StepReading, Strip

from .secret_papers import GENERIC, HEAD

Floats = NDArray[np.float64]
LARGE = turns("TONEWRIGHT_OTHER_FORMS", 0, 80)
FIRST_SEED = 51000
WEDGE = 0.05 + 0.15 * np.arange(21)
WIDTH, SPEED_POINT = {"00": 1.0, "2": 0.63, "5": 0.31}, {"00": 1.5, "2": 1.4, "5": 1.3}
SOFTEST = 1.55  # log exposure from net 0.04 to 0.9 of black, behind 00


@dataclass(frozen=True, eq=False)
class Truth:
    """A curve nobody knows: log exposure, net density, ISO R."""

    log_h: Floats
    net: Floats
    iso_range: float


def _share(rng: np.random.Generator) -> Callable[[Floats], Floats]:
    """Return net density's share of black against log light, of a family drawn from six."""
    from scipy.special import ndtr

    family, a, b = int(rng.integers(6)), rng.uniform(0.6, 1.6), rng.uniform(-0.25, 0.25)
    families: tuple[Callable[[Floats], Floats], ...] = (
        lambda u: (1.0 + np.exp(-3.2 * u)) ** (-a),
        lambda u: np.asarray(ndtr(1.9 * (u + b * u * np.abs(u) / (1.0 + np.abs(u))))),
        lambda u: 1.0 - np.exp(-np.exp(2.1 * a**0.3 * u)),
        lambda u: np.exp(-np.exp(-2.1 * u)),
        lambda u: 0.5 + np.arctan(3.0 * u + 0.6 * u**3) / np.pi,
        lambda u: np.asarray(0.7 * ndtr(2.2 * u) + 0.3 * ndtr(1.3 * (u - 2.0 * b))),
    )
    return families[family]


def drawn(number: int) -> tuple[dict[str, Truth], PaperReadings]:
    """Return a paper and its readings."""
    rng = np.random.Generator(np.random.PCG64(FIRST_SEED + number))
    share = _share(rng)
    softer, black = np.exp(rng.normal(0.0, 0.10)), 2.05 * np.exp(0.04 * rng.normal())
    u, truths, strips = np.linspace(-6.0, 6.0, 4001), {}, []
    net = black * np.clip(share(u), 0.0, 1.0)
    first, last = (float(np.interp(one, net, u)) for one in (0.04, 0.9 * black))
    for setting in WIDTH:
        wide = SOFTEST * WIDTH[setting] * softer * float(np.exp(0.05 * rng.normal()))
        log_h = (u - 0.5 * (first + last)) / (last - first) * wide + SPEED_POINT[setting] + 0.04 * rng.normal()
        truths[setting] = Truth(log_h, net, 100.0 * wide)
        under = WEDGE + 0.01 * rng.normal(size=len(WEDGE))
        read = 0.06 + np.interp(2.6 - under, log_h, net) + 0.02 * rng.normal(size=len(WEDGE))
        steps = tuple(StepReading(k + 1, float(WEDGE[k]), round(float(one), 2)) for k, one in enumerate(read))
        strips.append(Strip(setting, 2.6, steps))
    return truths, PaperReadings(tuple(strips), (0.06,), light_known=False)


def _inside(found: Behind, truth: Truth) -> NDArray[np.bool_]:
    """Return for tones from the first to 0.9 of black whether they lie in their interval."""
    net = np.linspace(0.04, 0.9 * float(truth.net.max()), 25)
    at = np.interp(net, truth.net, truth.log_h)
    off = np.interp(at, found.curve.log_exposure, found.curve.density) - 0.06 - net
    return np.asarray(np.abs(off) <= NINETY * np.interp(at, found.curve.log_exposure, found.density_error))


@cache
def held() -> tuple[float, float, float]:
    """Return the shares of densities and of ISO R that lie inside nine in ten, and by how much ISO R is off in the mean."""
    densities: list[bool] = []
    ranges: list[bool] = []
    off: list[float] = []
    for number in range(LARGE or 14):
        truths, readings = drawn(number)
        own = with_its_bend(fit_own_paper(GENERIC, HEAD, readings))
        for setting, truth in truths.items():
            found = behind(own, setting)
            densities += _inside(found, truth).tolist()
            ranges.append(abs(found.iso_range - truth.iso_range) <= NINETY * found.iso_range_error)
            off.append(found.iso_range / truth.iso_range - 1.0)
    shares = float(np.mean(densities)), float(np.mean(ranges)), float(np.mean(off))
    print(f"{LARGE or 14} papers: densities {shares[0]:.3f}, ISO R {shares[1]:.3f} inside; ISO R off by {shares[2]:+.3f}")
    return shares


def test_nine_of_ten_densities_lie_inside_and_not_nearly_all() -> None:
    low, high = (0.86, 0.94) if LARGE else (0.80, 0.97)
    assert low <= held()[0] <= high


def test_nine_of_ten_iso_ranges_lie_inside_though_they_come_out_low() -> None:
    assert held()[1] >= (0.86 if LARGE else 0.80)
    assert -0.10 <= held()[2] <= 0.02
