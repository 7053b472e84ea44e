"""Heads, lamps and filters: what directed light, another filament, another voltage or a cold tube does to a print."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import numpy as np
import pytest

from sim.enlarger.equipment import find_head
from sim.enlarger.filters import GRADED_NAMES, FilterSetting
from sim.enlarger.lamp_told import lamp_told
from sim.printing.strips import lay_strip
from sim.viewing.densitometer import spot_density
from sim.viewing.strip_reading import read_strip

from .checks import Check, as_parameters, between, kept
from .sheets import (
    WEDGE_STEP,
    WEDGE_STEPS,
    PrintedCurve,
    Way,
    band,
    fine_wedge,
    light_for,
    light_for_net,
    net,
    patches,
    printed_curve,
    under_glass,
    white,
    with_filter,
)

PLAIN = Way()
OPEN = with_filter(PLAIN, None)
EVEN = patches(1.4)
LN10, C2_NM_K = np.log(10.0), 1.4387769e7

GRADE_SOFTER = (
    "J. Dickerson and S. Zawadzki, Condenser or diffusion enlarger?, Photo Techniques: grade 2 becomes 1 or 1/2"
)
OPENED = "the effect grows as the lens is closed, from an opal lamp's broad source to nearly a point: printers on Callier"
PLANCK = "Planck's law at 450 nm against 545 nm"
SWITCHING = "lamp handbooks: 60-150 W to 90 % light in 0.10-0.18 s, down to 10 % in 0.04-0.08 s; the rise less the tail"
LOW_VOLTAGE = "0.1-0.3 s lost by a filament lamp at a switching: compiled notes; brake lamps of 12 V and 21 W take 0.2-0.25 s"
RISE = "lamp handbooks, 120 V: 100, 200, 500, 1000 W to 90 % light in 0.13, 0.22, 0.38, 0.67 s"
FALL = "lamp handbooks, 120 V: 100, 200, 500, 1000 W down to 10 % light in 0.06, 0.09, 0.19, 0.30 s"
INRUSH = "10-15 times, about 14: starting characteristics of a lamp museum, and handbooks"
BY_CURRENT = "A. Arecchi and others, Field Guide to Illumination, 2007: flux r^6.5, volts r^1.9, colour temperature r^0.8"
SHORT = "dead times 0.099 s at 450 and 0.088 s at 530 nm of a lumped model of a 100 W wire: compiled notes on optics"
VOLTS = "colour temperature as the 0.42nd power of the voltage (lamp handbooks), Planck's law at 450-500 nm"
COLD = "a yellow filter of 40 in a cold cathode head gives a variable-contrast paper its usual grades"
COLOUR_HEAD = "a colour head's magenta reaches grade 4 to 4 1/2, R 50 to 68"


@kept
def filter_for(low: float, high: float, way: Way) -> float:
    """Return the filter, as a number, that prints a range from net 0.04 to nine tenths of black, found by printing."""
    film = patches(low, high)
    black = net(way.sheet(patches(0.0), way.exposure(500.0)))
    numbers, shadows = [], []
    for name in GRADED_NAMES:
        behind = with_filter(way, name)
        light_s = light_for_net(behind, film, 0.04, 1, 2)
        shadows.append(net(behind.sheet(film, behind.exposure(light_s)), 0, 2) / black)
        numbers.append(-1.0 if name == "00" else float(name))
    return float(np.interp(0.90, shadows, numbers))


def softer_in_condenser() -> float:
    """Return how many filter numbers softer the same negative prints right in a condenser head at f/8."""
    return filter_for(0.30, 1.35, PLAIN) - filter_for(0.30, 1.35, replace(PLAIN, head="condenser-small"))


def printed_range_log(way: Way) -> float:
    """Return the log exposure between the patches 0.30 and 1.05 of a negative, from the times that print both alike.

    A screen dims the light as much as the lens is opened beyond f/16, so that no exposure is so short that blue is wanting.
    """
    film, dimmed = patches(0.30, 1.05), 2.0 * np.log2(16.0 / way.f_number)

    def tone(light_s: float, index: int) -> float:
        return net(way.sheet(film, replace(way.exposure(light_s), dimmed_stops=float(dimmed))), index, 2)

    dark_s, light_s = (light_for(partial(tone, index=index), 0.60) for index in (0, 1))
    return float(np.log10(light_s / dark_s))


def flatter_wide_open(head: str) -> float:
    """Return how many times longer the printed range is at f/16 than at f/2.8."""
    closed, wide = (printed_range_log(replace(PLAIN, head=head, f_number=n)) for n in (16.0, 2.8))
    return closed / wide


def iso_range(way: Way) -> float:
    """Return ISO R of a wedge printed under glass."""
    return printed_curve(way).iso_range()


def dial_to_match(way: Way, other: Way, dye: str, most: float = 1.5) -> float:
    """Return the density of magenta or yellow that makes one head print at the range of another."""
    from scipy.optimize import brentq

    wanted = iso_range(other)

    def miss(x: float) -> float:
        return iso_range(replace(way, filtration=FilterSetting(**{dye: round(float(x), 4)}))) - wanted

    return float(brentq(miss, 0.0, most, xtol=1e-3))


def at_voltage(way: Way, share: float) -> Way:
    """Return the way with the lamp at a share of its rated voltage."""
    return replace(way, voltage_share=share)


def stops_lost(way: Way, share: float) -> float:
    """Return the stops that a lower voltage costs at net 0.60."""
    return float(np.log2(light_for_net(at_voltage(way, share), EVEN) / light_for_net(way, EVEN)))


def planck_log_ratio(temperature_k: float) -> float:
    """Return log10 of blue (450 nm) over green (545 nm) light of a glowing body, up to a constant."""
    blue, green = (np.log10(np.expm1(C2_NM_K / nm / temperature_k)) for nm in (450.0, 545.0))
    return float(green - blue)


@kept
def strip_stops(way_of_laying: str, times_s: tuple[float, ...], head: str) -> tuple[float, ...]:
    """Return log2 of the light that each step of a strip shows, in seconds of full light, found by plain prints."""
    way = (
        replace(PLAIN, head=head)
        if head.endswith("small")
        else replace(PLAIN, head=head, lens="150-mm", magnification=3.0)
    )
    record = way.record(EVEN, way.exposure(1.0))
    strip = lay_strip(record, times_s, way.f_number, way.filtration, way_of_laying)  # type: ignore[arg-type]
    reading = read_strip(strip, way.print_of(EVEN, strip.record), 1.0)
    out = []
    for step, density in zip(strip.steps, reading.densities, strict=True):

        def plain(light_s: float, x: float = step.x_mm, y: float = step.y_mm) -> float:
            return spot_density(way.sheet(EVEN, way.exposure(light_s)), x, y, 1.0)

        out.append(float(np.log2(light_for(plain, density))))
    return tuple(out)


def lost_per_switching_s(head: str) -> float:
    """Return the seconds of light lost at each further switching, from a strip of bursts against a covered one."""
    times = tuple(float(t) for t in range(2, 12, 2))
    bursts, covered = strip_stops("bursts", times, head), strip_stops("covered", times, head)
    return (2.0 ** covered[-1] - 2.0 ** bursts[-1]) / (len(times) - 1)


def seconds_until(head: str, share: float, going: bool = False) -> float:
    """Return the seconds after which a head's lamp has come up to, or gone down to, a share of its light."""
    moment = "after_off_s" if going else "after_on_s"

    def light(seconds: float) -> float:
        told = lamp_told(find_head(head), **{moment: float(seconds)})
        return -told.flux_share if going else told.flux_share

    return light_for(light, -share if going else share, 0.002, 5.0)


