"""Fits a paper of one's own: the generic paper as far as its readings move it, by least squares with a prior.

Every number begins at the generic paper's and is held there by its prior; readings pull it away as far as they are sure.
So nothing is decided that the readings cannot decide, and what is left open stays as wide as papers are apart. An error of
the wedge's step is shared by all strips; it weighs as an error of log exposure, not of density.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from sim.calibration.own_shape import SPEED_NOT_KNOWN, SPREADS, Freedom, Generic, shaped
from sim.calibration.wedge_strips import DENSITY_ERROR, STEP_ERROR, PaperReadings, StepReading, Strip
from sim.enlarger.equipment import Head
from sim.enlarger.filters import FilterSetting
from sim.enlarger.spectra import per_lux
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import Stock
from sim.quantities import FloatArray

MOST_ROUNDS = 25
CLOSE_ENOUGH = 2e-3  # of a prior's standard deviation
MOVED = 0.02  # of a prior's standard deviation, in differences
# What no paper of this form gets right: density rms along a curve nobody measured, of published families (assumption drawn
# from the settings that were left out). It weighs where a curve is steep.
FORM_LOG_ERROR = 0.006
# How a paper's curve may bend away from this form: smoothly along it, nothing at white and black, most in the middle. ``phi``
# runs from 0 at white to 1 at black. Chosen: a length over which the three parts of a curve (toe, middle, shoulder) part.
BEND_LENGTH = 0.22  # of phi
# Of a bend as it is told, what a density is off by: the fit's numbers take up the rest. Of 24 papers with curves drawn from six
# other families (skewed logistic, bent normal, exponential, long shoulder, arc tangent, two layers) 0.92 of all densities then
# lie inside nine in ten, of 76 more 0.90; with the whole bend it would be 0.98. ISO R hangs on a curve's ends, which bend more.
BEND_IN_DENSITY, BEND_IN_RANGE = 0.38, 1.35
BEND_SHARED = 0.7  # of its variance, alike behind all settings: they share one curve of grains (chosen)


@dataclass(frozen=True, eq=False)
class OwnPaper:
    """A paper that was fitted: its stock, the free numbers and how sure each is (covariance, in prior deviations)."""

    generic: Generic
    head: Head
    readings: PaperReadings
    freedom: Freedom
    speed_spread: float
    free: FloatArray
    covariance: FloatArray
    misfit: float
    count: int
    bend: float = 0.0  # density, standard deviation at middle tones by which papers like this bend away from the form

    @property
    def stock(self) -> Stock:
        """The paper as found."""
        return shaped(self.generic, self.freedom, self.free, self.speed_spread)

    def light_numbers(self, setting: str) -> tuple[int, int] | None:
        """Return which free numbers are a setting's light; None of one that was not read."""
        if setting not in self.readings.settings:
            return None
        at = len(self.freedom.shared) + 2 * self.readings.settings.index(setting)
        return at, at + 1

    def covariance_at(self, setting: str) -> FloatArray:
        """Return the covariance of the shared numbers and a setting's two of light; the prior's where it was not read."""
        shared, light = list(range(len(self.freedom.shared))), self.light_numbers(setting)
        if light is not None:
            at = [*shared, *light]
            return np.asarray(self.covariance[np.ix_(at, at)])
        wide = np.eye(len(shared) + 2)
        wide[:-2, :-2] = self.covariance[np.ix_(shared, shared)]
        return wide

    @property
    def cost(self) -> float:
        """The sum that the fit made small: squares of departures in their errors, and of the free numbers."""
        return float(self.misfit * self.count + self.free @ self.free)

    def left_open(self) -> tuple[str, ...]:
        """Return the shared numbers that the readings hardly narrowed: still the generic paper's."""
        sure = np.sqrt(np.diag(self.covariance))
        return tuple(name for k, name in enumerate(self.freedom.shared) if sure[k] > 0.8)

    def residuals(self) -> tuple[FloatArray, ...]:
        """Return, strip by strip, by how much denser the fitted curve is than read."""
        return self.departures_with(0.0)

    def departures_with(self, log_shift: float) -> tuple[FloatArray, ...]:
        """Return the same, had all strips had more light (log10)."""
        model = self.model()
        return self._of_strips(model, model.departures(self.free, log_shift))

    def smooth_misfit(self) -> tuple[FloatArray, ...]:
        """Return, strip by strip, the part of the residuals that goes smoothly along the curves: the form's, no reading's."""
        model = self.model()
        off = model.departures(self.free)
        if not self.bend:
            return self._of_strips(model, np.zeros_like(off))
        bends, errors = self.bend**2 * model.bends(self.free), model.errors(self.free)
        return self._of_strips(model, np.asarray(bends @ np.linalg.solve(errors + bends, off)))

    def misfit_beside(self, smooth: Sequence[FloatArray]) -> float:
        """Return the mean square of departures in errors once a smooth part is taken off, strip by strip."""
        model = self.model()
        off = np.concatenate([*self.residuals()]) - np.concatenate([*smooth])
        return float(np.mean(np.square(model.whitener(self.free) @ off)))

    def model(self) -> _Model:
        """Return the readings as the model sees them."""
        return _Model(self.generic, self.head, self.readings, self.freedom, self.speed_spread)

    def _of_strips(self, model: _Model, off: FloatArray) -> tuple[FloatArray, ...]:
        return tuple(off[model.of_strip == k] for k in range(len(self.readings.strips)))


