"""Focus by wave optics: diffraction, defocus and spherical aberration as one transfer; blur discs; a negative that buckles.

Frequencies are cycles/mm on the print. Diffraction: MTF of a perfect circular pupil in incoherent light. With the
wavefront late by ``w20 r**2 + w40 r**4`` (mm of path, r = 1 at the rim) the pupil is laid over itself, shifted (H. H. Hopkins
1955, The frequency response of a defocused optical system); many waves out the rays' own spread is taken (textbook
optics). What a certain lens passes, in the colours that print, is in sharpness.py.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from sim.lost_detail import diffraction_mtf
from sim.quantities import FloatArray

MIDDLE_WAVELENGTH_MM = 0.50e-3  # for counting waves; what is printed comes from all the light that prints
LEAST_WAVES = 0.003  # below this a lens is as good as faultless: less than 0.0002 of contrast
MOST_WAVES = 6.5  # beyond this rays and waves agree within 0.02, and the integral would need ever more points
RAYS = 200  # from the middle of the pupil to its rim


def defocus_waves(image_shift_mm: FloatArray | float, working_f_number: float, wavelength_mm: float) -> FloatArray:
    """Return W20, the wavefront error in waves at the pupil's edge: ``z / (8 Nw**2 wavelength)``."""
    return np.asarray(image_shift_mm) / (8.0 * working_f_number**2 * wavelength_mm)


def blur_disc_mm(image_shift_mm: float, working_f_number: float) -> float:
    """Return the geometric blur disc on the print for a focus error on the easel side: ``|z| / Nw``."""
    return abs(image_shift_mm) / working_f_number


def traced_transfer(
    frequency_lp_mm: FloatArray, f_number: float, wavelengths_mm: tuple[float, ...], w20_mm: float, w40_mm: float
) -> FloatArray:
    """Return the mean transfer over wavelengths, of the same shape as the frequencies (cycles/mm on the print).

    ``f_number`` is the working one in the direction asked for. Negative where contrast is reversed.
    """
    frequency = np.atleast_1d(np.asarray(frequency_lp_mm, dtype=np.float64))
    waves = _largest_path_mm(w20_mm, w40_mm) / min(wavelengths_mm)
    if waves < LEAST_WAVES or waves > MOST_WAVES:
        out = np.mean([diffraction_mtf(frequency, f_number, wavelength) for wavelength in wavelengths_mm], axis=0)
        out = out if waves < LEAST_WAVES else out * _by_rays(frequency, f_number, w20_mm, w40_mm)
    else:
        out = _by_waves(frequency, f_number, wavelengths_mm, w20_mm, w40_mm)
    return out.reshape(np.shape(frequency_lp_mm))


@lru_cache(maxsize=64)
def _points(count: int) -> tuple[FloatArray, FloatArray]:
    """Return points from -1 to 1 and their weights for an integral (Gauss and Legendre)."""
    return np.polynomial.legendre.leggauss(count)


def _largest_path_mm(w20_mm: float, w40_mm: float) -> float:
    """Return the furthest that the wavefront strays between two points of the pupil."""
    turning = np.clip(-w20_mm / (2.0 * w40_mm), 0.0, 1.0) if w40_mm else 0.0
    paths = [0.0, w20_mm + w40_mm, w20_mm * turning + w40_mm * turning**2]
    return float(max(paths) - min(paths))


def _by_waves(
    frequency: FloatArray, f_number: float, wavelengths_mm: tuple[float, ...], w20_mm: float, w40_mm: float
) -> FloatArray:
    """Return the pupil's overlap with itself, added up over a quarter of it: the other three are alike.

    With the pupils shifted apart by 2s along x, x runs from 0 to ``cos(phi) - s`` at y = sin(phi), and the two wavefronts
    differ by ``4 x s w20 + 8 x s (x**2 + y**2 + s**2) w40``.
    """
    wavelength = np.array(wavelengths_mm)[:, None]
    s = np.clip(frequency[None, :] * wavelength * f_number, 0.0, 1.0)[..., None, None]
    waves = _largest_path_mm(w20_mm, w40_mm) / min(wavelengths_mm)
    across, across_weight = _points(12 + 2 * int(waves))
    along, along_weight = _points(10 + 5 * int(np.ceil(waves)))
    limit = np.arccos(s)
    phi = 0.5 * limit * (across[:, None] + 1.0)
    half_width = 0.5 * (np.cos(phi) - s)
    x = half_width * (along + 1.0)
    path = 4.0 * x * s * (w20_mm + 2.0 * w40_mm * (x**2 + np.sin(phi) ** 2 + s**2))
    inner = np.cos(2.0 * np.pi / wavelength[..., None, None] * path) @ along_weight * half_width[..., 0]
    outer = (inner * np.cos(phi[..., 0])) @ across_weight * 0.5 * limit[..., 0, 0]
    return np.asarray(4.0 / np.pi * outer.mean(axis=0))


def _by_rays(frequency: FloatArray, f_number: float, w20_mm: float, w40_mm: float) -> FloatArray:
    """Return the transfer of the spot that rays make: each zone of the pupil a ring of radius ``2 Nw dW/dr``."""
    from scipy.special import j0

    points, weight = _points(RAYS)
    r = 0.5 * (points + 1.0)
    ring_mm = 2.0 * f_number * (2.0 * w20_mm * r + 4.0 * w40_mm * r**3)
    return np.asarray(j0(2.0 * np.pi * frequency[:, None] * ring_mm) @ (weight * r))


def geometric_transfer(frequency_lp_mm: FloatArray, disc_mm: float) -> FloatArray:
    """Return the transfer of a uniform blur disc: ``2 J1(pi nu c) / (pi nu c)``."""
    from scipy.special import j1

    x = np.pi * np.asarray(frequency_lp_mm, dtype=np.float64) * disc_mm
    safe = np.where(x < 1e-9, 1.0, x)
    return np.where(x < 1e-9, 1.0, 2.0 * j1(safe) / safe)


def field_f_number(working_f_number: float, field_angle_rad: float) -> float:
    """Return the working f-number off axis as one round opening would have it: ``Nw / cos**2``.

    About the mean of the radial (1/cos**3) and tangential (1/cos) directions, which ``oblique_f_numbers`` tells apart.
    """
    return float(working_f_number / np.cos(field_angle_rad) ** 2)


def oblique_f_numbers(working_f_number: float, field_angle_rad: float) -> tuple[float, float]:
    """Return the working f-numbers off axis that limit detail across the radius and along it: Nw/cos**3 and Nw/cos.

    From off axis the pupil looks narrower one way, by the cosine, and is further away both ways, by the cosine; the paper
    leans away from the beam by another cosine one way. Source: textbook optics.
    """
    cosine = float(np.cos(field_angle_rad))
    return working_f_number / cosine**3, working_f_number / cosine


def popped_mm(exposure_time_s: float, amplitude_mm: float, time_constant_s: float) -> float:
    """Return the mean rise of a negative that starts cold and buckles in the warmth of the lamp, over an exposure.

    ``z(t) = z0 (1 - exp(-t/tau))``, averaged from 0 to t. Amplitude and time constant: assumption (motion-picture gates
    show 0.5 mm and more in far stronger light, F. J. Kolb, JSMPE 53, 1949).
    """
    x = exposure_time_s / time_constant_s
    mean_rise = 1.0 - (-np.expm1(-x)) / x if x > 1e-9 else 0.0
    return float(amplitude_mm * mean_rise)
