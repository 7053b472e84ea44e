"""A strip that was lifted from the developer too early is told so before a time is taken from it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from lesson_hands import COARSE, solo, strip

from sim.paper.stock import find_stock
from sim.teaching.strip_texts import lifted_early, see_strip


@pytest.mark.parametrize(("share", "told"), [(0.5, True), (0.85, True), (0.95, False), (1.0, False), (1.4, False)])
def test_a_strip_that_had_too_little_developer_is_told_so_where_development_is_not_the_lesson(
    tmp_path: Path, share: float, told: bool
) -> None:
    run = solo(tmp_path)
    run.predict("step-3")
    run.make(strip(run), COARSE)
    made = run.last
    assert made is not None
    record = made.record
    whole_s = find_stock(record.sheet.paper).development.time_to_completion_s(record.development)
    early = replace(made, record=replace(record, development=replace(record.development, time_s=share * whole_s)))
    said = lifted_early(run, early)
    assert bool(said) is told
    if told:
        assert f"after {share * whole_s:.0f} seconds of {whole_s:.0f}" in said
        assert said in see_strip(run, early)[0]
