"""What a printer finds by printing: the filter for a range, the light of a strip's steps, the tones of a split print."""

from __future__ import annotations

import numpy as np

from sim.enlarger.filters import GRADED_NAMES
from sim.printing.strips import lay_strip
from sim.viewing.densitometer import spot_density
from sim.viewing.strip_reading import read_strip

from .checks import kept
from .sheets import Way, light_for, light_for_net, net, patches, with_filter

EVEN = patches(1.4)


@kept
def filter_for(low: float, high: float, way: Way) -> float:
    """Return the filter, as a number, that prints a range from net 0.04 to nine tenths of black, found by printing.

    Time is set for the light tone at every filter; between two filters the result is interpolated.
    """
    film = patches(low, high)
    black = net(way.sheet(patches(0.0), way.exposure(500.0)))
    numbers, shadows = [], []
    for name in GRADED_NAMES:
        behind = with_filter(way, name)
        light_s = light_for_net(behind, film, 0.04, 1, 2)
        shadows.append(net(behind.sheet(film, behind.exposure(light_s)), 0, 2) / black)
        numbers.append(-1.0 if name == "00" else float(name))
    return float(np.interp(0.90, shadows, numbers))


@kept
def strip_stops(way_of_laying: str, times_s: tuple[float, ...], head: str) -> tuple[float, ...]:
    """Return log2 of the light that each step of a strip shows, in seconds of full light, found by plain prints."""
    way = Way(head=head) if head.endswith("small") else Way(head=head, lens="150-mm", magnification=3.0)
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


@kept
def split_tones(hard_s: float) -> tuple[float, float]:
    """Return light and shadow tone of a split print, soft exposure fixed, with a hard exposure of so many seconds."""
    film = patches(0.35, 1.30)
    soft, hard = with_filter(Way(), "00"), with_filter(Way(), "5")
    soft_s = light_for_net(soft, film, 0.08, 1, 2)
    sheet = soft.sheet(film, soft.exposure(soft_s), hard.exposure(hard_s))
    return net(sheet, 1, 2), net(sheet, 0, 2)
