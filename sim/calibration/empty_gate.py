"""The light on the easel with nothing in the carrier: what strips of a wedge are exposed in."""

from __future__ import annotations

from sim.enlarger.equipment import find_lens
from sim.enlarger.geometry import magnification_at_height
from sim.enlarger.illuminance import open_gate_lux
from sim.enlarger.settings import Bench, EnlargerSettings, SettingsRefused, head_of


def empty_gate_bench(head: str, lens: str, height_mm: float, contact: bool = True) -> Bench:
    """Return the bench with an empty carrier. Raises Refused for a height that head and lens do not have."""
    settings = EnlargerSettings(head, lens, height_mm, contact=contact)
    found, glass = head_of(settings), find_lens(lens)
    low, high = found.column_mm
    if not low <= height_mm <= high:
        raise SettingsRefused(
            f"height_mm must be between {low:g} and {high:g} on the column of {head}, got {height_mm:g}"
        )
    return Bench(settings, found, glass, magnification_at_height(glass.focal_mm, height_mm))


def empty_gate_lux(head: str, lens: str, height_mm: float, f_number: float) -> float:
    """Return lux on the axis without filter, carrier empty, at a mark of the lens's ring."""
    return open_gate_lux(empty_gate_bench(head, lens, height_mm), f_number)
