"""The truth of the coach: a printer who sees only the advice reaches a passing print, from almost any start, in every lesson.

``TONEWRIGHT_STARTS=1000`` runs as many starts a lesson by hand; twenty in continuous testing.
"""

from __future__ import annotations

import ast
import os
from collections.abc import Iterator

import numpy as np
import pytest

from sim.negative.develop import find_negative
from sim.scoring.checking import MOST_BY_ACCIDENT, MOST_TWICE_BY_ACCIDENT
from sim.scoring.exercise_file import exercise_names, find_exercise
from sim.scoring.ladder import AtRandom, ByTheRules, Guessing, climb
from sim.scoring.ladder_bench import LadderBench, accident_share

from .coach import PRINTER, Bench, Conversation, coached, printer

STARTS = int(os.environ.get("TONEWRIGHT_STARTS", "20"))
RECORDS = int(os.environ.get("TONEWRIGHT_STARTS", "40"))
LADDER_STARTS = max(1, STARTS // 20)
LEAST_PASSED = 0.95
LESSONS = exercise_names()


@pytest.fixture(scope="module")
def talk() -> Iterator[Conversation]:
    with printer() as conversation:
        yield conversation


def test_the_printer_knows_nothing_of_this_project() -> None:
    """Standard library only: no physics and no solver could have helped it."""
    tree = ast.parse(PRINTER.read_text(encoding="utf-8"))
    imported = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    imported |= {str(node.module) for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert imported == {"__future__", "json", "sys", "math", "typing"}


@pytest.mark.parametrize("name", LESSONS)
def test_advice_alone_leads_to_a_passing_print(name: str, talk: Conversation) -> None:
    bench = Bench.of(find_exercise(name)[1])
    runs = [coached(bench, seed, talk) for seed in range(STARTS)]
    failed = [(run.seed, [round(share, 2) for share in run.shares]) for run in runs if not run.passed]
    assert len(failed) <= (1.0 - LEAST_PASSED) * STARTS, f"{name}: {failed}"


def _bench(name: str) -> LadderBench:
    exercise = find_exercise(name)[1]
    return LadderBench(exercise, tuple(find_negative(negative) for negative in exercise.negatives))


@pytest.mark.parametrize("name", LESSONS)
def test_hardly_any_print_passes_by_accident(name: str) -> None:
    """One control: at most 15 % of random records; twice in a row, as the skill gate asks, at most 2 % of pairs."""
    bench = _bench(name)
    records = 3 * RECORDS if bench.exercise.unlocked == ("time_s",) else RECORDS
    by_accident = accident_share(bench, records)
    assert by_accident <= MOST_BY_ACCIDENT
    # three standard deviations of so few records lie above the share that would be allowed for ever
    allowed = MOST_TWICE_BY_ACCIDENT**0.5
    assert by_accident <= allowed + 3.0 * (allowed * (1.0 - allowed) / records) ** 0.5


def test_the_rules_beat_guessing_and_guessing_beats_chance() -> None:
    """Over all lessons: mean of the best share so far, every round counted alike; 95 % intervals do not touch."""
    means = {}
    for printer_of in (AtRandom, Guessing, ByTheRules):
        climbs = []
        for name in LESSONS:
            bench = _bench(name)
            climbs += [climb(bench, np.random.Generator(np.random.PCG64(k)), printer_of) for k in range(LADDER_STARTS)]
        ends = np.array([one.shares[-1] for one in climbs])
        means[printer_of.__name__] = float(ends.mean()), 1.96 * float(ends.std(ddof=1)) / len(ends) ** 0.5
    (chance, _), (guess, guess_half), (rules, rules_half) = means.values()
    assert rules - rules_half > guess + guess_half, means
    assert guess > chance, means
