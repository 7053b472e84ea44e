"""A control that was moved although it is locked, in words."""

from __future__ import annotations

from sim.enlarger.filters import FilterSetting
from sim.notebook.control_words import control_words, filter_words
from sim.printing.record import Sheet
from sim.scoring.start import Moved
from sim.words import Words

_MOVED_WORDS = {
    "height_mm": "{now} mm instead of {before} mm",
    "sheet": "a {kind} of {now} instead of a sheet of {before}",
    "image_shift_mm": "{now} mm instead of {before} mm",
    "time_s": "{now} s instead of {before} s",
    "temperature_c": "{now} degrees C instead of {before}",
    "sheets_before": "{now} sheets had gone through it instead of {before}",
    "f_number": "f/{now} instead of f/{before}",
    "cards": "a card was in the light",
    "other-light": "paper was moved between exposures",
    "flash": "the sheet was flashed, or its light held back",
}
_PLAIN = ("paper", "reciprocity", "exposures", "filter")  # told by their values alone


def locked_words(moved: Moved, words: Words) -> str:
    """Return what was moved, and that it is locked."""
    return words.text("{control} is locked: {moved}", control=control_words(moved.control, words),
                      moved=moved_words(moved, words))  # fmt: skip


def moved_words(moved: Moved, words: Words) -> str:
    """Return how a control stands now and how it stood."""
    now, before = _shown(moved.now, words), _shown(moved.before, words)
    if moved.what in _MOVED_WORDS:
        kind = getattr(moved.now, "kind", "")
        return words.text(_MOVED_WORDS[moved.what], now=now, before=before, kind=kind)
    if moved.what in _PLAIN:
        return words.text("{now} instead of {before}", now=now, before=before)
    return words.text("{what} {now} instead of {before}", what=moved.what, now=now, before=before)


def _shown(value: object, words: Words) -> str:
    if isinstance(value, bool):
        return words.text("yes") if value else words.text("no")
    if isinstance(value, Sheet):
        return words.text("{width} x {height} mm, border {border} mm", width=f"{value.width_mm:.0f}",
                          height=f"{value.height_mm:.0f}", border=f"{value.border_mm:g}")  # fmt: skip
    if isinstance(value, FilterSetting):
        return filter_words(value, words)
    return f"{value:g}" if isinstance(value, float) else str(value)
