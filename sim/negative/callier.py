"""The Callier effect: silver scatters, so directed light finds a negative denser than diffuse light does.

Projection density follows ``10**-Dp = E 10**-D + (1-E) 10**(-b D)`` (form of Silberstein and Tuttle). E is the share of
scattered light that still reaches the lens: 1 in diffuse light. b belongs to the grain, which grows with development; it
is fitted to the largest quotients of one film at three gammas (C. E. K. Mees, The Theory of the Photographic Process,
Fig. 179), taken in an instrument as narrow as Streiffert's (J. SMPE 49, 1947, as redrawn by Trumpy and Gschwind, 2015: E
0.147; assumption). The form is wrong below density 0.2, where the quotient must go to 1; it is faded out there.

E follows from two cones, the light's at the gate and the lens's at the film. With cones and scatter of Gaussian shape
(assumption) light that goes straight on from one into the other is as ``1 / c**2`` and scattered light as
``1 / (c**2 + w**2)``, where c**2 is the sum of both cones' squares; E is one over the other. Which of the two is the wider
makes no difference (Helmholtz reciprocity), and E grows with either.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.quantities import FloatArray

GRAIN_LIMIT, GRAIN_GAMMA = (
    1.59,
    1.58,
)  # b - 1 = limit (1 - exp(-gamma / this)); the three largest quotients within 0.016
FADE_DENSITY = 0.16  # between a quotient of 1.08 at density 0.058 and one of 1.04 at 0.055
SCATTER_TANGENT = 0.28  # some 16 degrees: a condenser of 12 degrees shows a range of 0.85 as 1.05 (assumption)
DIFFUSE_DEG = 90.0


@dataclass(frozen=True)
class Scattering:
    """What silver does to light on its way into a lens: ``exponent`` b (1 and above), ``caught`` E (above 0, to 1)."""

    exponent: float = 1.0
    caught: float = 1.0

    @property
    def shows(self) -> bool:
        """Tell whether the negative looks any denser than in diffuse light."""
        return self.caught < 1.0 and self.exponent > 1.0

    def quotient(self, silver_density: FloatArray) -> FloatArray:
        """Return Q = projection density / diffuse density; 1 at density 0."""
        density = np.maximum(np.asarray(silver_density, dtype=np.float64), 1e-9)
        passed = self.caught * 10.0**-density + (1.0 - self.caught) * 10.0 ** (-self.exponent * density)
        fade = -np.expm1(-((density / FADE_DENSITY) ** 2))
        return np.asarray(1.0 + (-np.log10(passed) / density - 1.0) * fade)

    def printing_density(self, silver_density: FloatArray) -> FloatArray:
        """Return the density that silver of a diffuse density (0-6) shows."""
        density = np.asarray(silver_density, dtype=np.float64)
        return density * self.quotient(density) if self.shows else density


NONE = Scattering()  # in diffuse light, and in contact with the paper


def grain_exponent(gamma: float) -> float:
    """Return b for silver developed to a gamma of 0-3 (0: dyes, which do not scatter): 1 and above."""
    return 1.0 - GRAIN_LIMIT * float(np.expm1(-gamma / GRAIN_GAMMA))


def caught_share(light_half_angle_deg: float, lens_tangent: float) -> float:
    """Return E for a cone of light at the gate (half angle, above 0 to 90) and a lens (tangent of its half angle)."""
    if light_half_angle_deg >= DIFFUSE_DEG:
        return 1.0
    cones = float(np.tan(np.radians(light_half_angle_deg))) ** 2 + lens_tangent**2
    return cones / (cones + SCATTER_TANGENT**2)
