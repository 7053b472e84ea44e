"""The unit and the range of every control: the timer's seconds, the lens's marks, the column, the tray."""

from __future__ import annotations

from dataclasses import dataclass

from sim.refusals import Refused


def in_range(name: str, value: float, low: float, high: float, unit: str = "") -> None:
    """Raise Refused, stating rule and value received, for a number outside its range."""
    if not low <= value <= high:  # NaN fails this too
        raise Refused(f"{name} must be between {low:g} and {high:g}{f' {unit}' if unit else ''}, got {value!r}")


@dataclass(frozen=True)
class ControlRange:
    """The unit and the allowed range of one control."""

    name: str
    unit: str
    low: float
    high: float
    what: str

    def check(self, value: float) -> float:
        """Return ``value`` as float, or raise Refused that states rule and value received."""
        in_range(self.name, value, self.low, self.high, self.unit)
        return float(value)

    def nearest(self, value: float) -> float:
        """Return ``value`` as float, or the end of the range that lies nearest."""
        return float(min(self.high, max(self.low, value)))


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
    """Return a control's value if inside its range; raise Refused naming ``name``, rule and value if not."""
    limits = CONTROLS[control or name]
    return ControlRange(name, limits.unit, limits.low, limits.high, limits.what).check(value)
