"""Filters in the head: the graded set, and continuous yellow and magenta.

A graded filter is a sheet of yellow or magenta dye plus some neutral density, so that the set keeps exposure times
steady; its densities stand in filters.toml. Yellow takes blue away (softer), magenta takes green away (harder).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
from pydantic import Field

from sim.enlarger.spectra import Spectrum
from sim.quantities import WAVELENGTHS_NM
from sim.reading import OutsideFile, OutsideTable, Problem, ValueRefused, read_toml
from sim.refusals import Refused

FILTERS_FILE = Path(__file__).with_name("filters.toml")
NO_FILTER = "none"  # the short name of an empty drawer
GRADED_NAMES: tuple[str, ...] = ("00", "0", "0.5", "1", "1.5", "2", "2.5", "3", "3.5", "4", "4.5", "5")
FILTER_NAMES = (NO_FILTER, *GRADED_NAMES)
GRADE_OF_FILTER = {name: 0.5 * index - 0.5 for index, name in enumerate(GRADED_NAMES)}  # 00 is half a grade below 0


def yellow_dye(wavelength_nm: Spectrum) -> Spectrum:
    """Return density of a yellow dye of peak density 1.

    Shape: logistic edge at 482 nm, 12.5 nm wide; fits measured gelatin colour-compensating yellow filters within
    0.003 density over 430-530 nm (a microscope maker's published filter tables).
    """
    return np.asarray(1.0 / (1.0 + np.exp((wavelength_nm - 482.0) / 12.5)))


# Share of a magenta dye's peak that it takes from the blue as well. Measured gelatin colour-compensating filters lose
# about a tenth; a graded set is made of cleaner dye, or its hardest filter would cost far more than the trade's rule of
# one stop against the others (assumption, chosen so that the rule can be kept).
GELATIN_BLUE_LEAK = 0.075
GRADED_BLUE_LEAK = 0.0


def magenta_dye(wavelength_nm: Spectrum, blue_leak: float = GELATIN_BLUE_LEAK) -> Spectrum:
    """Return density of a magenta dye of peak density about 1 at 550 nm.

    Shape follows measured gelatin colour-compensating magenta filters (same tables): 0.12 of the peak is lost
    at 450 nm. Above 520 nm no measurement was found: assumption. ``blue_leak`` is the flat share lost everywhere.
    """
    band = 1.0 / (1.0 + np.exp(-(wavelength_nm - 499.0) / 15.0)) / (1.0 + np.exp((wavelength_nm - 600.0) / 12.0))
    return np.asarray(blue_leak + (1.0 - blue_leak) * band)


@dataclass(frozen=True)
class FilterDensities:
    """Yellow and magenta peak densities and a neutral density in the light."""

    yellow: float = 0.0
    magenta: float = 0.0
    neutral: float = 0.0
    blue_leak: float = GELATIN_BLUE_LEAK

    def transmittance(self) -> Spectrum:
        """Return spectral transmittance on WAVELENGTHS_NM."""
        density = self.yellow * yellow_dye(WAVELENGTHS_NM) + self.magenta * magenta_dye(WAVELENGTHS_NM, self.blue_leak)
        return np.asarray(10.0 ** -(density + self.neutral))


class _FilterEntry(OutsideTable):
    name: str
    yellow: float = Field(ge=0.0, le=4.0)
    magenta: float = Field(ge=0.0, le=4.0)
    neutral: float = Field(ge=0.0, le=2.0)


class _FilterSetFile(OutsideFile):
    source: str
    filters: list[_FilterEntry]


@lru_cache(maxsize=8)
def graded_filter_set(path: Path | None = None) -> dict[str, FilterDensities]:
    """Return the graded set by name, 00 to 5 in half steps. Raises OutsideError on a bad file."""
    file = path or FILTERS_FILE
    entries = read_toml(file, _FilterSetFile).filters
    names = tuple(entry.name for entry in entries)
    if names != GRADED_NAMES:
        raise ValueRefused(file, [Problem("filters", f"must name exactly {', '.join(GRADED_NAMES)}", str(names))])
    return {e.name: FilterDensities(e.yellow, e.magenta, e.neutral, GRADED_BLUE_LEAK) for e in entries}


@dataclass(frozen=True)
class FilterSetting:
    """What is in the filter drawer or on the dials: a graded filter, or yellow and magenta, or nothing."""

    graded: str | None = None
    yellow: float = 0.0
    magenta: float = 0.0

    def __post_init__(self) -> None:
        if self.graded is not None:
            if self.graded not in GRADED_NAMES:
                raise Refused(f"graded must be one of {', '.join(GRADED_NAMES)}, got {self.graded!r}")
            if self.yellow or self.magenta:
                raise Refused(f"graded and dialled filtration exclude each other, got {self!r}")
        for dial in ("yellow", "magenta"):
            value = getattr(self, dial)
            if not 0.0 <= value <= 3.0:
                raise Refused(f"{dial} must be between 0 and 3, got {value!r}")

    @classmethod
    def named(cls, text: str) -> FilterSetting:
        """Return the setting that a short name stands for: a graded name, "none", or dials such as "Y0.10 M0.60"."""
        if text == NO_FILTER:
            return cls()
        if text in GRADED_NAMES:
            return cls(text)
        dials = re.fullmatch(r"(?:Y(\d(?:\.\d{1,3})?))?\s*(?:M(\d(?:\.\d{1,3})?))?", text)
        if text and dials is not None:
            return cls(None, float(dials.group(1) or 0.0), float(dials.group(2) or 0.0))
        raise Refused(f"filter must be {NO_FILTER}, one of {', '.join(GRADED_NAMES)}, or dials such as Y0.40, got {text!r}")

    @property
    def name(self) -> str:
        """The short name: the inverse of ``named``."""
        if self.graded is not None:
            return self.graded
        return " ".join(f"{n}{v:.2f}" for n, v in (("Y", self.yellow), ("M", self.magenta)) if v) or NO_FILTER

    @property
    def hardness(self) -> float:
        """Where the setting stands from soft to hard: a graded filter's grade, dials beside the set's middle."""
        if self.graded is not None:
            return GRADE_OF_FILTER[self.graded]
        return 2.25 + self.magenta - self.yellow

    def densities(self) -> FilterDensities:
        """Return the densities this setting puts into the light."""
        if self.graded is not None:
            return graded_filter_set()[self.graded]
        return FilterDensities(self.yellow, self.magenta, 0.0)
