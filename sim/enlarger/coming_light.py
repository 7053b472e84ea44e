"""Light that comes and goes with the switch: what a filament gives in all, and how much of it is blue.

A wire reddens as it dies and is red before it is white, so blue comes later and goes earlier: seconds of blue light are
fewer than seconds of light as the eye counts it. ``ComingLight`` says by how much, wavelength by wavelength.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.enlarger.filament import Filament, Switching, colour_temperature_k, radiance, switching
from sim.enlarger.spectra import VISIBLE_NM, photopic_efficiency
from sim.quantities import WAVELENGTHS_NM, FloatArray

MOMENTS = 160  # kept of a switching; between them straight lines, within 0.0001 s


@dataclass(frozen=True, eq=False)
class ComingLight:
    """One filament at one voltage: seconds of full light by seconds switched on, and by how much each colour differs.

    ``on_s`` and ``light_s`` [moment]: light as the eye counts it, last glow included. ``extra_s`` [moment, wavelength of
    WAVELENGTHS_NM]: what a colour gets besides (less than 0: it gets less). Past the last moment all grow alike.
    """

    on_s: FloatArray
    light_s: FloatArray
    while_on_s: FloatArray
    extra_s: FloatArray

    @property
    def dead_time_s(self) -> float:
        """Seconds of light lost at one switching, as the eye counts them."""
        return float(self.on_s[-1] - self.light_s[-1])

    def dead_time_at_s(self, wavelength_nm: float) -> float:
        """Return seconds lost at one switching at a wavelength, 380 to 620 nm."""
        return self.dead_time_s - float(np.interp(wavelength_nm, WAVELENGTHS_NM, self.extra_s[-1]))

    def given_s(self, on_s: float) -> float:
        """Return seconds of full light for seconds switched on."""
        beyond = max(0.0, on_s - float(self.on_s[-1]))
        return float(np.interp(on_s, self.on_s, self.light_s)) + beyond

    def switched_s(self, light_s: float) -> float:
        """Return the seconds to be switched on for seconds of full light: the inverse of ``given_s``."""
        beyond = max(0.0, light_s - float(self.light_s[-1]))
        return float(np.interp(light_s, self.light_s, self.on_s)) + beyond

    def passed_share(self, moment_s: float, on_s: float) -> float:
        """Return the share of an exposure's light that has come by a moment while the lamp is on."""
        beyond = max(0.0, moment_s - float(self.on_s[-1]))
        given_s = self.given_s(on_s)
        return (float(np.interp(moment_s, self.on_s, self.while_on_s)) + beyond) / given_s if given_s > 0.0 else 0.0


@dataclass(frozen=True)
class Burning:
    """A filament at a share of its rated voltage."""

    filament: Filament
    voltage_share: float

    @property
    def colour_k(self) -> float:
        """Settled colour temperature."""
        return colour_temperature_k(self.filament.settles_at_k(self.voltage_share))

    @property
    def flux_share(self) -> float:
        """Settled light, as the eye weighs it, over that at the rated voltage."""
        return flux_share_at(self.filament, self.filament.settles_at_k(self.voltage_share))

    @property
    def switching(self) -> Switching:
        """The way up and down."""
        return switching(self.filament, self.voltage_share)

    @property
    def coming(self) -> ComingLight:
        """What light comes of a time switched on."""
        return coming_light(self.filament, self.voltage_share)


def flux_share_at(filament: Filament, temperature_k: float) -> float:
    """Return light as the eye weighs it at a temperature of the wire, over that at its rated point."""
    now, rated = (
        float(radiance(VISIBLE_NM, t) @ photopic_efficiency(VISIBLE_NM)) for t in (temperature_k, filament.rated_k)
    )
    return now / rated


@lru_cache(maxsize=64)
def coming_light(filament: Filament, voltage_share: float) -> ComingLight:
    """Return what light comes of a time switched on; worked out once for each filament and voltage."""
    way = switching(filament, voltage_share)
    eye = photopic_efficiency(VISIBLE_NM)[None, :]
    on_s, light = way.light_given(eye, VISIBLE_NM)
    colours = way.light_given(np.eye(len(WAVELENGTHS_NM)), WAVELENGTHS_NM)[1]
    # close together where the light comes up, which is late in the temperatures
    kept = np.unique(np.searchsorted(on_s, np.linspace(0.0, 1.0, MOMENTS) ** 1.5 * on_s[-1]).clip(0, len(on_s) - 1))
    while_on = way.light_while_on(eye, VISIBLE_NM)
    return ComingLight(on_s[kept], light[kept, 0], while_on[kept, 0], (colours - light)[kept])


@lru_cache(maxsize=64)
def filament_lost(colour_k: float) -> float:
    """Return the dead time of a filament of a colour temperature over its ``heat_s``, to which it is proportional."""
    return coming_light(Filament(colour_k, 1.0), 1.0).dead_time_s
