"""From density to what the eye sees and a screen can show: reflectance, luminance, lightness L*, screen value.

L* by CIE 15 from reflectance against a perfect diffuser. Viewing levels: ISO 3664, P1 2000 lux (critical), P2 500 lux
(practical appraisal). Screen: sRGB (IEC 61966-2-1).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.quantities import FloatArray

CRITICAL_LUX = 2000.0
PRACTICAL_LUX = 500.0
ADAPTATION_EXPONENT = 0.2  # of a change of level left to an eye that has got used to it; white by CIE 159:2004: 0.204-0.206
SAFELIGHT_TINTS = {"amber": (1.0, 0.56, 0.16), "red": (1.0, 0.27, 0.13)}


def reflectance(density: FloatArray | float) -> FloatArray:
    """Return the share of light reflected."""
    return np.asarray(10.0 ** -np.asarray(density, dtype=np.float64))


def lightness(density: FloatArray | float) -> FloatArray:
    """Return CIE L* (0-100) of a density: ``116 Y**(1/3) - 16`` above Y = 0.008856, else ``903.3 Y``."""
    y = reflectance(density)
    return np.where(y > 216.0 / 24389.0, 116.0 * np.cbrt(y) - 16.0, 24389.0 / 27.0 * y)


def srgb_encoded(linear: FloatArray | float) -> FloatArray:
    """Return the sRGB value 0-1 of linear light 0-1."""
    x = np.clip(np.asarray(linear, dtype=np.float64), 0.0, 1.0)
    return np.where(x <= 0.0031308, 12.92 * x, 1.055 * x ** (1.0 / 2.4) - 0.055)


def viewing_gain(viewing_lux: float) -> float:
    """Return how much brighter a print looks than under 500 lux: prints judged under a strong lamp seem too light."""
    return float((viewing_lux / PRACTICAL_LUX) ** ADAPTATION_EXPONENT)


def screen_values(density: NDArray[np.floating], viewing_lux: float = PRACTICAL_LUX) -> NDArray[np.uint8]:
    """Return 8-bit grey screen values of densities, white light, one table look-up.

    A perfect diffuser at 500 lux is screen white; below that level the screen darkens as the eye would find it.
    """
    levels = np.linspace(0.0, 4.0, 8193)
    table = np.round(255.0 * srgb_encoded(viewing_gain(viewing_lux) * reflectance(levels))).astype(np.uint8)
    index = (density.astype(np.float32) * np.float32(2048.0) + np.float32(0.5)).astype(np.int32)
    return np.asarray(table.take(index, mode="clip"))


def safelight_values(density: NDArray[np.floating], kind: str = "red") -> NDArray[np.uint8]:
    """Return 8-bit RGB screen values [row, col, 3] of a print seen under a safelight."""
    grey = screen_values(density, PRACTICAL_LUX).astype(np.float32)
    tint = np.array(SAFELIGHT_TINTS[kind], dtype=np.float32)
    return np.asarray(np.round(grey[..., None] * tint)).astype(np.uint8)


def reference_scale() -> FloatArray:
    """Return the densities of the reference step scale: 0.05 up to 2.05, a tenth apart as on a reflection grey scale."""
    return np.arange(0.05, 2.05 + 1e-9, 0.10)
