"""The attacking printers and the honest one at length: ``python -m tests.attacks.measured LESSON ... --evenings 60``."""

from __future__ import annotations

import argparse

import numpy as np

from sim.scoring.checking import negatives_of
from sim.scoring.derived import read_reference
from sim.scoring.exercise_file import find_exercise
from sim.scoring.ladder_bench import LadderBench
from sim.teaching.own_decisions import looks_lucky, tolerances_off

from .printers import blind_box, by_hand, millimetre_cards


def blind(bench: LadderBench, evenings: int) -> tuple[int, int]:
    """Return how many boxes laid blind hold a sheet that passes, and how many of them would count towards the skill."""
    rng, passed, counted = np.random.Generator(np.random.PCG64(5)), 0, 0
    for _ in range(evenings):
        marks = [bench.marks_of(records) for records in blind_box(bench, rng)]
        best = max(range(len(marks)), key=lambda k: marks[k].share)
        if marks[best].passed(bench.exercise):
            passed += 1
            others = [k for k in range(1, len(marks)) if k != best]
            counted += not (others and looks_lucky([tolerances_off(one.marks) for one in marks], others))
    return passed, counted


def honest(bench: LadderBench, reference: tuple[object, ...], evenings: int) -> int:
    """Return how many evenings pass of someone who prints the solver's settings as a person does."""
    rng = np.random.Generator(np.random.PCG64(3))
    return sum(bench.marks_of(by_hand(reference, rng)).passed(bench.exercise) for _ in range(evenings))  # type: ignore[arg-type]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("lesson", nargs="+")
    parser.add_argument("--evenings", type=int, default=60)
    options = parser.parse_args()
    for name in options.lesson:
        folder, exercise = find_exercise(name)
        bench = LadderBench(exercise, negatives_of(exercise))
        dots = bench.marks_of(millimetre_cards(bench)).share if "cards" in exercise.unlocked else 0.0
        passed, counted = blind(bench, options.evenings)
        good = honest(bench, read_reference(folder), options.evenings)
        print(f"{name}: millimetre cards earn {dots:.0%}; of {options.evenings} boxes laid blind {passed} hold a sheet that "
              f"passes, {counted} count; of {options.evenings} honest evenings {good} pass", flush=True)  # fmt: skip


if __name__ == "__main__":
    main()
