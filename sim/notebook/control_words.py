"""The controls that an exercise may unlock, in words as they stand within a sentence."""

from __future__ import annotations

from sim.words import Words

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
    "development_time_s": "the time in the developer",
    "temperature_c": "the developer's temperature",
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
