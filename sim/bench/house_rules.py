"""What a lesson allows at the enlarger: locked controls, and the prediction that comes before developing.

Free work has no rules but the darkroom's own. A lesson hands in its rules when the darkroom is opened.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

# They belong to working safely, not to the task; and which negatives there are is for ``negatives`` to say.
NEVER_LOCKED = ("red_filter", "focus_light", "negative")
# The name by which a lesson locks a control or what the control moves, where it differs from its own.
LOCK_NAMES = {
    "yellow": "filter", "magenta": "filter", "border_mm": "sheet", "sheet_width_mm": "sheet", "sheet_height_mm": "sheet",
    "image_shift_x_mm": "image_shift", "image_shift_y_mm": "image_shift", "focused": "carrier", "flipped": "carrier",
    "negative_tilt_deg": "carrier", "ring_mm": "focus_offset_mm", "sheets_before": "temperature_c",
}  # fmt: skip


class HouseRules(Protocol):
    """What the darkroom asks a lesson."""

    def locked(self, control: str) -> str | None:
        """Return why a control is locked, in words, or None."""
        ...

    def prediction_wanted(self, strip: bool) -> str | None:
        """Return the question to be answered before a sheet or strip goes into the developer, or None."""
        ...

    def negatives(self) -> tuple[str, ...]:
        """Return the negatives to be printed here, or none: all of them."""
        ...


@dataclass(frozen=True)
class FreeWork:
    """No lesson: every control is free and nothing has to be said beforehand."""

    def locked(self, control: str) -> str | None:
        """Nothing is locked."""
        return None

    def prediction_wanted(self, strip: bool) -> str | None:
        """Nothing is asked."""
        return None

    def negatives(self) -> tuple[str, ...]:
        """All negatives are there."""
        return ()


def locked(rules: HouseRules, name: str) -> str | None:
    """Return why a control, or what it moves in the set-up, is locked here, or None."""
    return None if name in NEVER_LOCKED else rules.locked(LOCK_NAMES.get(name, name))
