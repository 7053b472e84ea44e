"""What every printer knows, on whole prints: how long, which filter, and what a wrong guess looks like."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from laws.worked import MEMORY, PRACTICE, Worked, as_parameters
from published.by_printing import filter_for, split_tones
from published.checks import between, kept
from published.sheets import Way, band, light_for_net, patches

from sim.enlarger.equipment import find_head
from sim.enlarger.filters import FilterSetting
from sim.enlarger.light_given import given_light_s
from sim.negative.develop import find_negative
from sim.negative.sleeve import sleeve_names
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.setup import usual_setup
from sim.viewing.easel_meter import time_for_density
from sim.viewing.lost_tones import lost_in_white_and_black

NORMAL = "morning-shelf"
PLAIN = Way()
RC = find_stock("glossy-rc-vc")
HARD_S = 3.0
TIMES = (
    "a start of 10 to 20 s, and a third of a stop below it for a bright lamp: US Navy, Photography (Basic), "
    "NAVEDTRA 14209, ch. 11; " + PRACTICE
)
MATCH = "paper range = the negative's range as projected: ISO 6846; R of each filter: a paper maker's data sheet"
HEADS = "J. Dickerson and S. Zawadzki, Condenser or diffusion enlarger?, Photo Techniques: grade 2 becomes 1 or 1/2"
ADAMS = "A. Adams, The Negative, " + MEMORY
READ = "overall density decides the time, density range the filter; " + PRACTICE
DATA_SHEET_R = {"00": 180, "0": 160, "1": 130, "2": 110, "3": 90, "4": 60, "5": 40}


def with_time(record: Any, time_s: float) -> Any:
    """Return a record whose first exposure has another time."""
    first, *rest = record.exposures
    return record.with_exposures(replace(first, time_s=time_s, light_s=None), *rest)


@kept
def sheet_shares(name: str) -> tuple[float, float]:
    """Return the shares of white and of black on the normal negative's print behind a filter, middle tones held."""
    negative = find_negative(NORMAL)
    record = usual_setup(negative, RC, filtration=FilterSetting(name))
    place = next(p for p in negative.places if p.name == "plaster")
    time_s = time_for_density(negative, record, place, RC, record.exposures[0], 0.65)
    return lost_in_white_and_black(make_print(negative, with_time(record, time_s), RC))


def data_sheet_filter(log_range: float) -> float:
    """Return the filter a data sheet gives for a range."""
    names = sorted(DATA_SHEET_R, key=lambda n: DATA_SHEET_R[n])
    return float(
        np.interp(100.0 * log_range, [DATA_SHEET_R[n] for n in names], [-1.0 if n == "00" else float(n) for n in names])
    )


@kept
def spread_of_tone(dialled_s: float) -> float:
    """Return the spread of a middle tone over thirty prints of the same dialled time."""
    way, head = Way(), find_head("diffusion-small")
    film = patches(round(float(0.4 + np.log10(dialled_s)), 3))
    generator = np.random.Generator(np.random.PCG64(20))
    tones = [
        band(way.sheet(film, way.exposure(given_light_s(dialled_s, head, generator), time_s=dialled_s)))
        for _ in range(30)
    ]
    return float(np.std(tones))


def shortened() -> float:
    """Return the print range lost when the hard exposure of three seconds gets half a stop less light."""
    (light, shadow), (light_less, shadow_less) = split_tones(HARD_S), split_tones(HARD_S / 2**0.5)
    return (shadow - light) - (shadow_less - light_less)


def time_ratio() -> float:
    """Return the time of a dense flat negative over that of a thin contrasty one, both printed for the light tone."""
    dense, thin = patches(1.5, 2.1), patches(0.1, 1.4)
    way = Way()
    return light_for_net(way, dense, 0.04, 1, 2) / light_for_net(way, thin, 0.04, 1, 2)


TABLE = (
    Worked("3 s repeat worse than 12 s, times", 4.0, 0.5,
          "the switch's own spread weighs four times as much in a quarter of the time, " + PRACTICE,
          lambda: spread_of_tone(3.0) / spread_of_tone(12.0)),
    Worked("softest filter: white and black together", *between(0.0, 0.15), "the whole sheet is grey, " + PRACTICE,
          lambda: sum(sheet_shares("00"))),
    Worked("hardest filter: white and black together", *between(0.40, 1.0), "black and white, " + PRACTICE,
          lambda: sum(sheet_shares("5"))),
    Worked("hardest filter shows paper white", *between(0.05, 0.9), PRACTICE, lambda: sheet_shares("5")[0]),
    Worked("hardest filter shows full black", *between(0.10, 0.9), PRACTICE, lambda: sheet_shares("5")[1]),
    Worked("half a stop less hard light shortens the range", *between(0.10, 0.30),
          "hard exposure makes the blacks, " + PRACTICE, shortened),
    Worked("dense and flat needs longer, times", *between(2.0, 20.0), READ, time_ratio),
    Worked("dense and flat, range 0.60: filter", data_sheet_filter(0.60), 0.5, READ + "; " + MATCH,
          lambda: filter_for(1.5, 2.1, PLAIN)),
    Worked("thin and contrasty, range 1.30: filter", data_sheet_filter(1.30), 0.5, READ + "; " + MATCH,
          lambda: filter_for(0.1, 1.4, PLAIN)),
    Worked("normal range 1.05: filter", data_sheet_filter(1.05), 0.5, "grade 2 fits 1.05 with diffused light; " + MATCH,
          lambda: filter_for(0.3, 1.35, PLAIN)),
    Worked("the same range denser takes the same filter", 0.0, 0.2, READ,
          lambda: filter_for(0.3, 1.35, PLAIN) - filter_for(0.8, 1.85, PLAIN)),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_prints_show_what_printers_know(check: Worked) -> None:
    check.run()


def test_the_normal_negative_is_in_the_file() -> None:
    assert NORMAL in sleeve_names()
