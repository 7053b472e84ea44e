"""The controls in words: what stands beside each of them on the bench, and how it is called within a sentence.

Units stand in the table (``sim/printing/controls.py``).
"""

from __future__ import annotations

from sim.enlarger.filters import FilterSetting
from sim.words import Words

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
    "opal_sheet": "Opal sheet",
    "focus_light": "Focusing light",
}
CONTROL_WORDS = {
    "time_s": "the exposure time",
    "f_number": "the aperture",
    "filter": "the filter",
    "height_mm": "the height on the column",
    "focus_offset_mm": "the focus",
    "head": "the head",
    "lens": "the lens",
    "carrier": "the carrier",
    "contact": "contact or enlarged",
    "cards": "holding back and burning in",
    "exposures": "the number of exposures",
    "flash": "light without the negative",
    "development_time_s": "the time in the developer",
    "temperature_c": "the developer's temperature",
    "fresh_developer": "fresh developer",
    "sheet": "the sheet's size",
    "paper": "the paper",
    "image_shift": "where the image lies on the sheet",
    "easel_tilt_deg": "the easel's tilt",
    "negative_tilt_deg": "the carrier's tilt",
    "reciprocity": "reciprocity failure",
}


def control_words(control: str, words: Words) -> str:
    """Return a control as it stands within a sentence; one that no exercise unlocks by its plain name."""
    return words.text(CONTROL_WORDS.get(control) or control.replace("_", " "))


def filter_words(filtration: FilterSetting, words: Words | None = None) -> str:
    """Return what is in the filter drawer or on the dials: filter 2, Y 0.10 M 0.60, no filter (English unless said)."""
    spoken = words or Words()
    if filtration.graded is not None:
        return spoken.text("filter {name}", name=filtration.graded)
    dials = [f"{dial} {spoken.number(v, 2)}" for dial, v in (("Y", filtration.yellow), ("M", filtration.magenta)) if v]
    return " ".join(dials) or spoken.text("no filter")
