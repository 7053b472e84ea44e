"""The tray, the drying line and the safelight: whole prints, developed, tired, dried and fogged."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np
import pytest

from sim.paper.safelight import Safelight

from .checks import Check, as_parameters, between, kept
from .sheets import Way, band, light_for, net, patches, white

FB, RC, MATT, GRADED = (Way(stock=s) for s in ("glossy-fb-vc", "glossy-rc-vc", "matt-fb-vc", "graded-fb-2"))
FIBRE = (FB, MATT, GRADED)
FULL_S = {way.stock: 120.0 for way in FIBRE} | {RC.stock: 60.0}  # 2 min and 1 min at 20 degrees C

CLERC = "L. P. Clerc, Photography: Theory and Practice, sec. 556-557: 140 s needed, alike to 200 s, fog at 280 s"
EMERGES = "the image shows after 10-15 s on fibre base; worked example 15 s of 150 s: printers on factorial development"
WARMTH = "A. Watkins's coefficients, quoted in handbooks: 1.9 for metol and hydroquinone per 10 degrees C"
CAPACITY = "about 50-100 sheets of 8x10 in through a litre of working solution; no better source found"
TIRED = "a tired bath gives weak blacks however long the sheet stays in: bromide and spent hydroquinone"
RESTRAINED = (
    "bromide lowers density by about 0.5 for ten times as much, whatever the gamma, if it is developed to the end:"
    " A. H. Nietz, The Theory of Development, 1922"
)
DRYING = "10 % and half a grade (R. Hicks); 10 %; 11 %, up to 15 %; a quarter stop at most: five printers' figures"
HOW_SAFE = "How Safe Is Your Safelight?, publication K-4, October 2006: example 7 min before the exposure, 3 min after"
COIN = "US Navy, Photography (Basic), ch. 11: safe is what leaves no fog in at least twice the usual handling time"
RED = "red of 620 nm and longer, 15 W at 0.75 m, shows nothing on paper in half an hour: printers' safelight tests"
LIGHT_TONES = (0.15, 0.25, 0.35)


def farthest(wanted: float, read: Callable[[Way], float], ways: tuple[Way, ...] = FIBRE) -> float:
    """Return the reading of all fibre-base papers that lies farthest from what is published for fibre base."""
    return max((read(way) for way in ways), key=lambda value: abs(value - wanted))


@kept
def black_after(way: Way, share: float, times_light: float = 1.0, sheets_before: float = 0.0) -> float:
    """Return a fully exposed sheet's density above white after a share of the full development time."""
    developed = replace(way, develop_s=share * FULL_S[way.stock], sheets_before=sheets_before)
    return net(developed.sheet(patches(0.0), developed.exposure(60.0 * times_light)))


def white_rise(way: Way, share: float) -> float:
    """Return how much paper white darkens after so many times the full development time."""
    film, long = patches(1.0), replace(way, develop_s=share * FULL_S[way.stock])
    return white(long.sheet(film, long.exposure(1.0))) - white(way.sheet(film, way.exposure(1.0)))


def seconds_to(way: Way, tone: float, light_s: float = 20.0, density: float = 1.0) -> float:
    """Return how long a sheet must lie in the developer for a patch to reach a density above white."""

    def read(seconds: float) -> float:
        developed = replace(way, develop_s=seconds)
        return net(developed.sheet(patches(density), developed.exposure(light_s)))

    return light_for(read, tone, 1.0, 590.0)


@kept
def emergence_s(way: Way) -> float:
    """Return the seconds after which a dark tone of the picture is first seen."""
    return seconds_to(way, 0.04, 40.0)


def rate_per_ten_degrees() -> float:
    """Return how many times faster the same tone comes up 10 degrees C warmer, from two pulled prints."""
    cool = replace(FB, develop_s=60.0, temperature_c=17.0)
    wanted = net(cool.sheet(patches(1.0), cool.exposure(20.0)))
    return 60.0 / seconds_to(replace(FB, temperature_c=27.0), wanted)


