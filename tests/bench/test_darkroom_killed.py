"""kill -9 while somebody is printing: the darkroom is found as it was left, nothing acknowledged is lost or done twice."""

from __future__ import annotations

import itertools
import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import sim
from sim.bench.tools import CardPose, Tool
from sim.evening.log import read_log
from sim.refusals import Refused
from tests.bench.killed_darkroom import Seen, opened, seen, steps

SEED, KILLS = 11, 10  # the larger run by hand raises the number


def _between(before: Seen, after: Seen) -> set[Seen]:
    """Return what may be found between two steps: the one or the other, or a sheet that has just left the developer."""
    half = {(after[0], after[1], bath, after[3], after[4]) for bath in ("stop", "dry")} if after[3] > before[3] else set()
    return {before, after} | half


def test_nothing_acknowledged_is_lost_and_the_evening_goes_on(tmp_path: Path) -> None:
    generator = np.random.Generator(np.random.PCG64(SEED))
    deaths = [round(float(t), 1) for t in generator.uniform(300, 1500, KILLS)]
    root = str(Path(sim.__file__).parent.parent)
    script = Path(__file__).parent / "killed_darkroom.py"
    done = subprocess.run(
        [sys.executable, str(script), str(tmp_path), json.dumps(deaths)], capture_output=True, text=True, check=True,
        timeout=200, env={"PYTHONPATH": root}, cwd=root,
    )  # fmt: skip
    acknowledged: list[int] = json.loads(done.stdout)
    assert sum(n > 3 for n in acknowledged) >= KILLS // 2
    whole = opened(tmp_path / "undisturbed")
    expected = [seen(whole), *itertools.islice(steps(whole), max(acknowledged) + 1)]
    for k, count in enumerate(acknowledged):
        room = opened(tmp_path / f"run-{k}")
        assert seen(room) in _between(expected[count], expected[count + 1]), f"run {k}, after {count} steps"
        log = read_log(tmp_path / f"run-{k}" / "evening.jsonl")
        assert log.damage is None
        records = [made.record for made in room.evening.state.sheets]
        assert records == [made.record for made in whole.evening.state.sheets][: len(records)]
        _goes_on(room)


def _goes_on(room: object) -> None:
    """See the piece that was in hand or tray through, whatever it had come to."""
    from sim.bench.darkroom import Darkroom

    assert isinstance(room, Darkroom)
    made = len(room.evening.state.sheets)
    if room.paper.piece is not None:
        room.paper.expose()
        room.tray.put_in()
    if room.tray.stage:
        number = room.tray.finish()
        assert number == len(room.evening.state.sheets)
        room.tray.clear()
    assert len(room.evening.state.sheets) in (made, made + 1)


def test_a_kill_while_the_lamp_burns_leaves_the_paper_with_the_light_it_had(tmp_path: Path) -> None:
    room = opened(tmp_path)
    room.desk.set("time_s", 12.0)
    room.paper.take("sheet")
    room.paper.begin_exposure()
    for _ in range(46):  # 4.6 s, in frames of a tenth
        room.paper.advance(0.1, [CardPose(Tool("disc", 30.0, 30.0), 60.0, 80.0)])
    left = (tmp_path / "desk.json").read_bytes()
    room.close()
    (tmp_path / "desk.json").write_bytes(left)  # what a kill leaves: the lamp never went off in words

    found = opened(tmp_path)
    assert found.damage is not None
    assert "lamp was burning" in found.damage
    (exposure,) = found.paper.record().exposures
    assert 3.9 <= exposure.time_s <= 4.6  # to the second
    assert len(exposure.cards) == 1
    with pytest.raises(Refused, match="must not go back into the box"):
        found.paper.put_back()
    found.close()
    again = opened(tmp_path)  # opened twice more, it gets that light once
    assert len(again.paper.record().exposures) == 1


def test_a_lamp_that_went_off_in_its_own_time_leaves_nothing_burning(tmp_path: Path) -> None:
    room = opened(tmp_path)
    room.desk.set("time_s", 2.0)
    room.paper.take("sheet")
    room.paper.begin_exposure()
    while room.paper.advance(0.25):
        pass
    room.close()
    found = opened(tmp_path)
    assert found.damage is None
    assert [e.time_s for e in found.paper.record().exposures] == [2.0]
