"""A coin laid under one's own safelight is used: the map and the list of seconds say when a print lies under it too long."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sim.calibration.own_enlarger import OwnEnlarger
from sim.calibration.own_head_file import head_data, head_toml
from sim.enlarger.equipment import find_head
from sim.enlarger.own_light import OwnLight
from sim.negative.develop import find_negative
from sim.notebook.own_seconds import own_seconds_lines
from sim.notebook.printing_map import map_pages
from sim.notebook.safelight_words import safelight_words
from sim.paper.safelight import Safelight
from sim.paper.stock import find_stock
from sim.printing.record import PrintingRecord
from sim.printing.setup import usual_setup


@pytest.fixture
def record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> PrintingRecord:
    """Return a print of 12 s, developed for 60 s, with a head whose coin left no mark in four minutes."""
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path)
    negative, stock = find_negative("step-wedge"), find_stock("glossy-rc-vc")
    plain = usual_setup(negative, stock, time_s=12.0)
    light = OwnLight(stock.name, 0.03, "2", 8.0, 2.0, safe_min=4.0)
    folder = tmp_path / "shelf" / "heads"
    folder.mkdir(parents=True)
    found = OwnEnlarger(light, 0.0, None, (), 0.0)
    text = head_toml(head_data(find_head(plain.enlarger.head), found, "mine", "My own", "own readings, undated"), "mine")
    (folder / "mine.toml").write_text(text, encoding="utf-8")
    tray = replace(plain.development, time_s=60.0)
    return replace(plain, enlarger=replace(plain.enlarger, head="own:mine"), development=tray)


def test_exposing_and_developing_are_minutes_under_it_and_half_the_coins_time_is_allowed(record: PrintingRecord) -> None:
    assert safelight_words(record) == ("2 min at most by the coin; this print lies 1.2 min under it", False)


@pytest.mark.parametrize(("time_s", "too_long"), [(119.0, False), (121.0, True)])
def test_a_print_within_half_the_coins_time_is_allowed_and_one_beyond_is_warned_of(
    record: PrintingRecord, time_s: float, too_long: bool
) -> None:
    longer = replace(record, safelight=Safelight("red", 1.2, time_s))
    words = safelight_words(longer)
    assert words is not None
    assert words[1] is too_long
    assert any("the coin allows 2: keep the sheet covered" in line for line in own_seconds_lines(longer)) is too_long
    said = " ".join(text.get_text() for page in map_pages(longer) for axes in page.axes for text in axes.texts)
    assert ("TOO LONG" in said) is too_long


def test_without_a_coin_nothing_is_said(record: PrintingRecord) -> None:
    shipped = replace(record, enlarger=replace(record.enlarger, head="diffusion-small"))
    assert safelight_words(shipped) is None
