"""The negatives that drills are made of, and what is true of them: light at places, and the filter and time that fit.

Every number comes from the same light, filters and paper that a print comes from.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from sim.enlarger.filters import GRADED_NAMES, FilterSetting
from sim.negative.develop import find_negative
from sim.negative.negative import Negative, Place
from sim.paper.response import Response
from sim.paper.stock import Stock, find_stock
from sim.printing.exposure import LightCache
from sim.printing.record import PrintingRecord
from sim.printing.setup import usual_setup
from sim.refusals import Refused
from sim.scoring.target_tones import aim_densities
from sim.viewing.densitometer import negative_density
from sim.viewing.easel_meter import place_density, read_meter, time_for_density
from sim.viewing.lightness import lightness

DRILL_PAPER = "glossy-rc-vc"
DRILL_SLEEVES = ("morning-shelf", "cup-close", "racks-side-light", "sitting-1", "wheel-harsh", "parcels-dense-flat",
                 "racks-thin")  # fmt: skip
PRINTABLE_L = 4.0  # a negative whose darkest tone no filter brings within this much L* is no item for a filter drill
TRIES = 8


@dataclass(frozen=True, eq=False)
class DrillNegative:
    """One negative on the easel, with its lightest and darkest place and the paper in the box."""

    negative: Negative
    record: PrintingRecord
    stock: Stock
    lightest: Place
    darkest: Place
    lights: LightCache = field(default_factory=LightCache)

    @property
    def aims(self) -> tuple[float, float]:
        """The densities wanted at the lightest and the darkest place."""
        return aim_densities(Response(self.stock, self.record.development))

    @property
    def densities(self) -> tuple[float, float]:
        """The negative's own densities there."""
        return negative_density(self.negative, self.lightest), negative_density(self.negative, self.darkest)

    @property
    def range_stops(self) -> float:
        """Stops of light on the easel between the darkest and the lightest place (what the easel meter says)."""
        held = read_meter(self.negative, self.record, self.lightest, self.lights)
        return read_meter(self.negative, self.record, self.darkest, self.lights, held).stops_from_reference or 0.0

    def time_s(self, density: float, filter_name: str) -> float:
        """Return the seconds that print the lightest place to a density behind a filter."""
        exposure = replace(self.record.exposures[0], filter=FilterSetting(filter_name))
        return time_for_density(self.negative, self.record, self.lightest, self.stock, exposure, density, self.lights)

    def density(self, time_s: float, filter_name: str, place: Place) -> float:
        """Return what a place prints to."""
        exposure = replace(self.record.exposures[0], filter=FilterSetting(filter_name), time_s=time_s)
        return place_density(self.negative, self.record, place, self.stock, exposure, self.lights)

    def best(self) -> tuple[str, float, float]:
        """Return the filter and time that hold the light tone and come nearest in the dark one, and the L* missed there."""
        light, dark = self.aims
        wanted = float(lightness(dark))
        found = []
        for name in GRADED_NAMES:
            try:
                time_s = self.time_s(light, name)
            except Refused:
                continue
            found.append((abs(float(lightness(self.density(time_s, name, self.darkest))) - wanted), name, time_s))
        if not found:
            raise Refused(f"no filter prints {self.negative.name} between 0.05 and 5000 s")
        miss, name, time_s = min(found)
        return name, time_s, miss


def drawn_negative(generator: np.random.Generator) -> DrillNegative:
    """Return a variant of one of the drills' sleeves, drawn from a generator."""
    name = DRILL_SLEEVES[int(generator.integers(len(DRILL_SLEEVES)))]
    key = f"drill-{int(generator.integers(10**9))}"
    negative, stock = find_negative(f"{name}~{key}"), find_stock(DRILL_PAPER)
    lightest = next(place for place in negative.places if place.part == "lightest")
    darkest = next(place for place in negative.places if place.part == "darkest")
    return DrillNegative(negative, usual_setup(negative, stock), stock, lightest, darkest)


def printable_negative(generator: np.random.Generator) -> tuple[DrillNegative, str, float]:
    """Return a drawn negative that one exposure holds, with its filter and time; after some tries the last one drawn."""
    for _ in range(TRIES):
        drawn = drawn_negative(generator)
        name, time_s, miss = drawn.best()
        if miss <= PRINTABLE_L and 0.5 <= time_s <= 120.0:
            break
    return drawn, name, time_s
