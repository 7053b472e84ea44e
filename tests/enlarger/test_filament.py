"""A lamp is a filament: exponents of the handbooks come out of its energy balance, and none goes in."""

from __future__ import annotations

import numpy as np
import pytest

from sim.enlarger.coming_light import coming_light, flux_share_at
from sim.enlarger.equipment import find_head
from sim.enlarger.filament import Filament, colour_temperature_k, switching
from sim.enlarger.lamp_told import lamp_told
from sim.enlarger.light_given import coming_of, dead_time_s, dialled_time_s, expected_light_s, paper_extra_s
from sim.quantities import WAVELENGTHS_NM
from sim.refusals import Refused

HOUSEHOLD = Filament.of_lamp(2856.0, 120.0, 100.0)  # the lamp that handbooks speak of
SMALL_CHANGE = 1.03


def exponent(value, of: float = SMALL_CHANGE) -> float:
    """Return the power of its argument that a function goes by near 1."""
    return float(np.log(value(of) / value(1.0 / of)) / (2.0 * np.log(of)))


def flux(share: float) -> float:
    return flux_share_at(HOUSEHOLD, HOUSEHOLD.settles_at_k(share))


def colour_k(share: float) -> float:
    return colour_temperature_k(HOUSEHOLD.settles_at_k(share))


def test_light_current_and_colour_follow_the_handbooks_exponents_of_voltage() -> None:
    """Handbook exponents from memory: 3.4, 0.55, 0.42; colour comes out a tenth short, as any balance without end losses."""
    assert exponent(flux) == pytest.approx(3.4, abs=0.15)
    assert exponent(HOUSEHOLD.current_share) == pytest.approx(0.55, abs=0.012)
    assert exponent(colour_k) == pytest.approx(0.42, abs=0.045)


def test_light_by_current_follows_the_field_guides_exponent() -> None:
    """Arecchi, Messadi, Koshel, Field Guide to Illumination: flux as current to the 6.5, watts to the 2.9."""
    assert exponent(lambda r: flux(HOUSEHOLD.voltage_at_current(r))) == pytest.approx(6.5, abs=0.4)
    assert exponent(lambda r: HOUSEHOLD.voltage_at_current(r) * r) == pytest.approx(2.9, abs=0.1)


def test_a_cold_wire_takes_about_fourteen_times_its_current() -> None:
    """Inrush about 14 times (a lamp museum's starting characteristics)."""
    assert HOUSEHOLD.inrush() == pytest.approx(14.0, rel=0.1)


def test_a_100_watt_lamp_draws_near_its_current_at_once_and_a_500_watt_one_is_not_settled_after_a_second() -> None:
    """Starting characteristics as published; low-voltage lamps of high current are the slow ones."""
    small, large = switching(HOUSEHOLD, 1.0), switching(Filament.of_lamp(3000.0, 24.0, 500.0), 1.0)
    assert 1.0 / float(HOUSEHOLD.resistance(small.after_on_k(0.05))) < 1.6
    assert large.after_on_k(1.0) < 0.9995 * large.settled_k


def test_wire_and_slowness_of_a_100_watt_lamp_come_out_as_measured_wires_do() -> None:
    """A filament 0.58 m long and 64 micrometres thick holds its power for 0.19 s (120 V, 100 W)."""
    assert HOUSEHOLD.heat_s == pytest.approx(0.194, rel=0.1)
    heavier = Filament.of_lamp(2856.0, 12.0, 100.0)
    assert heavier.heat_s / HOUSEHOLD.heat_s == pytest.approx(10.0 ** (2 / 3), rel=1e-6), "slowness as current to the 2/3"


def test_blue_comes_later_than_green_and_goes_earlier() -> None:
    coming = coming_light(HOUSEHOLD, 1.0)
    blue_s, green_s, red_s = (coming.dead_time_at_s(nm) for nm in (450.0, 530.0, 610.0))
    assert 0.06 < red_s < green_s < blue_s < 0.12
    assert blue_s - green_s == pytest.approx(0.010, abs=0.003)  # 0.099 and 0.088 s by a lumped model of the same lamp
    way = switching(HOUSEHOLD, 1.0)
    assert 0.0 < way.after_off_k(0.05) < way.settled_k
    assert colour_temperature_k(way.after_on_k(0.08)) < 2856.0