@kept
def sheets_that_double_emergence(way: Way) -> float:
    """Return the sheets through a litre after which the image takes twice as long to show."""
    return light_for(lambda n: emergence_s(replace(way, sheets_before=round(n, 3))), 2.0 * emergence_s(way), 5.0, 130.0)


def tired_black_lost() -> float:
    """Return the black lost after 80 sheets through the litre though the sheet stays in twice as long."""
    return black_after(FB, 1.0) - black_after(FB, 2.0, 1.0, 80.0)


def density_per_tenfold_bromide(sheets: float = 40.0, share: float = 5.0) -> float:
    """Return the middle tone lost by ten times the bromide on graded paper, from long development fresh and worn.

    Forty sheets of 8x10 in: 0.38 mmol of silver each, half its halide bromide, 6 ml carried away with each, into a litre
    with 5 mmol (0.6 g of potassium bromide).
    """
    silver = -0.38 / 0.006 * np.log(1.0 - 0.006 * sheets)
    tenfold = np.log10(1.0 + 0.5 * silver / 5.0)
    film, long = patches(1.0), replace(GRADED, develop_s=share * FULL_S[GRADED.stock])
    light_s = light_for(lambda s: net(long.sheet(film, long.exposure(s))), 1.0)
    worn = replace(long, sheets_before=sheets)
    return (1.0 - net(worn.sheet(film, worn.exposure(light_s)))) / float(tenfold)


@kept
def dry_down_percent(way: Way) -> float:
    """Return by how many per cent the light must be cut for dry light tones to look as they did wet, on average."""
    film, cuts = patches(1.4), []
    for tone in LIGHT_TONES:
        light_s = light_for(lambda s: band(way.sheet(film, way.exposure(s), wet=True)), tone)
        dry_s = light_for(lambda s: band(way.sheet(film, way.exposure(s))), tone)
        cuts.append(100.0 * (1.0 - dry_s / light_s))
    return float(np.mean(cuts))


def black_dried(way: Way) -> float:
    """Return by how much a black is less dense dry than wet."""
    film, exposure = patches(0.0), way.exposure(300.0)
    return band(way.sheet(film, exposure, wet=True)) - band(way.sheet(film, exposure))


@kept
def fogging_time_s(kind: str, distance_m: float, flash_s: float = 0.0, rise: float = 0.02) -> float:
    """Return the seconds under a safelight after which a sheet (flashed or not) is just seen to be darker."""
    film = patches(8.0)  # only flash and safelight reach the paper behind it
    exposure = replace(RC.exposure(flash_s), through="open", dimmed_stops=8.0) if flash_s else RC.exposure(0.0)
    clean = band(RC.sheet(film, exposure))

    def darker(seconds: float) -> float:
        way = replace(RC, safelight=Safelight(kind, distance_m, seconds))  # type: ignore[arg-type]
        return band(way.sheet(film, exposure)) - clean

    return 7000.0 if darker(7000.0) < rise else light_for(lambda x: darker(x * 12.0), rise, 0.01, 590.0) * 12.0


@kept
def pale_flash_s(tone: float = 0.25) -> float:
    """Return the seconds of dimmed bare light that print a pale grey."""
    film = patches(8.0)
    return light_for(lambda s: net(RC.sheet(film, replace(RC.exposure(s), through="open", dimmed_stops=8.0))), tone)


def bare_after_ten_minutes() -> float:
    """Return how much bare paper darkens in ten minutes of amber light."""
    film, way = patches(8.0), replace(RC, safelight=Safelight("amber", 1.2, 600.0))
    return band(way.sheet(film, RC.exposure(0.0))) - band(RC.sheet(film, RC.exposure(0.0)))


