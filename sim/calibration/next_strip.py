"""Which sheet to read next: the one that would narrow the paper's curves most, reckoned before any paper is spent."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sim.calibration.own_curves import Leaning, leaning
from sim.calibration.own_paper import OwnPaper, light_behind, strips_behind, unread_information
from sim.calibration.own_shape import SPREADS, Freedom
from sim.calibration.wedge_strips import DENSITY_ERROR
from sim.enlarger.filters import GRADED_NAMES

LOOKED_AT = ("00", "1", "2", "3", "4", "5")  # filters whose curves are to be narrow
NET_LOOKED_AT = (0.04, 0.9)  # from the first tone to the share of black where tones run together
WORTH_A_SHEET = 0.1  # of the error: less is not worth reading for
UNEXPOSED = "unexposed"
STEPS_TO_READ = 21
LIGHT_TO_BLACK = 1.8  # log exposure under the wedge's clear end, counted from blue and green together making 1


@dataclass(frozen=True)
class NextSheet:
    """What to read next: a setting, or "unexposed"; the mean error of the curves (density, from net 0.60) now and then."""

    what: str
    error_now: float
    error_then: float

    @property
    def worth_it(self) -> bool:
        """Tell whether it would narrow the curves by a tenth or more."""
        return self.error_then < (1.0 - WORTH_A_SHEET) * self.error_now


def curve_error(own: OwnPaper, settings: tuple[str, ...] = LOOKED_AT) -> float:
    """Return the rms standard error in density of the curves behind settings, counted from net 0.60."""
    return _error_of(own, [leaning(own, setting) for setting in settings])


def _error_of(own: OwnPaper, curves: list[Leaning]) -> float:
    squares = []
    for one in curves:
        found = one.behind(one.setting in own.readings.settings, own.covariance_at(one.setting))
        net = found.curve.density - found.curve.base_plus_fog
        seen = (net > NET_LOOKED_AT[0]) & (net < NET_LOOKED_AT[1] * found.curve.net_dmax)
        squares.append(np.mean(np.square(found.from_speed_error[seen])))
    return float(np.sqrt(np.mean(squares)))


def next_sheet(own: OwnPaper, among: tuple[str, ...] = GRADED_NAMES) -> NextSheet:
    """Return the sheet that would narrow the curves most, and by how much."""
    curves = [leaning(own, setting) for setting in (LOOKED_AT if own.generic.grains else ("none",))]
    now = _error_of(own, curves)
    candidates = among if own.generic.grains else ("none",)
    found = [(_error_of(_with_strip(own, s), curves), s) for s in candidates if s not in own.readings.settings]
    if not own.readings.unexposed:
        found.append((_error_of(_with_white(own), curves), UNEXPOSED))
    if not found:
        return NextSheet("", now, now)
    then, what = min(found)
    return NextSheet(what, now, then)


def _with_strip(own: OwnPaper, setting: str) -> OwnPaper:
    """Return the paper as sure as it would be with one more strip, its curve being what it is thought to be."""
    blue, green = light_behind(own.stock, own.head, setting)
    wedge = tuple(np.linspace(0.0, 3.0, STEPS_TO_READ).tolist())
    strip = strips_behind((setting,), float(LIGHT_TO_BLACK - np.log10(blue + green)), wedge)
    readings = replace(own.readings, strips=(*own.readings.strips, *strip))
    freedom = Freedom.of(own.generic, len(readings.strips))
    free = np.concatenate([own.free, [0.0, 0.0]])
    known = np.eye(len(free))
    known[:-2, :-2] = np.linalg.inv(own.covariance)
    alone = replace(own.readings, strips=strip, unexposed=())
    told = unread_information(own.generic, own.head, alone, own.free, own.speed_spread)
    at = [*range(len(own.freedom.shared)), len(free) - 2, len(free) - 1]
    known[np.ix_(at, at)] += told
    covariance = np.asarray(np.linalg.inv(known), dtype=np.float64)
    return replace(own, readings=readings, freedom=freedom, free=free, covariance=covariance)


def _with_white(own: OwnPaper) -> OwnPaper:
    """Return the paper as sure as it would be with an unexposed sheet: the base known to a reading's error."""
    known = np.linalg.inv(own.covariance)
    base = own.freedom.shared.index("base")
    known[base, base] += (SPREADS["base"] / DENSITY_ERROR) ** 2
    return replace(own, covariance=np.asarray(np.linalg.inv(known), dtype=np.float64))
