"""What a fitted paper does behind a setting, read or not, and how sure that is.

Every free number is moved a little, the curve looked at again, and the readings' covariance carried through (JCGM 100, 5.2).
A setting that nobody read has the light of the set's own filter, give or take what sets are apart.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sim.calibration.own_paper import BEND_IN_DENSITY, BEND_IN_RANGE, OwnPaper, bends_together, light_behind, tone_phase
from sim.calibration.own_shape import LIGHT_SPREADS, shaped
from sim.calibration.strip_alone import strip_alone
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.sensitometry import NET_IDMIN, NET_SPEED_POINT, SHARE_IDMAX, CharacteristicCurve
from sim.paper.stock import Stock
from sim.quantities import FloatArray

NINETY = 1.645  # standard errors either way that hold nine of ten
MOVED = 0.05  # of a prior's standard deviation, in differences
LOG_STEPS = 241
REACH = (-1.6, 2.4)  # log exposure sampled below and above the place where blue and green together make 1
LEAST_SLOPE = 0.02  # density a log unit of light: no tone told from white lies flatter (chosen)
END = 1.0  # log exposure beyond which a curve is the sheet's own white or black

# A strip's own curve has a form too. Of 42 strips of 14 papers drawn by the laws' forms its own errors held 81 % of ISO R in
# nine in ten, and nine tenths of the misses lie within 1.3 times as much; tuned on those papers.
STRIP_SPREAD = 1.3


@dataclass(frozen=True, eq=False)
class Behind:
    """A paper behind one setting: its curve (log10 lux s of unfiltered light), and standard errors of all that is read off.

    ``density_error`` goes along the curve; ``from_speed_error`` the same when exposures are counted from net 0.60, as a
    printer has them after a strip. ``read``: the setting was among those that were read; ``from_strip``: its ISO R was read
    from its strip, not from ``curve``.
    """

    setting: str
    read: bool
    curve: CharacteristicCurve
    density_error: FloatArray
    from_speed_error: FloatArray
    iso_range: float
    iso_range_error: float
    log_speed_point: float
    log_speed_error: float
    from_strip: bool = False

    @property
    def iso_speed(self) -> float:
        """Speed P against the unfiltered light (unrounded)."""
        return float(1000.0 / 10.0**self.log_speed_point)


@dataclass(frozen=True, eq=False)
class Leaning:
    """A curve behind a setting, and what each free number does to it: rows are the shared numbers and the setting's light.

    Columns: density along the curve, the same counted from net 0.60, ISO R, log exposure of net 0.60.
    """

    setting: str
    curve: CharacteristicCurve
    rows: FloatArray
    bent: FloatArray  # variance of each column where the paper bends away from the form

    def behind(self, read: bool, covariance: FloatArray) -> Behind:
        """Return the curve with its errors for a covariance of the rows' numbers."""
        errors = np.sqrt(np.maximum(np.einsum("ik,ij,jk->k", self.rows, covariance, self.rows), 0.0) + self.bent)
        n, curve = len(self.curve.density), self.curve
        return Behind(
            self.setting, read, curve, errors[:n], errors[n : 2 * n], curve.iso_range(), float(errors[-2]),
            curve.log_exposure_at_net(NET_SPEED_POINT), float(errors[-1]),
        )  # fmt: skip


def leaning(own: OwnPaper, setting: str) -> Leaning:
    """Return a setting's curve and how it leans on every number. Raises Refused for a filter there is none of."""
    shared = len(own.freedom.shared)
    light = own.light_numbers(setting)
    numbers = np.concatenate([own.free[:shared], (0.0, 0.0) if light is None else own.free[list(light)]])
    middle = _curve(own, setting, numbers, None)
    steps = MOVED * np.eye(len(numbers))
    rows = [_differences(middle, _curve(own, setting, numbers + step, middle.log_exposure)) / MOVED for step in steps]
    return Leaning(setting, middle, np.array(rows), own.bend**2 * _bent(middle))


