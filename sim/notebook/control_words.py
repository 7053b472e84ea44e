"""The controls in words: what stands beside each of them on the bench and in the window. Units stand in the table."""

from __future__ import annotations

CONTROL_TITLES = {
    "negative": "Negative",
    "paper": "Paper",
    "head": "Head",
    "lens": "Lens",
    "f_number": "Aperture",
    "time_s": "Time",
    "filter": "Filter",
    "yellow": "Yellow",
    "magenta": "Magenta",
    "height_mm": "Column",
    "focus_offset_mm": "Focus",
    "carrier": "Carrier",
    "focused": "Focused",
    "contact": "Contact frame",
    "flipped": "Negative wrong side up",
    "negative_tilt_deg": "Carrier tilt",
    "easel_tilt_deg": "Easel tilt",
    "sheet": "Sheet",
    "border_mm": "Border",
    "image_shift_x_mm": "Image to the right",
    "image_shift_y_mm": "Image down",
    "development_time_s": "Developer",
    "temperature_c": "Developer temperature",
    "reciprocity": "Reciprocity failure",
    "red_filter": "Red filter",
    "focus_light": "Focusing light",
}