def test_heat_that_doubles_doubles_what_a_switching_loses() -> None:
    slow = Filament(HOUSEHOLD.colour_k, 2.0 * HOUSEHOLD.heat_s)
    ratio = coming_light(slow, 1.0).dead_time_s / coming_light(HOUSEHOLD, 1.0).dead_time_s
    assert ratio == pytest.approx(2.0, abs=0.002)


@pytest.mark.parametrize("name", ["diffusion-small", "condenser-small", "diffusion-sheet"])
def test_what_is_dialled_for_a_light_gives_it_and_long_times_lose_the_dead_time(name: str) -> None:
    head = find_head(name)
    for light_s in (0.01, 0.08, 0.4, 1.0, 7.0, 400.0):
        assert expected_light_s(dialled_time_s(light_s, head), head) == pytest.approx(light_s, abs=1e-6)
    assert 20.0 - expected_light_s(20.0, head) == pytest.approx(dead_time_s(head), abs=1e-9)
    times = np.linspace(0.0, 3.0, 301)
    given = np.array([expected_light_s(float(t), head) for t in times])
    assert (np.diff(given) >= 0.0).all()
    assert (given <= times).all()
    assert 0.05 < dead_time_s(head) < 0.3, "0.1-0.3 s for a filament lamp, common practice"


def test_low_mains_make_a_lamp_dimmer_redder_and_slower() -> None:
    """Five per cent less: a quarter stop and some sixty kelvin (handbook exponents)."""
    full, low = find_head("condenser-small"), find_head("condenser-small").at_voltage(0.95)
    assert np.log2(low.gate_luminance_cd_m2 / full.gate_luminance_cd_m2) == pytest.approx(-0.25, abs=0.02)
    assert 50.0 < full.lamp.temperature_k - low.lamp.temperature_k < 70.0  # type: ignore[operator]
    assert dead_time_s(low) > dead_time_s(full)


def test_a_dead_time_that_was_measured_stands_for_volts_and_watts() -> None:
    from dataclasses import replace

    head = find_head("condenser-small")
    sources = {**head.sources, "dead_time_s": "measured"}
    measured = replace(head, rated_volts=None, rated_watts=None, dead_time_s=0.2, sources=sources, uncertainty={})
    assert dead_time_s(measured) == pytest.approx(0.2, rel=1e-6)
    with pytest.raises(Refused, match="dead_time_s, or rated_volts"):
        replace(head, dead_time_s=0.2, sources=sources)


def test_paper_gets_less_blue_of_short_light_and_the_same_of_a_diodes() -> None:
    weights = np.stack([(np.abs(WAVELENGTHS_NM - nm) < 3.0).astype(float) for nm in (450.0, 530.0)])
    coming = coming_of(find_head("diffusion-small"))
    assert coming is not None
    moments, extra_s = paper_extra_s(coming, weights)
    assert extra_s[-1, 0] < extra_s[-1, 1] < 0.0
    assert abs(extra_s[0]).max() < 1e-12, "no light, nothing more or less"
    assert (moments[:-1] <= moments[1:]).all()
    assert coming_of(find_head("led-sheet")) is None


def test_a_head_tells_light_and_colour_at_a_voltage_a_current_and_a_moment() -> None:
    head = find_head("condenser-small")
    by_current = lamp_told(head, current_share=0.95)
    assert by_current.current_share == pytest.approx(0.95, abs=1e-6)
    assert lamp_told(head, by_current.voltage_share).flux_share == pytest.approx(by_current.flux_share, rel=1e-9)
    rising, settled, falling = (lamp_told(head, **at) for at in ({"after_on_s": 0.05}, {}, {"after_off_s": 0.05}))
    assert rising.flux_share < 1.0 == pytest.approx(settled.flux_share)
    assert falling.flux_share < 1.0
    assert rising.current_share > 1.0 > falling.current_share == 0.0  # type: ignore[operator]
    assert lamp_told(head, after_on_s=60.0).flux_share == pytest.approx(1.0)
    for wrong in ({"voltage_share": 2.0}, {"current_share": 0.9, "voltage_share": 0.9}, {"after_on_s": -1.0}):
        with pytest.raises(Refused):
            lamp_told(head, **wrong)
