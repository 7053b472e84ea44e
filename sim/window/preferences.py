"""What somebody prefers: scale, language, motion, sound, keys, and where they were; one JSON file, written durably."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from sim.locking import take_hold
from sim.reading import OutsideError, adapter_of, parse_json, read_text, validate
from sim.refusals import Refusal
from sim.writing import sweep, write_text

FILE_NAME = "preferences.json"
MOST_BYTES = 64 * 1024
LONGEST_WAIT_S = 1.0  # for another window that is writing them
SCALES = (1.0, 1.25, 1.5, 1.75, 2.0, 2.5)
LEAST_BEAT_S = 0.5  # well below three flashes a second (WCAG 2.1, criterion 2.3.1)

Words = Annotated[str, Field(max_length=60)]


@dataclass(frozen=True)
class Preferences:
    """Preferences, as they are kept; ``scale`` 0 means: by the size of the desktop.

    ``exports`` is the folder that pages were last written to, ``page`` the paper they are printed on (none: by the locale),
    ``large_type`` whether their type is the larger; ``window`` its size, and where it stood if that is known.
    ``seen_l`` is the least difference (L*) that the screen was found to show, 0 before it was tried.
    """

    scale: Annotated[float, Field(ge=0.0, le=2.5)] = 0.0
    language: Words = "en"
    reduced_motion: bool = False
    sound: bool = False
    beat_s: Annotated[float, Field(ge=LEAST_BEAT_S, le=10.0)] = 1.0
    place: Words = ""
    learner: Words = ""
    seen_l: Annotated[float, Field(ge=0.0, le=20.0)] = 0.0
    exports: Annotated[str, Field(max_length=1024)] = ""
    page: Literal["", "a4", "letter"] = ""
    large_type: bool = False
    window: Annotated[tuple[int, ...], Field(max_length=4)] = ()
    full: bool = False
    keys: Annotated[dict[Words, tuple[Words, ...]], Field(max_length=200)] = field(default_factory=dict)
    format: Literal[1] = 1

    def with_keys(self, chosen: dict[str, tuple[str, ...]]) -> Preferences:
        """Return preferences with other keys."""
        return replace(self, keys=dict(chosen))


def scale_by_desktop(desktop: tuple[int, int]) -> float:
    """Return the scale that suits a desktop: 1 up to 1600 x 1000, larger in quarters above (chosen: reads at arm's length)."""
    share = 0.85 * min(desktop[0] / 1280, desktop[1] / 800)
    return max(1.0, min(2.5, int(share * 4) / 4))


def read_preferences(folder: Path) -> tuple[Preferences, str]:
    """Return the preferences of a folder, and in words what was wrong with the file (then the usual ones)."""
    file = folder / FILE_NAME
    if not file.exists():
        return Preferences(), ""
    try:
        kept = validate(file, parse_json(file, read_text(file, MOST_BYTES)), Preferences)
    except (OutsideError, OSError) as error:
        return Preferences(), f"{error}"
    return replace(kept, scale=max(1.0, kept.scale)) if kept.scale else kept, ""


def write_preferences(folder: Path, chosen: Preferences) -> str:
    """Keep the preferences; returns in words what went wrong, or nothing."""
    data = adapter_of(Preferences).dump_python(chosen, mode="json")
    file = folder / FILE_NAME
    try:
        with take_hold(file, LONGEST_WAIT_S) as hold:
            if hold.locked:
                sweep(file)
            write_text(file, json.dumps(data, indent=2, sort_keys=True) + "\n")
    except Refusal as error:
        return str(error)
    return ""
