"""Papers: wedges printed in contact behind every filter, read with the densitometer, worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from laws.worked import MEMORY, Worked, as_parameters
from published.checks import between, kept
from published.sheets import (
    SPEED_POINT,
    WEDGE_STEPS,
    PrintedCurve,
    Way,
    band,
    fine_wedge,
    light_for_net,
    patches,
    printed_curve,
    under_glass,
    white,
    with_filter,
)

from sim.enlarger.filters import GRADED_NAMES, FilterSetting
from sim.negative.negative import Place
from sim.viewing.easel_meter import read_meter

RC, FB, MATT, GRADED = (Way(stock=s) for s in ("glossy-rc-vc", "glossy-fb-vc", "matt-fb-vc", "graded-fb-2"))

MAKERS_SHEET = "a paper maker's data sheet, as reported by S. Lehmann, Matching negative density and paper grade"
FILTER_RULE = "US Navy, Photography (Basic), NAVEDTRA 14209, ch. 11: filters to 3 1/2 alike, 4 and 5 one stop more"
FILTER_SPEED = "US Navy, Photography (Basic), ch. 11: 1 stop; 1.3 stops by the ISO P of a data sheet, from memory"
READINGS = "open set of step-tablet readings of one glossy fibre-base paper, thirteen settings"
KEPT_BACK = READINGS + "; local gradient kept back from the fit"
BANDS = "ANSI PH2.2-1966 appendix, bands; R. W. Lambrecht, Focal Encyclopedia of Photography 4th ed., p. 679"
PLANCK = "Planck's law: a cooler filament sends less blue, so the sheet prints softer; amount loosely"
BLUE_LED = "a blue LED at 450 nm sends more blue than a filament: harder; amount loosely (common practice)"


def iso_range(way: Way, name: str | None) -> float:
    """Return ISO R of a wedge printed behind a filter."""
    return printed_curve(with_filter(way, name)).iso_range()


def stops_from_two(way: Way, name: str | None) -> float:
    """Return how many stops more than filter 2 a filter needs for net 0.60."""
    at_two = printed_curve(with_filter(way, "2")).at(SPEED_POINT)
    return float((printed_curve(with_filter(way, name)).at(SPEED_POINT) - at_two) / np.log10(2.0))


def dmax_spread(way: Way) -> float:
    """Return the difference of the deepest blacks over all filters."""
    blacks = [printed_curve(with_filter(way, name)).net_dmax for name in GRADED_NAMES]
    return max(blacks) - min(blacks)


@kept
def at_range(wanted: float) -> PrintedCurve:
    """Return the fibre-base curve at an ISO R, found by turning the yellow or magenta dial between prints."""
    from scipy.optimize import brentq

    def dialled(x: float) -> Way:
        return replace(FB, filtration=FilterSetting(yellow=max(-x, 0.0), magenta=max(x, 0.0)))

    dial = brentq(lambda x: printed_curve(dialled(x)).iso_range() - wanted, -2.9, 2.9, xtol=1e-3)
    return printed_curve(dialled(round(dial, 4)))


def iso_speed(head: str, name: str | None) -> float:
    """Return 1000 / Hm, Hm in lux s of the unfiltered light read by the easel meter under glass."""
    way = under_glass(replace(with_filter(RC, name), head=head))
    wedge = fine_wedge()
    clear = replace(wedge, places=(Place("clear", 0.5 / WEDGE_STEPS, 0.5, 0.3),))
    bare = with_filter(way, None)
    lux = read_meter(clear, bare.record(clear, bare.exposure(1.0)), clear.places[0]).illuminance_lux
    return float(1000.0 / (lux * 10.0 ** printed_curve(replace(with_filter(RC, name), head=head)).at(SPEED_POINT)))


def split_difference() -> float:
    """Match filter 2 at two tones with a soft and a hard exposure; return the worst difference of all other tones."""
    from scipy.optimize import least_squares

    wedge = patches(*np.arange(0.4, 2.4, 0.2).round(2).tolist())
    count = 10
    one = with_filter(RC, "2")
    single = one.sheet(wedge, one.exposure(40.0))
    soft, hard = with_filter(RC, "00"), with_filter(RC, "5")

    def tones(log_s: np.ndarray) -> np.ndarray:
        pair = soft.sheet(wedge, soft.exposure(float(np.exp(log_s[0]))), hard.exposure(float(np.exp(log_s[1]))))
        return np.array([band(pair, k, count) for k in range(count)])

    wanted = np.array([band(single, k, count) for k in range(count)])
    ends = [3, 6]
    found = least_squares(lambda x: tones(x)[ends] - wanted[ends], np.log([25.0, 25.0]), diff_step=1e-3)
    return float(np.abs(tones(found.x) - wanted).max())


def stain_contrast_gain(way: Way) -> float:
    """Return how much a stained negative's density range grows for the paper, against the same silver unstained."""
    plain, stained = patches(0.3, 1.1), patches(0.3, 1.1, stain=0.3)

    def printing_range(negative: object) -> float:
        dark, light = (light_for_net(way, negative, SPEED_POINT, k, 2) for k in (0, 1))  # type: ignore[arg-type]
        return float(np.log10(light / dark))

    return printing_range(stained) - printing_range(plain)


