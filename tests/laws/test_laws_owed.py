"""Laws that are owed: what a printer found wrong at the command line and is not yet right.

Every test here is expected to fail. One that passes has been mended: take its mark away and move it to where it belongs.
"""

from __future__ import annotations

import numpy as np
import pytest

from sim.enlarger.equipment import find_head
from sim.enlarger.lamp_told import lamp_told
from sim.negative.film import find_film
from sim.negative.film_image import spread_in_film
from sim.shelf import FILM, shipped_names


@pytest.mark.xfail(strict=True, reason="told over the rated current whatever the voltage")
def test_at_half_the_voltage_half_the_current_rushes_into_the_cold_wire() -> None:
    """Ohm's law: a cold wire has the same resistance at any voltage."""
    head = find_head("condenser-small")
    full, half = lamp_told(head).inrush, lamp_told(head, 0.5).inrush
    assert full is not None
    assert half == pytest.approx(0.5 * full, rel=1e-6)


@pytest.mark.xfail(strict=True, reason="a diode or a tube is told to give full light at any voltage")
@pytest.mark.parametrize("name", ["led-sheet", "cold-cathode-sheet"])
def test_a_lamp_without_a_filament_is_not_told_to_give_full_light_at_half_the_voltage(name: str) -> None:
    """A tube dims about as its voltage; a diode gives full light only if its supply evens the mains out, which must be said."""
    told = lamp_told(find_head(name), 0.5)
    assert told.flux_share < 0.95 or told.voltage_share == 1.0


@pytest.mark.xfail(strict=True, reason="the picture is continued by eight pixels only, then its other side follows")
def test_a_dark_edge_of_the_film_knows_nothing_of_the_bright_edge_opposite() -> None:
    """A perfect lens spreads wavelength * N / (pi**2 x) of a bright half's light to a distance x beyond its border."""
    pixel_mm, f_number = 0.05, 8.0
    light = np.ones((60, 720), dtype=np.float32)
    light[:, :360] = 1000.0
    edge = float(spread_in_film(light, (36.0, 3.0), f_number, 45.0)[30, -10:].mean())
    spread = 1000.0 * 0.55e-3 * f_number / (np.pi**2 * 360 * pixel_mm)
    assert edge == pytest.approx(1.0 + 2.0 * spread, abs=0.04)  # twice: the edge is a mirror


@pytest.mark.xfail(strict=True, reason="the deepest density grows in step with development, to 6 at its longest")
@pytest.mark.parametrize("name", shipped_names(FILM))
def test_no_development_makes_more_density_than_a_coating_holds_silver(name: str) -> None:
    """Films of pictures reach 2 to 3.5 whatever the time; gamma comes to a limit (textbooks on gamma infinity, from memory)."""
    film = find_film(name)
    deepest = film.fog_with_development(2.5) + float(film.net_density(np.array([4.0]), 2.5)[0])
    assert deepest < 3.6
