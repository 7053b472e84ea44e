"""The table of ``lessons/README.md``: what coach, printers of different skill and chance come to in every lesson.

``python -m tests.lessons.measured [STARTS] [RECORDS] [LESSON ...]`` prints a line a lesson; same numbers give the same lines.
"""

from __future__ import annotations

import sys

import numpy as np

from sim.scoring.best_prints_of_an_exercise import solved_records
from sim.scoring.checking import negatives_of
from sim.scoring.exercise_file import find_exercise
from sim.scoring.ladder import ByTheRules, climb
from sim.scoring.ladder_bench import LadderBench, accident_share
from sim.scoring.syllabus import read_syllabus

from .coach import Bench, Conversation, coached, printer
from .printers import AtRandom, Guessing

STARTS, RECORDS = 40, 400
RECORDS_SEED = 1000  # other records than those the coach began from
HEAD = (
    "| lesson | coach passes | its sheets | chance | guessing | rules | rules pass | their sheets | solver | by accident |\n"
    "|---|---|---|---|---|---|---|---|---|---|"
)


def line(name: str, talk: Conversation, starts: int, records: int) -> str:
    """Return a lesson's figures as a line of the table."""
    exercise = find_exercise(name)[1]
    bench = LadderBench(exercise, negatives_of(exercise))
    own = Bench.of(exercise)
    runs = [coached(own, seed, talk) for seed in range(starts)]
    needed = [len(run.shares) for run in runs if run.passed]
    means, sheets = [], []
    for skill in (AtRandom, Guessing, ByTheRules):
        climbs = [climb(bench, np.random.Generator(np.random.PCG64(k)), skill) for k in range(starts)]
        means.append(float(np.mean([one.shares[-1] for one in climbs])))
        sheets = [one.sheets for one in climbs if one.passed]
    solver = bench.marks_of(solved_records(exercise, bench)).share
    accident = accident_share(bench, records, RECORDS_SEED)
    return formatted(name, starts, needed, means, sheets, solver, accident)


def formatted(
    name: str, starts: int, needed: list[int], means: list[float], sheets: list[float], solver: float, accident: float
) -> str:
    """Return a line of the table from what was measured."""
    chance, guess, rules = (f"{mean:.2f}" for mean in means)
    own = f"{len(needed)} of {starts} | {np.mean(needed):.2f}" if needed else f"0 of {starts} | none"
    by_rules = f"{len(sheets)} of {starts} | {np.mean(sheets):.2f}" if sheets else f"0 of {starts} | none"
    return f"| `{name}` | {own} | {chance} | {guess} | {rules} | {by_rules} | {solver:.2f} | {100 * accident:.1f} % |"


def main() -> None:
    """Print the table."""
    given = sys.argv[1:]
    starts, records = (int(given[k]) if len(given) > k else usual for k, usual in enumerate((STARTS, RECORDS)))
    print(HEAD)
    with printer() as talk:
        for name in given[2:] or [entry.slug for entry in read_syllabus().lessons]:
            print(line(name, talk, starts, records), flush=True)


if __name__ == "__main__":
    main()
