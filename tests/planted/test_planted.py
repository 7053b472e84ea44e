"""Faults that are planted are noticed by the tests that hold what they say; what cannot be noticed is said to have survived."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from .faults import faults_of
from .held import HELD
from .tree import HERE

MODULE = '''"""Words with a 7 in them."""
MOST, LEAST = 2, 0.5


def marks(given: list[float], most: int = 3) -> float:
    """Return 1 mark."""
    if len(given) > most and given[0] != 0.5:
        return sum(given) - LEAST  # less 0.1
    return -1.0 if not given else float(f"{MOST:04d}")
'''


def test_what_may_be_planted_is_found_and_words_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "marks.py").write_text(MODULE, encoding="utf-8")
    titles = {fault.title.removeprefix("marks.py ") for fault in faults_of(tmp_path, "marks.py")}
    assert titles == {
        "module: 2 -> 3", "module: 2 -> 1", "module: 0.5 -> 0.575", "module: 0.5 -> 0.435", "module: 0.5 -> 0.75",
        "module: 0.5 -> 0.335", "marks: 3 -> 4", "marks: 3 -> 2", "marks: > -> >=", "marks: > -> <", "marks: and -> or",
        "marks: != -> ==", "marks: 0.5 -> 0.575", "marks: 0.5 -> 0.435", "marks: 0.5 -> 0.75", "marks: 0.5 -> 0.335",
        "marks: len(given) > most and given[0] != 0.5 -> not (len(given) > most and given[0] != 0.5)", "marks: - -> +",
        "marks: - -> ", "marks: 1.0 -> 1.15", "marks: 1.0 -> 0.87", "marks: 1.0 -> 1.5", "marks: 1.0 -> 0.67",
        "marks: not given -> not (not given)",
    }  # fmt: skip


def test_a_planted_fault_is_the_only_thing_that_changes(tmp_path: Path) -> None:
    (tmp_path / "marks.py").write_text(MODULE, encoding="utf-8")
    whole = MODULE.encode()
    for fault in faults_of(tmp_path, "marks.py"):
        planted = fault.planted(whole)
        assert planted != whole
        assert planted[: fault.start] == whole[: fault.start]
        assert planted.endswith(whole[fault.end :])
        compile(planted, "marks.py", "exec")


@pytest.mark.skipif(not hasattr(os, "fork"), reason="faults are tried in forks")
def test_the_handful_is_noticed_survives_or_breaks_as_it_must() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "planted.held"],
        env={**os.environ, "PYTHONPATH": str(HERE / "tests")}, cwd=HERE, capture_output=True, text=True, timeout=300.0,
        check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    rows = [json.loads(line) for line in done.stdout.splitlines()]
    assert {row["title"]: row["outcome"] for row in rows} == {title: outcome for title, (_, outcome) in HELD.items()}
    assert all(row["tests"] for row in rows)
