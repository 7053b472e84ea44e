"""The wedge's steps as they were said: every ISO R hangs on them, and other steps look like a harder or softer paper.

Steps wrongly said draw all curves out in one proportion, and papers are as far apart: no table of strips tells one from the
other. What tells it is a strip that had the same light twice: it must lie one stop further along the wedge, 0.30 in density,
whatever the paper. A wedge is refused by that, or where no paper at all is as soft or hard as it would make this one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from sim.calibration.own_curves import curve_in_light
from sim.calibration.own_paper import OwnPaper, light_behind
from sim.calibration.wedge_strips import DENSITY_ERROR, STEP_ERROR, PaperReadings
from sim.quantities import FloatArray
from sim.refusals import Refused

ONE_STOP = math.log10(2.0)
USUAL_STEPS = (0.10, 0.15, 0.20, 0.30)  # density between neighbours of wedges there are
MIXED_UP = (0.10, 0.15)  # of wedges of 31 and of 21 steps, which look alike
# Standard error of ln ISO R where nobody checked the wedge: steps of an uncalibrated one are off together by some hundredths
# (assumption); a wedge taken for another is not in it, and is said in words.
NOT_CHECKED = 0.05
# Standard error of one doubling, log10: paper that fails reciprocity by 0.25 stop over tenfold time loses 0.023, common paper
# 0.006 (glossy-fb-vc.toml), and a lamp's delay adds 0.006 at 20 s.
DOUBLING_ERROR = 0.015
SURE, OTHER = 3.0, 0.15  # standard errors, and share of the steps, by which a wedge must be another's to be refused (chosen)
SURE_ENOUGH = 0.05  # log10 of the stop's place on the wedge: a wedge of 0.15 is told from one of 0.10 by two errors (chosen)
LIKE_A_USUAL = 0.10  # share by which steps found may be off a usual wedge's to be called by its name (chosen)
FURTHEST, FINEST = 1.2, 0.005  # log10: how far a doubled strip is looked for along the wedge, and how finely
NOT_MOVED = 0.04  # log10: a doubled strip that lies on the single one had no more light
NO_PAPER = 0.65  # ln of ISO R, mean of all settings, from the paper begun from: papers lie within a factor of 1.9 (assumption)

# ln of ISO R from which a wedge that nobody checked may be another's: half of what 0.10 taken for 0.15 makes, 0.41 (chosen)
DOUBTFUL = 0.2


@dataclass(frozen=True)
class StopRead:
    """Where twice the light was found: so far along the wedge (its density as said), and the standard error."""

    moved: float
    error: float

    @property
    def ratio(self) -> float:
        """What the wedge's density must be multiplied by for a stop to be a stop."""
        return ONE_STOP / self.moved


@dataclass(frozen=True)
class BelievedWedge:
    """The usual difference between steps as said (density), the stop read on it if any, and a wedge it may be taken for."""

    apart: float
    stop: StopRead | None
    taken_for: float

    @property
    def error(self) -> float:
        """Standard error of ln ISO R that the wedge makes, all settings together."""
        return NOT_CHECKED if self.stop is None else max(self.stop.error / ONE_STOP, abs(math.log(self.stop.ratio)))


def believed_wedge(readings: PaperReadings) -> BelievedWedge | None:
    """Return what must be believed of the wedge; None of readings by eye, which tell no contrast of their own."""
    apart = _apart(readings)
    if apart is None:
        return None
    stop = stop_read(readings)
    other = min((one for one in MIXED_UP if abs(one / apart - 1.0) > 0.2), key=lambda one: abs(math.log(one / apart)))
    return BelievedWedge(apart, stop if stop is not None and stop.error < SURE_ENOUGH else None, other)


def _apart(readings: PaperReadings) -> float | None:
    steps = sorted({one.step: one.wedge_density for strip in readings.strips for one in strip.readings}.items())
    if len(steps) < 6 or any(one.density is None for strip in readings.strips for one in strip.readings):
        return None
    return float(np.median(np.diff([density for _, density in steps]) / np.diff([step for step, _ in steps])))