def _bent(curve: CharacteristicCurve) -> FloatArray:
    """Return, for a bend of 1 D, the variance of what is read off a curve: in the order of a leaning's columns.

    Densities and speed bend by a part of it, ISO R by more (``BEND_IN_DENSITY``).
    """
    net, at = curve.density - curve.base_plus_fog, np.array
    tones = at([NET_SPEED_POINT, NET_IDMIN, SHARE_IDMAX * curve.net_dmax])
    places = at([curve.log_exposure_at_net(float(one)) for one in tones])
    slope = np.gradient(curve.density, curve.log_exposure)
    steep = np.maximum(np.interp(places, curve.log_exposure, slope), LEAST_SLOPE)
    along, phases = tone_phase(net, 0.0, curve.net_dmax), tone_phase(tones, 0.0, curve.net_dmax)
    here, there = np.square(np.sin(np.pi * along)), bends_together(phases, phases)
    moved = slope / steep[0]
    from_speed = here - 2.0 * moved * bends_together(along, phases[:1])[:, 0] + moved**2 * there[0, 0]
    ends = at([0.0, -1.0, 1.0]) / steep
    part = BEND_IN_DENSITY**2
    iso_range, speed = (100.0 * BEND_IN_RANGE) ** 2 * ends @ there @ ends, part * there[0, 0] / steep[0] ** 2
    return np.concatenate([part * here, part * np.maximum(from_speed, 0.0), [iso_range, speed]])


def behind(own: OwnPaper, setting: str) -> Behind:
    """Return what the paper does behind a setting. Raises Refused for a filter there is none of.

    ISO R is read from the setting's own strip, as the standard does, where that is surer than the form of the program's
    curve: where a paper's form is another the fit's ISO R leans with it (soft filters low, middle ones high).
    """
    found = leaning(own, setting).behind(setting in own.readings.settings, own.covariance_at(setting))
    strip = next((one for one in own.readings.strips if one.setting == setting), None)
    alone = None if strip is None else strip_alone(strip, own.readings.unexposed)
    if alone is None or not alone.reaches or STRIP_SPREAD * alone.iso_range_error >= found.iso_range_error:
        return found
    return replace(found, iso_range=alone.iso_range, iso_range_error=STRIP_SPREAD * alone.iso_range_error, from_strip=True)


def _differences(middle: CharacteristicCurve, other: CharacteristicCurve) -> FloatArray:
    """Return what a move did: density along the curve, the same counted from net 0.60, ISO R, log speed point."""
    shift = other.log_exposure_at_net(NET_SPEED_POINT) - middle.log_exposure_at_net(NET_SPEED_POINT)
    along = other.density - middle.density
    net = np.interp(middle.log_exposure + shift, other.log_exposure, other.density) - other.base_plus_fog
    from_speed = net - (middle.density - middle.base_plus_fog)
    return np.concatenate([along, from_speed, [other.iso_range() - middle.iso_range(), shift]])


def _curve(own: OwnPaper, setting: str, numbers: FloatArray, log_h: FloatArray | None) -> CharacteristicCurve:
    """Return the curve for shared numbers and the setting's two of light, at ``log_h`` (None: chosen to hold the curve)."""
    stock = shaped(own.generic, own.freedom, numbers[:-2], own.speed_spread)
    whole, ratio = (spread * by for spread, by in zip(LIGHT_SPREADS, numbers[-2:], strict=True))
    blue, green = light_behind(stock, own.head, setting)
    blue, green = blue * 10.0 ** (whole - 0.5 * ratio), green * 10.0 ** (whole + 0.5 * ratio)
    return curve_in_light(stock, float(blue), float(green), log_h)


def curve_in_light(stock: Stock, blue: float, green: float, log_h: FloatArray | None = None) -> CharacteristicCurve:
    """Return the fully developed curve of a light that gives blue and green per unit; its ends are white and black."""
    response = Response(stock, Development(stock.development.completion_time_s))
    if log_h is None:
        middle = -np.log10(blue + green)
        inner = np.linspace(middle + REACH[0], middle + REACH[1], LOG_STEPS)
        log_h = np.concatenate([[inner[0] - END], inner, [inner[-1] + END]])
    exposure = 10.0 ** log_h[1:-1]
    density = response.density(exposure * blue, exposure * green)
    return CharacteristicCurve(log_h, np.concatenate([[response.base_plus_fog], density, [response.black]]))
