"""Fits papers to readings: one curve for all grains and three parts of green dye, seven numbers, by least squares.

Each setting adds one number of its own, the ratio of green to blue in its light: that is the head's, not the paper's.
Contrast is no number of the fit anywhere. A paper of one grade has the same grains without dye, their speeds spread so far
that its ISO range comes out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from sim.calibration.grain_parts import DyedGrains, spread_of_speed
from sim.calibration.readings import Readings, Setting
from sim.enlarger.spectra import Lamp, per_lux
from sim.paper.emulsion import Emulsion
from sim.paper.response import with_surface, without_surface
from sim.paper.sensitometry import NET_SPEED_POINT, CharacteristicCurve
from sim.quantities import FloatArray

LOG_H = np.linspace(-3.4, 2.2, 1121)
SEARCHED_LOG_H = LOG_H[::2]  # while numbers are looked for: off by less than 0.001 D, where a reading is off by 0.015
# Where the search begins: a, log b, log shares without and with little dye against much, place and log spreads of the dyed.
FIRST_GUESS = (8.0, 0.1, 0.0, 0.5, -0.65, -1.0, -1.6)


@dataclass(frozen=True)
class SheetAims:
    """What one sheet should be: base density, surface reflection and net maximum density as read on the print."""

    base_density: float
    surface_reflection: float
    net_dmax: float

    @property
    def image_density(self) -> float:
        """Density of the silver alone that gives the net Dmax through the surface."""
        base = float(with_surface(np.array(self.base_density), self.surface_reflection))
        return float(without_surface(np.array(base + self.net_dmax), self.surface_reflection)) - self.base_density


def curve_of(
    emulsion: Emulsion, sheet: SheetAims, blue: float, green: float, log_h: FloatArray = LOG_H
) -> CharacteristicCurve:
    """Return the fully developed curve for a light of the given blue and green strength, at log exposures ``log_h``."""
    h = 10.0**log_h
    share = emulsion.developable(h * blue, h * green)
    density = with_surface(sheet.base_density + emulsion.image_density * share, sheet.surface_reflection)
    return CharacteristicCurve(log_h, density)


def departures(curve: CharacteristicCurve, net_density: list[float], log_exposure: list[float]) -> FloatArray:
    """Return by how much the curve is denser than read, at the exposures read (log, relative to net 0.60)."""
    at = curve.log_exposure_at_net(NET_SPEED_POINT) + np.array(log_exposure)
    net = np.interp(at, curve.log_exposure, curve.density) - curve.base_plus_fog
    return np.asarray(net - np.array(net_density))


def _misfit(curve: CharacteristicCurve, readings: Readings, setting: Setting) -> FloatArray:
    off = departures(curve, readings.net_density, setting.log_exposure) / readings.errors(setting)
    return np.append(off, (curve.iso_range() - setting.iso_range) / readings.iso_range_error)


@dataclass(frozen=True)
class FittedPaper:
    """The grains that were found, and the log ratio of green to blue of each setting's light; ``free`` as searched."""

    free: tuple[float, ...]

    @property
    def grains(self) -> DyedGrains:
        """The paper: seven numbers."""
        return DyedGrains.from_free(np.array(self.free[: len(FIRST_GUESS)]))

    def without(self, number: int) -> FittedPaper:
        """Return the same with the light of one setting left out: where a search without it may begin."""
        at = len(FIRST_GUESS) + number
        return FittedPaper((*self.free[:at], *self.free[at + 1 :]))


def fit_variable_contrast(readings: Readings, sheet: SheetAims, start: FittedPaper | None = None) -> FittedPaper:
    """Return the grains that fit the readings best, each reading weighed with its error."""
    from scipy.optimize import least_squares

    count = len(FIRST_GUESS)

    def residuals(free: FloatArray) -> FloatArray:
        emulsion = DyedGrains.from_free(free[:count]).emulsion(sheet.image_density, whole_grid=True)
        curves = [curve_of(emulsion, sheet, 1.0, 10.0**ratio, SEARCHED_LOG_H) for ratio in free[count:]]
        return np.concatenate([_misfit(curve, readings, s) for curve, s in zip(curves, readings.setting, strict=True)])

    # The softer a light, the more green: log ratio 1.5 at R 177, 0 at R 55.
    ratios = [(setting.iso_range - 55.0) / 80.0 for setting in readings.setting]
    first = (*FIRST_GUESS, *ratios) if start is None else start.free
    solution = least_squares(residuals, first, x_scale="jac", ftol=1e-6, xtol=1e-6, max_nfev=200)
    return FittedPaper(tuple(solution.x.tolist()))


def light_for_range(emulsion: Emulsion, sheet: SheetAims, iso_range: float) -> float:
    """Return the log ratio of green to blue of the light that prints with an ISO range (or the nearest there is)."""
    soft, hard = (curve_of(emulsion, sheet, 1.0, 10.0**ratio).iso_range() for ratio in (2.5, -2.5))
    if not hard < iso_range < soft:
        return 2.5 if iso_range >= soft else -2.5
    return solve(lambda ratio: curve_of(emulsion, sheet, 1.0, 10.0**ratio).iso_range() - iso_range, -2.5, 2.5)


def fit_fixed_grade(sheet: SheetAims, iso_range: float, grains: DyedGrains) -> Emulsion:
    """Return a blue-sensitive emulsion of the same grains, their speeds spread so that the ISO range comes out."""

    def emulsion(spread: float) -> Emulsion:
        return spread_of_speed(grains.curve_a, grains.curve_b, sheet.image_density, spread)

    def miss(spread: float) -> float:
        return curve_of(emulsion(spread), sheet, 1.0, 0.0).iso_range() - iso_range

    return emulsion(solve(miss, 0.05, 0.6))


def solve(function: Callable[[float], float], low: float, high: float) -> float:
    """Return where a function is zero between two numbers."""
    from scipy.optimize import brentq

    return float(brentq(function, low, high, xtol=1e-6))


def place_green(emulsion: Emulsion, sheet: SheetAims, temperature_k: float, iso_range: float) -> Emulsion:
    """Shift all green sensitivities together so that unfiltered light of the lamp prints at the wanted range."""
    spectrum = per_lux(Lamp(temperature_k))

    def shifted(by: float) -> Emulsion:
        return replace(emulsion, green_nodes=tuple(node + by for node in emulsion.green_nodes))

    def miss(by: float) -> float:
        blue, green = shifted(by).exposures(spectrum)
        return curve_of(shifted(by), sheet, 1.0, green / blue).iso_range() - iso_range

    return shifted(solve(miss, -2.0, 2.0))


def place_speed(emulsion: Emulsion, sheet: SheetAims, iso_speed: float) -> Emulsion:
    """Set the absolute speed so that 2856 K light gives ISO speed P without a filter."""
    blue, green = emulsion.exposures(per_lux(Lamp(2856.0)))
    curve = curve_of(emulsion, sheet, 1.0, green / blue)
    log_lux_s = np.log10(1000.0 / iso_speed)
    missing = float(curve.log_exposure_at_net(NET_SPEED_POINT) - log_lux_s - np.log10(blue))
    return replace(emulsion, log_speed=emulsion.log_speed + missing)
