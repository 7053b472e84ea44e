"""Why a print dries darker in the lights: the same silver in swollen and in shrunken gelatin.

Light that has come back from the base does not all leave: the gelatin's surface throws a part of it back inside, it passes
the silver again, and again. Dry gelatin (index 1.53) keeps far more light in than gelatin full of water, so the same
silver stops more of it: thin silver much more, dense silver hardly, for what is dark once needs no second pass. Law: F. C.
Williams and F. R. Clapper, Multiple internal reflections in photographic color prints, J. Opt. Soc. Am. 43 (1953)
595 (light from 45 degrees, seen straight). Nothing is fitted to a dry-down.

A fibre base has its white in gelatin that swells along. The white of a resin-coated one lies in polyethylene, which takes up no
water: what it scatters flatly is thrown back where polyethylene meets the wet gelatin (Fresnel's law), and never passes the
silver. So a wet resin-coated print keeps as much light in as a dry one, though less of it sees the silver: it dries down less.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.quantities import FloatArray

GELATIN_INDEX, WATER_INDEX = 1.53, 1.333
POLYETHYLENE_INDEX = 1.51  # of low density, 1.51 to 1.52 (handbooks)
DEEPEST = 6.0  # silver density of one pass beyond which nothing comes back
SILVER_STEPS, ANGLES = 1201, 400
LAMP_RAD = np.pi / 4


def swollen_index(gelatin_share: float) -> float:
    """Return the refractive index of wet gelatin of which a share by volume is gelatin (1 = dry), mixed by volume."""
    return WATER_INDEX + (GELATIN_INDEX - WATER_INDEX) * gelatin_share


def fresnel(angle_rad: FloatArray | float, index: float) -> FloatArray:
    """Return the share of unpolarised light that a surface reflects, seen from outside at an angle to its normal."""
    return _thrown_back(1.0, index, np.sin(angle_rad))


def _thrown_back(here: float, there: float, sine: FloatArray | float) -> FloatArray:
    """Return the share of unpolarised light thrown back on its way from one index into another (Fresnel's law).

    ``sine`` is index times sine of the angle, the same on both sides and in every layer (Snell's law); at and beyond either
    index everything is thrown back.
    """
    kept = np.minimum(sine, min(here, there) * (1.0 - 1e-12))
    near, far = np.sqrt(here**2 - kept**2), np.sqrt(there**2 - kept**2)
    across = ((near - far) / (near + far)) ** 2
    along = ((there**2 * near - here**2 * far) / (there**2 * near + here**2 * far)) ** 2
    return np.asarray(np.where(np.asarray(sine) < min(here, there), 0.5 * (across + along), 1.0))


@dataclass(frozen=True)
class _WayBack:
    """Light that a base sends up, by its angle in the base: per angle its weight and what becomes of it.

    ``path`` is the way through the silver over the straight one; ``below`` is thrown back before it reaches the gelatin,
    ``above`` at the gelatin's surface.
    """

    path: FloatArray
    weight: FloatArray
    below: FloatArray
    above: FloatArray

    def share(self, silver: FloatArray) -> FloatArray:
        """Return the share of diffuse light that comes back to the base under silver densities (one straight pass)."""
        passed = 10.0 ** (-2.0 * silver[..., None] * self.path) * self.above
        kept = self.below + (1.0 - self.below) ** 2 * passed / np.maximum(1.0 - self.below * passed, 1e-12)
        return np.asarray(kept @ self.weight)


@lru_cache(maxsize=16)
def _way_back(index: float, base_index: float) -> _WayBack:
    """Return the way of light from a base of one index through gelatin of another, at even steps of angle in the base."""
    edges = np.linspace(0.0, np.pi / 2, ANGLES + 1)
    sine = base_index * np.sin(0.5 * (edges[1:] + edges[:-1]))
    inside = np.minimum(sine / index, 1.0 - 1e-9)
    weight = np.sin(edges[1:]) ** 2 - np.sin(edges[:-1]) ** 2  # Lambert's law
    return _WayBack(
        1.0 / np.sqrt(1.0 - inside**2), weight, _thrown_back(base_index, index, sine), _thrown_back(index, 1.0, sine)
    )


def _once(index: float, base_index: float) -> float:
    """Return what clear gelatin lets in at 45 degrees and out straight, of light that a white base scatters once."""
    sine = float(np.sin(LAMP_RAD))
    into = (1.0 - _thrown_back(1.0, index, sine)) * (1.0 - _thrown_back(index, base_index, sine))
    out = (1.0 - _thrown_back(base_index, index, 0.0)) * (1.0 - _thrown_back(index, 1.0, 0.0))
    return float(into * out) / base_index**2


def reflected_density(
    silver: FloatArray, base_reflectance: float, index: float, base_index: float | None = None
) -> FloatArray:
    """Return reflection density, surface glare left out, of silver densities (one straight pass) on a base under gelatin.

    ``index`` is the gelatin's, ``base_index`` that of what the base's white lies in (None: in the same gelatin).
    """
    silver = np.asarray(silver, dtype=np.float64)
    base_index = index if base_index is None else base_index
    slant = 1.0 / np.sqrt(1.0 - (np.sin(LAMP_RAD) / index) ** 2)
    once = _once(index, base_index) * 10.0 ** (-(1.0 + slant) * silver)
    again = _way_back(index, base_index).share(silver)
    return np.asarray(-np.log10(once * base_reflectance / (1.0 - base_reflectance * again)))


def base_reflectance_of(base_density: float, base_index: float = GELATIN_INDEX) -> float:
    """Return what the bare base under dry gelatin must send back for a density of paper white (0 to 0.5)."""
    share = float(_way_back(GELATIN_INDEX, base_index).share(np.zeros(1))[0])
    seen = 10.0**-base_density
    return min(seen / (_once(GELATIN_INDEX, base_index) + seen * share), 1.0)


@dataclass(frozen=True)
class Swelling:
    """A paper as it goes from the wash to dry: density of its dry base, and the gelatin's share of the wet layer.

    ``coated`` tells whether the base's white lies in polyethylene (resin-coated) instead of gelatin.
    """

    base_density: float
    gelatin_share: float
    coated: bool = False

    def wet(self, dry: FloatArray) -> FloatArray:
        """Return the density that a wet sheet shows where the dry one will show ``dry``, surface glare left out of both."""
        dry_steps, wet_steps = _steps(self.base_density, self.gelatin_share, self.coated)
        dry = np.asarray(dry, dtype=np.float64)
        beyond = np.maximum(dry - dry_steps[-1], 0.0)
        return np.asarray(np.interp(dry, dry_steps, wet_steps) + beyond)


@lru_cache(maxsize=32)
def _steps(base_density: float, gelatin_share: float, coated: bool) -> tuple[FloatArray, FloatArray]:
    """Return what the same steps of silver show dry and wet."""
    silver = DEEPEST * np.linspace(0.0, 1.0, SILVER_STEPS) ** 2
    wet_index = swollen_index(gelatin_share)
    under_dry, under_wet = (POLYETHYLENE_INDEX,) * 2 if coated else (GELATIN_INDEX, wet_index)
    base = base_reflectance_of(base_density, under_dry)
    dry = reflected_density(silver, base, GELATIN_INDEX, under_dry)
    wet = reflected_density(silver, base, wet_index, under_wet)
    rest = base_density - dry[0]  # a base whiter than any can be
    return dry + rest, wet + rest
