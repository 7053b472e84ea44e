"""Time, aperture, size, distance, dodging and burning on whole prints, worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from published.by_printing import EVEN, lost_per_switching_s, strip_stops
from published.checks import kept
from published.sheets import BORDER_MM, Way, light_for, light_for_net, net, patches, shade, with_filter

from laws.worked import PRACTICE, Worked, as_parameters
from sim.negative.negative import Negative
from sim.paper.stock import find_stock
from sim.printing.card_work import burnt_in
from sim.printing.make_print import make_print
from sim.viewing.densitometer import spot_density

PLAIN = Way()
STEADY = Way(head="led-sheet", lens="150-mm", magnification=3.0)  # loses nothing at the switch, nor blue before green
EQUAL_S = (3.0, 6.0, 9.0, 12.0, 15.0)
SMALL = patches(1.0, frame_mm=(6.0, 9.0))

CLERC = "L. P. Clerc, Photography: Theory and Practice, sec. 770"
F_STOP_TABLE = "R. W. Lambrecht, f/stop timing table"
DIFFUSE = "area of the lens opening, textbook optics"
COSINE = "cosine-fourth law, textbook optics"
CONTACT_DENSITY = "a printer's article, Negative density by contact printing"
UNEVEN = "equal seconds are unequal stops: arithmetic of log2"
SEVERAL = "several short exposures, dead time 0.1-0.3 s each for a filament, " + PRACTICE


@kept
def time_at_size(magnification: float, way: Way = PLAIN) -> float:
    """Return seconds of light for net 0.60 on a print at a magnification."""
    return light_for_net(replace(way, magnification=magnification), SMALL)


def size_factor(first: float, second: float, way: Way = PLAIN) -> float:
    """Return how many times longer the second size must be exposed."""
    return time_at_size(second, way) / time_at_size(first, way)


@kept
def time_at_aperture(f_number: float) -> float:
    """Return seconds of light for net 0.60 at an engraved aperture."""
    return light_for_net(replace(PLAIN, f_number=f_number), EVEN)


@kept
def time_behind(density: float, way: Way = PLAIN, base: float = 0.0) -> float:
    """Return seconds of light for net 0.60 behind an even density."""
    return light_for_net(way, patches(density, base=base))


def contact_time(lens_height_mm: float) -> float:
    """Return seconds of light for net 0.60 under glass with the lens at a height above the paper."""
    way = replace(
        PLAIN, head="diffusion-sheet", lens="150-mm", contact=True, magnification=lens_height_mm / 150.0 - 1.0
    )
    return light_for_net(way, EVEN)


def stops_gained(*exposures: object, way: Way = PLAIN, plain_s: float, index: int = 0, count: int = 2) -> float:
    """Return by how many stops a place differs from a plain exposure of ``plain_s`` seconds, found by printing both."""
    wanted = net(way.sheet(EVEN, *exposures), index, count)  # type: ignore[arg-type]
    same = light_for(lambda s: net(way.sheet(EVEN, way.exposure(s)), index, count), wanted)
    return float(np.log2(same / plain_s))


def held_back(total_s: float, card_s: float) -> float:
    """Return the stops lost at a place that a card shades for part of the exposure (lamp without dead time)."""
    middle = BORDER_MM + EVEN.frame_mm[0] * STEADY.magnification / 2
    exposure = STEADY.exposure(total_s, shade(middle, stop_s=card_s), time_s=total_s)
    return stops_gained(exposure, way=STEADY, plain_s=total_s)


def given_more(base_s: float, extra_s: float) -> float:
    """Return the stops gained at a place that gets more light while a card covers the rest."""
    middle = BORDER_MM + EVEN.frame_mm[0] * PLAIN.magnification / 2
    extra = PLAIN.exposure(extra_s, shade(middle), time_s=extra_s)
    return stops_gained(PLAIN.exposure(base_s, time_s=base_s), extra, plain_s=base_s, index=1)


def burnt_by_the_printer() -> float:
    """Return the stops gained where a printer burns in two thirds of a stop through a hole (lamp without dead time)."""
    way = STEADY
    record = way.record(EVEN, way.exposure(20.0))
    sheet = record.sheet
    work = burnt_in(record, 0, sheet.width_mm / 2, sheet.height_mm / 2, 60.0, 2.0 / 3.0)
    return stops_gained(*work.exposures, way=way, plain_s=20.0, count=1)


def corner_light(way: Way, negative: Negative, side_mm: tuple[float, float] = (203.2, 254.0)) -> float:
    """Return light in the sheet's corner over light in its middle, found from the times that print both alike."""
    full = replace(way, paper_mm=side_mm)

    def read(light_s: float, x: float, y: float) -> float:
        record = full.record(negative, full.exposure(light_s))
        record = replace(record, sheet=replace(record.sheet, border_mm=0.0))
        return spot_density(make_print(negative, record, find_stock(full.stock), 1.0), x, y, 1.0)

    wanted = read(10.0, side_mm[0] / 2, side_mm[1] / 2)
    return 10.0 / light_for(lambda s: read(s, 1.0, 1.0), wanted)


