"""Where a place wants more holding back than the solver's one stop, the light around the tool makes up for it."""

from __future__ import annotations

import numpy as np

from sim.negative.develop import find_negative
from sim.scoring.best_prints_of_an_exercise import solved_records
from sim.scoring.exercise_file import find_exercise
from sim.scoring.ladder_bench import LadderBench


def test_the_solver_earns_everything_where_over_a_stop_must_be_held_back() -> None:
    """The reference of this lesson holds the far jugs back for 3.8 of 6.5 s, 1.27 stops."""
    exercise = find_exercise("an-edition-of-three")[1]
    bench = LadderBench(exercise, tuple(find_negative(name) for name in exercise.negatives))
    solved = solved_records(exercise, bench)
    (card,) = solved[0].exposures[0].cards
    assert -np.log2(1.0 - card.stop_s / solved[0].exposures[0].time_s) > 1.05
    assert bench.marks_of(solved).share > 0.98