def at_current(share: float) -> tuple[float, float]:
    """Return light over the rated one, and mireds above the rated colour, of the opal lamp at a share of its current."""
    head = find_head("condenser-small")
    told, rated = lamp_told(head, current_share=share), lamp_told(head)
    assert told.colour_temperature_k is not None
    assert rated.colour_temperature_k is not None
    return told.flux_share, 1e6 / told.colour_temperature_k - 1e6 / rated.colour_temperature_k


@kept
def range_given_in(way: Way, light_s: float, dimmed_stops: float = 0.0) -> float:
    """Return R of a wedge under glass whose light comes in so many seconds, a small image making it bright enough."""
    glass, wedge = replace(under_glass(way), magnification=4.0), fine_wedge()
    sheet = glass.sheet(wedge, replace(glass.exposure(light_s), dimmed_stops=dimmed_stops))
    densities = np.array([band(sheet, k, WEDGE_STEPS, 0.2) for k in range(WEDGE_STEPS)]) - white(sheet)
    bare = glass.sheet(wedge, glass.exposure(60.0))
    log_light = -np.arange(WEDGE_STEPS) * WEDGE_STEP
    black = band(bare, 1, WEDGE_STEPS, 0.2) - white(bare)
    return PrintedCurve(log_light[::-1], densities[::-1].astype(np.float64), black).iso_range()


def magenta_for_short(head: str, light_s: float) -> float:
    """Return the magenta that makes a short exposure as hard as one 32 times as long and as much dimmer."""
    from scipy.optimize import brentq

    way = replace(OPEN, head=head)
    wanted = range_given_in(way, 32.0 * light_s, 5.0)

    def miss(x: float) -> float:
        return range_given_in(replace(way, filtration=FilterSetting(magenta=round(float(x), 4))), light_s) - wanted

    return float(brentq(miss, 0.0, 0.5, xtol=1e-4))


# what one unit of magenta dye takes from green more than from blue: the measured gelatin dye over the green band
MAGENTA_AT_WORK = 0.75
COOLER = planck_log_ratio(3200.0) - planck_log_ratio(2900.0)
DIMMED = planck_log_ratio(3200.0) - planck_log_ratio(3200.0 * 0.9**0.42)
# light at 545 and at 450 nm at 0.95 of the voltage, in stops: paper without a filter sees blue and green
DIMMER = [float(np.log2(np.expm1(C2_NM_K / nm / 3200.0 / 0.95**0.42) / np.expm1(C2_NM_K / nm / 3200.0)))
          for nm in (545.0, 450.0)]  # fmt: skip
