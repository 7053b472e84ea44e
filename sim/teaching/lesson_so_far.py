"""What texts ask of a lesson under way."""

from __future__ import annotations

from pathlib import Path
from typing import Protocol

from sim.evening.evening import Evening
from sim.evening.evening_state import SheetMade
from sim.negative.negative import Negative
from sim.printing.make_print import Print
from sim.scoring.advice import Advice
from sim.scoring.exercise import Exercise
from sim.scoring.marks import Mark, Marks
from sim.teaching.lesson_step import Contrast, Stage
from sim.teaching.own_decisions import NotCounted
from sim.teaching.worked_example import Played
from sim.words import Words


class LessonSoFar(Protocol):
    """What the texts ask of a lesson under way; see LessonRun for what each of it says."""

    folder: Path
    exercise: Exercise
    evening: Evening
    negatives: tuple[Negative, ...]
    mode: str
    plan: tuple[Played, ...]
    words: Words

    @property
    def made(self) -> int: ...
    @property
    def last(self) -> SheetMade | None: ...
    @property
    def stage(self) -> Stage: ...
    @property
    def prediction(self) -> str: ...
    @property
    def shown_next(self) -> bool: ...
    @property
    def may_pour(self) -> bool: ...
    @property
    def graded(self) -> bool: ...
    @property
    def exam(self) -> bool: ...
    @property
    def hint_level(self) -> int: ...
    def not_counted(self) -> NotCounted: ...
    def no_hint(self) -> str: ...
    def sheet(self, number: int) -> Print: ...
    def readings(self, number: int) -> tuple[tuple[Mark, ...], tuple[Advice, ...]]: ...
    def holds(self, number: int) -> tuple[Advice, ...]: ...
    def result(self) -> tuple[Marks, tuple[Advice, ...], tuple[Contrast, ...]]: ...
