"""What a lens passes, the slow way: the pupil laid over itself point by point, at every wavelength, from the data files.

Nothing of the product's physics is imported.
"""

from __future__ import annotations

import numpy as np

from .light import WAVELENGTH_NM, burning, equipment, filter_density, lamp_power

GREEN_COUNTS = 1.7  # against blue, at middle tones of usual variable-contrast paper
FOCUSED_BY_EYE = 1.15  # an aberrated lens is brought to most contrast, 1.15 of its error at the rim nearer


def light_that_prints(head: str, setting) -> np.ndarray:
    """Return the shares [49] in which wavelengths print: lamp, filter, and usual paper's blue and green."""
    nm = WAVELENGTH_NM
    blue = 1 / (1 + np.exp((395 - nm) / 8)) / (1 + np.exp((nm - 486) / 7.5))
    green = np.exp(-((nm - 540) ** 2) / (2 * 32**2)) / (1 + np.exp((nm - 573) / 3.6)) * (1 + np.exp((540 - 573) / 3.6))
    lamp = lamp_power(burning(head, 1.0), nm)
    weight = lamp * 10 ** -filter_density(setting) * (blue + GREEN_COUNTS * green)
    return weight / weight.sum()


def overlap(path_mm, s: float, wavelength_mm: float, steps: int = 241) -> complex:
    """Return the pupil's overlap with itself shifted apart by 2s along x, each point late by its path."""
    x, y = np.meshgrid(*[(np.arange(steps) + 0.5) / steps * 2 - 1] * 2)
    both = ((x + s) ** 2 + y**2 <= 1) & ((x - s) ** 2 + y**2 <= 1)
    late = path_mm(x + s, y) - path_mm(x - s, y)
    wave = np.exp(2j * np.pi * late[both] / wavelength_mm)
    return complex(wave.sum() / (x**2 + y**2 <= 1).sum())


def contrast(
    frequency: float, head: str, lens: str, setting, f_number: float, magnification: float, focus_mm: float = 0.0,
    off_axis_mm: float = 0.0, along: str = "radial",
) -> float:  # fmt: skip
    """Return the contrast at cycles/mm on the print; ``focus_mm`` is the negative's distance from sharp focus.

    ``along`` says which way the detail runs from light to dark: along the radius from the axis or across it.
    """
    glass = equipment()["lens"][lens]
    n = 2.0 ** (round(2 * np.log2(f_number)) / 2)
    widest = glass["widest_f_number"]
    late = glass["spherical_waves"] * 0.5e-3 * (widest / n) ** 4
    v_mm = glass["focal_mm"] * (1 + magnification)
    cosine = np.cos(np.arctan(off_axis_mm / v_mm))
    narrow = cosine**-3 if along == "radial" else cosine**-1
    split = glass["astigmatism_mm"] * (2 * off_axis_mm / magnification / glass["covers_diagonal_mm"]) ** 2
    at_easel_mm = magnification**2 * (focus_mm + (split if along == "radial" else -split))
    working = n * (1 + magnification)
    half_angle = 1 / (2 * working)  # of the cone at the paper: a shift of z smears to a disc z / working wide

    def path_mm(x, y):
        r2 = x**2 + y**2
        return late * (r2**2 - FOCUSED_BY_EYE * r2) + at_easel_mm * half_angle * half_angle / narrow / 2 * r2

    total = 0j
    for nm, share in zip(WAVELENGTH_NM, light_that_prints(head, setting), strict=True):
        s = frequency * nm * 1e-6 * working * narrow
        if share > 1e-5 and s < 1:
            total += share * overlap(path_mm, s, nm * 1e-6)
    return float(total.real)
