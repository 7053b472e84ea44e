"""What the graph of a paper of one's own shows: curves with their intervals, readings on them, what each reading missed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sim.calibration.own_curves import NINETY, Behind
from sim.calibration.own_paper import OwnPaper

BEFORE_SPEED_POINT, BEYOND_BLACK = 1.0, 0.35  # log exposure that is shown beyond the first and the last tones (chosen)
BLACK_SHARE = 0.97  # of the net maximum: where a curve is as good as black
OVER_BASE = 0.01  # density by which no error takes a print beyond its white or its black
Numbers = tuple[float, ...]


@dataclass(frozen=True)
class CurveShown:
    """A curve behind a setting, and between which densities nine of ten lie; ``read``: its setting was among the strips."""

    setting: str
    read: bool
    log_exposure: Numbers
    density: Numbers
    low: Numbers
    high: Numbers


@dataclass(frozen=True)
class StripShown:
    """The readings of a strip as points: log exposure and density; and by how much each step was read off its curve."""

    setting: str
    log_exposure: Numbers
    density: Numbers
    steps: tuple[int, ...]
    off: Numbers


@dataclass(frozen=True)
class PaperGraph:
    """Curves and strips, and the ranges they are shown in: log exposure from ``left`` to ``right``, density up to ``top``."""

    curves: tuple[CurveShown, ...]
    strips: tuple[StripShown, ...]
    left: float
    right: float
    top: float

    @property
    def most_off(self) -> float:
        """The largest miss of all, density."""
        return max((abs(off) for strip in self.strips for off in strip.off), default=0.0)


def graph_of(own: OwnPaper, curves: Sequence[Behind]) -> PaperGraph:
    """Return what a fitted paper's graph shows behind some settings, read or foretold."""
    shown = tuple(_shown(one) for one in curves)
    right = max(float(one.curve.log_exposure_at_net(BLACK_SHARE * one.curve.net_dmax)) for one in curves) + BEYOND_BLACK
    left = min(one.log_speed_point for one in curves) - BEFORE_SPEED_POINT
    top = 1.05 * max(one.curve.density[-1] for one in curves) + 0.05
    return PaperGraph(shown, _strips(own), left, right, float(top))


def _shown(one: Behind) -> CurveShown:
    error = NINETY * one.density_error
    white, black = one.curve.density[0], one.curve.density[-1]
    low, high = (np.clip(one.curve.density + way * error, white - OVER_BASE, black + OVER_BASE) for way in (-1.0, 1.0))
    return CurveShown(
        one.setting, one.read, *(tuple(v.tolist()) for v in (one.curve.log_exposure, one.curve.density, low, high))
    )


def _strips(own: OwnPaper) -> tuple[StripShown, ...]:
    found = []
    for strip, off in zip(own.readings.strips, own.residuals(), strict=True):
        read = [(h, r.density) for h, r in zip(strip.log_h(), strip.readings, strict=True) if r.density is not None]
        steps = tuple(one.step for one in strip.readings)
        found.append(
            StripShown(strip.setting, tuple(float(h) for h, _ in read), tuple(float(d) for _, d in read), steps,
                       tuple((-off).tolist()))
        )  # fmt: skip
    return tuple(found)
