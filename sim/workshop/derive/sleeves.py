"""What every sleeve claims, held against its own film: filter, one exposure or more, and the words said of its looks.

A word is measured against the same scene exposed and developed as it should be, on the same film: "dense" and "thin" by
the lightest place that must keep texture (its density and the time it takes), "flat" and "harsh" by the range from there
to the darkest, "empty-shadows" by what that one has above base and fog.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import log2
from typing import Any

from sim.enlarger.filters import GRADED_NAMES
from sim.negative.develop import develop, scene_luminance_at
from sim.negative.negative import Negative
from sim.negative.sleeve import find_sleeve, sleeve_names
from sim.negative.sleeve_contents import Sleeve
from sim.negative.targets import TARGETS
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.printing.setup import usual_setup
from sim.quantities import factor_to_stops
from sim.scoring.best_print_of_a_negative import best_print
from sim.scoring.reach import ReachOptions, reach
from sim.scoring.target_tones import aim_tones
from sim.viewing.densitometer import negative_density
from sim.workshop.derive.broken_claims import Stop

PAPER = "glossy-fb-vc"
LEAST_DENSITY_APART = 0.15  # chosen: half a stop of density is seen on the light table at once
LEAST_STOPS_APART = 0.5
FLAT_BELOW, HARSH_ABOVE = 0.85, 1.10  # of the normal range: chosen, about a filter softer or harder
EMPTY_BELOW = 0.05  # above base and fog: half the speed point
WITHIN_STOPS = 0.3
FILTERS_WITHIN = 1  # half steps


@dataclass(frozen=True)
class Measured:
    """A negative's ends above base and fog, the seconds its lightest place takes at filter 2, and its best filter."""

    dark: float
    light: float
    time_s: float
    filter: str
    holds: bool

    @property
    def range(self) -> float:
        """Density from the darkest to the lightest place that must keep texture."""
        return self.light - self.dark


def _denser(own: Measured, normal: Measured) -> bool:
    slower = log2(own.time_s / normal.time_s) >= LEAST_STOPS_APART
    return slower and own.light - normal.light >= LEAST_DENSITY_APART


def _emptier(own: Measured, normal: Measured) -> bool:
    return own.dark <= EMPTY_BELOW and own.dark <= 0.5 * normal.dark


LOOKS: dict[str, Callable[[Measured, Measured], bool]] = {
    "dense": _denser,
    "thin": lambda own, normal: _denser(normal, own),
    "flat": lambda own, normal: own.range <= FLAT_BELOW * normal.range,
    "harsh": lambda own, normal: own.range >= HARSH_ABOVE * normal.range,
    "empty-shadows": _emptier,
}


def pictures() -> tuple[str, ...]:
    """Return the sleeves that hold a picture (sheets of known densities claim nothing, nor does a roll of others' frames)."""
    return tuple(name for name in sleeve_names() if find_sleeve(name).scene not in ("", *TARGETS))


def as_it_should_be(sleeve: Sleeve) -> Sleeve:
    """Return the same scene on the same film, metered, evenly lit and developed normally, without stain."""
    metered = find_sleeve(sleeve.beside).camera.metered_cd_m2 if sleeve.beside else sleeve.camera.metered_cd_m2
    camera = replace(sleeve.camera, metered_cd_m2=metered, error_stops=0.0, forgotten_magnification=0.0, falloff_stops=0.0)
    return replace(sleeve, camera=camera, development=1.0, stain_share=0.0)


def measured(negative: Negative) -> Measured:
    """Return what a negative measures and what one exposure makes of it."""
    stock = find_stock(PAPER)
    ends = [[negative_density(negative, p) for p in negative.places if p.part == part] for part in ("lightest", "darkest")]
    base = usual_setup(negative, stock)
    goals = aim_tones(negative, Response(stock, base.development))
    at_two = reach(negative, base, stock, goals[:1], "one", ReachOptions(filters=("2",))).record.exposures[0]
    best = reach(negative, base, stock, goals, "one")
    fog = negative.base_density
    return Measured(
        min(ends[1]) - fog, max(ends[0]) - fog, at_two.time_s, best.record.exposures[0].filter.graded or "", best.holds
    )


