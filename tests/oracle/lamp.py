"""The filament, stepped through time by Runge and Kutta's rule: the slow way, from the energy balance alone.

Handbook numbers of tungsten are written down here a second time, on purpose.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np

ROOM_K, STEP_S = 293.0, 2e-4
C2_NM_K = 1.4387768775e7


def hot_k(colour_k: float) -> float:
    """Return the metal's temperature: its light is 6.5 mired bluer."""
    return 1e6 / (1e6 / colour_k + 6.5)


def emissivity(t: float) -> float:
    return max(0.03, -0.104 + 0.254e-3 * t - 0.036e-6 * t * t)


def heat(t: float) -> float:
    return 131.0 + 0.010 * (t - 300.0) + 8e-6 * (t - 300.0) ** 2


@dataclass(frozen=True)
class Wire:
    """A lamp's wire: thickness and surface follow from volts, watts and colour."""

    colour_k: float
    volts: float
    watts: float

    @cached_property
    def seconds(self) -> float:
        """Heat held at the rated point over the rated power."""
        t = hot_k(self.colour_k)
        area = 0.87 * self.watts / (0.7 * emissivity(t) * 5.670374419e-8 * t**4)
        ohms = self.volts**2 / self.watts
        # ohms = rho length / (pi d2/4) with length = area / (pi d)
        d = (4.0 * 9.20e-7 * (t / 3000.0) ** 1.2 * area / (np.pi**2 * ohms)) ** (1 / 3)
        return 19300.0 * area * d / 4.0 * heat(t) * t / self.watts

    def gone(self, t: float) -> float:
        """Return the power radiated and carried off by the gas, over the rated one."""
        hot = hot_k(self.colour_k)
        glow = emissivity(t) * (t**4 - ROOM_K**4) / (emissivity(hot) * (hot**4 - ROOM_K**4))
        return 0.87 * glow + 0.13 * (t**1.7 - ROOM_K**1.7) / (hot**1.7 - ROOM_K**1.7)

    def slope(self, t: float, share: float) -> float:
        """Return kelvin per second at a share of the rated voltage."""
        hot = hot_k(self.colour_k)
        fed = share**2 * (hot / t) ** 1.2
        return (fed - self.gone(t)) * hot / self.seconds * heat(hot) / heat(t)

    def course(self, share: float, start_k: float, for_s: float) -> np.ndarray:
        """Return the temperature at every step of a time."""
        out, t, seconds = [start_k], start_k, STEP_S
        for _ in range(int(np.ceil(for_s / STEP_S))):
            k1 = self.slope(t, share)
            k2 = self.slope(t + seconds / 2 * k1, share)
            k3 = self.slope(t + seconds / 2 * k2, share)
            k4 = self.slope(t + seconds * k3, share)
            t += seconds / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
            out.append(t)
        return np.array(out)


def glow(nm: np.ndarray, temperature_k: np.ndarray) -> np.ndarray:
    """Return radiance [temperature, wavelength] of tungsten in one unit for all."""
    colour_k = 1e6 / (1e6 / np.atleast_1d(temperature_k) - 6.5)
    return (nm / 100.0) ** -5.0 / np.expm1(C2_NM_K / (nm * colour_k[:, None]))


@dataclass(frozen=True, eq=False)
class Switched:
    """Rise and fall of a wire at a voltage, step by step; temperatures K."""

    rise_k: np.ndarray
    fall_k: np.ndarray

    def seconds(self, on_s: float, nm: np.ndarray, eye: np.ndarray | None = None) -> tuple[np.ndarray, np.ndarray]:
        """Return seconds of settled light, while on and glowing after, at wavelengths or (``eye``) as the eye sums them."""

        def light(t: np.ndarray) -> np.ndarray:
            spectra = glow(nm, t)
            return spectra if eye is None else (spectra @ eye)[:, None]

        full = light(self.rise_k[-1:])[0]
        up = light(self.rise_k) / full
        steps = on_s / STEP_S
        whole = min(int(steps), len(up) - 1)
        while_on = (up[:whole].sum(axis=0) + 0.5 * (up[whole] - up[0])) * STEP_S + (on_s - whole * STEP_S) * up[whole]
        after_k = self.fall_k[self.fall_k <= self.rise_k[whole]]
        after = light(after_k) / full if after_k.size else np.zeros((1, full.size))
        return while_on, (after.sum(axis=0) - 0.5 * after[0]) * STEP_S


@cache
def switched(wire: Wire, share: float) -> Switched:
    """Return how a wire comes and goes; settled after four times its own slowness."""
    rise = wire.course(share, ROOM_K, max(4.0 * wire.seconds, 0.8))
    return Switched(rise, wire.course(0.0, rise[-1], 3.0 * wire.seconds))
