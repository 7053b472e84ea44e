"""A round of a drill: the same items for the same day, kept answer by answer, and what recall makes of the gaps."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.teaching.drill_item import DrillItem
from sim.teaching.drill_rounds import DrillRound, drill_round, recall_round, round_seed
from sim.teaching.progress import DrillDone, Progress, Recalled, read_progress, with_drill, write_progress

DRILL = "say-the-burn"


def _right(item: DrillItem) -> str:
    assert item.answer_stops is not None
    return f"{item.answer_stops:.2f}"


def _asked(round_: DrillRound, folder: Path, count: int) -> list[bytes]:
    found = []
    for _ in range(count):
        item = round_.draw()
        found.append(item.board.tobytes())
        round_.answer(item, _right(item), folder)
    return found


def test_the_same_day_asks_the_same_and_the_next_round_others(tmp_path: Path) -> None:
    here, there = tmp_path / "a", tmp_path / "b"
    first = _asked(drill_round(DRILL, here, "k", 5), here, 2)
    assert first == _asked(drill_round(DRILL, there, "k", 5), there, 2)
    assert first != _asked(drill_round(DRILL, here, "k", 5), here, 2)
    assert len({round_seed(DRILL, who, day, n) for who in ("a", "b") for day in (1, 2) for n in (0, 1)}) == 8


def test_a_round_is_kept_as_one_whatever_else_is_written_meanwhile(tmp_path: Path) -> None:
    round_ = drill_round(DRILL, tmp_path, "", 5, items=3)
    _asked(round_, tmp_path, 1)
    other = DrillDone(day=5, errors=[0.0], right=1)
    write_progress(tmp_path, with_drill(read_progress(tmp_path), "read-the-strip", other))
    _asked(round_, tmp_path, 2)
    kept = read_progress(tmp_path).drills
    assert [len(one.errors) for one in kept[DRILL]] == [3]
    assert kept["read-the-strip"] == [other]
    assert round_.over
    assert round_.right == 3


def test_an_answer_that_answers_something_else_is_no_answer(tmp_path: Path) -> None:
    round_ = drill_round(DRILL, tmp_path, "", 5)
    item = round_.draw()
    with pytest.raises(ValueError, match="the answer must be stops"):
        round_.answer(item, "dark", tmp_path)
    assert round_.answers == []
    assert read_progress(tmp_path).drills == {}


def test_a_round_that_is_stopped_ends_after_what_was_answered(tmp_path: Path) -> None:
    round_ = drill_round(DRILL, tmp_path, "", 5)
    _asked(round_, tmp_path, 2)
    round_.stop()
    assert round_.over
    assert len(round_.asked) == 2


def test_recall_asks_one_item_for_each_skill_that_is_due(tmp_path: Path) -> None:
    assert recall_round(tmp_path, "", 100) is None
    met = {skill: ["a"] for skill in ("burn-in", "hold-back")}
    gaps = {"burn-in": Recalled(day=90, in_a_row=1), "hold-back": Recalled(day=99, in_a_row=3)}
    write_progress(tmp_path, Progress(met=met, recalled=gaps))
    round_ = recall_round(tmp_path, "", 100)
    assert round_ is not None
    assert [(one.drill, one.skill) for one in round_.asked] == [(DRILL, "burn-in")]
    _asked(round_, tmp_path, 1)
    after = read_progress(tmp_path).recalled
    assert after["burn-in"] == Recalled(day=100, in_a_row=2)
    assert after["hold-back"] == gaps["hold-back"]
    assert recall_round(tmp_path, "", 100) is None
