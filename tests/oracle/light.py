"""Light at the easel, pixel by pixel and wavelength by wavelength: the slow way, from equations and data files alone.

Nothing of the product's physics is imported. Numbers of heads, lenses and filters come from the same TOML files that the
product reads; shapes that stand in no file (dyes, stain, eye) are written down here a second time, on purpose.
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

import numpy as np

import sim

from .lamp import Wire, glow, hot_k, switched

SIM = Path(sim.__file__).parent  # only to find the files of the product that is tested
WAVELENGTH_NM = np.arange(380, 621, 5).astype(float)  # 49 wavelengths
STEP_NM = 5.0

# CIE 1924 photopic efficiency, 380 to 780 nm every 5 nm
V = np.array([
    3.9e-5, 6.4e-5, 1.2e-4, 2.17e-4, 3.96e-4, 6.4e-4, 1.21e-3, 2.18e-3, 4.0e-3, 7.3e-3, 0.0116, 0.01684, 0.023, 0.0298,
    0.038, 0.048, 0.060, 0.0739, 0.09098, 0.1126, 0.13902, 0.1693, 0.20802, 0.2586, 0.323, 0.4073, 0.503, 0.6082, 0.710,
    0.7932, 0.862, 0.91485, 0.954, 0.9803, 0.99495, 1.0, 0.995, 0.9786, 0.952, 0.9154, 0.870, 0.8163, 0.757, 0.6949,
    0.631, 0.5668, 0.503, 0.4412, 0.381, 0.321, 0.265, 0.217, 0.175, 0.1382, 0.107, 0.0816, 0.061, 0.04458, 0.032,
    0.0232, 0.017, 0.01192, 8.21e-3, 5.723e-3, 4.102e-3, 2.929e-3, 2.091e-3, 1.484e-3, 1.047e-3, 7.4e-4, 5.2e-4,
    3.61e-4, 2.49e-4, 1.72e-4, 1.2e-4, 8.5e-5, 6e-5, 4.2e-5, 3e-5, 2.1e-5, 1.5e-5,
])  # fmt: skip

STAIN_NM = np.array([380.0, 400, 420, 440, 470, 500, 520, 545, 570, 600, 620])
STAIN = np.array([1.06, 1.05, 1.03, 1.00, 0.84, 0.60, 0.42, 0.21, 0.10, 0.05, 0.03])


@cache
def equipment() -> dict[str, dict[str, dict]]:
    """Return heads and lenses as the file has them, by kind and name."""
    data = tomllib.loads((SIM / "enlarger" / "equipment.toml").read_text())
    return {kind: {entry["name"]: entry for entry in data[kind]} for kind in ("head", "lens")}


@cache
def burning(name: str, share: float) -> dict:
    """Return a head as it burns at a share of its rated voltage: settled temperature of the wire, and light by it."""
    head = dict(equipment()["head"][name])
    if "temperature_k" in head:
        head["wire"] = Wire(head["temperature_k"], head["rated_volts"], head["rated_watts"])
        head["switched"] = switched(head["wire"], share)
        head["settled_k"] = head["switched"].rise_k[-1]
        eye_nm = np.arange(380.0, 780.5, STEP_NM)
        now, rated = (V @ glow(eye_nm, np.array(t))[0] for t in (head["settled_k"], hot_k(head["temperature_k"])))
        head["gate_luminance_cd_m2"] *= now / rated
    return head


def seconds_of_light(head: dict, time_s: float, light_s: float | None) -> np.ndarray:
    """Return seconds of full light at the 49 wavelengths, for a time switched on or for light as the eye counts it."""
    if "switched" not in head:
        return np.full(49, max(0.0, time_s - head["dead_time_s"]) if light_s is None else light_s)
    eye_nm, course = np.arange(380.0, 780.5, STEP_NM), head["switched"]
    if light_s is not None:
        low, high = 0.0, light_s + 2.0
        for _ in range(40):
            time_s = 0.5 * (low + high)
            got = float(sum(course.seconds(time_s, eye_nm, V))[0])
            low, high = (time_s, high) if got < light_s else (low, time_s)
    return sum(course.seconds(time_s, WAVELENGTH_NM))


def share_come(head: dict, moment_s: float, time_s: float) -> float:
    """Return the share of an exposure's light, as the eye counts it, that has come by a moment."""
    if "switched" not in head:
        return moment_s / time_s
    eye_nm, course = np.arange(380.0, 780.5, STEP_NM), head["switched"]
    whole = float(sum(course.seconds(time_s, eye_nm, V))[0])
    return 1.0 if moment_s >= time_s else float(course.seconds(moment_s, eye_nm, V)[0][0]) / whole


