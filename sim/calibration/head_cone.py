"""Whether one's own head sends directed light through the film (condenser) or diffuse light: from steps of a film wedge.

Silver scatters, a known wedge of carbon or one lying on the paper does not: a film step that is as dense as the known one in
diffuse light prints as if it were denser where the light is directed (``negative/callier``). Each step alone in the gate, the
rest masked, so that the lens's stray light is the step's own. The share of scattered light that is still caught is found first;
lens and aperture make the cone of it that stands in the head's file. What level, paper and clear film do is the same for all
steps and drops out against the step of clear film.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from sim.negative.callier import DIFFUSE_DEG, SCATTER_TANGENT, Scattering, caught_share, grain_exponent
from sim.quantities import FloatArray
from sim.refusals import Refused

NARROWEST_DEG = 2.0  # half the narrowest cone that is looked for: a point lamp has it
SHARES = 240  # caught shares that are tried, evenly up to that of diffuse light
FILM_ERROR = 0.02  # density of one film step, read or matched by eye with a known one (common practice)
GAMMA_ERROR = 0.12  # of the film wedge's development, where it is taken from usual development (assumption)
DENSE_ENOUGH = 0.8  # above clear film: in thinner steps heads differ by less than a few readings tell
AS_DIFFUSE = 0.97  # caught share from which a density of 1 prints within 0.01 of what it does in diffuse light
MOST_OFF = 4.0  # errors that no cone explains
TOLD_AT = 1.0  # film density at which the quotient is told
NINE_OF_TEN = (0.05, 0.5, 0.95)


class FilmPatch(Protocol):
    """What must be known of a patch printed through a film step: its density above clear film, setting, and row."""

    @property
    def film(self) -> float | None: ...
    @property
    def height_mm(self) -> float: ...
    @property
    def f_number(self) -> float: ...
    @property
    def filter(self) -> str: ...
    @property
    def row(self) -> int: ...


@dataclass(frozen=True)
class Cone:
    """What film steps tell of the head: half the cone of its light (90: diffuse) with its standard error, and what that does.

    ``quotient`` is projection over diffuse density at density 1 of that film, nine of ten between ``least`` and ``most``.
    """

    half_angle_deg: float
    error_deg: float
    quotient: float
    least: float
    most: float
    count: int

    @property
    def directed(self) -> bool:
        """Whether the light is told from diffuse light."""
        return self.half_angle_deg < DIFFUSE_DEG


def cone_of(patches: Sequence[FilmPatch], log_light: FloatArray, errors: FloatArray, lens: float, gamma: float) -> Cone:
    """Return the head's cone. ``log_light`` is what each patch tells of the light through its step, against an empty gate.

    ``errors`` are their standard errors; ``lens`` the tangent of the lens's half angle at the film; ``gamma`` that to which the
    film wedge was developed. Raises Refused naming the row.
    """
    film = _sound(patches)
    shares = np.linspace(caught_share(NARROWEST_DEG, lens), 1.0, SHARES)
    weight, quotients, off = [], [], []
    for apart, likely in ((-1.0, 0.25), (0.0, 0.5), (1.0, 0.25)):
        exponent = grain_exponent(max(gamma + 1.4 * GAMMA_ERROR * apart, 0.05))
        for share in shares:
            scattering = Scattering(exponent, float(share))
            missed = _missed(film, log_light, errors, scattering)
            weight.append(likely * float(np.exp(-0.5 * np.sum(missed**2))))
            quotients.append(float(scattering.quotient(np.array([TOLD_AT]))[0]))
            off.append(np.abs(missed))
    best = min(off, key=lambda one: float(one.max()))
    if best.max() > MOST_OFF:
        worst = int(np.argmax(best))
        raise Refused(
            f"line {patches[worst].row}: film {film[worst]:.2f} must print as some head prints it, got a density "
            f"{best.max():.1f} errors off: was the step alone in the gate, the rest of it masked?"
        )
    return _told(shares, np.array(weight) / np.sum(weight), np.array(quotients), lens, len(film))


def _sound(patches: Sequence[FilmPatch]) -> FloatArray:
    """Return the film densities. Raises Refused for steps that were printed differently, or tell nothing."""
    first = patches[0]
    for one in patches[1:]:
        if (one.height_mm, one.f_number, one.filter) != (first.height_mm, first.f_number, first.filter):
            raise Refused(
                f"line {one.row}: film steps must be printed at one height, aperture and filter, got {one.height_mm:g} mm, "
                f"f/{one.f_number:g}, {one.filter} beside {first.height_mm:g} mm, f/{first.f_number:g}, {first.filter}"
            )
    film = np.array([one.film for one in patches], dtype=np.float64)
    if film.min() > 0.0:
        raise Refused(f"line {first.row}: film must have a row of clear film (0) beside its steps, got none")
    if film.max() < DENSE_ENOUGH:
        raise Refused(
            f"line {first.row}: film must have a step of {DENSE_ENOUGH:g} or more above clear film, in which heads differ, got "
            f"{film.max():.2f} at most"
        )
    return film


def _missed(film: FloatArray, log_light: FloatArray, errors: FloatArray, scattering: Scattering) -> FloatArray:
    """Return by how many errors every step is off, what they all share taken out."""
    printing = scattering.printing_density(film)
    slope = (scattering.printing_density(film + 0.01) - printing) / 0.01
    error = np.hypot(errors, np.where(film > 0.0, FILM_ERROR * slope, 0.0))
    off = log_light + printing
    shared = float(np.sum(off / error**2) / np.sum(1.0 / error**2))
    return np.asarray((off - shared) / error)


def _told(shares: FloatArray, weight: FloatArray, quotients: FloatArray, lens: float, count: int) -> Cone:
    low, middle, high = np.interp(NINE_OF_TEN, np.cumsum(weight.reshape(-1, len(shares)).sum(axis=0)), shares)
    order = np.argsort(quotients)
    least, quotient, most = np.round(np.interp(NINE_OF_TEN, np.cumsum(weight[order]), quotients[order]), 3).tolist()
    if high >= AS_DIFFUSE:
        return Cone(DIFFUSE_DEG, 0.0, quotient, least, most, count)
    angle, narrower, wider = (_angle_deg(share, lens) for share in (middle, low, high))
    return Cone(round(angle, 2), round((wider - narrower) / 3.29, 2), quotient, least, most, count)


def _angle_deg(share: float, lens: float) -> float:
    """Return half the cone of a head whose light a lens catches so much of, scattered."""
    cones = share * SCATTER_TANGENT**2 / max(1.0 - share, 1e-6)
    return float(np.degrees(np.arctan(np.sqrt(max(cones - lens**2, np.tan(np.radians(NARROWEST_DEG)) ** 2)))))
