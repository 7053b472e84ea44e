"""Papers: wedges printed in contact and read with the densitometer, against what no paper here was fitted to."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import numpy as np
import pytest

from sim.enlarger.filters import FilterSetting
from sim.negative.negative import Place
from sim.printing.exposure import LightCache
from sim.printing.place_print import illuminance_lux

from .checks import Check, as_parameters, between, kept
from .sheets import (
    SPEED_POINT,
    PrintedCurve,
    Way,
    light_for,
    light_for_net,
    net,
    patches,
    printed_curve,
    white,
    with_filter,
)

RC, FB, MATT, GRADED = (Way(stock=s) for s in ("glossy-rc-vc", "glossy-fb-vc", "matt-fb-vc", "graded-fb-2"))

READINGS = "step-tablet readings of one glossy fibre-base paper; must lie between its neighbours at R {} and {}"
BANDS = "ANSI PH2.2-1966 appendix, bands; R. W. Lambrecht, Focal Encyclopedia of Photography 4th ed., p. 679"
ONE_TIME = "US Navy, Photography (Basic), NAVEDTRA 14209, ch. 11: filters to 3 1/2 alike, 4 and 5 one stop more"
NO_FILTER = "US Navy, Photography (Basic), ch. 11: 1 stop from no filter to filters 0-3 1/2"
ADAMS = "A. Adams, The Negative: {}"
ENGINEER = "a coating engineer's figure for the middle slope of grade 2: about 2.5"
HERBST = "printing density is silver plus stain in blue light: B. Herbst, View Camera, July/August 1999"
BLACKS = "net maximum 2.20 to 2.23 at all thirteen settings of a glossy fibre-base paper, of which five enter the fit"
HALF_STEPS = "a set made for one time prints its half steps in it too, half-way in range: NAVEDTRA 14209, ch. 11, and practice"
SPEED = "graded papers of normal contrast are sold as ISO P200 to P500: data sheets"
SLOW_LIGHT = "0.1 to 0.25 stop more for ten times the time: paper makers' and printers' figures"
SURFACES = "glossy silver prints reach 2.0-2.3, matt ones 1.5-1.7; H. E. Ives 1920: matt 1.30, glossy 2.00"

# log exposure from the point of net 0.60, at net densities, of two settings each side of one that is asked for
AT_NET = (0.10, 0.20, 0.40, 0.80, 1.20, 1.60, 2.00)
READ = {
    177: (-0.39, -0.28, -0.13, 0.13, 0.42, 0.77, 1.30),
    124: (-0.36, -0.27, -0.12, 0.12, 0.37, 0.58, 0.78),
    95: (-0.34, -0.24, -0.10, 0.10, 0.27, 0.42, 0.53),
    70: (-0.28, -0.19, -0.08, 0.07, 0.17, 0.28, 0.35),
    55: (-0.21, -0.13, -0.05, 0.05, 0.13, 0.22, 0.29),
}


@kept
def at_range(wanted: float) -> PrintedCurve:
    """Return the fibre-base curve at an ISO R, found by turning the yellow or magenta dial between prints."""
    from scipy.optimize import brentq

    def dialled(x: float) -> Way:
        return replace(FB, filtration=FilterSetting(yellow=max(-x, 0.0), magenta=max(x, 0.0)))

    dial = brentq(lambda x: printed_curve(dialled(x)).iso_range() - wanted, -2.9, 2.9, xtol=1e-3)
    return printed_curve(dialled(round(dial, 4)))


def outside_neighbours(wanted: float, softer: int, harder: int) -> float:
    """Return by how much log exposure a curve leaves the room between its neighbours' readings, at its worst point."""
    curve = at_range(wanted)
    worst = 0.0
    for density, soft, hard in zip(AT_NET, READ[softer], READ[harder], strict=True):
        x = curve.span(SPEED_POINT, density) if density > SPEED_POINT else -curve.span(density, SPEED_POINT)
        worst = max(worst, x - max(soft, hard), min(soft, hard) - x)
    return worst


