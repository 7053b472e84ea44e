"""One strip looked at by itself, before any paper's form is laid on it: its own smooth curve and ISO R.

The curve is drawn through the readings alone. Its log exposure is a sum of a toe, a shoulder and a middle that stretch freely,
``x(t) = m + a ln t - b ln(1 - t) + c (t - 1/2)`` where t is the share of net black (quantile function of four terms: T. W.
Keelin, The Metalog Distributions, Decision Analysis 13, 2016). So nothing is said of how dyed grains or filters work, and what
strips say against each other can be told without a fit of the paper.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.calibration.wedge_strips import MOST_STRIPS, STEP_ERROR, PaperReadings, Strip
from sim.enlarger.filters import GRADED_NAMES, FilterSetting
from sim.paper.sensitometry import NET_IDMIN, SHARE_IDMAX
from sim.quantities import FloatArray
from sim.refusals import Refused

Read = tuple[FloatArray, FloatArray, FloatArray]  # log exposure, density, its error
Fit = tuple[FloatArray, float, FloatArray]  # numbers of the curve, its sum of squares, the numbers' covariance
SHARES = 1.0 / (1.0 + np.exp(-np.linspace(-9.0, 9.0, 361)))  # of net black, where the curve is worked out
FEWEST = 7  # readings of a strip whose curve has six numbers
# Standard deviations that hold numbers which a strip leaves open: toe against shoulder (ln), bulge of the middle (ln). Chosen:
# wide enough for six forms of curve of our own making (logistic, normal, exponential either way, two layers, long toe).
TOE_TO_SHOULDER, MIDDLE = 1.0, 1.0
WHITE_ERROR = 0.02  # density, one reading of unexposed paper (as every reading)
# Standard errors by which ISO R may rise from a softer to a harder filter. Of 162 pairs of strips of 60 sound papers (six
# forms) none rose at all; of the same pairs changed over 142 rise by 3 and more.
RISEN = 2.5
NINETY = 1.645  # standard errors either way that hold nine of ten
ROUNDS = 3  # of weighing errors of the wedge by the slope found
NO_TONE = 0.03  # share of net black beside white and black where a slip changes nothing that is read (chosen)
MOVED = 1e-3  # of each number, in differences


@dataclass(frozen=True, eq=False)
class StripAlone:
    """A strip's own curve: ISO R with its standard error.

    ``reaches``: readings go down to white and up to black, so that ISO R is read and not drawn out.
    """

    setting: str
    iso_range: float
    iso_range_error: float
    reaches: bool


@dataclass(frozen=True)
class SlipAlone:
    """A slip told by one strip: its setting, the step it begins at, whether one was passed over.

    ``better_by``: by how much the sum of squares (in errors) falls with it undone; ``left``: what is then left a reading.
    """

    setting: str
    step: int
    passed_over: bool
    better_by: float
    left: float


def strips_alone(readings: PaperReadings) -> tuple[StripAlone, ...]:
    """Return every strip's own curve, of strips that were read step by step."""
    found = (strip_alone(strip, readings.unexposed) for strip in readings.strips)
    return tuple(one for one in found if one is not None)


def changed_over(readings: PaperReadings) -> Refused | None:
    """Return which strips print harder behind the softer filter, straight from their readings; None where none does."""
    order = sorted(
        (one for one in strips_alone(readings) if one.setting in GRADED_NAMES),
        key=lambda one: FilterSetting.named(one.setting).hardness,
    )
    pairs = [pair for pair in itertools.combinations(order, 2) if _risen(*pair) > 0.0]
    if not any(soft.reaches and hard.reaches and _risen(soft, hard) >= RISEN for soft, hard in pairs):
        return None
    soft, hard = min(pairs, key=lambda pair: _still_rising(order, *pair))
    here = f"{soft.iso_range:.0f} ± {NINETY * soft.iso_range_error:.0f}"
    if not hard.reaches:  # its own number would be drawn out beyond what was read
        return Refused(
            f"ISO R must fall from a softer filter to a harder one, got {here} behind {soft.setting} and more than the strip "
            f"shows behind {hard.setting}: strips {soft.setting} and {hard.setting} look changed over"
        )
    return Refused(
        f"ISO R must fall from a softer filter to a harder one, got {here} "
        f"behind {soft.setting} and {hard.iso_range:.0f} ± {NINETY * hard.iso_range_error:.0f} behind {hard.setting}: strips "
        f"{soft.setting} and {hard.setting} look changed over"
    )


def _still_rising(order: list[StripAlone], soft: StripAlone, hard: StripAlone) -> float:
    """Return the largest rise left between any two filters once two strips are changed back."""
    back = {soft.setting: hard, hard.setting: soft}
    put_right = [back.get(one.setting, one) for one in order]
    return max((_risen(*pair) for pair in itertools.combinations(put_right, 2)), default=0.0)


def _risen(soft: StripAlone, hard: StripAlone) -> float:
    """Return by how many standard errors ISO R rises between two filters."""
    return (hard.iso_range - soft.iso_range) / math.hypot(soft.iso_range_error, hard.iso_range_error)


