"""A film: its characteristic curve, how development changes it, and its grain.

The curve meets the ISO 6 conditions when developed normally: density 0.10 above base+fog at the speed point
Hm = 0.80/S lux s, and 0.80 more at 1.30 log exposure units beyond (ISO 6:1993; the speed formula from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from functools import cached_property, lru_cache
from typing import Annotated

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from sim.reading import MAX_TOML_BYTES, OUTSIDE_RULES, of_format, parse_as, parse_toml, read_text, sources_problem
from sim.refusals import Refused
from sim.shelf import FILM, SHIPPED, shipped_names

FloatArray = NDArray[np.float64]
FILM_FOLDER = FILM.shipped

SPEED_POINT_DENSITY = 0.10
ISO_LOG_RANGE = 1.30
ISO_DENSITY_RANGE = 0.80
GRANULARITY_APERTURE_MM = 0.048
USUAL_HALF_CONTRAST_LP_MM = 45.0  # of a film whose file says nothing of it
GRANULARITY_EXPONENT = 0.45  # grain grows with density about as D**0.4-0.5 (from memory)


@dataclass(frozen=True)
class Film:
    """A film stock: ``toe_width`` in log exposure, ``net_dmax`` where the shoulder ends, ``rms_granularity`` x1000.

    ``half_contrast_lp_mm`` is the fineness of light and dark lines of which light scattered in the film leaves half.
    """

    __pydantic_config__ = OUTSIDE_RULES
    name: str
    title: Annotated[str, Field(min_length=3, max_length=120)]
    iso_speed: Annotated[float, Field(ge=1.0, le=6400.0)]
    base_fog_density: Annotated[float, Field(ge=0.0, le=0.8)]
    toe_width: Annotated[float, Field(ge=0.02, le=1.0)]
    net_dmax: Annotated[float, Field(ge=1.0, le=4.0)]
    shoulder_width: Annotated[float, Field(ge=0.02, le=1.0)]
    rms_granularity: Annotated[float, Field(ge=0.0, le=60.0)]
    sources: dict[str, str] = field(compare=False, repr=False)
    half_contrast_lp_mm: Annotated[float, Field(ge=5.0, le=500.0)] | None = None

    def __post_init__(self) -> None:
        numbers = {f.name for f in fields(self) if getattr(self, f.name) is not None} - {"name", "title", "sources"}
        problem = sources_problem(numbers, self.sources)
        if problem:
            raise Refused(problem)

    @property
    def spread_lp_mm(self) -> float:
        """Where light scattered in the film leaves half contrast; a usual film's where the file says nothing."""
        return self.half_contrast_lp_mm or USUAL_HALF_CONTRAST_LP_MM

    @property
    def log_speed_point(self) -> float:
        """Log10 exposure in lux s at the ISO speed point."""
        return float(np.log10(0.80 / self.iso_speed))

    def _normal(self, log_exposure: FloatArray, gradient: float, log_toe: float) -> FloatArray:
        straight = gradient * self.toe_width * np.logaddexp(0.0, (log_exposure - log_toe) / self.toe_width)
        over = self.shoulder_width * np.logaddexp(0.0, (straight - self.net_dmax) / self.shoulder_width)
        return np.asarray(straight - over)

    @cached_property
    def _gradient_and_toe(self) -> tuple[float, float]:
        """Solve gradient and toe position from the two ISO 6 conditions."""
        from scipy.optimize import fsolve

        points = self.log_speed_point + np.array([0.0, ISO_LOG_RANGE])
        wanted = np.array([SPEED_POINT_DENSITY, SPEED_POINT_DENSITY + ISO_DENSITY_RANGE])
        start = [0.62, self.log_speed_point]

        def miss(p: FloatArray) -> FloatArray:
            return self._normal(points, float(p[0]), float(p[1])) - wanted

        solved = fsolve(miss, start, xtol=1e-12)
        return float(solved[0]), float(solved[1])

    def net_density(self, log_exposure: FloatArray, development: float = 1.0) -> FloatArray:
        """Return density above base+fog for log10 exposure in lux s.

        ``development`` is the contrast against normal (0.7 = 30 % less, 1.4 = 40 % more). It scales density, shoulder
        included, and shifts speed by at most a fifth of a stop (assumption, common practice).
        """
        gradient, toe = self._gradient_and_toe
        shift = 0.2 * np.log10(development)
        return np.asarray(development * self._normal(np.asarray(log_exposure) + shift, gradient, toe))

    def fog_with_development(self, development: float) -> float:
        """Return base+fog density: longer development raises fog a little (assumption)."""
        return self.base_fog_density + 0.10 * max(0.0, development - 1.0)


def granularity_sd(net_density: FloatArray, rms_granularity: float, pixel_area_mm2: float) -> FloatArray:
    """Return the density fluctuation of one pixel, by Selwyn's law from RMS granularity.

    RMS granularity is 1000 times the standard deviation in a 48 um circle at density 1.0 (diffuse); by Selwyn's law
    ``sd * sqrt(area)`` is constant for areas well above the grain.
    """
    circle_mm2 = np.pi * (GRANULARITY_APERTURE_MM / 2.0) ** 2
    at_one = rms_granularity / 1000.0 * np.sqrt(circle_mm2 / pixel_area_mm2)
    return np.asarray(at_one * (np.maximum(net_density, 0.0) + 0.02) ** GRANULARITY_EXPONENT)


def film_names() -> tuple[str, ...]:
    """Return the films in the fridge."""
    return shipped_names(FILM)


@lru_cache(maxsize=32)
def find_film(name: str) -> Film:
    """Return a film by name. Raises OutsideError naming the known ones."""
    path = SHIPPED.file(FILM, name)
    return parse_as(path, of_format(path, parse_toml(path, read_text(path, MAX_TOML_BYTES))), Film, name=name)