TABLE = (
    Check("first tones on fibre base, s", *between(8.0, 17.0), "the quoted times", "as quoted", EMERGES,
          ("emergence x 2",), partial(farthest, 12.5, emergence_s)),
    Check("first tones on RC, s", *between(4.0, 9.0), "half the quoted times, for a paper done in half the time",
          "common practice", EMERGES, ("emergence x 2",), partial(emergence_s, RC)),
    Check("black lost at half the time", *between(0.061, 0.30), "seen (one step of L* there) but no ruin",
          "published", CLERC, ("rate of development x 2",),
          partial(farthest, 0.18, lambda way: black_after(way, 1.0) - black_after(way, 0.5))),
    Check("black lost at half the time, five times the light", *between(0.061, 0.30), "seen: 'not made up for'",
          "published", CLERC, ("rate of development x 2",), lambda: black_after(FB, 1.0) - black_after(FB, 0.5, 5.0)),
    Check("black gained from 140 to 200 s", 0.0, 0.045, "below one step of L* at that black", "published", CLERC,
          ("rate of development x 0.5",), lambda: black_after(FB, 200 / 120) - black_after(FB, 140 / 120)),
    Check("white at twice the time, darker by", 0.0, 0.012, "one step of L* at white", "published", CLERC,
          ("completion time x 0.6",), partial(farthest, 0.0, lambda way: white_rise(way, 2.0))),
    Check("white at three times the time, darker by", *between(0.012, 0.06), "seen, but the print not spoilt",
          "from memory", CLERC, ("chemical fog x 4",), partial(farthest, 0.036, lambda way: white_rise(way, 3.0))),
    Check("rate per 10 degrees C", 1.9, 0.4, "half the way to one agent alone (metol 1.3, hydroquinone 2.3)",
          "from memory", WARMTH, ("building agent's warmth x 0.2",), rate_per_ten_degrees),
    Check("sheets through a litre that double the time of emergence", *between(40.0, 100.0), "the quoted capacities",
          "from memory", CAPACITY, ("half-life of the bath x 2",),
          partial(farthest, 70.0, sheets_that_double_emergence)),
    Check("density lost by ten times the bromide, graded paper", 0.5, 0.12, "one figure, given roughly", "from memory",
          RESTRAINED, ("speed lost to bromide x 0.67",), density_per_tenfold_bromide),
    Check("black lost in a tired bath with double time", *between(0.03, 0.60), "seen; the sign is certain",
          "common practice", TIRED, ("half-life of the bath x 2",), tired_black_lost),
    Check("dry-down of fibre base, per cent", 11.0, 2.5, "half the spread of the five figures", "as quoted", DRYING,
          ("dry-down x 1.4",), partial(farthest, 11.0, dry_down_percent)),
    Check("dry-down of RC, per cent", 2.0, 2.0, "'much smaller'", "as quoted", "S. Lehmann, Dry-down effect",
          ("RC swells as fibre base does",), partial(dry_down_percent, RC)),
    Check("gloss lost by a black that dries, fibre base", *between(0.02, 0.20), "seen as a little brilliance lost",
          "as quoted", "S. Lehmann, Dry-down effect; R. Hicks", ("wet reflection of glossy x 1.45",),
          partial(farthest, 0.11, black_dried, (FB, GRADED))),
    Check("gloss lost by a black that dries, matt", *between(0.25, 0.60), "from a glossy black to a matt one, less"
          " what a wet surface still scatters", "common practice", "a matt print is brilliant while wet",
          ("wet reflection x 2",), partial(black_dried, MATT)),
    Check("amber's safe time on a pale grey, s", *between(180.0, 900.0), "the example, and three times as long",
          "as quoted", HOW_SAFE, ("amber leak x 50",), lambda: fogging_time_s("amber", 1.2, pale_flash_s())),
    Check("bare paper darkened by ten minutes of amber at 1.2 m", 0.0, 0.012, "one step of L* at white", "published",
          COIN, ("amber edge x 0.95",), bare_after_ten_minutes),
    Check("red's safe time on a pale grey at 0.75 m, s", *between(1800.0, 7000.0), "no upper end",
          "from memory", RED, ("red leak x 50",), lambda: fogging_time_s("red", 0.75, pale_flash_s())),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_tray_and_darkroom_light_act_as_published(check: Check) -> None:
    check.run()