@cache
def graded_filters() -> dict[str, dict]:
    """Return the graded set as the file has it, by name."""
    data = tomllib.loads((SIM / "enlarger" / "filters.toml").read_text())
    return {entry["name"]: entry for entry in data["filters"]}


def lamp_power(head: dict, nm: np.ndarray) -> np.ndarray:
    """Return relative power: Planck's law, or Gaussian bands whose area is their energy."""
    if "temperature_k" in head:
        return glow(nm, np.array(head["settled_k"]))[0]
    total = np.zeros_like(nm)
    for peak, width, energy in head["bands"]:
        total += energy / width * 2.0 ** (-4.0 * ((nm - peak) / width) ** 2)  # half height at half the full width
    return total


def lamp_irradiance_per_lux(head: dict) -> np.ndarray:
    """Return W/m2/nm on the 49 wavelengths when the unfiltered lamp gives 1 lux."""
    nm = np.arange(380.0, 780.5, STEP_NM)
    return lamp_power(head, WAVELENGTH_NM) / (683.0 * STEP_NM * (V * lamp_power(head, nm)).sum())


def filter_density(setting) -> np.ndarray:
    """Return the spectral density of a filter setting: yellow, magenta, neutral."""
    if setting.graded is None:
        yellow, magenta, neutral, leak = setting.yellow, setting.magenta, 0.0, 0.075
    else:
        entry = graded_filters()[setting.graded]
        yellow, magenta, neutral, leak = entry["yellow"], entry["magenta"], entry["neutral"], 0.0
    nm = WAVELENGTH_NM
    yellow_dye = 1 / (1 + np.exp((nm - 482) / 12.5))
    band = 1 / (1 + np.exp((499 - nm) / 15)) / (1 + np.exp((nm - 600) / 12))
    return yellow * yellow_dye + magenta * (leak + (1 - leak) * band) + neutral


def stain_relative(nm: np.ndarray) -> np.ndarray:
    """Return stain density relative to 440 nm: a monotone cubic through the nodes (Fritsch and Butland's slopes)."""
    h, rise = np.diff(STAIN_NM), np.diff(STAIN)
    secant = rise / h
    slope = np.zeros(len(STAIN))
    for k in range(1, len(STAIN) - 1):
        a, b = 2 * h[k] + h[k - 1], h[k] + 2 * h[k - 1]
        slope[k] = (a + b) / (a / secant[k - 1] + b / secant[k])
    slope[0] = ((2 * h[0] + h[1]) * secant[0] - h[0] * secant[1]) / (h[0] + h[1])
    slope[-1] = ((2 * h[-1] + h[-2]) * secant[-1] - h[-1] * secant[-2]) / (h[-1] + h[-2])
    slope[[0, -1]] = np.minimum(slope[[0, -1]], 0.0)  # the stain never rises with wavelength
    k = np.clip(np.searchsorted(STAIN_NM, nm, side="right") - 1, 0, len(h) - 1)
    t = (nm - STAIN_NM[k]) / h[k]
    return (
        (2 * t**3 - 3 * t**2 + 1) * STAIN[k] + (t**3 - 2 * t**2 + t) * h[k] * slope[k]
        + (3 * t**2 - 2 * t**3) * STAIN[k + 1] + (t**3 - t**2) * h[k] * slope[k + 1]
    )  # fmt: skip


def silver_seen(silver: np.ndarray, exponent: float, caught: float) -> np.ndarray:
    """Return the density that silver shows in partly directed light, the quotient fading to 1 at density 0."""
    if caught == 1.0:
        return silver
    d = np.maximum(silver, 1e-9)
    directed = -np.log10(caught * 10**-d + (1 - caught) * 10 ** (-exponent * d))
    return d * (1 + (directed / d - 1) * (1 - np.exp(-((d / 0.16) ** 2))))


