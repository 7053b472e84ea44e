"""What the sheet makes of the light: sensitivities, grain classes, development, drying, surface. The slow way.

Numbers come from the stock's TOML file; shapes that stand in no file are written down here a second time, on purpose.
"""

from __future__ import annotations

import tomllib
from functools import cache

import numpy as np

from .light import SIM, STEP_NM, WAVELENGTH_NM

SAFELIGHTS = {"amber": (600.0, 14.0, 2e-6, 430.0), "red": (637.0, 20.0, 1e-7, 190.0)}


@cache
def stock_data(name: str) -> dict:
    """Return a stock as its file has it."""
    return tomllib.loads((SIM / "paper" / "stocks" / f"{name}.toml").read_text())


def sensitivities(stock: dict) -> np.ndarray:
    """Return absolute blue and green sensitivity [2, 49] in m2/J per nm; a blue-only paper has green 0."""
    nm = WAVELENGTH_NM
    blue = 1 / (1 + np.exp((395 - nm) / 8)) / (1 + np.exp((nm - 486) / 7.5))
    green = np.exp(-((nm - 540) ** 2) / (2 * 32**2)) / (1 + np.exp((nm - 573) / 3.6)) * (1 + np.exp((540 - 573) / 3.6))
    if not stock["emulsion"].get("green_nodes"):
        green = np.zeros_like(green)
    return 10 ** stock["emulsion"]["log_speed"] * np.array([blue, green])


def exposure(spectrum: np.ndarray, stock: dict) -> np.ndarray:
    """Return blue and green exposure [..., 2] of radiant exposures [..., 49] in J/m2/nm."""
    return STEP_NM * spectrum @ sensitivities(stock).T


def safelight_exposure(safelight, stock: dict) -> np.ndarray:
    """Return the blue and green exposure of minutes under a safelight: a narrow band and a white leak."""
    peak, width, leak, lumens_per_watt = SAFELIGHTS[safelight.kind]
    sigma = width / 2.3548
    band = np.exp(-((WAVELENGTH_NM - peak) ** 2) / (2 * sigma**2)) / (sigma * np.sqrt(2 * np.pi))
    white = np.ones(49) / (49 * STEP_NM)
    lux = (1.2 / safelight.distance_m) ** 2
    return exposure(safelight.time_s * lux / lumens_per_watt * (band + leak * white), stock)


def developed_share(blue: np.ndarray, green: np.ndarray, stock: dict) -> np.ndarray:
    """Return the developable share: every grain class gets blue plus its own measure of green, or its own of blue."""
    e = stock["emulsion"]
    if e.get("green_nodes"):
        classes = [(1.0, 10**node, weight) for node, weight in zip(e["green_nodes"], e["green_weights"], strict=True)]
    elif e.get("blue_nodes"):
        classes = [(10**node, 0.0, weight) for node, weight in zip(e["blue_nodes"], e["blue_weights"], strict=True)]
    else:
        classes = [(1.0, 0.0, 1.0)]
    total, all_grains = np.zeros(blue.shape), sum(weight for _, _, weight in classes)
    for of_blue, of_green, weight in classes:
        h = of_blue * blue + of_green * green
        total += weight / all_grains * (1 - (1 + h ** e["curve_a"]) ** -e["curve_b"])
    return total


def sheet_density(blue: np.ndarray, green: np.ndarray, stock: dict, development, wet: bool) -> np.ndarray:
    """Return reflection density after developing (time, warmth, tired bath), drying and with the surface's own light."""
    d = stock["development"]
    pace = 2 ** ((development.temperature_c - 20) / d["doubling_c"] - development.sheets_before / d["half_life_sheets"])
    progress = development.time_s * pace / d["completion_time_s"]
    x = max(0.0, (progress - d["emergence_share"]) / (1 - d["emergence_share"]))
    formed = (1 - np.exp(-d["rate"] * x)) / (1 - np.exp(-d["rate"]))
    lag = d["early_log_shift"] * (np.exp(-x / 0.22) - np.exp(-1 / 0.22))
    share = developed_share(blue * 10**-lag, green * 10**-lag, stock)
    image = stock["emulsion"]["image_density"] * formed * share
    fog = d["fog_per_time"] * max(0.0, progress - 2.0)
    surface = stock["base"]["surface_reflection"]
    if wet:
        image = image * (1 - stock["drying"]["dry_down_share"] * np.exp(-2.0 * image))
        surface = stock["base"]["wet_surface_reflection"]
    return -np.log10(surface + (1 - surface) * 10 ** -(stock["base"]["density"] + fog + image))