@lru_cache(maxsize=MOST_STRIPS)
def strip_alone(strip: Strip, white: tuple[float, ...] = ()) -> StripAlone | None:
    """Return a strip's own curve; None of one read by eye or too short. ``white``: densities of unexposed paper."""
    read = _readings(strip)
    if read is None:
        return None
    density = read[1]
    (numbers, squares, covariance), _ = _weighed_fit(read, white)
    leaning = np.array([(_range(numbers + way) - _range(numbers - way)) / (2.0 * MOVED) for way in MOVED * np.eye(6)])
    net = numbers[1] - numbers[0]
    reaches = density.min() < numbers[0] + 2.0 * NET_IDMIN and density.max() > numbers[0] + SHARE_IDMAX * net
    worse = max(squares / max(len(density) - len(numbers) + bool(white), 1), 1.0)
    sure = math.sqrt(max(float(leaning @ covariance @ leaning) * worse, 0.0))
    return StripAlone(strip.setting, _range(numbers), sure, bool(reaches))


def _readings(strip: Strip) -> Read | None:
    """Return log exposure, density and its error of a strip; None of one read by eye or too short."""
    read = [(-one.wedge_density, one.density, one.density_error) for one in strip.readings if one.density is not None]
    if len(read) < max(FEWEST, len(strip.readings)):
        return None
    x, density, error = (np.array(column, dtype=np.float64) for column in zip(*read, strict=True))
    return x, density, error


def _weighed_fit(read: Read, white: tuple[float, ...]) -> tuple[Fit, FloatArray]:
    """Return the curve nearest to readings, each weighed by its error and the wedge's, and those errors."""
    x, density, own_error = read
    error, found = own_error, None
    for _ in range(ROUNDS):
        found = _fit(_begin(x, density) if found is None else found[0], (x, density, error), white)
        slope = (_density(found[0], x + 0.01) - _density(found[0], x - 0.01)) / 0.02
        error = np.hypot(own_error, slope * STEP_ERROR)
    assert found is not None
    return found, error


@lru_cache(maxsize=MOST_STRIPS)
def slip_of_strip(strip: Strip, white: tuple[float, ...] = ()) -> SlipAlone | None:
    """Return the slip that brings a strip's own curve nearest its readings; None where its steps do not go one by one."""
    read = _readings(strip)
    if read is None or any(b.step - a.step != 1 for a, b in itertools.pairwise(strip.readings)):
        return None
    (numbers, _, _), error = _weighed_fit(read, white)
    x, density, _ = read
    found, order = [], np.arange(len(x))
    share = (density - numbers[0]) / (numbers[1] - numbers[0])
    for place in range(2, len(x) - 2):
        for way in (1, -1) if share[place - 1] > NO_TONE and share[place] < 1.0 - NO_TONE else ():
            at = order + np.where(order >= place, way, 0)
            kept = (at < len(x)) & ((at >= place) | (order < place))
            stands = _fit(numbers, (x[kept], density[kept], error[kept]), white)[1]
            undone = _fit(numbers, (x[at[kept]], density[kept], error[at[kept]]), white)[1]
            left = undone / (int(kept.sum()) + bool(white) - len(numbers))
            found.append(SlipAlone(strip.setting, strip.readings[place].step, way > 0, stands - undone, left))
    return max(found, key=lambda one: one.better_by, default=None)


def _begin(x: FloatArray, density: FloatArray) -> FloatArray:
    """Return numbers to begin with: white, black, place of the middle, ln of toe and shoulder, bulge of the middle."""
    base, black = float(density.min()), float(density.max())
    low, middle, high = (float(np.interp(base + s * (black - base), density[::-1], x[::-1])) for s in (0.2, 0.5, 0.8))
    width = math.log(max((high - low) / 2.8, 0.01))
    return np.array([base, black, middle, width, width, 0.0])


def _places(numbers: FloatArray) -> FloatArray:
    """Return log exposures of all ``SHARES``, growing whatever the numbers are."""
    toe, shoulder = math.exp(min(numbers[3], 3.0)), math.exp(min(numbers[4], 3.0))
    middle = (math.sqrt(toe) + math.sqrt(shoulder)) ** 2 * (math.exp(min(numbers[5], 3.0)) - 1.0)
    return np.asarray(
        numbers[2] + toe * np.log(2.0 * SHARES) - shoulder * np.log(2.0 * (1.0 - SHARES)) + middle * (SHARES - 0.5)
    )


def _density(numbers: FloatArray, x: FloatArray) -> FloatArray:
    return np.asarray(numbers[0] + (numbers[1] - numbers[0]) * np.interp(x, _places(numbers), SHARES, 0.0, 1.0))


def _range(numbers: FloatArray) -> float:
    """Return ISO R of a strip's own curve."""
    low = min(max(NET_IDMIN / max(numbers[1] - numbers[0], 0.1), SHARES[0]), 0.5)
    ends = np.interp([low, SHARE_IDMAX], SHARES, _places(numbers))
    return float(100.0 * (ends[1] - ends[0]))


def _fit(numbers: FloatArray, read: Read, white: tuple[float, ...]) -> Fit:
    """Return numbers of the curve nearest to the readings, its sum of squares, and the numbers' covariance."""
    from scipy.optimize import least_squares

    x, density, error = read

    def residuals(free: FloatArray) -> FloatArray:
        held = [(free[3] - free[4]) / TOE_TO_SHOULDER, free[5] / MIDDLE]
        of_white = [(free[0] - float(np.mean(white))) * math.sqrt(len(white)) / WHITE_ERROR] if white else []
        return np.concatenate([(_density(free, x) - density) / error, of_white, held])

    scale, near = (0.02, 0.02, 0.05, 0.1, 0.1, 0.3), 1e-4  # of each number; of the sum of squares and the numbers
    found = least_squares(residuals, numbers, x_scale=scale, diff_step=MOVED, ftol=near, xtol=near, max_nfev=30)
    covariance = np.linalg.pinv(found.jac.T @ found.jac)
    return np.asarray(found.x), float(2.0 * found.cost), np.asarray(covariance)
