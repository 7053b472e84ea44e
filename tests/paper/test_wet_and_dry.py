"""A print dries darker in the lights because shrunken gelatin keeps light in; by how much is fitted to nothing."""

from __future__ import annotations

import numpy as np
import pytest

from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import Stock, find_stock
from sim.paper.wet_and_dry import GELATIN_INDEX, Swelling, base_reflectance_of, fresnel, reflected_density

LIGHT_TONES = np.arange(0.10, 0.41, 0.05)


def dry_down_percent(stock: Stock) -> np.ndarray:
    """Return per tone by how many per cent light must be cut for a dry print to show the tone judged right while wet."""
    done = Development(stock.development.completion_time_s)
    log_h = np.linspace(-2.0, 1.5, 6001)
    wet, dry = (Response(stock, done, wet).density(10.0**log_h, 10.0**log_h) for wet in (True, False))
    return 100.0 * (1.0 - 10.0 ** (np.interp(LIGHT_TONES, dry, log_h) - np.interp(LIGHT_TONES, wet, log_h)))


def test_light_is_kept_in_dry_gelatin_as_tables_of_the_law_have_it() -> None:
    """Diffuse light inside a layer of index 1.53: about six tenths come back (F. C. Williams and F. R. Clapper, 1953)."""
    angle = np.linspace(0.0, np.pi / 2, 20001)
    outside = fresnel(angle, GELATIN_INDEX)
    passed_in = np.trapezoid((1.0 - outside) * np.sin(2 * angle), angle)  # by reciprocity what leaves is that over n squared
    assert 1.0 - passed_in / GELATIN_INDEX**2 == pytest.approx(0.614, abs=0.003)
    silver = np.array([0.0, 1e-4])
    base = base_reflectance_of(0.06)
    thin = np.diff(reflected_density(silver, base, GELATIN_INDEX))[0] / 1e-4
    thick = np.diff(reflected_density(silver + 1.5, base, GELATIN_INDEX))[0] / 1e-4
    assert thin > 2.0 * thick, "thin silver counts more than twice"


@pytest.mark.parametrize(("name", "most"), [("glossy-fb-vc", 12.0), ("matt-fb-vc", 12.0), ("graded-fb-2", 16.0)])
def test_fibre_base_dries_down_by_what_printers_say(name: str, most: float) -> None:
    """8 to 16 % of exposure, 10 % as a rule; nothing of it went into the model (printers' published figures)."""
    assert 8.0 <= dry_down_percent(find_stock(name)).mean() <= most


def test_resin_coated_paper_dries_down_much_less() -> None:
    rc, fb = (dry_down_percent(find_stock(name)).mean() for name in ("glossy-rc-vc", "glossy-fb-vc"))
    assert 2.0 < rc < 0.55 * fb


def test_water_makes_white_a_little_lighter_and_black_a_little_deeper() -> None:
    stock = find_stock("glossy-fb-vc")
    done = Development(stock.development.completion_time_s)
    wet, dry = Response(stock, done, True), Response(stock, done)
    assert 0.005 < dry.base_plus_fog - wet.base_plus_fog < 0.03
    assert 0.02 < wet.black - dry.black < 0.12


def test_gelatin_without_water_changes_nothing() -> None:
    dry = np.linspace(0.06, 2.5, 200)
    assert Swelling(0.06, 1.0).wet(dry) == pytest.approx(dry, abs=1e-6)
