"""A flash: light without the negative that white paper bears unseen, and that faint lights need."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from sim.command.lesson_lines import read_line
from sim.command.main import main
from sim.command.printing_lines import print_said
from sim.enlarger.filters import FilterSetting
from sim.negative.develop import find_negative
from sim.notebook.record_words import shown_words
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.flash import (
    UNSEEN_NET_DENSITY,
    USUAL_DIMMED_STOPS,
    flash_share,
    flashed_by,
    flashes,
    only_flashed,
    with_flash,
)
from sim.printing.place_model import PlaceModel
from sim.printing.record import PrintingRecord
from sim.printing.record_file import read_record
from sim.printing.setup import usual_setup
from sim.printing.strips import lay_strip
from sim.refusals import Refused
from sim.scoring.exercise_file import find_exercise
from sim.scoring.start import locked_changes, start_record
from sim.viewing.strip_tones import steps_that_show

NEGATIVE, STOCK, LIGHTS = find_negative("against-the-window"), find_stock("glossy-rc-vc"), LightCache(4)
PLACES = tuple(NEGATIVE.place(name) for name in ("window-sky", "under-bench"))


@pytest.fixture(scope="module")
def bare() -> PrintingRecord:
    return usual_setup(NEGATIVE, STOCK, time_s=16.0, filtration=FilterSetting.named("00"))


def read(record: PrintingRecord) -> np.ndarray:
    return PlaceModel(NEGATIVE, record, STOCK, PLACES, LIGHTS, tones=16).readings()


def alone(record: PrintingRecord, share: float) -> float:
    """Return the net density of paper that only had a flash of a share of what it bears."""
    flashed = flashed_by(NEGATIVE, record, STOCK, share)
    model = PlaceModel(NEGATIVE, record.with_exposures(flashed.exposures[-1]), STOCK, PLACES, LIGHTS, tones=4)
    return float(model.readings()[0]) - model.response.base_plus_fog


def test_what_the_paper_bears_unseen_is_just_not_seen(bare) -> None:
    """Just inside and just outside: nine tenths stay below what an eye tells from white, a tenth more shows."""
    assert alone(bare, 0.9) < UNSEEN_NET_DENSITY < alone(bare, 1.1)


def test_a_flash_gives_the_faint_light_a_tone_and_leaves_the_dark(bare) -> None:
    before, after = read(bare), read(flashed_by(NEGATIVE, bare, STOCK, 0.8))
    sky, dark = after - before
    assert sky > 0.02  # twice what an eye tells apart so near to paper white
    assert before[0] - PlaceModel(NEGATIVE, bare, STOCK, PLACES, LIGHTS, tones=4).response.base_plus_fog < 0.02
    assert 0.0 <= dark < 0.05


def test_a_share_asked_for_is_the_share_that_is_given(bare) -> None:
    assert flash_share(NEGATIVE, bare, STOCK) == 0.0
    assert flash_share(NEGATIVE, flashed_by(NEGATIVE, bare, STOCK, 0.6), STOCK) == pytest.approx(0.6, abs=0.01)


def test_a_sheet_has_one_flash_and_none_after_nothing(bare) -> None:
    twice = with_flash(with_flash(bare, 3.0), 5.0, 4.0)
    assert [(e.time_s, e.dimmed_stops) for e in (twice.exposures[k] for k in flashes(twice))] == [(5.0, 4.0)]
    assert with_flash(twice, 0.0) == bare


@pytest.mark.parametrize(("words", "time_s", "stops"), [("flash=6", 6.0, USUAL_DIMMED_STOPS), ("flash=6:4", 6.0, 4.0)])
def test_a_line_says_the_flash_and_how_it_is_dimmed(bare, words: str, time_s: float, stops: float) -> None:
    act = read_line(f"print time=9 {words}")
    assert act is not None
    said = print_said(NEGATIVE, bare, act)
    (flash,) = (said.exposures[k] for k in flashes(said))
    assert (flash.time_s, flash.dimmed_stops, said.exposures[0].time_s) == (time_s, stops, 9.0)


@pytest.mark.parametrize("words", ["flash=two", "flash=6:", "flash=-1", "flash=900"])
def test_a_flash_that_cannot_be_is_refused_in_words(bare, words: str) -> None:
    act = read_line(f"print {words}")
    assert act is not None
    with pytest.raises(Refused, match=r"flash|time"):
        print_said(NEGATIVE, bare, act)


def test_a_lesson_that_does_not_teach_it_locks_it_and_one_that_does_leaves_it() -> None:
    for name, locked in (("a-card-in-one-exposure", True), ("flash-before-the-print", False)):
        exercise = find_exercise(name)[1]
        start = start_record(exercise, NEGATIVE, exercise.stock)
        moved = locked_changes(exercise, NEGATIVE, with_flash(start, 4.0))
        assert [one.control for one in moved] == (["flash"] if locked else [])


def test_a_second_picture_is_no_flash() -> None:
    exercise = find_exercise("flash-before-the-print")[1]
    start = start_record(exercise, NEGATIVE, exercise.stock)
    twice = start.with_exposures(start.exposures[0], replace(start.exposures[0], time_s=3.0))
    assert "exposures" in [one.control for one in locked_changes(exercise, NEGATIVE, twice)]


def test_flashes_alone_show_nothing_of_the_picture(bare) -> None:
    first = bare.exposures[0]
    for way, each, only in (("flash", (), True), ("flash", (first,), False), ("bursts", (), False)):
        laid = lay_strip(bare, (2.0, 4.0, 8.0), first.f_number, first.filter, way, each=each, dimmed_stops=0.0)
        assert only_flashed(laid.record) is only


def test_a_strip_of_flashes_alone_names_nothing_of_the_picture(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """No light went through the negative: in words, as data, and as another tone of the picture no step shows a place."""
    monkeypatch.chdir(tmp_path)
    words = ["strip", "--negative", "against-the-window", "--at", "window-sky", "--way", "flash", "--steps", "4"]
    assert main([*words, "--save-record", "alone.json"]) == 0
    said = capsys.readouterr().out
    assert "no step shows anything of the picture" in said
    assert not any(place.name in said for place in NEGATIVE.places)
    assert main([*words, "--json"]) == 0
    assert [step["shows"] for step in json.loads(capsys.readouterr().out)["steps"]] == [{}] * 4
    record = read_record(tmp_path / "alone.json")
    assert shown_words(NEGATIVE, record) == "Every step shows flashes alone, nothing of the picture."
    assert steps_that_show(NEGATIVE, record, "window-sky") == (None,) * 4
    assert main([*words, "--over", "2:8", "--json"]) == 0
    assert any("window-sky" in step["shows"] for step in json.loads(capsys.readouterr().out)["steps"]), "over a picture they do"
