"""From scene to silver the slow way: every pixel for itself, from equations and the film's file alone, in float64."""

from __future__ import annotations

import tomllib

import numpy as np

from .light import SIM


def film_data(name: str) -> dict:
    """Return a film as its file has it."""
    return tomllib.loads((SIM / "negative" / "films" / f"{name}.toml").read_text())


def light_on_film(luminance: np.ndarray, camera, iso_speed: float) -> np.ndarray:
    """Return lux s: a meter's 0.65 * 12.5 / S where it was read, stops of error, bellows, and the mean's share as a veil."""
    lux_s = 0.65 * 12.5 / iso_speed / camera.metered_cd_m2 * 2**camera.error_stops
    lux_s /= (1 + camera.forgotten_magnification) ** 2
    return lux_s * (luminance + camera.flare_share * luminance.mean())


class Curve:
    """A film's curve at a development: net 0.10 at its speed point, 0.80 times development more at 1.30 beyond."""

    def __init__(self, film: dict, development: float):
        self.film, self.development = film, development
        self.width = film["toe_width"] / np.sqrt(development)
        self.speed_point = np.log10(0.80 / film["iso_speed"]) - film["speed_gain"] * (1 - 1 / development)
        low, high = -5.0, 5.0  # where the straight line begins, beyond the speed point: halved until it is found
        for _ in range(80):
            middle = (low + high) / 2
            at_point = self._net(0.0, middle, 1.0)
            slope = self._slope_for(0.10, middle, at_point)
            rise = self._net(1.30, middle, slope) - self._net(0.0, middle, slope)
            low, high = (middle, high) if rise < 0.80 * development else (low, middle)
        self.start = (low + high) / 2
        self.slope = self._slope_for(0.10, self.start, self._net(0.0, self.start, 1.0))

    def _slope_for(self, net: float, start: float, guess: float) -> float:
        """Return the slope of the straight line that gives a net density at the speed point."""
        slope = net / guess
        for _ in range(60):
            slope *= net / self._net(0.0, start, slope)
        return float(slope)

    def _net(self, beyond: float | np.ndarray, start: float, slope: float) -> float | np.ndarray:
        straight = slope * self.width * np.log1p(np.exp((beyond - start) / self.width))
        silver = (1 - np.exp(-1.3 * self.development)) / (1 - np.exp(-1.3))
        top, soft = self.film["net_dmax"] * silver / self.development, self.film["shoulder_width"]
        return self.development * (straight - soft * np.log1p(np.exp((straight - top) / soft)))

    def silver(self, lux_s: np.ndarray) -> np.ndarray:
        """Return density above base and fog."""
        return np.asarray(self._net(np.log10(lux_s) - self.speed_point, self.start, self.slope))

    def gamma(self) -> float:
        """Return the slope of the straight line."""
        return self.development * self.slope

    def base_fog(self) -> float:
        """Return base and fog."""
        return self.film["base_fog_density"] + self.film["fog_gain"] * np.log(self.development)
