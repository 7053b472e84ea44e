"""Stops, densities and log exposures: the only conversions, and the unit and range of every control.

Sources: density is ``-log10`` of transmittance or reflectance (definition, ISO 5-1); exact f-numbers are
powers of the square root of two while engraved ones are rounded (reference marks as engraved on lenses,
common practice); one stop is a factor of two in light, 0.30103 in log10 exposure (arithmetic).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.refusals import Refused

FloatArray = NDArray[np.floating]

# Printing light is followed from the near ultraviolet that glass still passes to the red where paper is blind.
# Step 5 nm: with filters fixed, 1 nm instead changes ISO R by less than 0.4 and speed by less than 0.005 log.
WAVELENGTH_STEP_NM = 5.0
WAVELENGTHS_NM: NDArray[np.float64] = np.arange(380.0, 620.0 + WAVELENGTH_STEP_NM / 2, WAVELENGTH_STEP_NM)
WAVELENGTHS_NM.setflags(write=False)

# Engraved marks and the exact f-number each stands for; f/11 and f/22 are rounded by 0.08 stop.
ENGRAVED_F_NUMBERS: tuple[tuple[float, float], ...] = tuple(
    (mark, 2.0 ** (k / 2.0))
    for k, mark in enumerate((1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0, 11.0, 16.0, 22.0, 32.0, 45.0, 64.0))
)


def factor_to_stops(factor: float) -> float:
    """Return the stops in a light factor (> 0): ``log2(factor)``."""
    if not factor > 0:
        raise Refused(f"factor must be above 0, got {factor!r}")
    return math.log2(factor)


def dodge_time_s(base_time_s: float, stops: float) -> float:
    """Return the seconds to hold back so that a place loses ``stops`` (>= 0): ``t(1 - 2**-n)``."""
    return base_time_s * (1.0 - 2.0**-stops)


def burn_time_s(base_time_s: float, stops: float) -> float:
    """Return the extra seconds that give a place ``stops`` more (>= 0): ``t(2**n - 1)``."""
    return base_time_s * (2.0**stops - 1.0)


def exact_f_number(f_number: float) -> float:
    """Return the exact f-number behind an engraved mark; any other number stands for itself."""
    for mark, exact in ENGRAVED_F_NUMBERS:
        if abs(f_number - mark) < 1e-6:
            return exact
    return f_number


def engraved_f_number(f_number: float) -> float:
    """Return the engraved mark nearest to an f-number when within 0.1 stop of it, else the number itself."""
    for mark, exact in ENGRAVED_F_NUMBERS:
        if abs(2.0 * math.log2(f_number / exact)) < 0.1:
            return mark
    return f_number


@dataclass(frozen=True)
class ControlRange:
    """The unit and the allowed range of one control."""

    name: str
    unit: str
    low: float
    high: float
    what: str

    def check(self, value: float) -> float:
        """Return ``value`` as float, or raise ValueError that states rule and value received."""
        number = float(value)
        if not (self.low <= number <= self.high):  # NaN fails this too
            unit = f" {self.unit}" if self.unit else ""
            raise Refused(f"{self.name} must be between {self.low:g} and {self.high:g}{unit}, got {value!r}")
        return number


CONTROLS: dict[str, ControlRange] = {
    control.name: control
    for control in (
        ControlRange("time_s", "s", 0.1, 600.0, "dialled exposure time"),
        ControlRange("light_s", "s", 0.0, 610.0, "full light really given by lamp and timer, its spread included"),
        ControlRange("f_number", "", 2.8, 64.0, "lens aperture"),
        ControlRange("height_mm", "mm", 100.0, 3000.0, "negative to paper, along the column"),
        ControlRange("focus_offset_mm", "mm", -5.0, 5.0, "negative stage away from sharp focus"),
        ControlRange("negative_tilt_deg", "degrees", -5.0, 5.0, "tilt of the negative carrier"),
        ControlRange("easel_tilt_deg", "degrees", -15.0, 15.0, "tilt of the easel"),
        ControlRange("lamp_voltage_share", "", 0.8, 1.1, "lamp voltage over its rated one"),
        ControlRange("image_shift_mm", "mm", -500.0, 500.0, "image centre away from paper centre"),
        ControlRange("paper_mm", "mm", 20.0, 700.0, "one side of the sheet"),
        ControlRange("frame_mm", "mm", 10.0, 300.0, "one side of the film's frame"),
        ControlRange("border_mm", "mm", 0.0, 100.0, "white border under the easel blades"),
        ControlRange("yellow", "", 0.0, 3.0, "yellow filtration, peak density"),
        ControlRange("magenta", "", 0.0, 3.0, "magenta filtration, peak density"),
        ControlRange("card_height_mm", "mm", 0.0, 1500.0, "card above the paper"),
        ControlRange("card_size_mm", "mm", 1.0, 1500.0, "one dimension of a card"),
        ControlRange("amplitude_mm", "mm", 0.0, 200.0, "half the travel of a moved card"),
        ControlRange("period_s", "s", 0.2, 30.0, "one turn of a moved card"),
        ControlRange("development_time_s", "s", 0.0, 900.0, "time in the developer"),
        ControlRange("temperature_c", "degrees C", 13.0, 30.0, "developer temperature"),
        ControlRange("sheets_before", "sheets", 0.0, 500.0, "sheets of 8x10 in already through this developer"),
        ControlRange("strength", "", 0.25, 4.0, "developer strength over the working strength"),
        ControlRange("bath_l", "l", 0.1, 50.0, "developer in the tray"),
        ControlRange("age_h", "h", 0.0, 1000.0, "time the developer has stood in the tray"),
        ControlRange("safelight_distance_m", "m", 0.2, 10.0, "safelight to paper"),
        ControlRange("safelight_time_s", "s", 0.0, 7200.0, "paper under the safelight"),
        ControlRange("viewing_lux", "lux", 50.0, 5000.0, "light on the print when judged"),
    )
}


def checked(name: str, value: float, control: str | None = None) -> float:
    """Return a control's value if inside its range; raise ValueError naming ``name``, rule and value if not."""
    limits = CONTROLS[control or name]
    return ControlRange(name, limits.unit, limits.low, limits.high, limits.what).check(value)
