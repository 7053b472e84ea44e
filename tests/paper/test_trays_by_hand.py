"""The tray, the drying line and the safelight: whole prints worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from laws.worked import PRACTICE, Worked, as_parameters
from published.checks import between, kept
from published.sheets import Way, band, light_for, light_for_net, net, patches, printed_curve

from sim.paper.safelight import Safelight

FB, RC = Way(stock="glossy-fb-vc"), Way(stock="glossy-rc-vc")
FULL_S = {"glossy-fb-vc": 120.0, "glossy-rc-vc": 60.0}  # FB 2 min, RC 1 min at 20 degrees C (common practice)

CLERC_DEV = "L. P. Clerc, Photography: Theory and Practice, sec. 556-557"
INVERSE_SQUARE = "inverse square law"
HOW_SAFE = "How Safe Is Your Safelight?, publication K-4, October 2006"
DRYING = "10 %, 11 % up to 15 %, a quarter stop at most: printers' published figures for fibre base"
LIGHT_TONES = (0.10, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40)


def tone_change(way: Way, early: float, late: float, density: float) -> float:
    """Return how much a tone darkens when the sheet stays in from one share of the time to another."""
    film = patches(density)
    tones = []
    for share in (early, late):
        developed = replace(way, develop_s=share * FULL_S[way.stock])
        tones.append(band(developed.sheet(film, developed.exposure(10.0))))
    return tones[1] - tones[0]


def range_after(seconds: float) -> float:
    """Return ISO R of the RC paper after a time in the developer."""
    return printed_curve(replace(RC, develop_s=seconds)).iso_range()


def drying(way: Way, light_s: float) -> float:
    """Return by how much a tone is denser dry than wet."""
    film, exposure = patches(1.4), way.exposure(light_s)
    return band(way.sheet(film, exposure)) - band(way.sheet(film, exposure, wet=True))


@kept
def fogging_time_s(kind: str, distance_m: float, rise: float = 0.04, flash_s: float = 0.0) -> float:
    """Return the seconds under a safelight after which a sheet (flashed or not) is darker by a density, 10 to 7000.

    The spot lies behind a black negative, so that only flash and safelight reach it.
    """
    film = patches(8.0)
    exposure = replace(RC.exposure(flash_s), through="open", dimmed_stops=8.0) if flash_s else RC.exposure(0.0)
    clean = band(RC.sheet(film, exposure))

    def darker(seconds: float) -> float:
        way = replace(RC, safelight=Safelight(kind, distance_m, seconds))  # type: ignore[arg-type]
        return band(way.sheet(film, exposure)) - clean

    assert darker(7000.0) > rise, "no fog within the longest time that can be asked for"
    return light_for(lambda x: darker(x * 12.0), rise, 0.01, 590.0) * 12.0


@kept
def pale_flash_s(tone: float = 0.25) -> float:
    """Return the seconds of dimmed bare light that print a pale grey."""
    film = patches(8.0)
    return light_for(lambda s: net(RC.sheet(film, replace(RC.exposure(s), through="open", dimmed_stops=8.0))), tone)


def highlight_shift_log() -> float:
    """Return the log exposure that a tenth of the just-visible safelight dose adds to a just-visible highlight."""
    film, fog_s = patches(1.8), fogging_time_s("amber", 0.6)
    light_s = light_for_net(RC, film, 0.04)
    lit = replace(RC, safelight=Safelight("amber", 0.6, 0.1 * fog_s))
    tone = band(lit.sheet(film, lit.exposure(light_s)))
    return float(np.log10(light_for(lambda s: band(RC.sheet(film, RC.exposure(s))), tone) / light_s))


def flashed_change(density: float) -> float:
    """Return how much a tone darkens from a pre-flash that by itself shows nothing."""
    film = patches(density)
    flash = replace(RC.exposure(0.9 * pale_flash_s(0.02)), through="open", dimmed_stops=8.0)
    return band(RC.sheet(film, flash, RC.exposure(12.0))) - band(RC.sheet(film, RC.exposure(12.0)))


def density_for(tone: float) -> float:
    """Return the negative density that prints to a tone with 12 s."""
    return 3.0 - light_for(lambda x: net(RC.sheet(patches(round(3.0 - x, 4)), RC.exposure(12.0))), tone, 0.2, 2.9)


TABLE = (
    Worked("a middle tone from 140 to 200 s", *between(0.0, 0.15), CLERC_DEV + ": good print if exposure is adjusted",
          lambda: tone_change(FB, 1.0, 200 / 140, 1.0)),
    Worked("R changes little from 1 to 1.5 times the time", 0.0, 10.0, PRACTICE + ": longer time, little contrast",
          lambda: range_after(90.0) - range_after(60.0)),
    Worked("light tones dry darker", *between(0.01, 0.15), "dry is darker in the lights: S. Lehmann, Dry-down effect",
          lambda: drying(FB, 10.0)),
    Worked("safelight at half the distance, amber", 0.25, 0.005, INVERSE_SQUARE,
          lambda: fogging_time_s("amber", 0.4) / fogging_time_s("amber", 0.8)),
    Worked("safelight at half the distance, red", 0.25, 0.005, INVERSE_SQUARE,
          lambda: fogging_time_s("red", 0.2, 0.01, pale_flash_s()) / fogging_time_s("red", 0.4, 0.01, pale_flash_s())),
    Worked("a tenth of the fogging dose on a highlight, log", 0.041, 0.02,
          HOW_SAFE + ": highlights suffer first; log10 1.1",
          highlight_shift_log),
    Worked("pre-flash lifts a weak highlight", *between(0.02, 0.3),
          "pre-flash just below the first tone: S. Lehmann, Flashing paper",
          lambda: flashed_change(density_for(0.06))),
    Worked("pre-flash lifts lights more than deep shadows, times", *between(3.0, 30.0),
          "weak highlights only: S. Lehmann, Flashing paper",
          lambda: flashed_change(density_for(0.06)) / flashed_change(density_for(1.85))),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_tray_and_darkroom_light_act_as_published(check: Worked) -> None:
    check.run()
