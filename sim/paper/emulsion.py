"""What a sheet does with exposure: many grain classes of one contrast, which differ in one sensitivity.

Every class shares ONE characteristic curve and ONE blue speed; the classes differ in how much green-sensitising dye
they took up. A class whose log green sensitivity is ``s`` therefore receives ``H = B + 10**s * G`` from a blue exposure
B and a green exposure G, and the sheet's density is the weighted sum of the classes. Blue light reaches all classes
at once (short scale, hard); green light reaches them one after the other (long scale, soft). Nowhere is contrast a
function of a filter: it comes out of the ratio of green to blue. A paper of one grade has no green dye: its classes
differ in blue speed instead, and the spread of speed is its grade.

Mechanism: equal contrast and equal blue speed, different green sensitising, as paper makers describe it. Form of the
curve and of the distribution: fitted to published step-tablet readings, see sim/calibration/grain_parts.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Annotated

import numpy as np
from pydantic import Field

from sim.quantities import WAVELENGTH_STEP_NM, WAVELENGTHS_NM, FloatArray
from sim.refusals import Refused

Nodes = Annotated[tuple[Annotated[float, Field(ge=-5.0, le=3.0)], ...], Field(max_length=64)]
Weights = Annotated[tuple[Annotated[float, Field(ge=0.0, le=1.0)], ...], Field(max_length=64)]
FEW_POINTS, PIECE = 1024, 8192
CURVE_REACH = 8.0  # log exposure either way from the curve's centre within which it is sampled


def _rising(wavelength_nm: FloatArray, edge_nm: float, width_nm: float) -> FloatArray:
    return np.asarray(1.0 / (1.0 + np.exp(-(wavelength_nm - edge_nm) / width_nm)))


def blue_sensitivity(wavelength_nm: FloatArray) -> FloatArray:
    """Return relative sensitivity of unsensitised silver halide, about 1 at 430 nm.

    Assumption of shape: rises where glass begins to pass (395 nm), ends at 480-500 nm (chlorobromide; from memory).
    """
    nm = np.asarray(wavelength_nm, dtype=np.float64)
    return _rising(nm, 395.0, 8.0) * (1.0 - _rising(nm, 486.0, 7.5))


def green_sensitivity(wavelength_nm: FloatArray) -> FloatArray:
    """Return relative sensitivity lent by the sensitising dye, about 1 at 540 nm.

    Assumption of shape: a dye band reaching to about 570 nm, with the steep red edge of an aggregated dye, so that
    amber near 590 nm still fogs slowly and red beyond 620 nm does not (common practice; edge from memory).
    """
    nm = np.asarray(wavelength_nm, dtype=np.float64)
    band = np.exp(-0.5 * ((nm - 540.0) / 32.0) ** 2)
    return np.asarray(band * (1.0 - _rising(nm, 573.0, 3.6)) / (1.0 - _rising(np.array(540.0), 573.0, 3.6)))


@dataclass(frozen=True)
class Emulsion:
    """The grain classes of a sheet.

    ``curve_a`` and ``curve_b`` shape the shared curve, ``log_speed`` is log10 of m2/J (how little light it needs),
    ``green_nodes`` are log10 green sensitivities relative to blue, ``green_weights`` their shares (sum 1), and
    ``image_density`` the density that all grains together give when fully exposed and fully developed. A blue-only
    paper has no green nodes; its classes may differ in blue speed: ``blue_nodes`` log10, ``blue_weights`` their shares.
    """

    curve_a: Annotated[float, Field(ge=1.0, le=30.0)]
    curve_b: Annotated[float, Field(ge=0.05, le=20.0)]
    log_speed: Annotated[float, Field(ge=-6.0, le=12.0)]
    image_density: Annotated[float, Field(ge=0.5, le=4.0)]
    green_nodes: Nodes = ()
    green_weights: Weights = ()
    blue_nodes: Nodes = ()
    blue_weights: Weights = ()

    def __post_init__(self) -> None:
        for colour, nodes, weights in (
            ("green", self.green_nodes, self.green_weights),
            ("blue", self.blue_nodes, self.blue_weights),
        ):
            if len(nodes) != len(weights):
                raise Refused(f"{colour}_nodes and {colour}_weights must have the same length")
            if weights and abs(sum(weights) - 1.0) > 1e-3:
                raise Refused(f"{colour}_weights must sum to 1, got {sum(weights):.4f}")
        if self.green_nodes and self.blue_nodes:
            raise Refused("green_nodes and blue_nodes exclude each other: classes differ in one sensitivity, got both")

    @cached_property
    def _classes(self) -> tuple[tuple[float, float, float], ...]:
        """What each class makes of blue and of green, and its share of all grains (a file rounds its shares)."""
        if self.green_nodes:
            shares = np.array(self.green_weights) / sum(self.green_weights)
            return tuple((1.0, 10.0**node, float(share)) for node, share in zip(self.green_nodes, shares, strict=True))
        if self.blue_nodes:
            shares = np.array(self.blue_weights) / sum(self.blue_weights)
            return tuple((10.0**node, 0.0, float(share)) for node, share in zip(self.blue_nodes, shares, strict=True))
        return ((1.0, 0.0, 1.0),)

    def class_curve(self, exposure: FloatArray) -> FloatArray:
        """Return the developable share (0..1) of one class after an exposure (1 = the curve's own centre).

        ``1 - (1 + exposure**a)**-b``, in logs and in place, which takes two thirds of the time of two powers.
        """
        with np.errstate(over="ignore", divide="ignore"):
            x = np.log(np.asarray(exposure, dtype=np.float64))
            x *= self.curve_a
            x = np.exp(x)
            x += 1.0
            x = np.log(x)
            x *= -self.curve_b
            return np.asarray(1.0 - np.exp(x))

    def developable(self, blue: FloatArray, green: FloatArray) -> FloatArray:
        """Return the developable share (0..1) of the whole sheet for blue and green exposures (same shape)."""
        blue = np.asarray(blue, dtype=np.float64)
        if not self.green_nodes:
            return self._summed(blue, np.zeros(())) if blue.size <= FEW_POINTS else self._piece_by_piece(blue, np.zeros(()))
        green = np.asarray(green, dtype=np.float64)
        if max(blue.size, green.size) <= FEW_POINTS:
            return self._summed(blue, green)
        return self._piece_by_piece(*np.broadcast_arrays(blue, green))

    @cached_property
    def _sampled_curve(self) -> tuple[FloatArray, FloatArray]:
        """The curve of one class on log exposures so close that straight lines between them are within two millionths."""
        log_h = np.linspace(-CURVE_REACH, CURVE_REACH, 32001)
        return log_h, self.class_curve(10.0**log_h)

    def developable_along(self, log_exposure: FloatArray, blue: float, green: float) -> FloatArray:
        """Return the developable share along ``log_exposure`` of a light that gives ``blue`` and ``green`` per unit.

        In light of one colour every class has the same curve, only shifted.
        """
        log_h, curve = self._sampled_curve
        total = np.zeros(len(log_exposure))
        for of_blue, of_green, share in self._classes:
            speed = of_blue * blue + of_green * green
            if speed > 0.0:
                total += share * np.interp(log_exposure + np.log10(speed), log_h, curve)
        return total

    def _piece_by_piece(self, blue: FloatArray, green: FloatArray) -> FloatArray:
        """Return the share of a whole picture, in pieces that stay in the processor's own memory."""
        total = np.empty(blue.shape)
        flat, blue_flat, green_flat = total.reshape(-1), blue.reshape(-1), green.reshape(-1)
        for start in range(0, len(flat), PIECE):
            here = slice(start, start + PIECE)
            green_here = green_flat[here] if green.ndim else green
            part = np.zeros(len(flat[here]))
            for of_blue, of_green, share in self._classes:
                part += share * self.class_curve(of_blue * blue_flat[here] + of_green * green_here)
            flat[here] = part
        return total

    def _summed(self, blue: FloatArray, green: FloatArray) -> FloatArray:
        """Return the share at a few places, all classes at once."""
        dimensions = np.broadcast(blue, green).ndim
        of_blue, of_green, shares = (np.reshape(part, (-1, *(1,) * dimensions)) for part in zip(*self._classes, strict=True))
        curves = self.class_curve(of_blue * blue + of_green * green)
        curves *= shares
        return np.asarray(curves.sum(axis=0))

    @cached_property
    def _blue_weighting(self) -> FloatArray:
        return 10.0**self.log_speed * blue_sensitivity(WAVELENGTHS_NM) * WAVELENGTH_STEP_NM

    @cached_property
    def _green_weighting(self) -> FloatArray:
        return 10.0**self.log_speed * green_sensitivity(WAVELENGTHS_NM) * WAVELENGTH_STEP_NM

    def exposures(self, spectrum: FloatArray) -> tuple[float, float]:
        """Return (blue, green) exposure from a radiant exposure spectrum in J/m2/nm on WAVELENGTHS_NM.

        An irradiance in W/m2/nm gives exposure per second. A blue-only paper has green 0.
        """
        blue = float(spectrum @ self._blue_weighting)
        return blue, (float(spectrum @ self._green_weighting) if self.green_nodes else 0.0)

    def weightings(self) -> FloatArray:
        """Return absolute sensitivities [1 or 2, wavelength]: blue, and green where there is any, in m2/J per nm."""
        rows = [self._blue_weighting, self._green_weighting] if self.green_nodes else [self._blue_weighting]
        return np.array(rows)