class _Model:
    """The readings as the model sees them: what each should read, and how sure that is."""

    def __init__(
        self, generic: Generic, head: Head, readings: PaperReadings, freedom: Freedom, speed_spread: float
    ):  # fmt: skip
        self.generic, self.freedom, self.readings, self.speed_spread = generic, freedom, readings, speed_spread
        self.lights = [light_behind(generic.stock, head, strip.setting) for strip in readings.strips]
        steps: list[StepReading] = [reading for strip in readings.strips for reading in strip.readings]
        self.of_strip = np.array([k for k, strip in enumerate(readings.strips) for _ in strip.readings], dtype=int)
        self.log_h = np.concatenate([strip.log_h() for strip in readings.strips]) if steps else np.zeros(0)
        self.read = np.array([np.nan if one.density is None else one.density for one in steps])
        self.share = np.array([np.nan if one.of_net_max is None else one.of_net_max for one in steps])
        self.step = np.array([one.step for one in steps], dtype=int)
        self.density_error = np.array([one.density_error for one in steps])
        self.log_error = np.array([one.log_error for one in steps])
        self.development = Development(generic.stock.development.completion_time_s)

    def predicted(self, free: FloatArray, log_shift: float = 0.0) -> tuple[FloatArray, Response]:
        response = Response(shaped(self.generic, self.freedom, free, self.speed_spread), self.development)
        faster = log_shift + float(free[0]) * self.speed_spread  # a paper's speed acts on the light it is given
        blue, green = np.empty(len(self.log_h)), np.empty(len(self.log_h))
        for k, light in enumerate(self.lights):
            own, here = self.freedom.light_of(free, k), self.of_strip == k
            blue[here], green[here] = (
                10.0 ** (self.log_h[here] + faster + more) * strength for more, strength in zip(own, light, strict=True)
            )
        return response.density(blue, green), response

    def departures(self, free: FloatArray, log_shift: float = 0.0) -> FloatArray:
        """Return by how much denser the model is than read."""
        return self._off(*self.predicted(free, log_shift))

    def _off(self, density: FloatArray, response: Response) -> FloatArray:
        base, black = response.base_plus_fog, response.black
        wanted = np.where(np.isnan(self.read), base + np.nan_to_num(self.share) * (black - base), self.read)
        return np.asarray(density - wanted)

    def slope_and_variance(self, free: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return what a log unit of light does to every reading, and the square of the error that is its own."""
        slope = (self.predicted(free, 0.005)[0] - self.predicted(free, -0.005)[0]) / 0.01
        return slope, self.density_error**2 + slope**2 * (self.log_error**2 + FORM_LOG_ERROR**2)

    def whitener(self, free: FloatArray) -> FloatArray:
        """Return what makes departures independent and of unit size: readings of one step share that step's error."""
        return np.asarray(np.linalg.inv(np.linalg.cholesky(self.errors(free))))

    def errors(self, free: FloatArray) -> FloatArray:
        """Return the covariance of departures that reading and wedge make."""
        slope, own = self.slope_and_variance(free)
        shared = np.where(self.step[:, None] == self.step[None, :], np.outer(slope, slope) * STEP_ERROR**2, 0.0)
        return np.asarray(np.diag(own) + shared)

    def bends(self, free: FloatArray) -> FloatArray:
        """Return how far readings depart together where the paper's form is another, for a bend of 1 D."""
        density, response = self.predicted(free)
        phi = tone_phase(density, response.base_plus_fog, response.black)
        alike = np.where(self.of_strip[:, None] == self.of_strip[None, :], 1.0, BEND_SHARED)
        return alike * bends_together(phi, phi)

    def residuals_with(self, white: FloatArray) -> Callable[[FloatArray], FloatArray]:
        """Return what is to become small: departures in units of their errors, and the free numbers themselves."""
        unexposed = np.array(self.readings.unexposed)

        def residuals(free: FloatArray) -> FloatArray:
            density, response = self.predicted(free)
            of_white = (response.base_plus_fog - unexposed) / DENSITY_ERROR
            return np.concatenate([white @ self._off(density, response), of_white, free])

        return residuals


def tone_phase(density: FloatArray, base: float, black: float) -> FloatArray:
    """Return where densities lie between white (0) and black (1), the ends drawn out as they are read."""
    share = np.clip((density - base) / (black - base), 0.0, 1.0)
    return np.asarray(2.0 / np.pi * np.arcsin(np.sqrt(share)))


def bends_together(phi: FloatArray, other: FloatArray) -> FloatArray:
    """Return the covariance of a curve's bend at two rows of tones (1 where both are the same middle tone)."""
    near = np.exp(-0.5 * ((phi[:, None] - other[None, :]) / BEND_LENGTH) ** 2)
    return np.asarray(np.outer(np.sin(np.pi * phi), np.sin(np.pi * other)) * near)


def light_behind(stock: Stock, head: Head, setting: str) -> tuple[float, float]:
    """Return blue and green exposure of a stock for one lux s of a head's light, once a setting's filter is in it."""
    through = per_lux(head.lamp) * FilterSetting.named(setting).densities().transmittance()
    blue, green = stock.emulsion.exposures(through)
    measured = 1.0 if head.own is None else 10.0 ** head.own.of_filter(setting)[0]  # acts on prints too: not the paper's
    return blue * measured, green * measured


def fit_own_paper(generic: Generic, head: Head, readings: PaperReadings) -> OwnPaper:
    """Return the paper that the readings ask for, the generic one where they say nothing."""
    speed_spread = SPREADS["speed"] if readings.light_known else SPEED_NOT_KNOWN
    freedom = Freedom.of(generic, len(readings.strips))
    model, free = _Model(generic, head, readings, freedom, speed_spread), np.zeros(freedom.count)
    for _ in range(MOST_ROUNDS):
        residuals = model.residuals_with(model.whitener(free))
        now, jacobian = residuals(free), _jacobian(residuals, free, both_ways=False)
        step = -np.linalg.solve(jacobian.T @ jacobian, jacobian.T @ now)
        length = 1.0
        while np.square(residuals(free + length * step)).sum() > np.square(now).sum() and length > 0.02:
            length *= 0.5
        free = free + length * step
        if np.abs(length * step).max() < CLOSE_ENOUGH:
            break
    residuals = model.residuals_with(model.whitener(free))
    now, jacobian = residuals(free), _jacobian(residuals, free)
    of_readings = len(now) - freedom.count
    misfit = float(np.mean(np.square(now[:of_readings]))) if of_readings else 0.0
    covariance: FloatArray = np.asarray(np.linalg.inv(jacobian.T @ jacobian) * max(misfit, 1.0), dtype=np.float64)
    return OwnPaper(generic, head, readings, freedom, speed_spread, free, covariance, misfit, of_readings)


def _jacobian(
    residuals: Callable[[FloatArray], FloatArray], free: FloatArray, both_ways: bool = True
) -> FloatArray:  # fmt: skip
    """Return by how much every residual changes for a prior's standard deviation of each free number."""
    steps = MOVED * np.eye(len(free))
    if not both_ways:
        now = residuals(free)
        return np.array([(residuals(free + step) - now) / MOVED for step in steps]).T
    return np.array([(residuals(free + step) - residuals(free - step)) / (2.0 * MOVED) for step in steps]).T


@dataclass(frozen=True, eq=False)
class Tangent:
    """A fit laid straight where it stands: what every step should read and did, and how that leans on the free numbers.

    ``rest`` are the other terms of the sum of squares (unexposed paper, the free numbers themselves), ``cost`` the whole sum.
    """

    density: FloatArray
    read: FloatArray
    step: FloatArray
    of_strip: FloatArray
    slope: FloatArray
    own_variance: FloatArray
    jacobian: FloatArray
    rest: FloatArray
    rest_jacobian: FloatArray
    cost: float
    free: FloatArray
    bends: FloatArray


def tangent_at(own: OwnPaper) -> Tangent:
    """Return a fitted paper's tangent: what other readings would make of it can be reckoned without a fit."""
    model, free = own.model(), own.free
    jacobian = _jacobian(lambda x: model.predicted(x)[0], free, both_ways=False)
    slope, variance = model.slope_and_variance(free)
    residuals, count = model.residuals_with(np.eye(len(model.read))), len(model.read)
    rest_jacobian = _jacobian(residuals, free, both_ways=False)[count:]
    return Tangent(
        model.predicted(free)[0], model.read, model.step, model.of_strip, slope, variance, jacobian, residuals(free)[count:],
        rest_jacobian, own.cost, free, model.bends(free),
    )  # fmt: skip


def strips_behind(settings: Sequence[str], log_exposure: float, wedge: Sequence[float]) -> tuple[Strip, ...]:
    """Return strips that nobody has read yet: what they would tell is asked before paper is spent."""
    steps = tuple(StepReading(k + 1, density, 0.5) for k, density in enumerate(wedge))
    return tuple(Strip(setting, log_exposure, steps) for setting in settings)


def unread_information(
    generic: Generic, head: Head, strip: PaperReadings, free: FloatArray, speed_spread: float
) -> FloatArray:  # fmt: skip
    """Return what one strip that nobody has read would tell of a paper's numbers and its own light (inverse covariance)."""
    freedom = Freedom.of(generic, 1)
    at = np.concatenate([free[: len(freedom.shared)], [0.0, 0.0]])
    model = _Model(generic, head, strip, freedom, speed_spread)
    residuals = model.residuals_with(model.whitener(at))
    jacobian = _jacobian(residuals, at)[: -freedom.count]
    return np.asarray(jacobian.T @ jacobian)
