"""The print that can be reached is shown with the marks and never before; it reaches what was asked."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from sim.teaching.lesson import LessonRun, NotNow
from sim.teaching.reached import reached_maker


def test_nothing_is_shown_of_it_before_the_marks(tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "evening.jsonl", "time-from-a-strip")
    with pytest.raises(NotNow, match="no sheet has been named"):
        reached_maker(run, 1, 1.0)
    run.evening.close()


def test_the_reached_print_reads_as_asked_where_the_learners_does_not(tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "evening.jsonl", "time-from-a-strip", mode="solo")
    run.predict("right")
    run.make(run.start())
    run.see("lighter")
    run.why("exposure")
    run.nominate(1)
    marks, _, _ = run.result()
    assert not marks.passed(run.exercise)
    density = reached_maker(run, 1, 1.0)()
    mine = run.sheet(1)
    assert density.shape[0] == pytest.approx(254, abs=2)
    assert float(np.mean(density)) > float(np.mean(mine.density)) + 0.1, "the first print got far too little light"
    run.evening.close()