def stop_read(readings: PaperReadings) -> StopRead | None:
    """Return how far along the wedge doubled strips lie beside the single ones, by least squares; None where none is read."""
    pairs = [_pair(readings, setting) for setting in dict.fromkeys(one.setting for one in readings.doubled)]
    if not pairs or _apart(readings) is None:
        return None
    from scipy.interpolate import PchipInterpolator

    moves = np.arange(0.0, FURTHEST, FINEST)
    squares, pull = np.zeros(len(moves)), np.zeros(len(moves))
    for under, density, at, read in pairs:
        curve = PchipInterpolator(under, density)
        places = np.clip(at[None, :] - moves[:, None], under[0], under[-1])
        slope = np.where((places > under[0]) & (places < under[-1]), curve.derivative()(places), 0.0)
        variance = 2.0 * (DENSITY_ERROR**2 + (slope * STEP_ERROR) ** 2)
        squares += np.sum((read[None, :] - curve(places)) ** 2, axis=1) / DENSITY_ERROR**2
        pull += np.sum(slope**2 / variance, axis=1)
    best = int(np.argmin(squares))
    error = math.hypot(1.0 / math.sqrt(max(float(pull[best]), 1.0)), DOUBLING_ERROR)
    return StopRead(max(float(moves[best]), FINEST), error)


def _pair(readings: PaperReadings, setting: str) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Return wedge densities and readings of a setting's strip, then of its doubled steps."""
    strip = next(one for one in readings.strips if one.setting == setting)
    single = {one.step: (one.wedge_density, one.density) for one in strip.readings}
    double = [(single[one.step][0], one.density) for one in readings.doubled if one.setting == setting]
    under, density = np.array(list(single.values()), dtype=np.float64).T
    at, read = np.array(double, dtype=np.float64).T
    return under, density, at, read


def other_wedge(readings: PaperReadings) -> Refused | None:
    """Return why the wedge is another than was said, by strips that had twice the light; None where it is not, or not told."""
    stop, apart = stop_read(readings), _apart(readings)
    if stop is None or apart is None or stop.error >= SURE_ENOUGH:
        return None
    settings = ", ".join(dict.fromkeys(one.setting for one in readings.doubled))
    if stop.moved < NOT_MOVED:
        return Refused(f"the doubled strip {settings} must have had twice the light, got one that lies on the single strip")
    if abs(stop.moved - ONE_STOP) < SURE * stop.error or abs(stop.ratio - 1.0) < OTHER:
        return None
    found = apart * stop.ratio
    usual = min(USUAL_STEPS, key=lambda one: abs(math.log(one / found)))
    looks = f"{usual:.2f}" if abs(usual / found - 1.0) < LIKE_A_USUAL else f"{found:.2f}"
    if abs(abs(stop.moved - ONE_STOP) - apart) < SURE * stop.error:  # steps counted from one too many look alike
        return Refused(
            f"twice the light must lie {ONE_STOP:.2f} further along the wedge, got {stop.moved:.2f} ± {stop.error:.2f} on "
            f"strip {settings}: either the wedge's steps look {looks} apart, not {apart:.2f} as was said, or one of the two "
            "strips was counted off by a whole step"
        )
    return Refused(
        f"twice the light must lie {ONE_STOP:.2f} further along the wedge, got {stop.moved:.2f} ± {stop.error:.2f} on strip "
        f"{settings}: the wedge's steps look {looks} apart, not {apart:.2f} as was said"
    )


def contrast_off(own: OwnPaper) -> float:
    """Return ln of ISO R over that of the paper begun from, the mean of all settings read."""
    off = []
    for k, setting in enumerate(own.readings.settings):
        begun, found = own.generic.stock, own.stock
        whole = [10.0**more for more in own.freedom.light_of(own.free, k)]
        blue, green = light_behind(found, own.head, setting)
        here = curve_in_light(found, blue * whole[0], green * whole[1]).iso_range()
        off.append(float(np.log(here / curve_in_light(begun, *light_behind(begun, own.head, setting)).iso_range())))
    return float(np.mean(off))


def doubtful_wedge(own: OwnPaper) -> tuple[float, float] | None:
    """Return the wedge's steps as said, and how many times as soft all strips are, where nobody checked a wedge so far off."""
    wedge = believed_wedge(own.readings)
    if wedge is None or wedge.stop is not None or abs(off := contrast_off(own)) < DOUBTFUL:
        return None
    return wedge.apart, math.exp(off)


def no_papers_wedge(own: OwnPaper) -> Refused | None:
    """Return why no paper can be as soft or as hard as the wedge makes this one; None where a paper can."""
    apart = _apart(own.readings)
    if apart is None:
        return None
    middle = contrast_off(own)
    if abs(middle) < NO_PAPER:
        return None
    rather = min(USUAL_STEPS, key=lambda one: abs(middle + math.log(one / apart)))
    return Refused(
        f"the wedge's steps must be as far apart as was said, {apart:.2f}: this paper would be {math.exp(abs(middle)):.1f} "
        f"times as {'soft' if middle > 0.0 else 'hard'} as the one begun from behind every filter, and the strips look like "
        f"a wedge of {rather:.2f}"
    )
