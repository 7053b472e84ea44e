"""A glowing filament: ONE energy balance that says how hot, how bright, how red it burns, and how fast it gets there.

``C dT/dt = V**2 / R(T) - radiation(T) - gas(T)``. Resistance grows as T**1.2; radiation is emissivity(T) sigma T**4; the gas
carries off a small share; heat makes it slow. From the rated point alone follow inrush, current, light and colour at any
voltage, how light comes and goes at the switch, and that blue comes later and goes earlier. No exponent of a voltage is
given anywhere: those of the handbooks must come out (tests/enlarger/test_filament.py).

Sources, all tungsten handbook values from memory: resistivity 5.65, 56.7, 92.0 microohm cm at 300, 2000, 3000 K (power 1.2);
total emissivity 0.114, 0.260, 0.334 at 1000, 2000, 3000 K; specific heat 0.13, 0.17, 0.216 J/(g K) at 300, 2000, 3000 K;
density 19.3 g/cm3. Light follows Planck's law at the colour temperature, 6.5 mired bluer than the metal, because
tungsten emits better in the blue. An eighth of a gas-filled lamp's power goes into the gas and the ends.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.quantities import FloatArray
from sim.radiation import STEFAN_BOLTZMANN_W_M2_K4, black_body

ROOM_K = 293.0
COLDEST_GLOW_K = 900.0  # below it no light that paper or eye would notice
RESISTANCE_POWER = 1.2
RESISTIVITY_OHM_M = 9.20e-7  # at 3000 K
EMISSIVITY = (-0.104, 0.254, -0.036)  # in powers of T/1000 K; meets the three handbook values exactly
LEAST_EMISSIVITY = 0.03
GAS_SHARE, GAS_POWER = 0.13, 1.7  # of the rated power; conduction through a gas whose conductivity grows as T**0.7
MIRED_SHIFT_PER_K = 6.5e-6  # 1/T - 1/colour temperature
DENSITY_KG_M3 = 19300.0
COIL_SHARE = 0.7  # of what the same wire would radiate if it were stretched: its turns shine on each other (assumption)
STEPS = 3000


def emissivity(temperature_k: FloatArray | float) -> FloatArray:
    """Return total emissivity of tungsten, 300 to 3600 K."""
    t = np.asarray(temperature_k, dtype=np.float64) / 1000.0
    return np.maximum(EMISSIVITY[0] + EMISSIVITY[1] * t + EMISSIVITY[2] * t * t, LEAST_EMISSIVITY)


def specific_heat_j_kg_k(temperature_k: FloatArray | float) -> FloatArray:
    """Return specific heat of tungsten, 300 to 3600 K."""
    above = np.asarray(temperature_k, dtype=np.float64) - 300.0
    return np.asarray(131.0 + 0.010 * above + 8.0e-6 * above**2)


def colour_temperature_k(temperature_k: float) -> float:
    """Return the colour temperature of tungsten at a temperature of the metal."""
    return 1.0 / (1.0 / temperature_k - MIRED_SHIFT_PER_K)


def metal_temperature_k(colour_k: float) -> float:
    """Return the temperature of the metal that glows with a colour temperature."""
    return 1.0 / (1.0 / colour_k + MIRED_SHIFT_PER_K)


def radiance(wavelength_nm: FloatArray, temperature_k: FloatArray | float) -> FloatArray:
    """Return spectral radiance of tungsten at temperatures of the metal [..., wavelength], in one unit for all of them."""
    colour_k = 1.0 / (1.0 / np.asarray(temperature_k, dtype=np.float64) - MIRED_SHIFT_PER_K)
    return black_body(wavelength_nm, np.asarray(colour_k)[..., None])


@dataclass(frozen=True)
class Filament:
    """A filament by its rated colour temperature (K) and ``heat_s``: its heat at the rated point over the rated power."""

    colour_k: float
    heat_s: float

    @classmethod
    def of_lamp(cls, colour_k: float, volts: float, watts: float) -> Filament:
        """Return the filament of a lamp: its wire must have the resistance, and the surface, that volts and watts ask for.

        ``colour_k`` 2000-3500 K, ``volts`` 1-1000, ``watts`` 0.1-10,000, all at the rated point. Thickness goes as current
        to the power 2/3, and so does slowness.
        """
        hot_k = metal_temperature_k(colour_k)
        per_m2 = COIL_SHARE * float(emissivity(hot_k)) * STEFAN_BOLTZMANN_W_M2_K4 * hot_k**4
        surface_m2 = (1.0 - GAS_SHARE) * watts / per_m2
        resistivity = RESISTIVITY_OHM_M * (hot_k / 3000.0) ** RESISTANCE_POWER
        thick_m = (4.0 * resistivity * surface_m2 * watts / (np.pi**2 * volts**2)) ** (1.0 / 3.0)
        mass_kg = DENSITY_KG_M3 * surface_m2 * thick_m / 4.0
        return cls(colour_k, float(mass_kg * specific_heat_j_kg_k(hot_k) * hot_k / watts))

    @property
    def rated_k(self) -> float:
        """Temperature of the metal at the rated voltage."""
        return metal_temperature_k(self.colour_k)

    def resistance(self, temperature_k: FloatArray | float) -> FloatArray:
        """Return resistance over that at the rated point."""
        return np.asarray((np.asarray(temperature_k) / self.rated_k) ** RESISTANCE_POWER)

    def loss(self, temperature_k: FloatArray | float) -> FloatArray:
        """Return the power that leaves the filament, radiated and through the gas, over the rated power."""
        t, hot_k = np.asarray(temperature_k, dtype=np.float64), self.rated_k
        radiated = emissivity(t) * (t**4 - ROOM_K**4) / (emissivity(hot_k) * (hot_k**4 - ROOM_K**4))
        gas = (t**GAS_POWER - ROOM_K**GAS_POWER) / (hot_k**GAS_POWER - ROOM_K**GAS_POWER)
        return np.asarray((1.0 - GAS_SHARE) * radiated + GAS_SHARE * gas)

    def settles_at_k(self, voltage_share: float) -> float:
        """Return the temperature at which a voltage (over the rated one, 0.05 to 1.5) puts in what goes out."""
        low, high = ROOM_K, 2.0 * self.rated_k
        for _ in range(60):
            middle = 0.5 * (low + high)
            heats = voltage_share**2 > self.resistance(middle) * self.loss(middle)
            low, high = (middle, high) if heats else (low, middle)
        return 0.5 * (low + high)

    def current_share(self, voltage_share: float) -> float:
        """Return the settled current over the rated one."""
        return voltage_share / float(self.resistance(self.settles_at_k(voltage_share)))

    def voltage_at_current(self, current_share: float) -> float:
        """Return the voltage share at which so much current flows, over the rated one, 0.3 to 1.3."""
        low, high = 0.05, 1.6
        for _ in range(50):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if self.current_share(middle) < current_share else (low, middle)
        return 0.5 * (low + high)

    def inrush(self) -> float:
        """Return the current of the first moment, into the cold wire, over the rated one."""
        return 1.0 / float(self.resistance(ROOM_K))

    def seconds_per_k(self, temperature_k: FloatArray, voltage_share: float) -> FloatArray:
        """Return dt/dT of the energy balance at temperatures: positive while it heats, negative while it cools."""
        heat = specific_heat_j_kg_k(temperature_k) / specific_heat_j_kg_k(self.rated_k) * self.heat_s / self.rated_k
        net = voltage_share**2 / self.resistance(temperature_k) - self.loss(temperature_k)
        return np.asarray(heat / net)


@dataclass(frozen=True, eq=False)
class Switching:
    """How one filament comes up at a voltage and dies away: temperatures along both ways, and the seconds they take.

    The balance has no memory but the temperature, so time is an integral over temperature: exact, without a stepper.
    """

    rise_k: FloatArray
    rise_s: FloatArray
    fall_k: FloatArray
    fall_s: FloatArray
    settled_k: float

    def after_on_k(self, seconds: float) -> float:
        """Return the temperature so long after switching on a cold lamp."""
        return float(np.interp(seconds, self.rise_s, self.rise_k)) if seconds < self.rise_s[-1] else self.settled_k

    def after_off_k(self, seconds: float) -> float:
        """Return the temperature so long after switching off a lamp that had settled."""
        return float(np.interp(seconds, self.fall_s, self.fall_k))

    def light_while_on(self, weights: FloatArray, wavelength_nm: FloatArray) -> FloatArray:
        """Return seconds of settled light that have come by every moment of the rise [moment, weight].

        ``weights`` [weight, wavelength] say what counts as light: the eye's efficiency, or one wavelength each.
        """
        full = weights @ radiance(wavelength_nm, self.settled_k)
        return _summed((radiance(wavelength_nm, self.rise_k) @ weights.T) / full, self.rise_s)

    def light_given(self, weights: FloatArray, wavelength_nm: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return when the switch went off, s, and seconds of settled light given till the last glow [moment, weight]."""
        full = weights @ radiance(wavelength_nm, self.settled_k)
        glow = _summed((radiance(wavelength_nm, self.fall_k) @ weights.T) / full, self.fall_s)
        to_come = glow[-1] - glow
        after = np.stack([np.interp(-self.rise_k, -self.fall_k, column) for column in to_come.T], axis=1)
        after[self.rise_k < self.fall_k[-1]] = 0.0
        return self.rise_s, self.light_while_on(weights, wavelength_nm) + after


def _summed(values: FloatArray, moments: FloatArray) -> FloatArray:
    """Return the running integral over time of values [moment, ...], by trapezoids."""
    steps = np.diff(moments)[:, None] * 0.5 * (values[1:] + values[:-1])
    return np.concatenate([np.zeros((1, values.shape[1])), np.cumsum(steps, axis=0)])


@lru_cache(maxsize=64)
def switching(filament: Filament, voltage_share: float) -> Switching:
    """Return how a filament comes and goes at a voltage share; worked out once for each."""
    settled_k = filament.settles_at_k(voltage_share)
    left = np.geomspace(1.0, 1e-6, STEPS)  # of the way from cold to settled
    rise_k = settled_k - (settled_k - ROOM_K) * left
    fall_k = np.geomspace(settled_k, COLDEST_GLOW_K, STEPS)
    seconds = []
    for along, share in ((rise_k, voltage_share), (fall_k, 0.0)):
        slope = filament.seconds_per_k(along, share)
        seconds.append(np.concatenate([[0.0], np.cumsum(np.diff(along) * 0.5 * (slope[1:] + slope[:-1]))]))
    return Switching(rise_k, seconds[0], fall_k, seconds[1], settled_k)
