"""kill -9 at every step and at any moment: no unreadable file, no acknowledged decision lost, the evening goes on."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import sim
from sim.evening.log import append_line, read_log, repair_log
from sim.writing import leftovers_of, sweep

SEED = 7
STEPS = 42  # all calls of the writer's two rounds
RANDOM = 30  # the larger run by hand raises this
HERE = Path(__file__).parent


def _deaths() -> list[dict[str, Any]]:
    generator = np.random.Generator(np.random.PCG64(SEED))
    steps = [{"step": k, "when": when} for k in range(STEPS) for when in ("before", "half", "after")]
    return steps + [{"ms": round(float(t), 2)} for t in generator.uniform(1, 40, RANDOM)]


@pytest.fixture(scope="module")
def runs(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[dict[str, Any]], list[dict[str, Any]]]:
    folder = tmp_path_factory.mktemp("killed")
    deaths = _deaths()
    done = subprocess.run(
        [sys.executable, str(HERE / "killed_writer.py"), str(folder), json.dumps(deaths)],
        capture_output=True, text=True, check=True, timeout=120, env={"PYTHONPATH": str(Path(sim.__file__).parent.parent)},
    )  # fmt: skip
    return folder, deaths, json.loads(done.stdout)


def test_the_writer_was_killed_everywhere(runs: tuple[Path, list[dict[str, Any]], list[dict[str, Any]]]) -> None:
    _, deaths, results = runs
    killed = [death for death, result in zip(deaths, results, strict=True) if result["killed"]]
    assert all(result["killed"] or result["code"] == 0 for result in results)
    assert sum("ms" in death for death in killed) == RANDOM
    assert sum("step" in death for death in killed) > 50
    assert any(result["acknowledged"] for result in results)


def test_no_file_is_unreadable_and_no_acknowledged_decision_is_lost(
    runs: tuple[Path, list[dict[str, Any]], list[dict[str, Any]]],
) -> None:
    folder, _, results = runs
    tails = 0
    for number, result in enumerate(results):
        place = folder / f"run-{number}"
        log, state = place / "evening.jsonl", place / "state.json"
        lines = [words.split()[1] for words in result["acknowledged"] if words.startswith("line")]
        states = [int(words.split()[1]) for words in result["acknowledged"] if words.startswith("state")]
        loaded = read_log(log) if log.exists() else None
        found = [line.hash for line in loaded.lines] if loaded else []
        assert found[: len(lines)] == lines, f"run {number}: an acknowledged decision is lost"
        assert len(found) <= len(lines) + 1
        tails += loaded is not None and loaded.damage is not None
        files = (state, place / "state.json.previous")
        versions = [json.loads(file.read_bytes())["version"] for file in files if file.exists()]
        assert not states or versions[0] >= states[-1], f"run {number}: an acknowledged state is lost"
    assert tails > 0, "no death left a half line: the half writes were not tried"


def test_the_evening_goes_on_after_every_death(runs: tuple[Path, list[dict[str, Any]], list[dict[str, Any]]]) -> None:
    folder, _, results = runs
    for number in range(len(results)):
        log = folder / f"run-{number}" / "evening.jsonl"
        if not log.exists():
            continue
        before = read_log(log)
        loaded = repair_log(log)
        assert loaded.lines == before.lines
        if before.damage is not None:
            assert loaded.damage is not None
            assert log.with_name("evening.jsonl.damaged-1").name in loaded.damage
            assert log.with_name("evening.jsonl.damaged-1").stat().st_size > 0
        last = loaded.lines[-1] if loaded.lines else None
        append_line(log, "note", {"text": "after the power cut"}, last)
        after = read_log(log)
        assert after.damage is None
        assert after.lines[:-1] == loaded.lines


def test_what_the_dead_left_lying_about_is_swept_away(runs: tuple[Path, list[dict[str, Any]], list[dict[str, Any]]]) -> None:
    folder, _, results = runs
    left = 0
    for number in range(len(results)):
        place = folder / f"run-{number}"
        before = {file.name: file.read_bytes() for file in place.iterdir()}
        found = leftovers_of(place / "state.json")
        left += len(found)
        sweep(place / "state.json")
        after = {file.name: file.read_bytes() for file in place.iterdir()}
        assert after == {name: data for name, data in before.items() if name not in {file.name for file in found}}
        assert not any(name.endswith((".part", ".link")) for name in after)
    assert left > 5, "no death left anything: the sweeping was not tried"
