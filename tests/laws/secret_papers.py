"""Papers of our own making that a fit is not told: other grains, other speed, other silver, filters of another batch.

They are read as a person reads: with 0.02 D of noise, a wedge whose steps are off by 0.01 each, and one step that is wrong.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from night import turns
from numpy.typing import NDArray

from sim.calibration.own_curves import NINETY, Behind, behind, curve_in_light
from sim.calibration.own_paper import OwnPaper, fit_own_paper, light_behind
from sim.calibration.own_shape import Generic
from sim.calibration.wedge_strips import PaperReadings, StepReading, Strip
from sim.enlarger.equipment import find_head
from sim.paper.response import Response
from sim.paper.sensitometry import CharacteristicCurve
from sim.paper.stock import Stock, find_stock

FloatArray = NDArray[np.float64]

GENERIC = Generic.of(find_stock("glossy-fb-vc"))
HEAD = find_head("diffusion-sheet")
WEDGE = 0.05 + 0.1 * np.arange(31)
READ, UNREAD = ("00", "2", "5"), ("1", "3", "4")
NOISE, STEP_NOISE, WRONG_BY = 0.02, 0.01, 0.12
LARGE = turns("TONEWRIGHT_OWN_PAPERS", 0, 200)


@dataclass(frozen=True, eq=False)
class Secret:
    """A paper nobody knows, and by how much its filters differ from the set (log10: all light, green against blue)."""

    stock: Stock
    filters: dict[str, tuple[float, float]]

    def light(self, setting: str) -> tuple[float, float]:
        blue, green = light_behind(self.stock, HEAD, setting)
        whole, ratio = self.filters[setting]
        return blue * 10.0 ** (whole - 0.5 * ratio), green * 10.0 ** (whole + 0.5 * ratio)

    def curve(self, setting: str) -> CharacteristicCurve:
        return curve_in_light(self.stock, *self.light(setting))


def secret_paper(rng: np.random.Generator) -> Secret:
    """Return a paper whose grains are drawn about the generic ones', each number by about what papers are apart."""
    draw, grains, generic = rng.standard_normal, GENERIC.grains, GENERIC.stock
    assert grains is not None
    shares = np.array([grains.undyed * np.exp(0.3 * draw()), grains.little * np.exp(0.3 * draw()), grains.much])
    shares /= shares.sum()
    own = replace(
        grains, curve_a=grains.curve_a * np.exp(0.1 * draw()), curve_b=grains.curve_b * np.exp(0.2 * draw()),
        undyed=float(shares[0]), little=float(shares[1]), little_at=grains.little_at + 0.1 * draw(),
        little_spread=grains.little_spread * np.exp(0.15 * draw()), much_spread=grains.much_spread * np.exp(0.2 * draw()),
    )  # fmt: skip
    emulsion = own.emulsion(generic.emulsion.image_density * float(np.exp(0.04 * draw())))
    at = GENERIC.green_at + 0.15 * draw()
    emulsion = replace(
        emulsion,
        log_speed=generic.emulsion.log_speed + 0.2 * draw(),
        green_nodes=tuple(n + at for n in emulsion.green_nodes),
    )
    stock = replace(generic, emulsion=emulsion, base_density=max(generic.base_density + 0.015 * draw(), 0.0))
    return Secret(stock, {name: (0.04 * draw(), 0.015 * draw()) for name in (*READ, *UNREAD)})


def read_by_hand(
    secret: Secret, rng: np.random.Generator, settings: tuple[str, ...] = READ, wrong_step: int | None = None
) -> PaperReadings:  # fmt: skip
    """Return the readings of strips exposed so that the clear end is black, with a hand's errors."""
    wedge = WEDGE + STEP_NOISE * rng.standard_normal(len(WEDGE))
    if wrong_step is not None:
        wedge[wrong_step - 1] += WRONG_BY
    strips = []
    for setting in settings:
        curve = secret.curve(setting)
        clear = round(curve.log_exposure_at_net(0.97 * curve.net_dmax) + 0.4, 1)
        density = np.interp(clear - wedge, curve.log_exposure, curve.density) + NOISE * rng.standard_normal(len(wedge))
        steps = tuple(StepReading(k + 1, float(WEDGE[k]), round(float(d), 2)) for k, d in enumerate(density))
        strips.append(Strip(setting, clear, steps))
    white = Response(secret.stock, _developed(secret.stock)).base_plus_fog
    return PaperReadings(tuple(strips), (round(white + NOISE * float(rng.standard_normal()), 2),))


def _developed(stock: Stock):  # type: ignore[no-untyped-def]
    from sim.paper.development import Development

    return Development(stock.development.completion_time_s)


@dataclass(frozen=True)
class Missed:
    """What a fit made of a setting it was not shown: rms density from net 0.60, and the share of points in its interval."""

    rms: float
    inside: float
    inside_from_speed: float
    range_inside: bool
    speed_inside: bool


def missed(secret: Secret, own: OwnPaper, setting: str) -> Missed:
    """Return how the fit does behind a setting, from the first tone to 0.9 of black."""
    found, truth = behind(own, setting), secret.curve(setting)
    net = np.linspace(0.04, 0.9 * truth.net_dmax, 25)
    at = np.array([truth.log_exposure_at_net(one) for one in net])
    off = np.interp(at, found.curve.log_exposure, found.curve.density) - (net + truth.base_plus_fog)
    sure = np.interp(at, found.curve.log_exposure, found.density_error)
    from_speed = at - truth.log_exposure_at_net(0.60) + found.log_speed_point
    again = np.interp(from_speed, found.curve.log_exposure, found.curve.density) - found.curve.base_plus_fog - net
    sure_again = np.interp(from_speed, found.curve.log_exposure, found.from_speed_error)
    elsewhere = np.abs(net - 0.60) > 0.1  # at net 0.60 both are the same by definition
    return Missed(
        float(np.sqrt(np.mean(again**2))), float(np.mean(np.abs(off) <= NINETY * sure)),
        float(np.mean(np.abs(again[elsewhere]) <= NINETY * sure_again[elsewhere])),
        bool(abs(found.iso_range - truth.iso_range()) <= NINETY * found.iso_range_error),
        bool(abs(found.log_speed_point - truth.log_exposure_at_net(0.60)) <= NINETY * found.log_speed_error),
    )  # fmt: skip


def fitted(readings: PaperReadings) -> OwnPaper:
    return fit_own_paper(GENERIC, HEAD, readings)


__all__ = ["Behind", "Missed", "Secret", "fitted", "missed", "read_by_hand", "secret_paper"]
