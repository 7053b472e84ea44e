"""A print's words on the command line are a lesson's: one grammar for cards, exposures and the set-up."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from sim.command.lesson_lines import PRINT_KEYS, Act, settings_said
from sim.command.main import main
from sim.command.printing_lines import print_said, set_up_said
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.paper.stock import find_stock
from sim.printing.record import PrintingRecord
from sim.printing.record_file import read_record
from sim.printing.setup import usual_setup
from sim.refusals import Refused

NEGATIVE = find_negative("morning-shelf")


def _said(*words: str, negative: Negative = NEGATIVE) -> PrintingRecord:
    act = Act("print", (), settings_said("print", words, PRINT_KEYS))
    return print_said(negative, set_up_said(act, usual_setup(negative, find_stock("glossy-rc-vc"))), act)


def test_a_burn_at_a_point_behind_another_filter() -> None:
    base, burn = _said("time=10", "filter=2", "burn=85,120:1:30:filter=4").exposures
    assert (base.filter.name, burn.filter.name) == ("2", "4")
    assert burn.time_s == pytest.approx(10.0)
    assert (burn.cards[0].motion.x_mm, burn.cards[0].motion.y_mm) == (85.0, 120.0)  # type: ignore[union-attr]
    assert burn.cards[0].lets_through == "inside"


def test_an_oval_turned_held_still_and_an_outline_of_ones_own() -> None:
    words = "hold-back=85,120:0.5:40x60:height=60:angle=30:still", "hold-back=60,60:0.5:outline=-20,-10;25,-5;10,30"
    oval, cut = _said(*words).exposures[0].cards
    assert (oval.width_mm, oval.length_mm, oval.card_height_mm, oval.angle_deg) == (40.0, 60.0, 60.0, 30.0)
    assert type(oval.motion).__name__ == "Still"
    assert cut.shape == "outline"
    assert cut.outline == ((-20.0, -10.0), (25.0, -5.0), (10.0, 30.0))


def test_a_card_may_stand_in_a_later_exposure() -> None:
    soft, hard = _said("time=6", "filter=00", "then=5:8", "hold-back=white-cup:0.5:40:2").exposures
    assert (len(soft.cards), len(hard.cards)) == (0, 1)


def test_edges_are_burnt_from_outside_in() -> None:
    record = _said("time=10", "edge-burn=all:0.3:25")
    assert [e.cards[0].angle_deg for e in record.exposures[1:]] == [90.0, 270.0, 0.0, 180.0]


WRONG = {
    "burn=nowhere:1:30": "burn must be one of",
    "burn=900,10:1:30": "must lie on the sheet",
    "burn=white-cup:1:30:colour=red": "knows height, angle, filter, outline",
    "burn=white-cup:1:still": "must have a size",
    "hold-back=white-cup:1:30:filter=4": "only a burn may have one of its own",
    "hold-back=white-cup:1:30:7": "must be between 1 and 1",
    "hold-back=white-cup:1:outline=1": "outline must be points",
    "edge-burn=middle:1:20": "edge-burn must be top",
    "edge-burn=top:1:400": "less than half the picture",
    "brun=white-cup:1": "did you mean 'burn'?",
}


@pytest.mark.parametrize("word", WRONG)
def test_words_that_cannot_be_are_refused(word: str) -> None:
    with pytest.raises(Refused) as refusal:
        _said(word)
    assert WRONG[word] in str(refusal.value)


def test_the_command_line_takes_the_words_of_a_lesson(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out, record = str(tmp_path / "p.png"), tmp_path / "p.json"
    words = ["time=4", "then=5:3", "edge-burn=top:0.5:15", "carrier=glassless", "develop=45"]
    assert main(["print", "--negative", "step-wedge", "-o", out, "--save-record", str(record), "--json", *words]) == 0
    said = read_record(record)
    assert [e.filter.name for e in said.exposures] == ["2", "5", "2"]
    assert (said.enlarger.carrier, said.development.time_s) == ("glassless", 45.0)
    assert json.loads(capsys.readouterr().out)["print"] == out
    assert main(["print", "--negative", "step-wedge", "-o", str(tmp_path / "no.png"), "tiem=4"]) == 2
    assert not (tmp_path / "no.png").exists()


@pytest.mark.parametrize("way", ["burn", "flash"])
def test_burn_and_flash_strips_are_laid_by_the_verb(way: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "s.json"
    words = ["--way", way, "--steps", "4", "--over", "2:6", "-o", str(tmp_path / "s.png"), "--save-record", str(file), "--json"]
    assert main(["strip", "--negative", "step-wedge", *words]) == 0
    steps = [one["density"] for one in json.loads(capsys.readouterr().out)["steps"]]
    assert steps == sorted(steps)
    strip = read_record(file).strip
    assert strip is not None
    assert strip.way == way
    if way == "burn":
        assert strip.times_s == pytest.approx([6.0 * (2.0 ** (0.5 * k) - 1.0) for k in range(4)])
