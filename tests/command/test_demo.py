"""The demonstration, run once: it writes every file it names, each whole, and does not depend on what was there."""

from __future__ import annotations

import io
import json
from contextlib import redirect_stdout
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from running import left_over, picture

from sim.command.main import main
from sim.evening.evening import Evening
from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record_file import read_record
from sim.viewing.lightness import screen_values

PRINTS = ("strip", "first-print", "straight", "split")
OLD_LOG = b"an evening of my own, which the demonstration must not lose\n"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Any]]:
    folder = tmp_path_factory.mktemp("demo") / "first-prints"
    folder.mkdir()
    (folder / "evening.jsonl").write_bytes(OLD_LOG)
    out = io.StringIO()
    with redirect_stdout(out):
        assert main(["demo", "-o", str(folder), "--json"]) == 0
    return folder, json.loads(out.getvalue())


def test_every_file_is_written_whole(demo: tuple[Path, dict[str, Any]]) -> None:
    folder, _ = demo
    names = {f"{name}.{end}" for name in PRINTS for end in ("png", "json")}
    names |= {"wall-strip.png", "wall-prints.png", "readings.json", "evening.jsonl", "evening.previous.jsonl"}
    assert {p.name for p in folder.iterdir()} == names
    assert left_over(folder) == []
    for file in folder.glob("*.png"):
        assert picture(file).std() > 5, f"{file.name} shows nothing"


def test_what_it_says_is_what_it_wrote(demo: tuple[Path, dict[str, Any]]) -> None:
    folder, said = demo
    assert json.loads((folder / "readings.json").read_text("utf-8")) == said
    assert set(said) >= {"strip", "first_print", "straight", "split", "notes"}
    assert said["split"]["nominated"] is True
    densities = [step["density"] for step in said["strip"]]
    assert len(densities) == 7
    assert densities[-1] > densities[0]


def test_an_evening_that_was_there_is_kept_beside_it(demo: tuple[Path, dict[str, Any]]) -> None:
    assert (demo[0] / "evening.previous.jsonl").read_bytes() == OLD_LOG


def test_its_log_replays_to_the_prints_it_wrote(demo: tuple[Path, dict[str, Any]]) -> None:
    folder, _ = demo
    evening = Evening.open(folder / "evening.jsonl")
    assert evening.damage is None
    assert evening.state.nominated == (len(PRINTS),)
    assert [made.record for made in evening.state.sheets] == [read_record(folder / f"{name}.json") for name in PRINTS]
    negatives = {made.record.negative: find_negative(made.record.negative) for made in evening.state.sheets}
    for name, made in zip(PRINTS, evening.state.sheets, strict=True):
        sheet = make_print(negatives[made.record.negative], made.record, find_stock(made.record.sheet.paper))
        np.testing.assert_array_equal(picture(folder / f"{name}.png"), screen_values(sheet.density, 500.0))