TABLE = (
    Worked("0.30 more density doubles the time", 1.995, 0.01, CONTACT_DENSITY + ": 10 to 20 s for 0.30",
          lambda: time_behind(1.1) / time_behind(0.8)),
    Worked("0.30 more base density doubles the time", 1.995, 0.01, "neutral density, definition (ISO 5-1)",
          lambda: time_behind(0.8, PLAIN, 0.3) / time_behind(0.8, PLAIN, 0.0)),
    Worked("0.10 more density: 10 s become 12.6 s", 12.6, 0.05, CONTACT_DENSITY,
          lambda: 10.0 * time_behind(0.9) / time_behind(0.8)),
    Worked("f/5.6 to f/8 doubles the time", 2.0, 0.01, DIFFUSE, lambda: time_at_aperture(8.0) / time_at_aperture(5.6)),
    Worked("f/8 to f/11 doubles the time", 2.0, 0.01, DIFFUSE, lambda: time_at_aperture(11.0) / time_at_aperture(8.0)),
    Worked("f/4 to f/16 takes sixteen times", 16.0, 0.1, DIFFUSE,
          lambda: time_at_aperture(16.0) / time_at_aperture(4.0)),
    Worked("size 2 to 3", 16 / 9, 0.01, CLERC + ": 9:16:25:36", lambda: size_factor(2.0, 3.0, STEADY)),
    Worked("size 2 to 4", 25 / 9, 0.01, CLERC + "; printed elsewhere as 2.78", lambda: size_factor(2.0, 4.0, STEADY)),
    Worked("size 2 to 5", 4.0, 0.02, CLERC, lambda: size_factor(2.0, 5.0, STEADY)),
    Worked("size 4x5 in to 8x10 and to 11x14", 1.60, 0.02, "'between 1/2 and 3/4 stop', printers' advice; " + CLERC,
          lambda: size_factor(2.0, 2.8, STEADY)),
    Worked("size 1 to 2", 2.25, 0.01, CLERC + " (the rule of areas would say 4)", lambda: size_factor(1.0, 2.0, STEADY)),
    Worked("size 8 to 16 in stops", 1.835, 0.01, CLERC + ", computed", lambda: np.log2(size_factor(8.0, 16.0))),
    Worked("35 mm, 5x7 to 8x10 in stops", 1.179, 0.01, CLERC + ", for 5.292 and 8.467 times",
          lambda: np.log2(size_factor(5.2917, 8.4667))),
    Worked("8x10 of 10 s as 16x20", 35.9, 0.2, CLERC + ", computed", lambda: 10.0 * size_factor(8.4667, 16.933)),
    Worked("contact, lens 500 to 750 mm", 2.25, 0.015, "inverse square law",
          lambda: contact_time(750.0) / contact_time(500.0)),
    Worked("contact, lens 600 to 400 mm", 0.4444, 0.004, "inverse square law",
          lambda: contact_time(400.0) / contact_time(600.0)),
    Worked("contact, 18.5 to 11 in for equal time", 2.829, 0.03, "distance and exposure, printed as 2.83",
          lambda: _far_over_near(18.5, 11.0)),
    Worked("dodge 5 s of 20 s", -0.415, 0.01,
          "5 s of 20 s is 25 %, -0.42 stop: a teaching note on dodging; arithmetic of stops",
          lambda: held_back(20.0, 5.0)),
    Worked("dodge 3 s of 10 s", -0.515, 0.01, "US Army SS0509 8, pp. 66-68: face held back",
          lambda: held_back(10.0, 3.0)),
    Worked("burn 8 s on 10 s", 0.848, 0.01, "US Army SS0509 8, pp. 66-68: sky", lambda: given_more(10.0, 8.0)),
    Worked("burn 11.7 s on 20 s", 2 / 3, 0.01, "f-stop timing, printers' examples", lambda: given_more(20.0, 11.7)),
    Worked("dodge 5.9 s of 20 s", -0.5, 0.01, "f-stop timing, printers' examples", lambda: held_back(20.0, 5.9)),
    Worked("dodge 5.2 s of 25.4 s", -1 / 3, 0.01, F_STOP_TABLE, lambda: held_back(25.4, 5.2)),
    Worked("burn 10.5 s on 25.4 s", 0.5, 0.01, F_STOP_TABLE, lambda: given_more(25.4, 10.5)),
    Worked("half a stop on 16 s is 6.6 s", 0.5, 0.01, "printers' example of f-stop timing",
          lambda: given_more(16.0, 6.6)),
    Worked("17 s and 5.4 s more", 0.4, 0.01, "printers' example: 17 s + 0.4 stop = 22.4 s",
          lambda: given_more(17.0, 5.4)),
    Worked("24 s less 5.0 s", -1 / 3, 0.01, "printers' example: 24 s - 1/3 stop = 19.0 s", lambda: held_back(24.0, 5.0)),
    Worked("burning in two thirds of a stop through a hole", 2 / 3, 0.02, "f-stop timing, " + PRACTICE,
          burnt_by_the_printer),
    Worked("corner of 8x10, 35 mm and 50 mm lens", 0.800, 0.006, COSINE + ", half-angle 18.96 degrees",
          lambda: corner_light(replace(PLAIN, magnification=8.4667), patches(1.0))),
    Worked("corner of 8x10, 6x7 and 105 mm lens", 0.809, 0.006, COSINE + ", half-angle 18.50 degrees",
          lambda: corner_light(replace(PLAIN, lens="105-mm", magnification=3.629, f_number=22.0),
                               patches(0.2, frame_mm=(56.0, 70.0)))),
    Worked("corner of 8x10, 4x5 in and 150 mm lens", 0.798, 0.006, COSINE + ", half-angle 19.06 degrees",
          lambda: corner_light(replace(PLAIN, head="diffusion-sheet", lens="150-mm", magnification=2.139, f_number=22.0),
                               patches(0.2, frame_mm=(95.0, 120.0)))),
    Worked("3 to 6 s is the widest step of a 3 to 15 s strip", 1.0, 0.05, UNEVEN, lambda: _steps(EQUAL_S)[0]),
    Worked("6 to 9 s is over half a stop", 0.585, 0.03, UNEVEN, lambda: _steps(EQUAL_S)[1]),
    Worked("12 to 15 s is a third of a stop", 0.322, 0.02, UNEVEN, lambda: _steps(EQUAL_S)[-1]),
    Worked("a third-stop strip is even", 0.0, 0.03, F_STOP_TABLE,
          lambda: float(np.ptp(_steps((5.0, 6.30, 7.94, 10.0, 12.60, 15.87))))),
    Worked("light lost per switching, LED, s", 0.0, 0.01, "an LED has no filament, " + PRACTICE,
          lambda: lost_per_switching_s("led-sheet")),
    Worked("one grade more or less: filter 3 for filter 2 at equal time", 0.0, 0.02,
          "one time for filters 00 to 3 1/2, US Navy course; at half density",
          lambda: np.log2(light_for_net(with_filter(PLAIN, "3"), EVEN) / light_for_net(with_filter(PLAIN, "2"), EVEN))),
)  # fmt: skip


def _far_over_near(far_in: float, near_in: float) -> float:
    way = replace(PLAIN, head="diffusion-sheet", lens="105-mm", contact=True)
    far, near = (replace(way, magnification=h * 25.4 / 105.0 - 1.0) for h in (far_in, near_in))
    return light_for_net(far, EVEN) / light_for_net(near, EVEN)


def _steps(times_s: tuple[float, ...]) -> np.ndarray:
    return np.diff(strip_stops("covered", times_s, STEADY.head))


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_exposures_add_up_as_published(check: Worked) -> None:
    check.run()
