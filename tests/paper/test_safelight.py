"""Safelight: safe at its rules, and what it fogs first is a pale grey that the image light has already begun."""

from __future__ import annotations

import numpy as np
import pytest

from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.safelight import Safelight
from sim.paper.stock import find_stock

VARIABLE = ("glossy-rc-vc", "glossy-fb-vc")
PALE, JUST = 0.25, 0.01  # net density of the pre-exposed grey; a rise that nobody sees


def rise(kind: str, distance_m: float, time_s: float, net: float, name: str = "glossy-rc-vc") -> float:
    """Return by how much a safelight darkens a grey made by equal blue and green light (net 0: paper white)."""
    stock = find_stock(name)
    response = Response(stock, Development(stock.development.completion_time_s))
    light = 10.0 ** np.linspace(-4.0, 1.0, 20001)
    density = response.density(light, light)
    begun = float(np.interp(response.base_plus_fog + net, density, light)) if net else 0.0
    blue, green = Safelight(kind, distance_m, time_s).exposures(stock.emulsion)  # type: ignore[arg-type]
    before, after = (response.density(np.array([begun + b]), np.array([begun + g]))[0] for b, g in ((0, 0), (blue, green)))
    return float(after - before)


@pytest.mark.parametrize("kind", ["amber", "red"])
@pytest.mark.parametrize("name", VARIABLE)
def test_within_its_rules_a_lamp_does_nothing_to_a_pale_grey_for_three_minutes(kind: str, name: str) -> None:
    """15 W at 1.2 m; How Safe Is Your Safelight?, publication K-4."""
    assert 0.0 <= rise(kind, 1.2, 180.0, PALE, name) <= JUST


@pytest.mark.parametrize(
    ("kind", "distance_m", "time_s"), [("amber", 1.2, 3600.0), ("amber", 0.3, 180.0), ("red", 0.3, 1200.0)]
)
def test_too_long_or_too_near_it_fogs_the_lights_first(kind: str, distance_m: float, time_s: float) -> None:
    assert rise(kind, distance_m, time_s, PALE) > 0.04
    assert rise(kind, distance_m, time_s, PALE) > 8.0 * rise(kind, distance_m, time_s, 0.0)


def test_red_is_safer_than_amber_but_not_safe_for_ever() -> None:
    """A leak in the blue is what limits a red lamp: a filter that leaked more would show here."""
    amber, red = rise("amber", 1.2, 900.0, PALE), rise("red", 1.2, 900.0, PALE)
    assert 3.0 < amber / red < 30.0
    assert red < 0.005
    assert rise("red", 0.5, 3600.0, PALE) > 0.02


def test_half_the_distance_is_four_times_the_light() -> None:
    emulsion = find_stock("glossy-rc-vc").emulsion
    near, far = (np.array(Safelight("amber", d, 60.0).exposures(emulsion)) for d in (0.6, 1.2))
    assert near == pytest.approx(4.0 * far)


def test_paper_that_sees_blue_alone_is_safe_under_amber_for_hours() -> None:
    assert rise("amber", 1.2, 1800.0, PALE, "graded-fb-2") < 0.02
