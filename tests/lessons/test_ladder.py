"""A lesson tells those who know the trade's rules from those who guess, and both from chance.

By day some lessons are drawn: random records of them are marked, and they are climbed from first prints drawn anew. By night,
or with ``TONEWRIGHT_STARTS=20``, all lessons are climbed; by night, or with ``TONEWRIGHT_RECORDS=400``, so many random records
of every lesson are marked.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest
from night import dice, drawn, turns

from sim.negative.develop import find_negative
from sim.scoring.best_prints_of_an_exercise import solved_records
from sim.scoring.checking import MOST_BY_ACCIDENT, MOST_TWICE_BY_ACCIDENT
from sim.scoring.exercise_file import exercise_names, find_exercise
from sim.scoring.ladder import ByTheRules, climb
from sim.scoring.ladder_bench import LadderBench, accident_share

from .printers import AtRandom, Guessing

LESSONS = exercise_names()
STARTS = turns("TONEWRIGHT_STARTS", 0, 40)
RECORDS = turns("TONEWRIGHT_RECORDS", 0, 400)
RECORDS_A_DAY = 40
CLIMBS = max(2, STARTS // 10)
CLIMBED = LESSONS if STARTS else drawn(LESSONS, 10, "lessons that are climbed")
SOLVED = CLIMBED if STARTS else drawn(CLIMBED, 2, "lessons that are solved")
SOLVER_TOLERANCE = 0.005  # of the quality points: the solver stops within the tolerances, not at their middle


@lru_cache(maxsize=2)
def _bench(name: str) -> LadderBench:
    exercise = find_exercise(name)[1]
    return LadderBench(exercise, tuple(find_negative(negative) for negative in exercise.negatives))


@pytest.mark.parametrize("name", LESSONS if RECORDS else drawn(LESSONS, 9, "lessons passed by accident"))
def test_hardly_any_print_passes_by_accident(name: str) -> None:
    """One control: at most 15 % of random records; twice in a row, as the skill gate asks, at most 2 % of pairs.

    So few records may lie above by chance: three standard deviations of a share that is just allowed.
    """
    bench = _bench(name)
    single = len(bench.exercise.unlocked) == 1
    records = (RECORDS or RECORDS_A_DAY) * (3 if single else 1)
    gate = MOST_TWICE_BY_ACCIDENT**0.5
    allowed = min(MOST_BY_ACCIDENT, gate) if single else gate
    seed = int(dice(f"random records of {name}").integers(10**9))
    assert accident_share(bench, records, seed) <= allowed + 3.0 * (allowed * (1.0 - allowed) / records) ** 0.5


@lru_cache(maxsize=len(LESSONS))
def _climbed(name: str) -> tuple[tuple[float, ...], ...]:
    """Return, per start, the best share that chance, guessing and the rules came to: from the same first print."""
    bench = _bench(name)
    return tuple(
        tuple(climb(bench, dice(f"{name}, climb {k}"), skill).shares[-1] for skill in (AtRandom, Guessing, ByTheRules))
        for k in range(CLIMBS)
    )


def test_the_rules_beat_guessing_and_guessing_beats_chance() -> None:
    """Over the lessons, start by start: the 95 % interval of the mean difference lies above nothing.

    Rules earn 0.4 more than guessing, which ten lessons show. Guessing earns 0.08 more than chance: that takes all lessons,
    and by day it is only not to be worse.
    """
    ends = np.array([shares for name in CLIMBED for shares in _climbed(name)])
    for step, name in enumerate(("guessing over chance", "rules over guessing")):
        better = ends[:, step + 1] - ends[:, step]
        half = 1.96 * float(better.std(ddof=1)) / len(better) ** 0.5
        surely = float(better.mean()) + (half if step == 0 and not STARTS else -half)
        assert surely > 0.0, (name, float(better.mean()), half, len(better))


@pytest.mark.parametrize("name", SOLVED)
def test_the_solver_is_never_worse_than_the_rules(name: str) -> None:
    """What reach finds without knowing the reference earns as much as the best print that the rules came to."""
    bench = _bench(name)
    solved = bench.marks_of(solved_records(bench.exercise, bench)).share
    best = max(rules for _, _, rules in _climbed(name))
    assert solved >= best - SOLVER_TOLERANCE
