"""A ring-around keeps one tone behind every filter, says every print's seconds, and writes them under it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PIL import Image

from sim.command.main import main

WORDS = ["ring", "--negative", "morning-shelf", "--sheet", "60x75", "--filters", "1,4", "--keep", "white-cup", "--json"]


def _made(tmp_path: Path, capsys: pytest.CaptureFixture[str], *more: str) -> list[dict[str, object]]:
    assert main([*WORDS, "-o", str(tmp_path / "ring.png"), *more]) == 0
    said = json.loads(capsys.readouterr().out)
    assert said["keeps"] == "white-cup"
    return list(said["prints"])


def _cup(one: dict[str, object]) -> float:
    readings = one["readings"]
    assert isinstance(readings, list)
    return float(next(r["print_density"] for r in readings if r["place"] == "white-cup"))


def test_the_lightest_place_is_right_behind_every_filter_and_labels_say_the_seconds(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = _made(tmp_path, capsys)
    soft, hard = made[1], made[4]
    assert _cup(soft) == pytest.approx(_cup(hard), abs=0.01)
    assert _cup(soft) == pytest.approx(0.06 + 0.07, abs=0.03)
    assert float(hard["time_s"]) > 1.5 * float(soft["time_s"])  # type: ignore[arg-type]
    seconds = str(soft["print"]).removeprefix("filter 1, ").removesuffix(" s, as it is")
    assert float(seconds) == pytest.approx(float(soft["time_s"]), abs=0.056)  # type: ignore[arg-type]
    assert [str(one["print"]).split(", ")[2] for one in made[:3]] == ["0.5 stop less", "as it is", "0.5 stop more"]
    with Image.open(tmp_path / "ring.png") as picture:
        assert picture.size[0] > 3 * 100


def test_a_time_that_is_said_sets_the_tone_that_is_kept(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made = _made(tmp_path, capsys, "--time", "3")
    assert float(made[4]["time_s"]) == pytest.approx(3.0, abs=0.01)  # type: ignore[arg-type]
    assert _cup(made[1]) == pytest.approx(_cup(made[4]), abs=0.01)


def test_a_ring_of_one_grade_or_of_a_tone_that_is_gone_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "no.png"
    dark = ["--time", "0.1", "--f-number", "22"]
    for more, rule in ((["--paper", "graded-fb-2"], "variable-contrast"), (dark, "white-cup must print as a tone")):
        assert main([*WORDS, "-o", str(out), *more]) == 2
        assert rule in capsys.readouterr().err
    assert not out.exists()