def film_transmittance(silver: np.ndarray, negative, caught: float) -> np.ndarray:
    """Return transmittance [..., 49] of silver, stain and base; the grain is as coarse as gamma made it."""
    exponent = 1 + 1.59 * (1 - np.exp(-negative.gamma / 1.58))
    seen = silver_seen(silver, exponent, caught)[..., None] + negative.base_density
    return 10.0 ** -(seen + negative.stain_share * silver[..., None] * stain_relative(WAVELENGTH_NM))


class Column:
    """Where lens and paper stand: magnification from the height, exact aperture, level and fall-off."""

    def __init__(self, settings, f_number: float):
        self.settings = settings
        self.head, self.lens = burning(settings.head, settings.lamp_voltage_share), equipment()["lens"][settings.lens]
        f = self.lens["focal_mm"]
        roots = np.roots([1.0, 2.0 - settings.height_mm / f, 1.0])  # S/f = 2 + m + 1/m
        self.magnification = float(max(roots.real))
        self.scale = 1.0 if settings.contact else self.magnification
        self.v_mm = f * (1 + self.magnification)
        self.f_number = 2.0 ** (round(2 * np.log2(f_number)) / 2)  # engraved marks stand for powers of sqrt 2
        self.pupil_mm = f / self.f_number
        self.flare = 0.0 if settings.contact else self.lens["flare_share"]
        self.caught = 1.0 if settings.contact else self._caught()

    def _caught(self) -> float:
        """Return the share of scattered light that the lens catches: both cones against the width of the scatter."""
        half_angle_deg = self.head["light_half_angle_deg"]
        if half_angle_deg == 90.0:
            return 1.0
        lens = self.pupil_mm / 2 / (self.lens["focal_mm"] * (1 + 1 / self.magnification))
        cones = np.tan(np.radians(half_angle_deg)) ** 2 + lens**2
        return float(cones / (cones + 0.28**2))

    def level_lux(self) -> float:
        """Return lux on the axis, empty gate; in contact the lens is a lamp as wide as its pupil."""
        n = self.v_mm / self.pupil_mm if self.settings.contact else self.f_number * (1 + self.magnification)
        return np.pi * self.head["gate_luminance_cd_m2"] * self.lens["transmittance"] / (4 * n * n)

    def fall_off(self, radius_mm: np.ndarray) -> np.ndarray:
        """Return relative light at a distance from the axis: cosine law, and the pupil clipped by the barrel."""
        light = np.cos(np.arctan(radius_mm / self.v_mm)) ** 4
        if self.settings.contact:
            return light
        rim = self.lens["focal_mm"] / self.lens["widest_f_number"] / 2
        shift = self.lens["rim_distance_mm"] * radius_mm / self.v_mm
        return light * share_of_disc_inside(self.pupil_mm / 2, rim, shift)


def share_of_disc_inside(r: float, rim: float, shift: np.ndarray) -> np.ndarray:
    """Return the share of a disc of radius r inside a disc of radius rim whose centre is shifted, by adding strips."""
    y = (np.arange(4000) + 0.5) / 4000 * 2 * r - r
    half = np.sqrt(r * r - y * y)
    rim_half = np.sqrt(np.maximum(rim * rim - y * y, 0.0))
    out = np.empty(shift.shape)
    for index, s in np.ndenumerate(shift):
        width = np.minimum(half, rim_half - s) - np.maximum(-half, -rim_half - s)
        out[index] = np.maximum(width, 0.0).sum() / (2 * half).sum()
    return out


def share_beside_edge(distance_mm: np.ndarray, penumbra_mm: float) -> np.ndarray:
    """Return how much of a round pupil an edge covers at a distance inside its shadow line, by adding strips."""
    y = (np.arange(2000) + 0.5) / 2000 * 2 - 1
    chord = np.sqrt(1 - y * y)
    covered = np.concatenate([[0.0], np.cumsum(chord)]) / chord.sum()
    return np.interp(2 * distance_mm / penumbra_mm, np.linspace(-1, 1, 2001), covered)
