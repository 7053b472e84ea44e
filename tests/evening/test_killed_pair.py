"""kill -9 while two programs want one darkroom: no acknowledged decision lost, no lock left behind, no litter."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
from night import turns

import sim
from sim.bench.darkroom import Darkroom
from sim.evening.log import read_log
from tests.evening.killed_pair import time_after

SEED = 23
ROUNDS = 5  # two kills each; by night fifty
HERE = Path(__file__).parent


def test_two_programs_and_a_killer_lose_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    rounds = turns("TONEWRIGHT_KILLED_ROUNDS", ROUNDS, 50)
    generator = np.random.Generator(np.random.PCG64(SEED))
    deaths = [[round(float(generator.uniform(150, 900)), 1), int(generator.integers(2))] for _ in range(rounds)]
    root = str(Path(sim.__file__).parent.parent)
    done = subprocess.run(
        [sys.executable, str(HERE / "killed_pair.py"), str(tmp_path), json.dumps(deaths)],
        capture_output=True, text=True, check=True, timeout=550, env={**os.environ, "PYTHONPATH": root},
    )  # fmt: skip
    said = [line.split(" ", 1) for one in json.loads(done.stdout) for line in one]
    acknowledged = [words for kind, words in said if kind == "note"]
    counts = {f"round-{k}-{which}": 0 for k in range(rounds) for which in "ab"}
    for words in acknowledged:
        name, count = words.split()
        counts[name] = int(count)
    _, last = max((int(words.split()[1]), float(words.split()[0])) for kind, words in said if kind == "desk")

    room = Darkroom.open(tmp_path)  # the locks of the dead have gone with them
    log = read_log(tmp_path / "evening.jsonl")
    kept = list(room.evening.state.notes)
    assert log.damage is None
    lost = set(acknowledged) - set(kept)
    assert lost == set(), f"{len(lost)} of {len(acknowledged)} acknowledged decisions are lost"
    assert len(kept) == len(set(kept))
    assert len(set(kept) - set(acknowledged)) <= 2 * rounds, "what the dead wrote and could no longer say"
    unsaid = {time_after(count + step) for count in counts.values() for step in (0, 1)}  # each may have died unsaid
    assert room.damage is None
    assert room.desk.now.time_s in {last, *unsaid}, "the desk stands as it was last said to stand, or one change further"
    assert not [file.name for file in tmp_path.iterdir() if file.name.endswith((".part", ".link"))]
    assert len(acknowledged) >= rounds, "too little was done for the kills to mean anything"
    print(f"{2 * rounds} kills, {len(acknowledged)} acknowledged, {len(lost)} lost, {len(kept)} kept")
    room.close()