def steepest(curve: PrintedCurve) -> float:
    """Return the steepest local gradient of a printed wedge."""
    return max(curve.slope(d) for d in np.arange(0.3, 0.85 * curve.net_dmax, 0.05))


def paper_white(way: Way) -> float:
    """Return the density of the sheet under the easel blades."""
    film = patches(1.5)
    return white(way.sheet(film, way.exposure(5.0)))


def black(way: Way) -> float:
    """Return the reflection density of a sheet's deepest black, paper white included."""
    film = patches(0.0)
    return band(way.sheet(film, way.exposure(500.0)))


def _range_checks() -> list[Worked]:
    published = {"00": 180, "0": 160, "1": 130, "2": 110, "3": 90, "4": 60, "5": 40}
    return [
        Worked(f"ISO R of glossy RC behind filter {n}", r, 10.0, MAKERS_SHEET, lambda n=n: iso_range(RC, n))
        for n, r in published.items()
    ]


def _time_checks() -> list[Worked]:
    rc = [("00", 0.0), ("0", 0.0), ("0.5", 0.0), ("1", 0.0), ("1.5", 0.0), ("2.5", 0.0), ("3", 0.0), ("3.5", 0.0),
          ("4", 1.0), ("4.5", 1.0), ("5", 1.0)]  # fmt: skip
    fb = [("00", 0.0), ("1.5", 0.0), ("3.5", 0.0), ("4.5", 1.0)]
    return [
        Worked(f"stops more than filter 2 at net 0.60, {label} filter {n}", s, tol, FILTER_RULE,
              lambda w=way, n=n: stops_from_two(w, n))
        for way, label, rows, tol in ((RC, "RC", rc, 0.05), (FB, "FB", fb, 0.10))
        for n, s in rows
    ]  # fmt: skip


TABLE = (
    *_range_checks(),
    *_time_checks(),
    Worked("gradient at net 0.55, R 95", 2.00, 0.20, KEPT_BACK, lambda: at_range(95).slope(0.55)),
    Worked("gradient at net 1.25, R 95", 2.75, 0.275, KEPT_BACK, lambda: at_range(95).slope(1.25)),
    Worked("unfiltered RC prints at middle contrast", *between(95, 115), BANDS, lambda: iso_range(RC, None)),
    Worked("unfiltered FB prints at middle contrast", *between(95, 115), BANDS, lambda: iso_range(FB, None)),
    Worked("spread of black over filters, RC", 0.0, 0.05, READINGS + ": 2.20 to 2.23", lambda: dmax_spread(RC)),
    Worked("spread of black over filters, FB", 0.0, 0.05, READINGS + ": 2.20 to 2.23", lambda: dmax_spread(FB)),
    Worked("white of glossy RC", *between(0.04, 0.08), "RC white about 0.05, " + MEMORY, lambda: paper_white(RC)),
    Worked("white of glossy fibre base", *between(0.05, 0.09), "FB white 0.06-0.08, " + MEMORY, lambda: paper_white(FB)),
    Worked("filter 4 changes nothing on graded paper, R", 0.0, 2.0, "graded paper sees blue only, common practice",
          lambda: iso_range(GRADED, "4") - iso_range(GRADED, "00")),
    Worked("stain acts less at filter 00 than on graded paper", *between(0.05, 0.35),
          "green light passes the yellow-green stain: B. Herbst, View Camera, July/August 1999",
          lambda: stain_contrast_gain(GRADED) - stain_contrast_gain(with_filter(RC, "00"))),
    Worked("soft and hard make the tones of filter 2", 0.0, 0.01,
          "R. Lambrecht and C. Woodhouse, Way Beyond Monochrome, 2nd ed., chapter on split-grade printing",
          split_difference),
    Worked("R under LED against 3200 K, filter 2", *between(-25.0, -3.0), BLUE_LED,
          lambda: iso_range(replace(RC, head="led-sheet"), "2") - iso_range(RC, "2")),
    Worked("R under LED against 3200 K, filter 5", 0.0, 6.0, "blue alone is left, whatever the lamp",
          lambda: iso_range(replace(RC, head="led-sheet"), "5") - iso_range(RC, "5")),
    Worked("R under LED against 3200 K, filter 00", 0.0, 6.0, "green alone is left, whatever the lamp",
          lambda: iso_range(replace(RC, head="led-sheet"), "00") - iso_range(RC, "00")),
    Worked("ISO speed P without a filter", *between(400.0, 630.0), "about P500, a data sheet, " + MEMORY,
          lambda: iso_speed("condenser-small", None)),
    Worked("ISO speed P behind filter 2", *between(160.0, 250.0), "about P200, a data sheet, " + MEMORY,
          lambda: iso_speed("condenser-small", "2")),
    Worked("ISO speed P behind filter 4", *between(80.0, 125.0), "about P100, a data sheet, " + MEMORY,
          lambda: iso_speed("condenser-small", "4")),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_papers_print_as_published(check: Worked) -> None:
    check.run()