def iso_range(way: Way, name: str | None) -> float:
    """Return ISO R of a wedge printed behind a filter."""
    return printed_curve(with_filter(way, name)).iso_range()


def stops_between(way: Way, first: str | None, second: str | None) -> float:
    """Return how many stops more the second filter needs for net 0.60."""
    logs = [printed_curve(with_filter(way, name)).at(SPEED_POINT) for name in (first, second)]
    return float((logs[1] - logs[0]) / np.log10(2.0))


def half_step_off(way: Way, below: str, name: str, above: str) -> float:
    """Return by how many stops a half step's time lies off the mean of its neighbours'."""
    return stops_between(way, below, name) - 0.5 * stops_between(way, below, above)


def iso_speed(way: Way) -> float:
    """Return speed P in a tungsten lamp without a filter: 1000 over the lux seconds that print net 0.60 (ISO 6846)."""
    film, tungsten = patches(1.0), with_filter(replace(way, head="condenser-small"), None)
    record = tungsten.record(film, tungsten.exposure(1.0))
    lux = illuminance_lux(film, record, Place("middle", 0.5, 0.5), LightCache(), FilterSetting())
    return 1000.0 / (lux * light_for_net(tungsten, film))


def lost_in_slow_light(way: Way) -> float:
    """Return the stops by which ten times the time at a tenth of the light falls short, where reciprocity fails."""
    film, failing = patches(1.0), replace(way, reciprocity=True)
    wanted = net(failing.sheet(film, failing.exposure(10.0)))

    def slow(seconds: float) -> float:
        return net(failing.sheet(film, replace(failing.exposure(seconds), dimmed_stops=float(np.log2(10.0)))))

    return float(np.log2(light_for(slow, wanted, 20.0, 590.0) / 100.0))


def farthest_in_slow_light() -> float:
    """Return what slow light costs the paper that lies farthest from the middle of what is quoted."""
    return max((lost_in_slow_light(way) for way in (RC, FB, MATT, GRADED)), key=lambda stops: abs(stops - 0.175))


def black(way: Way) -> float:
    """Return the absolute density of a long-exposed sheet."""
    return printed_curve(way).net_dmax + white(way.sheet(patches(0.3, 0.9), way.exposure(1.0)))


def net_blacks(way: Way) -> float:
    """Return the black above white, of the softest, a middle and the hardest filter, that is farthest from the published."""
    blacks = (printed_curve(with_filter(way, name)).net_dmax for name in ("00", "2", "5"))
    return max(blacks, key=lambda found: abs(found - 2.215))


def middle_slope(curve: PrintedCurve) -> float:
    """Return the mean gradient of the middle half of the tones, net 0.25 to 0.75 of black."""
    low, high = 0.25 * curve.net_dmax, 0.75 * curve.net_dmax
    return (high - low) / curve.span(low, high)


def tone_at_black_time(density: float) -> float:
    """Return a tone's net density at the shortest time that prints clear film within 0.05 of black, FB, filter 2."""
    way = with_filter(FB, "2")
    deepest = net(way.sheet(patches(0.0), way.exposure(500.0)))
    light_s = light_for_net(way, patches(0.0), deepest - 0.05)
    return net(way.sheet(patches(density), way.exposure(light_s)))


def stain_contrast_gain(way: Way) -> float:
    """Return how much log range a stain of 0.25 adds to a range of 1.00 in silver."""
    ranges = []
    for stain in (0.0, 0.25):
        film = patches(0.2, 1.2, stain=stain)
        light_s = [light_for_net(way, film, SPEED_POINT, index, 2) for index in (0, 1)]
        ranges.append(float(np.log10(light_s[1] / light_s[0])))
    return ranges[1] - ranges[0]


def _between_checks() -> list[Check]:
    rows = ((150.0, 177, 124), (110.0, 124, 95), (62.0, 70, 55))
    return [
        Check(f"the whole curve at R {r:g}, log outside its neighbours", 0.0, 0.02, "reading error of a tablet",
              "published", READINGS.format(s, h), ("spread of green speeds x 1.3",), partial(outside_neighbours, r, s, h))
        for r, s, h in rows
    ]  # fmt: skip


