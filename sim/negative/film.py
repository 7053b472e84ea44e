"""A film: its characteristic curve, how development changes it, and its grain.

The curve meets the ISO 6 conditions when developed normally: density 0.10 above base+fog at the speed point
Hm = 0.80/S lux s, and 0.80 more at 1.30 log exposure units beyond (ISO 6:1993; the speed formula from memory).
Development is what is gained over those 1.30 units, counted from where the film so developed has net 0.10, over 0.80.
Speed, fog and toe follow it by one number each. The numbers of the medium film are fitted to an open step-tablet set at
three developments, 0.70 to 1.46 of normal; beyond those the same laws are carried on (assumption).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import Annotated

import numpy as np
from pydantic import Field

from sim.negative.grain import Grain
from sim.quantities import FloatArray
from sim.reading import Uncertainty, read_toml_of_format, refuse_unsourced_fields
from sim.shelf import FILM, SHIPPED

SPEED_POINT_DENSITY = 0.10
ISO_LOG_RANGE = 1.30
ISO_DENSITY_RANGE = 0.80
TOE_NARROWS = 0.5  # the toe shortens as 1/sqrt(development); 0.3 to 1.0 fit the readings of three developments alike
SILVER_RATE = 1.3  # share of the coating's silver that is developed: 1 - exp(-1.3 development)
USUAL_HALF_CONTRAST_LP_MM = 45.0  # of a film whose file says nothing of it
USUAL_CLUMP_UM = 4.0  # of a film whose file says nothing of it
GRAIN_GROWS = 0.5  # of gamma: developed grains as large as gamma is steep, fluctuation as the root of their area


@dataclass(frozen=True)
class Film:
    """A film stock, its curve as developed normally and what development makes of it.

    ``toe_width`` (log exposure) is how fast the toe turns into the straight line; it takes about four of them.
    ``speed_gain`` is the most speed that development could ever gain, in log exposure; ``fog_gain`` what base+fog gains
    for every e-fold of development. ``net_dmax`` is where the shoulder ends; ``rms_granularity`` is x1000.
    ``half_contrast_lp_mm`` is the fineness of light and dark lines of which light scattered in the film leaves half;
    ``clump_um`` the diameter of a clump of grain where it has faded to 1/e. Both grains are of normal development.
    """

    name: str
    title: Annotated[str, Field(min_length=3, max_length=120)]
    iso_speed: Annotated[float, Field(ge=1.0, le=6400.0)]
    base_fog_density: Annotated[float, Field(ge=0.0, le=0.8)]
    toe_width: Annotated[float, Field(ge=0.02, le=0.5)]
    speed_gain: Annotated[float, Field(ge=0.0, le=0.6)]
    fog_gain: Annotated[float, Field(ge=0.0, le=0.3)]
    net_dmax: Annotated[float, Field(ge=1.5, le=4.0)]
    shoulder_width: Annotated[float, Field(ge=0.02, le=0.5)]
    rms_granularity: Annotated[float, Field(ge=0.0, le=60.0)]
    sources: dict[str, str] = field(compare=False, repr=False)
    uncertainty: dict[str, Uncertainty] = field(default_factory=dict, compare=False, repr=False)
    half_contrast_lp_mm: Annotated[float, Field(ge=5.0, le=500.0)] | None = None
    clump_um: Annotated[float, Field(ge=0.0, le=40.0)] | None = None

    def __post_init__(self) -> None:
        refuse_unsourced_fields(self)

    @property
    def spread_lp_mm(self) -> float:
        """Where light scattered in the film leaves half contrast; a usual film's where the file says nothing."""
        return self.half_contrast_lp_mm or USUAL_HALF_CONTRAST_LP_MM

    def grain(self, development: float, key: int) -> Grain:
        """Return the grain of a development (0.3-2.5); ``key`` tells one negative's from another's.

        By Nutting's law fluctuation is as the root of a developed grain's area at the same density, and so is a clump's
        diameter; that the area grows as gamma does is an assumption (grain is said to grow with development everywhere).
        """
        grown = (self.gamma(development) / self.gamma()) ** GRAIN_GROWS
        clump_um = USUAL_CLUMP_UM if self.clump_um is None else self.clump_um
        return Grain(self.rms_granularity * grown, clump_um * grown / 1000.0, key)

    @property
    def log_speed_point(self) -> float:
        """Log10 exposure in lux s at the ISO speed point."""
        return float(np.log10(0.80 / self.iso_speed))

    def speed_gained(self, development: float) -> float:
        """Return by how much log exposure net 0.10 is reached earlier than normally (below 0 for less development).

        ``speed_gain * (1 - 1/development)``: a push soon gains nothing, a pull costs more and more. Range 0.3-2.5.
        """
        return self.speed_gain * (1.0 - 1.0 / development)

    def fog_with_development(self, development: float) -> float:
        """Return base+fog density; ``fog_gain`` for every e-fold of development (0.3-2.5), never below none."""
        return max(0.0, self.base_fog_density + self.fog_gain * float(np.log(development)))

    def gamma(self, development: float = 1.0) -> float:
        """Return the gradient of the straight line, density per log10 exposure, for a development of 0.3-2.5."""
        return development * _straight_line(self, development)[0]

    def net_density(self, log_exposure: FloatArray, development: float = 1.0) -> FloatArray:
        """Return density above base+fog for log10 exposure in lux s.

        ``development`` is the contrast against normal (0.3-2.5; 0.7 = 30 % less). The curve is a toe ``log(1 + e**x)``, a
        straight line, and a shoulder of the same form where the coating's silver ends (form: assumption).
        """
        gradient, start = _straight_line(self, development)
        width = self.toe_width * development**-TOE_NARROWS
        beyond = np.asarray(log_exposure) - self.log_speed_point + self.speed_gained(development)
        straight = gradient * width * np.logaddexp(0.0, beyond / width - start)
        over = self.shoulder_width * np.logaddexp(0.0, (straight - self._top(development)) / self.shoulder_width)
        return np.asarray(development * (straight - over))

    def deepest(self, development: float) -> float:
        """Return the net density at the end of the shoulder: a coating's silver is used up, whatever the time.

        ``net_dmax`` at normal development, ``1 - exp(-1.3 development)`` of the coating's silver at any (form of gamma's rise
        with time in the textbooks; 1.3 is an assumption: a third more than normal at the longest).
        """
        return self.net_dmax * float(np.expm1(-SILVER_RATE * development) / np.expm1(-SILVER_RATE))

    def _top(self, development: float) -> float:
        return self.deepest(development) / development

    def _before_shoulder(self, net: float, development: float) -> float:
        """Return what the straight line alone would give where the shoulder leaves ``net``, both over development."""
        width = self.shoulder_width
        return -width * float(np.log(np.exp(-net / width) - np.exp(-self._top(development) / width)))


@lru_cache(maxsize=256)
def _straight_line(film: Film, development: float) -> tuple[float, float]:
    """Return gradient over development, and where the line starts in toe widths from the speed point.

    Solved from the two conditions: net 0.10 at the speed point, ``0.80 * development`` more at 1.30 beyond it.
    """
    from scipy.optimize import brentq

    width = film.toe_width * development**-TOE_NARROWS
    low = film._before_shoulder(SPEED_POINT_DENSITY / development, development)
    high = film._before_shoulder(SPEED_POINT_DENSITY / development + ISO_DENSITY_RANGE, development)

    def miss(start: float) -> float:
        toe, line = np.logaddexp(0.0, -start), np.logaddexp(0.0, ISO_LOG_RANGE / width - start)
        return float(np.log(line / toe) - np.log(high / low))

    start = float(brentq(miss, -60.0, 60.0, xtol=1e-12))
    return low / (width * float(np.logaddexp(0.0, -start))), start


@lru_cache(maxsize=32)
def find_film(name: str) -> Film:
    """Return a film by name. Raises OutsideError naming the known ones."""
    path = SHIPPED.file(FILM, name)
    return read_toml_of_format(path, Film, name=name)
