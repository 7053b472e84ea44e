"""Camera, film and development: known scenes taken and developed, and the silver read in the carrier.

Films are judged by what is said of all films (ISO 6, the Zone System, Hurter and Driffield's law), never by the readings
that one of them is fitted to.
"""

from __future__ import annotations

from functools import partial

import numpy as np
import pytest

from .checks import Check, as_parameters, between
from .scenes import ZONE, density_at, film_curve, light_range, log_for, taken, three_tones, zone_development

METER = "ISO 2720 with K 12.5 and 0.65 of it on the film: 8.1/S; ISO 2721: 10/S; ISO 6: 0.80/S at net 0.10"
DELTA_X = "C. N. Nelson and J. L. Simonds, J. Opt. Soc. Am. 46, 1956: dX = 0.83 - 0.86 dD + 0.24 dD^2"
CONVERGING = (
    "F. Hurter and V. C. Driffield 1890: straight lines of all times meet, at density 0 without bromide;"
    " A. H. Nietz, The Theory of Development, 1922: with bromide below it, by up to some 0.4"
)
ADAMS = "A. Adams, The Negative: I 0.09-0.11, V 0.65-0.75, VIII 1.25-1.35"
FLARE = "flare factor about 2.5 outdoors: a subject of 2.20 comes to 1.80 on the film; compiled notes on sensitometry"
BACKLIT = "flare factor up to 8 against the light: Stroebel and others, Basic Photographic Materials and Processes"
AIM = "1.05 between textured shadow and highlight of a normal subject suits grade 2 in diffuse light"


def difference(development: float) -> float:
    """Return dD: density gained over 1.30 log exposure from net 0.10."""
    return density_at(log_for(0.10, "medium", development) + 1.30, "medium", development) - 0.10


def fractional_gradient_point(film: str, development: float) -> float:
    """Return dX: log exposure from the point whose gradient is 0.3 of the mean over 1.5 log onwards, up to net 0.10."""
    logs, densities = film_curve(film, development)
    fine = np.arange(logs[0], logs[-1] - 1.6, 0.005)
    at = np.interp(fine, logs, densities)
    local = (np.interp(fine + 0.03, logs, densities) - np.interp(fine - 0.03, logs, densities)) / 0.06
    mean = (np.interp(fine + 1.5, logs, densities) - at) / 1.5
    first = int(np.argmax((local >= 0.3 * mean) & (at > 0.004)))
    return log_for(0.10, film, development) - float(fine[first])


def delta_x_missed(film: str, development: float) -> float:
    """Return by how much the toe's length differs from what its contrast predicts."""
    rise = density_at(log_for(0.10, film, development) + 1.30, film, development) - 0.10
    return fractional_gradient_point(film, development) - (0.83 - 0.86 * rise + 0.24 * rise**2)


def meeting_density(development: float, longer: float) -> float:
    """Return the density at which the straight parts (net 0.5 to 1.0) of two developments, carried down, meet."""
    lines = []
    for own in (development, longer):
        low, high = log_for(0.5, "medium", own), log_for(1.0, "medium", own)
        lines.append((low - (high - low), (high - low) / 0.5))  # log exposure at density 0, and per density
    (at, per), (at_longer, per_longer) = lines
    return -(at - at_longer) / (per - per_longer)


def speed_of_zones_stops() -> float:
    """Return the stops of speed (net 0.10) that development for one zone more has over one zone less."""
    return (log_for(0.10, "medium", zone_development(9.0)) - log_for(0.10, "medium", zone_development(7.0))) / ZONE


def zone_five(film: str) -> float:
    """Return Zone V's net density when Zone I is net 0.10 and VIII is 1.30."""
    return density_at(log_for(0.10, film, 1.0) + 4.0 * ZONE, film, zone_development(8.0, film))


def fog_gained() -> float:
    """Return the base and fog that development for one zone more adds to one zone less."""
    dark = np.full((24, 24), -4.9)
    return (
        taken(dark, "medium", zone_development(7.0)).base_density
        - taken(dark, "medium", zone_development(9.0)).base_density
    )  # fmt: skip


def normal_range() -> float:
    """Return the density range of a subject of 2.20, a third bright, a third dark, developed for Zone VIII."""
    scene, bright, dark = three_tones(0.25, 0.25, 2.20)
    silver = taken(scene, "medium", zone_development(8.0)).silver_density
    return float(silver[30:60, bright].mean() - silver[30:60, dark].mean())


TABLE = (
    Check("a metered grey lies above the speed point, log", *between(1.00, 1.10), "the two standards' figures",
          "from memory", METER, ("meter constant x 0.67",), lambda: -log_for(0.10), "negative"),
    Check("toe of the fast film in normal development", 0.0, 0.06, "scatter of real films about the rule",
          "as quoted", DELTA_X, ("film toe x 2.5",), partial(delta_x_missed, "fast", 1.0), "negative"),
    Check("straight lines of two developments meet at density", *between(-0.40, 0.05),
          "any bromide from none to much, and reading", "from memory", CONVERGING, ("film speed shift x 8",),
          partial(meeting_density, 0.75, 1.4), "negative"),
    Check("speed gained from a zone less to a zone more, stops", *between(0.2, 0.65),
          "printers' figures run from a third to two thirds of a stop, less a tenth",
          "common practice", "speed falls a little with shorter development: Zone System tests",
          ("film speed shift x 8",), speed_of_zones_stops, "negative"),
    Check("Zone V of the medium film", 0.70, 0.08, "the published range 0.65-0.75 and reading",
          "from memory", ADAMS, ("film's blacks x 0.67",), partial(zone_five, "medium"), "negative"),
    Check("Zone V of the slow film", 0.70, 0.08, "the published range 0.65-0.75 and reading",
          "from memory", ADAMS, ("film's blacks x 0.67",), partial(zone_five, "slow"), "negative"),
    Check("fog gained from a zone less to a zone more", *between(0.0, 0.015), "hardly measurable on a densitometer",
          "from memory", "base and fog of a sheet film hardly change between usual times", ("film fog x 4",),
          fog_gained, "negative"),
    Check("density range of a normal subject", 1.05, 0.10, "half a stop of paper range either way",
          "as quoted", AIM + "; " + ADAMS, ("camera flare x 4",), normal_range, "negative"),
    Check("light lost by a subject of 2.20, log", 0.40, 0.12, "flare factors 1.9 to 3.3 with usual lenses",
          "as quoted", FLARE, ("camera flare x 4",), lambda: 2.20 - light_range(0.25, 0.25, 2.20), "negative"),
    Check("light lost by a subject of 1.00, log", *between(0.01, 0.09),
          "what the veil that takes 0.40 from 2.20 leaves of 1.00, a factor of two either way",
          "arithmetic", FLARE, ("camera flare x 4",), lambda: 1.00 - light_range(0.25, 0.25, 1.00), "negative"),
    Check("light lost against a bright sky, log", *between(0.55, 1.05), "flare factors 3.5 to 11",
          "from memory", BACKLIT, ("camera flare x 4",), lambda: 2.20 - light_range(0.80, 0.15, 2.20), "negative"),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_films_take_scenes_as_published(check: Check) -> None:
    check.run()

