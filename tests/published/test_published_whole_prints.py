"""From the scene to the print: how long a usual negative takes, and where its tones come."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import numpy as np
import pytest

from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.setup import usual_setup
from sim.viewing.densitometer import read_place

from .checks import Check, as_parameters, between, kept
from .scenes import taken, zone_development
from .sheets import Way, light_for, light_for_net, net, patches, with_filter

NORMAL = "morning-shelf"
TIMES = "US Navy, Photography (Basic), NAVEDTRA 14209, ch. 11: a start of 10 to 20 s; a third of a stop below it"
GREY = "a grey card in a normal subject prints near 18 %, D 0.74: A. Adams, The Print; L. A. Jones on tone reproduction"
DARKS = "a normal subject's deepest textured shadow prints at nine tenths of black: ISO 6846 and its matching rule"
GREY_SHEET = "the softest filter leaves a normal negative grey, the hardest leaves it chalk and soot"
SPLIT = "the hard exposure makes the blacks and hardly touches the lights: printers on split grade"


@kept
def normal_time_s(paper: str) -> float:
    """Return the seconds at f/8, filter 2, 8x10 in, that print the lightest place of the normal negative to net 0.10."""
    negative, stock = find_negative(NORMAL), find_stock(paper)
    record = usual_setup(negative, stock)
    place = next(p for p in negative.places if p.part == "lightest")

    def tone(light_s: float) -> float:
        exposure = replace(record.exposures[0], time_s=light_s, light_s=light_s)
        print_ = make_print(negative, record.with_exposures(exposure), stock, 2.5)
        return read_place(print_, place) - print_.base_plus_fog

    return light_for(tone, 0.10, 0.5, 300.0)


@kept
def scene_tones(filter_name: str) -> tuple[float, float, float]:
    """Return net white, grey and dark tones of a print from a subject of 2.20 with a grey card in it.

    Card metered, developed for Zone VIII, printed on fibre base so that the white of 90 % comes to net 0.06.
    """
    row = np.zeros(90)
    row[:15], row[75:] = np.log10(90.0 / 18.0), np.log10(90.0 / 18.0) - 2.20
    film = taken(np.broadcast_to(row, (60, 90)).copy(), "medium", zone_development(8.0))
    way = with_filter(Way(stock="glossy-fb-vc", magnification=4.0), filter_name)
    light_s = light_for_net(way, film, 0.06, 0, 6)
    sheet = way.sheet(film, way.exposure(light_s))
    black = net(way.sheet(patches(0.0), way.exposure(500.0)))
    return net(sheet, 0, 6), net(sheet, 2, 6), net(sheet, 5, 6) / black


@kept
def split_tones(hard_s: float) -> tuple[float, float]:
    """Return light and shadow tone of a split print, soft exposure fixed, with a hard exposure of so many seconds."""
    film = patches(0.35, 1.30)
    soft, hard = with_filter(Way(), "00"), with_filter(Way(), "5")
    soft_s = light_for_net(soft, film, 0.08, 1, 2)
    sheet = soft.sheet(film, soft.exposure(soft_s), hard.exposure(hard_s))
    return net(sheet, 1, 2), net(sheet, 0, 2)


def share_of_loss_in_lights() -> float:
    """Return how much the light tone loses for every density the shadow loses when half a stop of hard light goes."""
    (light, shadow), (light_less, shadow_less) = split_tones(3.0), split_tones(3.0 / 2**0.5)
    return (light - light_less) / (shadow - shadow_less)


TABLE = (
    Check("a normal negative at f/8 on RC, s", *between(8.0, 20.0), "the course's start and its third of a stop",
          "published", TIMES, ("lamp's light x 2",), partial(normal_time_s, "glossy-rc-vc")),
    Check("a normal negative at f/8 on fibre base, s", *between(8.0, 20.0), "the course's start and its third of a stop",
          "published", TIMES, ("lamp's light x 0.33",), partial(normal_time_s, "glossy-fb-vc")),
    Check("a grey card of a normal subject, net density", 0.68, 0.20, "a zone's third either way", "from memory", GREY,
          ("spread of green speeds x 2",), lambda: scene_tones("2")[1]),
    Check("the deepest shadow of a normal subject, share of black", *between(0.80, 0.97), "R 110 for 1.05, half a grade",
          "as quoted", DARKS, ("camera flare x 4",), lambda: scene_tones("2")[2]),
    Check("the same shadow behind filter 00, share of black", *between(0.30, 0.70), "grey, not black",
          "common practice", GREY_SHEET, ("filters' dyes x 0.1",), lambda: scene_tones("00")[2]),
    Check("the same grey card behind filter 4, net density", *between(0.95, 1.9), "a zone or more darker",
          "common practice", GREY_SHEET, ("filters' dyes x 0.3",), lambda: scene_tones("4")[1]),
    Check("half a stop less hard light, lights over shadows", *between(-0.05, 0.20), "hardly seen", "common practice",
          SPLIT, ("filters' dyes x 0.3",), share_of_loss_in_lights),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_whole_prints_come_out_as_published(check: Check) -> None:
    check.run()
