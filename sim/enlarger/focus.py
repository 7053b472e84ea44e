"""Sharpness: diffraction, defocus, negative popping and tilt, as one optical transfer function.

Frequencies are cycles/mm on the print. Diffraction: MTF of a perfect circular pupil in incoherent light. Defocus: the
exact integral for a defocused pupil (H. H. Hopkins 1955, The frequency response of a defocused optical system). Blur
acts on light, before the paper. One wavelength, 0.50 um, stands for the paper's 0.45-0.55 um (error in MTF below 4 %).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

PRINTING_WAVELENGTH_MM = 0.50e-3
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(160)


def diffraction_mtf(frequency_lp_mm: FloatArray, working_f_number: float, wavelength_mm: float) -> FloatArray:
    """Return the MTF of a perfect lens: ``(2/pi)(acos s - s sqrt(1-s**2))``, s = frequency * wavelength * Nw."""
    s = np.clip(np.asarray(frequency_lp_mm, dtype=np.float64) * wavelength_mm * working_f_number, 0.0, 1.0)
    return np.asarray(2.0 / np.pi * (np.arccos(s) - s * np.sqrt(1.0 - s * s)))


def defocus_waves(image_shift_mm: FloatArray | float, working_f_number: float, wavelength_mm: float) -> FloatArray:
    """Return W20, the wavefront error in waves at the pupil's edge: ``z / (8 Nw**2 wavelength)``."""
    return np.asarray(image_shift_mm) / (8.0 * working_f_number**2 * wavelength_mm)


def blur_disc_mm(image_shift_mm: float, working_f_number: float) -> float:
    """Return the geometric blur disc on the print for a focus error on the easel side: ``|z| / Nw``."""
    return abs(image_shift_mm) / working_f_number


def optical_transfer(
    frequency_lp_mm: FloatArray, working_f_number: float, image_shift_mm: float = 0.0,
    wavelength_mm: float = PRINTING_WAVELENGTH_MM,
) -> FloatArray:  # fmt: skip
    """Return the transfer function of diffraction and defocus together (negative where contrast is reversed)."""
    frequency = np.asarray(frequency_lp_mm, dtype=np.float64)
    s = np.clip(frequency * wavelength_mm * working_f_number, 0.0, 1.0)
    waves = abs(float(defocus_waves(image_shift_mm, working_f_number, wavelength_mm)))
    if waves < 1e-6:
        return diffraction_mtf(frequency, working_f_number, wavelength_mm)
    if waves > 40.0:  # far out of focus the geometric disc is exact and the integral would need endless nodes
        return geometric_transfer(frequency, blur_disc_mm(image_shift_mm, working_f_number))
    # with y = sin(phi) the square root disappears: integral over phi from 0 to acos(s)
    limit = np.arccos(s)
    phi = 0.5 * limit[..., None] * (_NODES + 1.0)
    # (4/(pi a)) sin(a x) = (4/pi) x sinc(a x / pi): finite when a goes to 0
    x = np.cos(phi) - s[..., None]
    a = (8.0 * np.pi * waves * s)[..., None]
    inner = 4.0 / np.pi * x * np.sinc(a * x / np.pi) * np.cos(phi)
    return np.asarray((inner * _WEIGHTS).sum(axis=-1) * 0.5 * limit)


def geometric_transfer(frequency_lp_mm: FloatArray, disc_mm: float) -> FloatArray:
    """Return the transfer of a uniform blur disc: ``2 J1(pi nu c) / (pi nu c)``."""
    from scipy.special import j1

    x = np.pi * np.asarray(frequency_lp_mm, dtype=np.float64) * disc_mm
    safe = np.where(x < 1e-9, 1.0, x)
    return np.where(x < 1e-9, 1.0, 2.0 * j1(safe) / safe)


def field_f_number(working_f_number: float, field_angle_rad: float) -> float:
    """Return the working f-number off axis: the pupil looks narrower one way and further away both ways.

    Mean of the radial (1/cos**3) and tangential (1/cos) directions, as one circular pupil: ``Nw / cos**2``.
    """
    return float(working_f_number / np.cos(field_angle_rad) ** 2)


def popped_mm(exposure_time_s: float, amplitude_mm: float, time_constant_s: float) -> float:
    """Return the mean rise of a negative that starts cold and buckles in the warmth of the lamp, over an exposure.

    ``z(t) = z0 (1 - exp(-t/tau))``, averaged from 0 to t. Amplitude and time constant: assumption (motion-picture gates
    show 0.5 mm and more in far stronger light, F. J. Kolb, JSMPE 53, 1949).
    """
    x = exposure_time_s / time_constant_s
    mean_rise = 1.0 - (-np.expm1(-x)) / x if x > 1e-9 else 0.0
    return float(amplitude_mm * mean_rise)


@lru_cache(maxsize=64)
def transfer_table(working_f_number: float, image_shift_mm: float, highest_lp_mm: float) -> FloatArray:
    """Return the transfer function on 513 frequencies from 0 to the highest; kept, since many pixels ask for it."""
    return optical_transfer(np.linspace(0.0, highest_lp_mm, 513), working_f_number, image_shift_mm)


def blurred(
    light: NDArray[np.float32], px_per_mm: float, working_f_number: float, image_shift_mm: float
) -> NDArray[np.float32]:
    """Return a picture of light [row, col] after the lens, by multiplying its spectrum with the transfer function.

    The picture is continued as a mirror image over its edges, so that no false border darkens it.
    """
    from scipy import fft

    rows, cols = light.shape
    pad = int(min(max(8, np.ceil(2.0 * blur_disc_mm(image_shift_mm, working_f_number) * px_per_mm)), min(light.shape)))
    padded = np.pad(light, pad, mode="symmetric")
    shape = tuple(fft.next_fast_len(n, real=True) for n in padded.shape)
    spectrum = fft.rfft2(padded, shape, workers=2)
    fy = fft.fftfreq(shape[0], 1.0 / px_per_mm).astype(np.float32)
    fx = fft.rfftfreq(shape[1], 1.0 / px_per_mm).astype(np.float32)
    highest = px_per_mm * 0.7072  # the corner of the frequency square
    table = transfer_table(working_f_number, image_shift_mm, highest).astype(np.float32)
    index = np.hypot(fy[:, None], fx[None, :]) * np.float32(512.0 / highest)
    low = np.minimum(index.astype(np.int32), 511)
    part = index - low
    spectrum *= table[low] * (1 - part) + table[low + 1] * part
    out = fft.irfft2(spectrum, shape, workers=2, overwrite_x=True)[pad : pad + rows, pad : pad + cols]
    return np.maximum(out, 0.0).astype(np.float32)