def derived_sleeve(name: str) -> tuple[dict[str, Any], tuple[Stop, ...]]:
    """Return what is measured of a sleeve's negative, beside the same scene as it should be, and every claim that broke."""
    return derived_of(find_sleeve(name))


def derived_of(sleeve: Sleeve) -> tuple[dict[str, Any], tuple[Stop, ...]]:
    """Return the same of a sleeve at hand: one that has just been read from a file."""
    negative = develop(sleeve)
    own, normal = measured(negative), measured(develop(as_it_should_be(sleeve)))
    facts: dict[str, Any] = {
        "dark": round(own.dark, 2), "light": round(own.light, 2), "range": round(own.range, 2),
        "normal_range": round(normal.range, 2), "stops_of_time": round(log2(own.time_s / normal.time_s), 1),
        "time_at_filter_2_s": round(own.time_s, 1), "filter": own.filter, "one_exposure_holds": own.holds,
        "range_stops": round(factor_to_stops(10.0**own.range), 1), "scene_stops": round(_scene_stops(sleeve, negative), 1),
        "looks": [word for word, holds in LOOKS.items() if holds(own, normal)], "owed": list(sleeve.owed),
    }  # fmt: skip
    where = f"sleeve {sleeve.name}"
    return facts, tuple(Stop(where, *broken) for broken in (*_filter(sleeve, negative, own), *_words(sleeve, facts)))


def _scene_stops(sleeve: Sleeve, negative: Negative) -> float:
    """Stops of luminance from the darkest to the lightest place that must keep texture."""
    light = [scene_luminance_at(sleeve, place, 1.5) for place in negative.places if place.part == "lightest"]
    dark = [scene_luminance_at(sleeve, place, 1.5) for place in negative.places if place.part == "darkest"]
    return log2(max(light) / min(dark))


def _filter(sleeve: Sleeve, negative: Negative, own: Measured) -> list[tuple[str, str]]:
    if sleeve.wants_filter is None:
        if own.holds:
            return [("no single exposure holds it", f"one exposure at filter {own.filter} holds it")]
        stock = find_stock(PAPER)
        base = usual_setup(negative, stock)
        goals = aim_tones(negative, Response(stock, base.development))
        best = best_print(negative, base, stock, goals)
        return [] if best.holds else [("a card and a pair hold it", f"the best is {best.rms_lightness:.1f} L* off")]
    if not own.holds:
        return [(f"wants filter {sleeve.wants_filter}", "no single exposure holds it")]
    apart = abs(GRADED_NAMES.index(own.filter) - GRADED_NAMES.index(sleeve.wants_filter))
    return [(f"wants filter {sleeve.wants_filter}", f"reach finds {own.filter}")] if apart > FILTERS_WITHIN else []


def _words(sleeve: Sleeve, facts: dict[str, Any]) -> list[tuple[str, str]]:
    """Hold the words of the sleeve against what was measured; a word that is owed must still be untrue."""
    told = (
        f"range {facts['range']:.2f} where {facts['normal_range']:.2f} is normal, {facts['stops_of_time']:+.1f} stops of time, "
        f"darkest place {facts['dark']:.2f} above base and fog"
    )
    broken = [(f"is {word}", told) for word in sleeve.looks if word not in facts["looks"]]
    broken += [(f"is not yet {word}", f"it is now; move it from owed to looks ({told})") for word in sleeve.owed
               if word in facts["looks"]]  # fmt: skip
    for what, stated in (("range_stops", sleeve.range_stops), ("scene_stops", sleeve.scene_stops)):
        if stated is not None and abs(stated - facts[what]) > WITHIN_STOPS:
            broken.append((f"{stated:g} stops from end to end", f"{what} is {facts[what]:g}"))
    return broken
