"""Fixing and washing cut short: when it is, and what an evening's log keeps of it.

The model has no law for paper that is not fixed through: no tone changes here. On real paper the silver that is left
darkens and stains (common practice, as every fixer's sheet warns), so it stands in the log, where nothing takes it away.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

TITLES = {"fix": "fixer", "wash": "rinse"}
PULLED_SHARE = 0.97  # of its time; a sheet lifted sooner is noted (chosen: a hand that lifts at the bell is never early)
_NOTE = re.compile(r"sheet (\d+), out of the (fixer|rinse) after (\d+) s of (\d+) s")


@dataclass(frozen=True)
class ShortBath:
    """A bath that was too short: ``fix`` or ``wash``, seconds had, and seconds that the bath asks for."""

    bath: str
    had_s: int
    whole_s: int


def too_short(bath: str, had_s: float, whole_s: float) -> bool:
    """Tell whether a sheet lifted now leaves fixer or rinse before the time that the bath asks for."""
    return bath in TITLES and had_s < PULLED_SHARE * whole_s


def note_of_short(number: int, bath: str, had_s: float, whole_s: float) -> str:
    """Return the log's note of a bath that was too short."""
    return f"sheet {number}, out of the {TITLES[bath]} after {had_s:.0f} s of {whole_s:.0f} s"


def short_baths(notes: Sequence[str], number: int) -> tuple[ShortBath, ...]:
    """Return a sheet's baths that were too short, as the notes of its evening's log say, in their order."""
    found = (_NOTE.fullmatch(note) for note in notes)
    baths = {title: bath for bath, title in TITLES.items()}
    return tuple(
        ShortBath(baths[one[2]], int(one[3]), int(one[4])) for one in found if one is not None and int(one[1]) == number
    )