def _band_checks() -> list[Check]:
    soft, hard = "filters' dyes x 0.3", "filters' dyes x 1.5"
    rows = ((FB, "1", 115, 140, soft), (FB, "3", 80, 95, hard), (MATT, "1", 115, 140, soft), (MATT, "3", 80, 95, hard))
    return [
        Check(f"R of the {way.stock} behind filter {n}", *between(low, high), "the grade's band", "as quoted", BANDS,
              (wrong,), partial(iso_range, way, n))
        for way, n, low, high, wrong in rows
    ]  # fmt: skip


TABLE = (
    *_between_checks(),
    *_band_checks(),
    Check("one time for filters 00 and 3 on fibre base, stops", 0.0, 0.34, "a third of a stop", "published", ONE_TIME,
          ("filter 00's neutral x 3",), partial(stops_between, FB, "00", "3")),
    Check("one time for filters 1 and 3 on matt paper, stops", 0.0, 0.34, "a third of a stop", "published", ONE_TIME,
          ("filter 1's neutral x 2",), partial(stops_between, MATT, "1", "3")),
    Check("filter 4 on fibre base after filter 2, stops", 1.0, 0.34, "a third of a stop", "published", ONE_TIME,
          ("filter 4's neutral x 2",), partial(stops_between, FB, "2", "4")),
    Check("filter 4 1/2 between filters 4 and 5 on fibre base, stops", 0.0, 0.10, "a tenth of a stop, hardly seen on a strip",
          "common practice", HALF_STEPS, ("filter 4 1/2's neutral x 1.5",), partial(half_step_off, FB, "4", "4.5", "5")),
    Check("filter 2 after no filter, stops", *between(0.9, 1.4), "the course's 1 stop to the 1.3 of speeds P500 and P200",
          "published", NO_FILTER, ("filters' neutral x 1.5",), partial(stops_between, RC, None, "2")),
    Check("ISO speed of the graded paper", *between(200.0, 500.0), "the range that is sold", "from memory", SPEED,
          ("graded paper's speed x 1.15",), partial(iso_speed, GRADED)),
    Check("stops lost by ten times the time, the paper farthest from it", *between(0.1, 0.25), "the quoted range",
          "from memory", SLOW_LIGHT, ("reciprocity failure x 0.67",), farthest_in_slow_light),
    Check("middle slope of the graded paper", 2.5, 0.5, "one figure, quoted roughly", "as quoted", ENGINEER,
          ("spread of graded speeds x 2",), lambda: middle_slope(printed_curve(GRADED))),
    Check("black of glossy fibre base above white, filters 00 to 5", 2.215, 0.020, "the range, and a reading's error over two",
          "published", BLACKS, ("glossy fibre base's surface x 0.87", "surface reflection x 1.5"), partial(net_blacks, FB)),
    Check("black of glossy RC", 2.10, 0.08, "the middle of the published range", "from memory", SURFACES,
          ("surface reflection x 1.5",), partial(black, RC)),
    Check("black of matt fibre base", 1.60, 0.10, "the published range", "from memory", SURFACES,
          ("surface reflection x 1.5",), partial(black, MATT)),
    Check("Zone VIII at the time for black, net density", 0.04, 0.03, "a sixth of a stop", "as quoted",
          ADAMS.format("1.25-1.35 prints just off white, quoted as net 0.04"), ("spread of green speeds x 2",),
          partial(tone_at_black_time, 1.30)),
    Check("Zone V at the time for black, net density", 0.69, 0.20, "a zone's third either way", "from memory",
          ADAMS.format("0.65-0.75 prints to a middle grey, 18 %"), ("spread of green speeds x 2",),
          partial(tone_at_black_time, 0.70)),
    Check("range that a stain of 0.25 adds on graded paper, of 1.00", *between(0.15, 0.27),
          "the whole stain at most; some of the paper's light is beyond the stain", "published", HERBST,
          ("stain x 0.5",), partial(stain_contrast_gain, GRADED)),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_papers_print_as_published(check: Check) -> None:
    check.run()
