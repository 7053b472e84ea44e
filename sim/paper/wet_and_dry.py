"""Why a print dries darker in the lights: the same silver in swollen and in shrunken gelatin.

Light that has come back from the base does not all leave: the gelatin's surface throws a part of it back inside, it passes
the silver again, and again. Dry gelatin (index 1.53) keeps far more light in than gelatin full of water, so the same
silver stops more of it: thin silver much more, dense silver hardly, for what is dark once needs no second pass. Law: F. C.
Williams and F. R. Clapper, Multiple internal reflections in photographic color prints, J. Opt. Soc. Am. 43 (1953)
595 (light from 45 degrees, seen straight). Nothing is fitted to a dry-down.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

GELATIN_INDEX, WATER_INDEX = 1.53, 1.333
DEEPEST = 6.0  # silver density of one pass beyond which nothing comes back
SILVER_STEPS, ANGLES = 1201, 400
LAMP_RAD = np.pi / 4


def swollen_index(gelatin_share: float) -> float:
    """Return the refractive index of wet gelatin of which a share by volume is gelatin (1 = dry), mixed by volume."""
    return WATER_INDEX + (GELATIN_INDEX - WATER_INDEX) * gelatin_share


def fresnel(angle_rad: FloatArray | float, index: float) -> FloatArray:
    """Return the share of unpolarised light that a surface reflects, seen from outside at an angle to its normal."""
    outside = np.cos(angle_rad)
    inside = np.sqrt(index**2 - np.sin(angle_rad) ** 2)
    across = ((outside - inside) / (outside + inside)) ** 2
    along = ((index**2 * outside - inside) / (index**2 * outside + inside)) ** 2
    return np.asarray(0.5 * (across + along))


@lru_cache(maxsize=16)
def _inside_angles(index: float) -> tuple[FloatArray, FloatArray]:
    """Return 1/cos of angles inside the gelatin, and the share of diffuse light each sends back at the surface (sum: all)."""
    edges = np.linspace(0.0, np.pi / 2, ANGLES + 1)
    angle = 0.5 * (edges[1:] + edges[:-1])
    sine = index * np.sin(angle)
    reflected = np.where(sine < 1.0, fresnel(np.arcsin(np.minimum(sine, 1.0)), index), 1.0)
    weight = np.sin(edges[1:]) ** 2 - np.sin(edges[:-1]) ** 2  # Lambert's law
    return 1.0 / np.cos(angle), reflected * weight


def reflected_density(silver: FloatArray, base_reflectance: float, index: float) -> FloatArray:
    """Return reflection density, surface glare left out, of silver densities (one straight pass) on a base in gelatin."""
    silver = np.asarray(silver, dtype=np.float64)
    slant = 1.0 / np.sqrt(1.0 - (np.sin(LAMP_RAD) / index) ** 2)
    once = (1.0 - fresnel(LAMP_RAD, index)) * (1.0 - fresnel(0.0, index)) / index**2 * 10.0 ** (-(1.0 + slant) * silver)
    path, share = _inside_angles(index)
    again = 10.0 ** (-2.0 * silver[..., None] * path) @ share
    return np.asarray(-np.log10(once * base_reflectance / (1.0 - base_reflectance * again)))


def base_reflectance_of(base_density: float) -> float:
    """Return what the bare base under dry gelatin must send back for a density of paper white (0 to 0.5)."""
    share = _inside_angles(GELATIN_INDEX)[1]
    once = (1.0 - fresnel(LAMP_RAD, GELATIN_INDEX)) * (1.0 - fresnel(0.0, GELATIN_INDEX)) / GELATIN_INDEX**2
    seen = 10.0**-base_density
    return min(float(seen / (once + seen * share.sum())), 1.0)


@dataclass(frozen=True)
class Swelling:
    """A paper as it goes from the wash to dry: density of its dry base, and the gelatin's share of the wet layer."""

    base_density: float
    gelatin_share: float

    def wet(self, dry: FloatArray) -> FloatArray:
        """Return the density that a wet sheet shows where the dry one will show ``dry``, surface glare left out of both."""
        dry_steps, wet_steps = _steps(self.base_density, self.gelatin_share)
        dry = np.asarray(dry, dtype=np.float64)
        beyond = np.maximum(dry - dry_steps[-1], 0.0)
        return np.asarray(np.interp(dry, dry_steps, wet_steps) + beyond)


@lru_cache(maxsize=32)
def _steps(base_density: float, gelatin_share: float) -> tuple[FloatArray, FloatArray]:
    """Return what the same steps of silver show dry and wet."""
    silver = DEEPEST * np.linspace(0.0, 1.0, SILVER_STEPS) ** 2
    base = base_reflectance_of(base_density)
    dry, wet = (reflected_density(silver, base, index) for index in (GELATIN_INDEX, swollen_index(gelatin_share)))
    rest = base_density - dry[0]  # a base whiter than any can be
    return dry + rest, wet + rest
