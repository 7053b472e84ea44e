"""Holding back and burning in at the command change the place they name, and the record says how."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from sim.command.main import main
from sim.notebook.record_words import describe
from sim.printing.record_file import read_record


def reading(capsys: pytest.CaptureFixture[str], here: Path, *options: str) -> tuple[float, float]:
    """Return print densities of the shadowed cheek and of the shoulder, far from it."""
    words = ["print", "--negative", "head-half-lit", "--time", "7", "--json", "-o", str(here / "p.png")]
    assert main([*words, "--save-record", str(here / "r.json"), *options]) == 0
    rows = {row["place"]: row["print_density"] for row in json.loads(capsys.readouterr().out)["readings"]}
    return rows["cheek-shadow"], rows["shoulder"]


def test_a_place_held_back_is_lighter_and_the_rest_stays(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cheek, shoulder = reading(capsys, tmp_path)
    held, shoulder_too = reading(capsys, tmp_path, "--hold-back", "cheek-shadow:0.8:60")
    assert held < cheek - 0.1
    assert abs(shoulder_too - shoulder) < 0.01
    record = read_record(tmp_path / "r.json")
    assert record.exposures[0].cards[0].note == ""  # a fact, no words
    assert any("hold back 0.8 stops: an oval of" in line for line in describe(record))


def test_a_place_burnt_in_is_darker_and_the_rest_stays(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cheek, shoulder = reading(capsys, tmp_path)
    burnt, shoulder_too = reading(capsys, tmp_path, "--burn", "cheek-shadow:1:40")
    assert burnt > cheek + 0.05
    assert abs(shoulder_too - shoulder) < 0.01


def test_without_a_size_the_tool_is_of_the_places_own_extent(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cheek, shoulder = reading(capsys, tmp_path)
    held, shoulder_too = reading(capsys, tmp_path, "--hold-back", "cheek-shadow:0.7")
    assert held < cheek - 0.05
    assert abs(shoulder_too - shoulder) < 0.01


@pytest.mark.parametrize("text", ["cheek-shadow", "cheek-shadow:x:60", "nose:1:40", "cheek-shadow:1:2:3"])
def test_a_card_that_cannot_be_is_refused_in_words(text: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["print", "--negative", "head-half-lit", "--hold-back", text, "-o", "never.png"]) == 2
    assert text.split(":")[0] in capsys.readouterr().err
