"""What the sheet makes of the light: sensitivities, grain classes, development, drying, surface. The slow way.

Numbers come from the stock's TOML file; shapes that stand in no file are written down here a second time, on purpose.
"""

from __future__ import annotations

import tomllib
from functools import cache

import numpy as np

from .light import SIM, STEP_NM, WAVELENGTH_NM

SAFELIGHTS = {"amber": 610.0, "red": 635.0}  # half transmission, nm


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
    """Return the blue and green exposure of minutes under a safelight: 15 W at 2450 K, two fifths of it behind an edge."""
    metres = WAVELENGTH_NM * 1e-9
    h, c, k, kelvin = 6.62607015e-34, 299792458.0, 1.380649e-23, 2450.0
    exitance = 2 * np.pi * h * c**2 / metres**5 / (np.exp(h * c / (metres * k * kelvin)) - 1) * 1e-9
    all_of_it = 2 * np.pi**5 * k**4 / (15 * h**3 * c**2) * kelvin**4
    passed = 0.85 / (1 + 10 ** ((SAFELIGHTS[safelight.kind] - WAVELENGTH_NM) / 8.0)) + 1e-6
    watts = 0.4 * 15.0 * exitance / all_of_it * passed / (np.pi * safelight.distance_m**2)
    return exposure(safelight.time_s * watts, stock)


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


@cache
def developer_data() -> dict:
    """Return the developer as its file has it."""
    return tomllib.loads((SIM / "paper" / "developer.toml").read_text())["developer"]


def bath(development) -> tuple[float, float, float]:
    """Return the pace of the fast agent, the pace of building, and bromide, all over fresh developer at 20 degrees C."""
    d = developer_data()
    silver = d["silver_mmol_sheet"] * development.sheets_before / development.bath_l
    fast = development.strength * 0.5 ** (development.age_h / d["half_life_h"])
    builder = max(0.0, fast - silver / (2 * d["builder_mmol_l"]))
    alkali = max(0.0, 1 - silver / (development.strength * d["alkali_mmol_l"]))
    bromide = 1 + d["bromide_share"] * silver / (development.strength * d["bromide_mmol_l"])
    per_kelvin = (1 / 293.15 - 1 / (273.15 + development.temperature_c)) / 8.314462618e-3
    hampered = alkali / bromide ** d["rate_by_bromide"]
    start = fast * hampered * np.exp(d["start_activation_kj_mol"] * per_kelvin)
    joint = np.sqrt(fast * builder) * hampered * np.exp(d["build_activation_kj_mol"] * per_kelvin)
    return start, d["start_share"] * start + (1 - d["start_share"]) * joint, bromide


def seen_through_gelatin(silver: np.ndarray, base: float, index: float) -> np.ndarray:
    """Return reflectance [silver] by following the light: in at 45 degrees, to and fro until it has left or gone."""

    def surface(outside_rad: np.ndarray) -> np.ndarray:
        inside_rad = np.arcsin(np.sin(outside_rad) / index)
        a, b = outside_rad - inside_rad, outside_rad + inside_rad
        return 0.5 * ((np.sin(a) / np.sin(b)) ** 2 + (np.tan(a) / np.tan(b)) ** 2)

    straight = ((index - 1) / (index + 1)) ** 2
    entering = 1 - surface(np.array(np.pi / 4))
    coming = entering * 10 ** (-silver / np.cos(np.arcsin(np.sin(np.pi / 4) / index))) * base
    edges = np.linspace(0, np.pi / 2, 2001)[1:]
    theta = edges - np.pi / 8000
    inside = np.sin(theta) * index < 1
    back = np.ones_like(theta)
    back[inside] = surface(np.arcsin(np.sin(theta[inside]) * index))
    lambert = 2 * np.sin(theta) * np.cos(theta) * np.pi / 4000
    kept = np.array([(lambert * back * 10 ** (-2 * s / np.cos(theta))).sum() for s in silver])
    seen, light = np.zeros_like(silver), coming
    for _ in range(200):
        seen += light * 10**-silver * (1 - straight) / index**2
        light = light * kept * base
    return seen


@cache
def drying_table(base_density: float, gelatin_share: float) -> tuple[np.ndarray, np.ndarray]:
    """Return the densities of the same steps of silver, dry and wet."""
    silver = np.concatenate([np.linspace(0, 0.3, 151), np.linspace(0.31, 3.0, 270)])
    low, high = 0.3, 1.0
    for _ in range(40):
        base = 0.5 * (low + high)
        too_dark = seen_through_gelatin(silver[:1], base, 1.53)[0] < 10**-base_density
        low, high = (base, high) if too_dark else (low, base)
    wet_index = 1.333 + gelatin_share * (1.53 - 1.333)
    dry, wet = (-np.log10(seen_through_gelatin(silver, base, n)) for n in (1.53, wet_index))
    return dry, wet


def sheet_density(blue: np.ndarray, green: np.ndarray, stock: dict, development, wet: bool) -> np.ndarray:
    """Return reflection density after developing (two agents in a bath), drying and with the surface's own light."""
    d = stock["development"]
    start, build, bromide = bath(development)
    since_s = max(0.0, development.time_s - d["emergence_share"] * d["completion_time_s"] / start)
    share_s = (1 - d["emergence_share"]) * d["completion_time_s"]
    started, built = since_s * start / share_s, since_s * build / share_s
    formed = (1 - np.exp(-d["rate"] * built)) / (1 - np.exp(-d["rate"]))
    lag = d["early_log_shift"] * (np.exp(-started / 0.22) - np.exp(-1 / 0.22))
    lag += developer_data()["speed_by_bromide"] * np.log10(bromide)
    share = developed_share(blue * 10**-lag, green * 10**-lag, stock)
    image = stock["emulsion"]["image_density"] * formed * share
    fog = d["fog_per_time"] * max(0.0, d["emergence_share"] + (1 - d["emergence_share"]) * built - 2.0)
    dense, surface = stock["base"]["density"] + fog + image, stock["base"]["surface_reflection"]
    if wet:
        dense = np.interp(dense, *drying_table(stock["base"]["density"], stock["drying"]["wet_gelatin_share"]))
        surface = stock["base"]["wet_surface_reflection"]
    return -np.log10(surface + (1 - surface) * 10**-dense)
