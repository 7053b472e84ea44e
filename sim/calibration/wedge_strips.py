"""What is read of a paper of one's own: strips of a step wedge behind known settings, and an unexposed sheet.

A reading is a density, or "the first step that cannot be told from black", which stands for a share of the net maximum.
Log exposures are of the unfiltered light, in lux s where the light was known, else counted from the generic paper's.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.quantities import FloatArray
from sim.refusals import Refused

DENSITY_ERROR = 0.02  # one reading of a densitometer on paper (common practice)
STEP_ERROR = 0.012  # one step of an uncalibrated wedge: under a tenth of a stop at low densities (a maker's table)
NOT_TOLD_FROM_BLACK = 0.9  # of the net maximum: beyond it tones run together (L. A. Jones; ISO 6846)
FEWEST_READINGS = 3  # of one strip, between paper white and black
LONGEST_WEDGE, MOST_STRIPS = 64, 12


@dataclass(frozen=True)
class StepReading:
    """One step of one strip: the wedge's density over it and the print density read, or a share of the net maximum.

    ``step`` counts from 1 at the wedge's clear end. ``density`` is absolute, 0 to 4; ``of_net_max`` 0 to 1 stands in its
    place where the eye said "black". ``density_error`` and ``log_error`` are standard errors of density and log exposure.
    """

    step: int
    wedge_density: float
    density: float | None
    of_net_max: float | None = None
    density_error: float = DENSITY_ERROR
    log_error: float = 0.0

    def __post_init__(self) -> None:
        if (self.density is None) == (self.of_net_max is None):
            raise Refused(f"step {self.step} must have a density or a share of black, got both or none")
        if self.density is not None and not -0.05 <= self.density <= 4.0:
            raise Refused(f"step {self.step} must read a density between 0 and 4, got {self.density!r}")
        if not 0.0 <= self.wedge_density <= 20.0:
            raise Refused(
                f"step {self.step} must lie under a wedge density between 0 and 20, got {self.wedge_density!r}"
            )


@dataclass(frozen=True)
class Strip:
    """One strip: the setting it was printed behind (a filter's short name), its clear light, and its readings.

    ``log_exposure`` is log10 of the unfiltered light's lux s on the paper where the wedge would be clear.
    """

    setting: str
    log_exposure: float
    readings: tuple[StepReading, ...]

    def log_h(self) -> FloatArray:
        """Return the log exposure at every reading."""
        return np.array([self.log_exposure - reading.wedge_density for reading in self.readings])


@dataclass(frozen=True)
class WetReading:
    """A step of a strip read while the sheet was wet: absolute density, 0 to 4."""

    setting: str
    step: int
    density: float


@dataclass(frozen=True)
class DoubledReading:
    """A step of one more strip behind a setting that had the same light twice: absolute density, 0 to 4."""

    setting: str
    step: int
    density: float


@dataclass(frozen=True)
class PaperReadings:
    """All strips of one paper in one developer; ``unexposed`` are readings of a sheet that saw no light, ``wet`` of wet steps,
    ``doubled`` of strips that had twice the light of the one of their setting.

    ``light_known``: exposures are really lux s of this head on this paper; otherwise only how strips stand to each other.
    """

    strips: tuple[Strip, ...]
    unexposed: tuple[float, ...] = ()
    light_known: bool = True
    wet: tuple[WetReading, ...] = ()
    doubled: tuple[DoubledReading, ...] = ()

    @property
    def settings(self) -> tuple[str, ...]:
        """The settings that were read, in the order of the strips."""
        return tuple(strip.setting for strip in self.strips)
