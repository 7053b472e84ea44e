"""Fits one paper's curve and the graded filters to the published ranges that stand in paper_family.toml.

One curve shape and one skewed distribution of green sensitivity are fitted by least squares, with a smoothness penalty on
the distribution and a penalty on dips of the local gradient. Three discrete kinds of grain would give a staircase.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, Field

from sim.enlarger.filters import GRADED_BLUE_LEAK, FilterDensities
from sim.enlarger.spectra import Lamp, per_lux
from sim.paper.emulsion import Emulsion
from sim.paper.response import with_surface, without_surface
from sim.paper.sensitometry import CharacteristicCurve
from sim.reading import read_toml

FloatArray = NDArray[np.float64]

NODES = np.linspace(-2.5, 0.6, 20)
LOG_H = np.linspace(-3.4, 3.4, 1361)
FAMILY_FILE = Path(__file__).with_name("paper_family.toml")


class Setting(BaseModel):
    """Readings of the paper at one contrast setting."""

    model_config = ConfigDict(strict=True, extra="forbid")
    iso_range: float
    toe: float
    mean_gradient: float
    shoulder: float
    gradients: list[Annotated[list[float], Field(min_length=2, max_length=2)]] = []


class Ends(BaseModel):
    """Ranges wanted from pure blue and pure green light."""

    model_config = ConfigDict(strict=True, extra="forbid")
    blue_only_iso_range: float
    green_only_iso_range: float


class FilterAims(BaseModel):
    """Ranges and equal times wanted from the graded set."""

    model_config = ConfigDict(strict=True, extra="forbid")
    temperature_k: float
    names: list[str]
    iso_range: list[float]
    double_time_from: str
    unfiltered_iso_range: float


class Family(BaseModel):
    """Everything the fit reads."""

    model_config = ConfigDict(strict=True, extra="forbid")
    format: Annotated[int, Field(ge=1, le=1)]
    setting: list[Setting]
    ends: Ends
    filters: FilterAims


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


def curve_of(emulsion: Emulsion, sheet: SheetAims, blue: float, green: float) -> CharacteristicCurve:
    """Return the fully developed curve for a light of the given blue and green strength."""
    h = 10.0**LOG_H
    share = emulsion.developable(h * blue, h * green)
    density = with_surface(sheet.base_density + emulsion.image_density * share, sheet.surface_reflection)
    return CharacteristicCurve(LOG_H, density)


def _misfit(curve: CharacteristicCurve, setting: Setting) -> list[float]:
    top = 0.9 * curve.net_dmax
    toe = curve.log_exposure_at_net(0.60) - curve.log_exposure_at_net(0.04)
    shoulder = curve.log_exposure_at_net(top) - curve.log_exposure_at_net(1.2)
    return [
        (curve.iso_range() - setting.iso_range) / 1.5,
        (toe - setting.toe) / 0.015,
        (curve.mean_gradient(0.6, 1.2) / setting.mean_gradient - 1.0) / 0.03,
        (shoulder / setting.shoulder - 1.0) / 0.05,
        *((curve.gradient_at_net(net) / g - 1.0) / 0.06 for net, g in setting.gradients),
    ]


def _emulsion_of(parameters: FloatArray, image_density: float) -> Emulsion:
    logits = parameters[2 : 2 + len(NODES)]
    weights = np.exp(logits - logits.max())
    weights /= weights.sum()
    return Emulsion(
        float(parameters[0]), float(np.exp(parameters[1])), 0.0, image_density,
        tuple(NODES.tolist()), tuple(weights.tolist()),
    )  # fmt: skip


def fit_variable_contrast(family: Family, sheet: SheetAims) -> Emulsion:
    """Return the emulsion that fits the family (log_speed 0, green sensitivities still relative to each other)."""
    from scipy.optimize import least_squares

    count = len(NODES)

    def residuals(parameters: FloatArray) -> FloatArray:
        emulsion = _emulsion_of(parameters, sheet.image_density)
        out: list[float] = []
        for setting, log_ratio in zip(family.setting, parameters[2 + count :], strict=True):
            curve = curve_of(emulsion, sheet, 1.0, 10.0**log_ratio)
            out += [*_misfit(curve, setting), 20.0 * max(curve.deepest_dip() - 0.01, 0.0)]
        for blue, green, wanted in (
            (1.0, 0.0, family.ends.blue_only_iso_range),
            (0.0, 1.0, family.ends.green_only_iso_range),
        ):
            curve = curve_of(emulsion, sheet, blue, green)
            out += [(curve.iso_range() - wanted) / 1.0, 20.0 * max(curve.deepest_dip() - 0.01, 0.0)]
        ratios = parameters[2 + count :]
        for log_ratio in np.linspace(ratios.max(), ratios.min(), 21):  # settings nobody measured must not dip either
            dip = curve_of(emulsion, sheet, 1.0, 10.0**log_ratio).deepest_dip()
            out.append(40.0 * max(dip - 0.01, 0.0))
        logits = parameters[2 : 2 + count]
        return np.array([*out, *(0.2 * np.diff(logits, 2)), *(0.01 * logits)])

    start = np.concatenate([[9.0, np.log(0.52)], -0.5 * ((NODES + 0.2) / 0.7) ** 2, [2.1, 0.4, -0.2]])
    solution = least_squares(residuals, start, x_scale="jac", max_nfev=120)
    return _emulsion_of(solution.x, sheet.image_density)


def fit_fixed_grade(sheet: SheetAims, iso_range: float, curve_a: float) -> Emulsion:
    """Return a blue-sensitive emulsion of one class with the wanted ISO range; ``curve_a`` trades toe for shoulder."""

    def emulsion(log_b: float) -> Emulsion:
        return Emulsion(curve_a, float(np.exp(log_b)), 0.0, sheet.image_density)

    def miss(log_b: float) -> float:
        return curve_of(emulsion(log_b), sheet, 1.0, 0.0).iso_range() - iso_range

    return emulsion(_solve(miss, -0.8, 2.0))


def _solve(function: Callable[[float], float], low: float, high: float) -> float:
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

    return shifted(_solve(miss, -2.0, 2.0))


def place_speed(emulsion: Emulsion, sheet: SheetAims, iso_speed: float) -> Emulsion:
    """Set the absolute speed so that 2856 K light gives ISO speed P without a filter."""
    blue, green = emulsion.exposures(per_lux(Lamp(2856.0)))
    curve = curve_of(emulsion, sheet, 1.0, green / blue)
    log_lux_s = np.log10(1000.0 / iso_speed)
    missing = float(curve.log_exposure_at_net(0.60) - log_lux_s - np.log10(blue))
    return replace(emulsion, log_speed=emulsion.log_speed + missing)


def fit_filters(emulsion: Emulsion, sheet: SheetAims, aims: FilterAims) -> dict[str, FilterDensities]:
    """Return the graded set: dye for the range of each filter, neutral density for equal times at net 0.60."""
    lamp = per_lux(Lamp(aims.temperature_k))

    def graded(yellow: float = 0.0, magenta: float = 0.0) -> FilterDensities:
        return FilterDensities(yellow, magenta, 0.0, GRADED_BLUE_LEAK)

    def light(densities: FilterDensities) -> tuple[float, float]:
        return emulsion.exposures(lamp * densities.transmittance())

    def range_of(densities: FilterDensities) -> float:
        blue, green = light(densities)
        return curve_of(emulsion, sheet, 1.0, green / blue).iso_range()

    def log_need(densities: FilterDensities) -> float:
        blue, green = light(densities)
        return curve_of(emulsion, sheet, 1.0, green / blue).log_exposure_at_net(0.60) - np.log10(blue)

    def dye_for(wanted: float) -> FilterDensities:
        if wanted == aims.unfiltered_iso_range:
            return graded()
        if wanted > aims.unfiltered_iso_range:
            return graded(yellow=_solve(lambda y: range_of(graded(yellow=y)) - wanted, 0.0, 3.9))
        return graded(magenta=_solve(lambda m: range_of(graded(magenta=m)) - wanted, 0.0, 3.9))

    dyes = {name: dye_for(wanted) for name, wanted in zip(aims.names, aims.iso_range, strict=True)}
    late = aims.names.index(aims.double_time_from)
    allowance = {name: (np.log10(2.0) if i >= late else 0.0) for i, name in enumerate(aims.names)}
    slowest = max(log_need(dye) - allowance[name] for name, dye in dyes.items())
    return {name: replace(dye, neutral=float(slowest + allowance[name] - log_need(dye))) for name, dye in dyes.items()}


def read_family() -> Family:
    """Return the published ranges that the fit aims at."""
    return read_toml(FAMILY_FILE, Family)