# a wire of 150 W at 120 V is as much thicker as its current to the power 2/3; 2900 K quickens it as the fourth power
SLOWER = 1.5 ** (2 / 3) * (2850.0 / 2900.0) ** 4
SHORTENED_S = 0.3
BLUE_SHORT = -float(np.log10(1.0 - SLOWER * (0.099 - 0.088) / SHORTENED_S))

TABLE = (
    Check("condenser head, filters softer", *between(0.7, 1.7), "half to one and a half grades, a fifth for reading",
          "published", GRADE_SOFTER, ("condenser's cone x 3",), softer_in_condenser),
    Check("condenser head, range at f/16 over f/2.8", *between(1.01, 1.20), "sign certain, size loosely",
          "common practice", OPENED, ("condenser's cone x 3",), partial(flatter_wide_open, "condenser-small")),
    Check("magenta that makes 2900 K as hard as 3200 K", COOLER / MAGENTA_AT_WORK, 0.025,
          "a paper sees bands, not two lines", "follows from the spectra", PLANCK, ("condenser's temperature x 0.87",),
          lambda: dial_to_match(replace(OPEN, head="condenser-small"), OPEN, "magenta")),
    Check("R behind magenta 1.30", *between(48.0, 68.0), "a grade's band and a half", "common practice", COLOUR_HEAD,
          ("blue leak of gelatin x 6",), lambda: iso_range(replace(OPEN, filtration=FilterSetting(magenta=1.30)))),
    Check("yellow that makes a cold cathode as soft as a halogen lamp", *between(0.20, 0.60),
          "half to one and a half times the filter", "from memory", COLD, ("cold cathode's blue line x 3",),
          lambda: dial_to_match(replace(OPEN, head="cold-cathode-sheet"), replace(OPEN, head="diffusion-sheet"),
                                "yellow")),
    Check("light lost at each switching, small halogen lamp, s", *between(0.10, 0.30), "the range of the notes",
          "from memory", LOW_VOLTAGE, ("dead time x 2",), partial(lost_per_switching_s, "diffusion-small")),
    Check("light lost at each switching, opal lamp, s", *between(0.06, 0.16), "the handbooks' lamps",
          "from memory", SWITCHING, ("dead time x 2",), partial(lost_per_switching_s, "condenser-small")),
    Check("opal lamp of 150 W to 90 % light, s", *between(0.13, 0.22), "the handbooks' lamps of 100 and of 200 W",
          "from memory", RISE, ("dead time x 2",), partial(seconds_until, "condenser-small", 0.9), "light"),
    Check("opal lamp of 150 W down to 10 % light, s", *between(0.06, 0.09), "the handbooks' lamps of 100 and of 200 W",
          "from memory", FALL, ("dead time x 2",), partial(seconds_until, "condenser-small", 0.1, True), "light"),
    Check("halogen lamp of 12 V and 8 A to 90 % light, s", *between(0.38, 0.67),
          "the handbooks' wires of 4 and of 8 A; a halogen lamp is hotter, so quicker", "from memory", RISE,
          ("dead time x 2",), partial(seconds_until, "diffusion-small", 0.9), "light"),
    Check("current into the cold wire of an opal lamp, over its own", 14.0, 2.0, "both sources' range",
          "as quoted", INRUSH, ("filament's resistance by heat, power x 0.3",),
          lambda: lamp_told(find_head("condenser-small")).inrush or 0.0, "light"),
    Check("light at 0.90 of the current", 0.90**6.5, 0.03, "half a tenth of a stop", "published", BY_CURRENT,
          ("filament's resistance by heat, power x 0.3",), lambda: at_current(0.90)[0], "light"),
    Check("mireds redder at 0.90 of the current", 1e6 / 2900.0 * (0.90**-0.8 - 1.0), 6.0,
          "a conversion filter of 5 is the least that is made", "published", BY_CURRENT,
          ("filament's resistance by heat, power x 0.3",), lambda: at_current(0.90)[1], "light"),
    Check("magenta that makes up for an exposure of 0.3 s, opal lamp", BLUE_SHORT / MAGENTA_AT_WORK, 0.012,
          "half of it; the model is of another wire", "as quoted", SHORT, ("dead time x 2",),
          partial(magenta_for_short, "condenser-small", SHORTENED_S)),
    Check("stops lost at 0.95 of the voltage, no filter", *between(DIMMER[0] - 0.01, DIMMER[1] + 0.01),
          "between its green and its blue, and reading",
          "follows from the spectra", VOLTS, ("filament's resistance by heat, power x 4",), partial(stops_lost, OPEN, 0.95)),
    Check("magenta that makes up for 0.90 of the voltage", DIMMED / MAGENTA_AT_WORK, 0.012, "a paper sees bands, not two lines",
          "follows from the spectra", PLANCK + "; " + VOLTS, ("filament's resistance by heat, power x 4",),
          lambda: dial_to_match(at_voltage(OPEN, 0.90), OPEN, "magenta")),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_heads_print_as_published(check: Check) -> None:
    check.run()
