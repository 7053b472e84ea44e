"""How the enlarger stands: head, lens, height, focus, carrier, tilts; and what it refuses, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sim.control_ranges import checked
from sim.enlarger.equipment import Head, Lens, find_head, find_lens
from sim.enlarger.geometry import lens_to_paper_mm, magnification_at_height
from sim.negative.negative import Negative
from sim.quantities import exact_f_number
from sim.refusals import Refused


class SettingsRefused(Refused):
    """The enlarger cannot do this; the message says why and what is received."""


@dataclass(frozen=True)
class EnlargerSettings:
    """Everything set on the enlarger that stays the same for all exposures of a sheet.

    ``height_mm`` is negative to paper along the column. ``focus_offset_mm`` is how far the negative stage is from sharp
    focus (+ away from the lens). ``focused`` says whether focusing took long enough for a glassless carrier's negative
    to warm and buckle. ``flipped`` puts the negative in wrong side up. In ``contact`` the negative lies on the paper under
    glass and the head, with an empty carrier, is only a lamp. ``lamp_voltage_share`` is the lamp's voltage over its rated
    one; ``head`` is a name on the shelf, and ``head_digest`` of a head of one's own says which state of it was meant.
    """

    head: str
    lens: str
    height_mm: float
    focus_offset_mm: float = 0.0
    carrier: Literal["glass", "glassless"] = "glass"
    focused: Literal["warm", "cold"] = "warm"
    negative_tilt_deg: float = 0.0
    easel_tilt_deg: float = 0.0
    flipped: bool = False
    contact: bool = False
    lamp_voltage_share: float = 1.0
    head_digest: str = ""

    def __post_init__(self) -> None:
        for name in ("height_mm", "focus_offset_mm", "negative_tilt_deg", "easel_tilt_deg", "lamp_voltage_share"):
            checked(name, getattr(self, name))
        for name, allowed in (("carrier", ("glass", "glassless")), ("focused", ("warm", "cold"))):
            if getattr(self, name) not in allowed:
                raise Refused(f"{name} must be one of {', '.join(allowed)}, got {getattr(self, name)!r}")


@dataclass(frozen=True)
class Bench:
    """Settings with the head and lens they name, once they have been found possible."""

    settings: EnlargerSettings
    head: Head
    lens: Lens
    magnification: float

    @property
    def lens_to_paper_mm(self) -> float:
        """Distance from the lens to the paper."""
        return lens_to_paper_mm(self.lens.focal_mm, self.magnification)

    @property
    def print_scale(self) -> float:
        """Print size over negative size: the magnification, or 1 in contact."""
        return 1.0 if self.settings.contact else self.magnification

    @property
    def is_tilted(self) -> bool:
        """Tell whether easel or negative stands out of level; in contact nothing can."""
        settings = self.settings
        return not settings.contact and (settings.easel_tilt_deg != 0.0 or settings.negative_tilt_deg != 0.0)

    @property
    def projects_straight(self) -> bool:
        """Tell whether the picture falls as it is looked at: not turned over, nothing tilted."""
        return not self.settings.flipped and not self.is_tilted


def head_of(settings: EnlargerSettings) -> Head:
    """Return the head that settings name, burning at their voltage. Raises OutsideError for one that is not on the shelf."""
    return find_head(settings.head).at_voltage(settings.lamp_voltage_share)


def set_up(settings: EnlargerSettings, negative: Negative) -> Bench:
    """Return the bench ready to print a negative. Raises SettingsRefused saying what cannot be, and why."""
    head, lens = head_of(settings), find_lens(settings.lens)
    low, high = head.column_mm
    if not low <= settings.height_mm <= high:
        raise SettingsRefused(
            f"height_mm must be between {low:g} and {high:g} on the column of {head.name}, got {settings.height_mm:g}"
        )
    try:
        magnification = magnification_at_height(lens.focal_mm, settings.height_mm)
    except Refused as error:
        raise SettingsRefused(str(error)) from None
    bench = Bench(settings, head, lens, magnification)
    _refuse_frame(bench, negative)
    return bench


def _refuse_frame(bench: Bench, negative: Negative) -> None:
    """Refuse a frame that gate, lens or lit circle cannot take."""
    gate, width_height = bench.head.gate_mm, negative.frame_mm
    if bench.settings.contact:
        lit_mm = min(gate) * bench.magnification
        if lit_mm < negative.diagonal_mm:
            raise SettingsRefused(
                f"the lit circle is {lit_mm:.0f} mm wide and must be wider than the frame's diagonal, "
                f"got a frame of {negative.diagonal_mm:.0f} mm; raise the head"
            )
        return
    if sorted(width_height)[0] > sorted(gate)[0] or sorted(width_height)[1] > sorted(gate)[1]:
        raise SettingsRefused(
            f"the frame must fit the gate of {bench.head.name} ({gate[0]:g} x {gate[1]:g} mm), "
            f"got {width_height[0]:g} x {width_height[1]:g} mm"
        )
    if negative.diagonal_mm > bench.lens.covers_diagonal_mm:
        raise SettingsRefused(
            f"{bench.lens.title} covers a diagonal of {bench.lens.covers_diagonal_mm:g} mm; "
            f"a frame must not be larger, got {negative.diagonal_mm:.0f} mm"
        )


def checked_aperture(lens: Lens, f_number: float) -> float:
    """Return the exact f-number for a mark on the lens. Raises SettingsRefused outside its ring."""
    if not lens.widest_f_number - 1e-6 <= f_number <= lens.smallest_f_number + 1e-6:
        raise SettingsRefused(
            f"f_number must be between {lens.widest_f_number:g} and {lens.smallest_f_number:g} "
            f"on the {lens.title}, got {f_number:g}"
        )
    return exact_f_number(f_number)
