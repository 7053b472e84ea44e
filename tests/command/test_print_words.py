"""A print's words on the command line are a lesson's: one grammar for cards, exposures and the set-up."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from sim.command.lesson_lines import PRINT_KEYS, Act, settings_said
from sim.command.main import main
from sim.command.printing_lines import print_said, set_up_said
from sim.enlarger.settings import set_up
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
    "hold-back=white-cup:0.5:-40": "hold-back white-cup, mm must be between 1 and 1100, got -40",
    "burn=white-cup:0.5:40x0.9": "burn white-cup, mm must be between 1 and 1100, got 0.9",
    "burn=white-cup:0.5:1101": "burn white-cup, mm must be between 1 and 1100, got 1101",
    "hold-back=white-cup:-0.5": "hold-back white-cup, stops must be more than 0 and 6 at most, got -0.5",
    "hold-back=white-cup:6.01:40": "hold-back white-cup, stops must be more than 0 and 6 at most, got 6.01",
    "burn=85,120:0:40": "burn 85,120, stops must be more than 0 and 6 at most, got 0",
    "burn-above=white-cup:7": "burn-above white-cup, stops must be more than 0 and 6 at most, got 7",
    "edge-burn=top:-1:20": "edge-burn top, stops must be more than 0 and 6 at most, got -1",
    "burn=white-cup:0.5:40:height=-3": "burn white-cup, height must be between 0 and 1500 mm, got -3.0",
    "burn=white-cup:6:40": "burn white-cup: time_s must be between 0.1 and 600 s, got 630.0",
    "burn=white-cup:0.5:outline=1,1;2,2": "burn white-cup, outline must have 3 points or more, got 2",
}


def test_a_card_at_the_lens_is_refused_in_the_words_typed_and_one_just_below_it_is_not() -> None:
    record = usual_setup(NEGATIVE, find_stock("glossy-rc-vc"))
    lens_mm = set_up(record.enlarger, NEGATIVE).lens_to_paper_mm
    below, at = round(0.98 * lens_mm - 1.0), round(0.98 * lens_mm + 1.0)
    assert _said(f"burn=white-cup:0.5:40:height={below}").exposures[1].cards[0].card_height_mm == below
    with pytest.raises(Refused) as refusal:
        _said(f"burn=white-cup:0.5:40:height={at}")
    said = str(refusal.value)
    assert said.startswith("burn white-cup, height must be below the lens")
    assert said.endswith(f"mm above the paper at most, got {at}")


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


TWICE = {
    "time=8.5": (("--time", "9"), "--time and time=8.5 exclude each other"),
    "filter=4": (("--magenta", "0.3"), "--magenta and filter=4 exclude each other"),
    "size=120x100": (("--sheet", "200x160"), "--sheet and size=120x100 exclude each other"),
}


@pytest.mark.parametrize("word", TWICE)
def test_what_is_said_twice_in_two_ways_is_refused_with_both(word: str, capsys: pytest.CaptureFixture[str]) -> None:
    options, rule = TWICE[word]
    assert main(["print", "--negative", "step-wedge", word, *options]) == 2
    assert rule in capsys.readouterr().err


@pytest.mark.parametrize("word", ["burn=white-cup:5.9:1", "hold-back=white-cup:0.01:1100", "hold-back=white-cup:0"])
def test_words_just_inside_are_taken(word: str) -> None:
    assert len(_said(word).exposures) == (2 if word.startswith("burn") else 1)


def test_a_folder_that_is_not_there_is_made_and_said_and_a_refusal_makes_none(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page, recipe = tmp_path / "no" / "such" / "t.png", tmp_path / "here" / "r.pdf"
    assert main(["times", "--step", "1/5", "-o", str(page)]) == 2
    assert not (tmp_path / "no").exists()
    assert "Made the folder" not in capsys.readouterr().err
    assert main(["times", "-o", str(page)]) == 0
    assert capsys.readouterr().err == f"Made the folder {page.parent}\n"
    assert main(["times", "-o", str(page)]) == 0
    assert capsys.readouterr().err == ""
    assert main(["calibrate", "recipe", "-o", str(recipe)]) == 0
    assert capsys.readouterr().err == f"Made the folder {recipe.parent}\n"


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
