"""An exposure that no tone needs is found out: a tenth of a second through the other filter is no split grade."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sim.scoring.checking import negatives_of
from sim.scoring.derived import read_reference
from sim.scoring.exercise_file import find_exercise
from sim.scoring.ladder_bench import LadderBench
from sim.workshop.derive.claims import MOVED_TOLERANCES, tolerances_moved


@pytest.mark.parametrize("index", [0, 1])
def test_leaving_out_half_of_a_true_pair_moves_a_tone_far_and_a_tenth_of_a_second_does_not(index: int) -> None:
    folder, exercise = find_exercise("soft-and-hard")
    bench, reference = LadderBench(exercise, negatives_of(exercise)), read_reference(folder)
    assert tolerances_moved(bench, reference, 0, index) > MOVED_TOLERANCES
    (record,) = reference
    short = [replace(e, time_s=0.1) if k == index else e for k, e in enumerate(record.exposures)]
    assert tolerances_moved(bench, (record.with_exposures(*short),), 0, index) < MOVED_TOLERANCES
