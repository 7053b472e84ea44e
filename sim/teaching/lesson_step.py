"""What a lesson shows at one moment: texts, a question with its choices, readings, and what may be done now.

Window and terminal both show a ``Step``; neither decides anything about the lesson itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sim.scoring.advice import Advice
from sim.scoring.marks import Mark, Marks

Stage = Literal["brief", "predict", "make", "see", "explain", "marks", "done"]


@dataclass(frozen=True)
class Choice:
    """One answer that can be tapped: its key (kept in the log) and its words."""

    key: str
    words: str


@dataclass(frozen=True)
class SheetLine:
    """A piece of paper made so far, as a list shows it."""

    number: int
    kind: str
    negative: str
    words: str
    nominated: bool = False


@dataclass(frozen=True)
class Contrast:
    """Two of the learner's own prints side by side, what was done differently, and what that did to the tones."""

    first: int
    second: int
    words: tuple[str, ...]


@dataclass(frozen=True)
class Step:
    """The lesson at one moment.

    ``allowed`` names what may be done now: go-on, predict, strip, print, play, see, why, hint, nominate, hand-in.
    ``locked`` says for every locked control why it is locked. ``readings`` belong to the last piece of paper (``sheet``)
    and are empty until the learner has said what is to be seen on it; ``marks`` until sheets were nominated. ``strip`` has
    label and density of a strip's steps, ``strip_shows`` the places that each of them shows whole.
    """

    stage: Stage
    title: str
    texts: tuple[str, ...]
    question: str = ""
    choices: tuple[Choice, ...] = ()
    allowed: tuple[str, ...] = ()
    locked: tuple[Choice, ...] = ()
    sheet: int = 0
    sheet_kind: str = ""
    predicted: str = ""
    seen: str = ""
    measured: str = ""
    readings: tuple[Mark, ...] = ()
    strip: tuple[tuple[str, float], ...] = ()
    hint: str = ""
    hint_level: int = 0
    no_hint: str = ""
    sheets: tuple[SheetLine, ...] = ()
    sheets_left: float = 0.0
    minutes_left: float = 0.0
    marks: Marks | None = None
    passed: bool = False
    advice: tuple[Advice, ...] = ()
    contrasts: tuple[Contrast, ...] = ()
    pictures: tuple[str, ...] = ()
    strip_shows: tuple[str, ...] = ()
