"""Hands that take a lesson for the tests: a run alone, a strip, one print, the right time."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from sim.enlarger.filters import FilterSetting
from sim.printing.record import PrintingRecord
from sim.printing.strips import lay_strip, stop_times_s
from sim.scoring.exercise_file import find_exercise
from sim.teaching.lesson import LessonRun
from sim.teaching.worked_example import read_references, strip_across

STRIP_LESSON, FILTER_LESSON, SERIES, EDITION = (
    "time-from-a-strip", "filter-for-a-normal-negative", "matching-a-series", "an-edition-of-three",
)  # fmt: skip
COARSE = 0.8


def solo(folder: Path, name: str = STRIP_LESSON, **more: object) -> LessonRun:
    return LessonRun.open(folder / "log.jsonl", name, mode="solo", **more)  # type: ignore[arg-type]


def reopened(run: LessonRun) -> LessonRun:
    run.evening.close()
    return LessonRun.open(run.evening.file, run.exercise.name)


def timed(run: LessonRun, time_s: float) -> PrintingRecord:
    record = run.start()
    return record.with_exposures(replace(record.exposures[0], time_s=time_s))


def strip(run: LessonRun, first_s: float = 2.0) -> PrintingRecord:
    piece = strip_across(run.negatives[0], run.start(), "white-cup")
    times = stop_times_s(first_s, 0.5, 7)
    return lay_strip(piece.record, times, 8.0, FilterSetting("2"), "same-place", home_mm=piece.at_mm).record


def one_print(run: LessonRun, time_s: float, predict: str = "right", see: str = "right") -> None:
    run.predict(predict)
    run.make(timed(run, time_s), COARSE)
    run.see(see)
    run.why(run.step.choices[0].key)


def right_time(run: LessonRun) -> float:
    folder, _ = find_exercise(run.exercise.name)
    return read_references(folder)[0].exposures[0].time_s
