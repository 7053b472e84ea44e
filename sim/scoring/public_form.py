"""The form of an exercise that learners get: whether it can be read, and reads as what was given out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from sim.reading import OutsideError
from sim.scoring.exercise import Criterion, Exercise
from sim.scoring.exercise_file import EXERCISE_FILE, exercise_toml, read_exercise

READS_OTHERWISE = "reads-otherwise"  # what is read back is another exercise than what was written
STANDS_FOR_A_PRINT = 0.5  # density: a bundle holds what the instructor's print reads; any number reads back as well


def wrong_with_public_form(exercise: Exercise) -> str:
    """Return what keeps learners from opening the exercise as they would get it; empty: nothing does.

    A code, or what the file's reader refuses it with. The form is written as a bundle writes it, and read as a learner's
    program reads it.
    """
    given = replace(exercise, criteria=tuple(map(_with_densities, exercise.criteria)), goals=(), also=()).public()
    with TemporaryDirectory() as folder:
        (Path(folder) / EXERCISE_FILE).write_text(exercise_toml(given), encoding="utf-8")
        try:
            again = read_exercise(Path(folder))
        except OutsideError as error:
            return "; ".join(str(problem) for problem in error.problems)
    return "" if replace(again, name=given.name).digest == given.digest else READS_OTHERWISE


def _with_densities(criterion: Criterion) -> Criterion:
    if not criterion.record:
        return criterion
    return replace(criterion, record="", densities=(STANDS_FOR_A_PRINT,) * len(criterion.spots))
