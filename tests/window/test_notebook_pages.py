"""The notebook: a page for every piece of paper, notes kept, maps and export written, prints made again elsewhere."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pygame
import pytest
from driving import Driver, open_room
from evening_made import STEPS_S, darkroom, sheet
from layouts import faults

from sim.bench.darkroom import Darkroom
from sim.notebook.record_words import describe
from sim.printing.record_file import record_json
from sim.window.evenings import new_evening
from sim.window.notebook.again import sizes_for


def with_pages(folder: Path) -> Driver:
    driver = open_room(folder, evening=True)
    sheet(driver, "strip", "00", steps=STEPS_S)
    sheet(driver, chosen="3", time_s=6.5)
    driver.go("notebook")
    return driver


def words(driver: Driver) -> str:
    return " ".join(label.words for label in driver.frame(0.0).labels)


def test_every_piece_of_paper_has_its_page(tmp_path: Path) -> None:
    driver = with_pages(tmp_path)
    assert [row.key for row in driver.app.screen.pages.rows] == ["1", "2"]
    assert driver.app.screen.number == 2, "the latest lies open"
    shown = words(driver)
    for line in describe(darkroom(driver).wall.record(2)):
        assert line.strip().split(",")[0] in shown
    name, x, y, _ = darkroom(driver).wall.places(2)[0]
    reading = darkroom(driver).wall.read(2, x, y)
    assert f"{name.replace('-', ' ')}" in shown
    assert f"D {reading.density:.2f}   L* {reading.lightness:.0f}" in shown
    driver.press("left", only_listed=True)
    driver.frame()
    assert driver.app.screen.number == 1
    driver.press("right", only_listed=True)
    assert driver.app.screen.number == 2


def test_an_empty_notebook_says_so(tmp_path: Path) -> None:
    driver = open_room(tmp_path, evening=True)
    driver.go("notebook")
    assert "Nothing written yet" in words(driver)
    assert faults(driver.frame(0.0)) == []


def test_a_note_is_kept_with_its_sheet(tmp_path: Path) -> None:
    driver = with_pages(tmp_path)
    driver.click("note")
    driver.type("half a filter softer")
    driver.press("return")
    assert darkroom(driver).evening.state.notes[-1] == "sheet 2: half a filter softer"
    assert "Note: half a filter softer" in words(driver)
    driver.click("pages:1")
    assert "half a filter softer" not in words(driver)
    again = Darkroom.look(darkroom(driver).folder)
    assert again.evening.state.notes[-1] == "sheet 2: half a filter softer"


@pytest.mark.parametrize(("kind", "start"), [("png", b"\x89PNG"), ("pdf", b"%PDF")])
def test_a_printing_map_is_written(tmp_path: Path, kind: str, start: bytes) -> None:
    driver = with_pages(tmp_path)
    driver.click(f"map-{kind}")
    driver.frame()
    file = darkroom(driver).folder / "maps" / f"sheet-02.{kind}"
    assert file.read_bytes().startswith(start)
    assert str(file) in driver.said()


def test_the_evening_is_exported(tmp_path: Path) -> None:
    driver = with_pages(tmp_path)
    driver.press("e", only_listed=True)
    driver.frame()
    folder = darkroom(driver).folder / "notebook"
    assert (folder / "index.html").exists()
    assert len(list((folder / "prints").iterdir())) == 2
    record = json.loads((folder / "records" / "sheet-02.json").read_text(encoding="utf-8"))
    assert record == json.loads(record_json(darkroom(driver).wall.record(2)))


def test_a_page_sets_the_enlarger_as_it_stood(tmp_path: Path) -> None:
    driver = with_pages(tmp_path)
    dark = darkroom(driver)
    dark.desk.set("filter", "0")
    dark.desk.set("height_mm", dark.desk.now.height_mm + 60.0)
    driver.press("a", only_listed=True)
    driver.frame()
    record = dark.wall.record(2)
    assert driver.app.place == "enlarger"
    assert dark.desk.now.height_mm == pytest.approx(record.enlarger.height_mm)
    assert [(p.time_s, p.filter) for p in dark.paper.plan] == [(6.5, "3")]


def test_a_strip_cannot_be_printed_again_and_says_so(tmp_path: Path) -> None:
    driver = with_pages(tmp_path)
    driver.click("pages:1")
    driver.click("again")
    assert "only a whole, developed sheet" in driver.said()
    assert driver.app.place == "notebook"


def test_another_size_gets_other_seconds_and_the_same_tone(tmp_path: Path) -> None:
    driver = with_pages(tmp_path)
    dark = darkroom(driver)
    before = {name: dark.wall.read(2, x, y).density for name, x, y, _ in dark.wall.places(2)}
    driver.press("o", only_listed=True)
    driver.frame()
    driver.click("other-size:127x178")
    screen: Any = driver.app.screen
    new = screen.repeating.record
    assert new.exposures[0].time_s < 5.0
    assert f"{new.exposures[0].time_s:.1f} s" in words(driver)
    driver.click("take-other")
    driver.frame()
    assert driver.app.place == "enlarger"
    assert dark.desk.now.sheet_width_mm == 127.0
    dark.paper.take("sheet")
    dark.paper.expose_plan()
    dark.tray.put_in()
    number = dark.tray.finish()
    after = {name: dark.wall.read(number, x, y).density for name, x, y, _ in dark.wall.places(number)}
    assert after["white-cup"] == pytest.approx(before["white-cup"], abs=0.04)
    assert after["plaster"] == pytest.approx(before["plaster"], abs=0.12)


def test_another_negative_is_worked_out_or_refused_in_words(tmp_path: Path) -> None:
    driver = with_pages(tmp_path)
    driver.click("other")
    screen: Any = driver.app.screen
    assert screen.negatives.value == "morning-shelf"
    screen.set_focus(screen.negatives)
    driver.press("home")
    driver.frame()
    first = screen.negatives.rows[0].key
    again = screen.repeating
    assert (again.record is not None and again.record.negative == first) or again.words
    assert screen.take.enabled == (again.record is not None)
    assert faults(driver.frame(0.0)) == []


def test_earlier_evenings_are_read_too(tmp_path: Path) -> None:
    driver = with_pages(tmp_path)
    other = Darkroom.open(new_evening(tmp_path), seed=7)
    other.paper.take("sheet")
    other.paper.expose(5.0)
    other.tray.put_in()
    other.tray.finish()
    driver.go("enlarger")
    driver.go("notebook")
    screen: Any = driver.app.screen
    assert len(screen.evenings.rows) == 2
    assert screen.evenings.rows[0].text == "This evening"
    driver.click(f"evenings:{screen.evenings.rows[1].key}")
    assert [row.key for row in screen.pages.rows] == ["1"]
    assert screen.dark is not darkroom(driver)
    assert "exposure 1: 5.0 s" in words(driver)
    driver.click("again")
    assert [p.time_s for p in darkroom(driver).paper.plan] == [5.0]


def test_sizes_lie_as_the_sheet_lies() -> None:
    class Lying:
        width_mm, height_mm = 254.0, 203.2

    keys = [key for key, _ in sizes_for(Lying)]
    assert keys[0] == "254x203.2"
    assert all(float(w) > float(h) for w, h in (key.split("x") for key in keys))
    assert len(keys) == 4


def test_drawing_changes_nothing(tmp_path: Path) -> None:
    driver = with_pages(tmp_path)
    driver.app.draw(driver.surface)
    first = pygame.image.tobytes(driver.surface, "RGB")
    before = (darkroom(driver).kept, driver.app.screen.number)
    driver.app.draw(driver.surface)
    assert pygame.image.tobytes(driver.surface, "RGB") == first
    assert (darkroom(driver).kept, driver.app.screen.number) == before
