"""The wet bench: the sheet comes up as the engine says, light stays off until it may be on, pulling has its price."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pygame
import pytest
from driving import Driver, open_room
from evening_made import STEPS_S, darkroom, expose

from sim.bench.lost_black import lost_black
from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.viewing.lightness import screen_values
from sim.window.wet.perspective import LaidPicture, Plane
from sim.window.wet.wet_words import CAUTIONS


def at_the_trays(folder: Path, **more: object) -> Driver:
    driver = open_room(folder, evening=True, **more)  # type: ignore[arg-type]
    driver.go("wet-bench")
    return driver


def slid_in(folder: Path, **more: object) -> Driver:
    driver = at_the_trays(folder, **more)
    expose(driver)
    driver.frame()
    driver.click("go-on")
    assert darkroom(driver).tray.stage == "developer"
    return driver


@pytest.mark.parametrize("seconds", [9.0, 21.0, 60.0])
def test_the_picture_coming_up_is_the_print_with_so_much_development(tmp_path: Path, seconds: float) -> None:
    driver = slid_in(tmp_path)
    dark = darkroom(driver)
    driver.frame(0.25, times=round(seconds / 0.25))
    assert dark.tray.seconds == pytest.approx(seconds, abs=0.05)
    screen = driver.app.screen
    shape = screen.view.laid.shape
    record = dark.kept.tray.record
    had = replace(record, development=replace(record.development, time_s=dark.tray.seconds))
    per_mm = dark.tray.px_per_mm((max(8, screen.view.rect.w), max(8, int(screen.view.rect.h * 0.95))))
    made = make_print(find_negative(record.negative), had, find_stock(record.sheet.paper), per_mm, wet=True)
    levels = screen_values(made.density)
    assert levels.shape == shape
    shown = dark.tray.picture((screen.view.rect.w, int(screen.view.rect.h * 0.95)))
    assert np.abs(shown.astype(int) - levels.astype(int)).max() <= 1
    if seconds == 60.0:
        assert levels.min() < 60 < levels.max(), "the picture has come up"


def test_the_sheet_lies_in_the_tray_as_the_picture_says() -> None:
    rows, cols = 60, 48
    levels = np.tile(np.linspace(40, 220, cols).astype(np.uint8), (rows, 1))
    plane = Plane((30.0, 130.0, 20.0), (10.0, 150.0, 140.0))
    laid = LaidPicture(plane, rows, cols)
    picture = pygame.surfarray.array3d(laid.surface(levels))[..., 0].T
    for u, v in ((0.2, 0.3), (0.5, 0.5), (0.8, 0.9)):
        x, y = plane.at(u, v)
        got = picture[int(y) - laid.top, int(x) - laid.left]
        assert abs(int(got) - (40 + 180 * u)) < 6


def test_a_plane_is_turned_back_into_its_own_depth() -> None:
    plane = Plane((30.0, 130.0, 20.0), (10.0, 150.0, 140.0))
    v = np.linspace(0.0, 1.0, 9)
    y = np.array([plane.at(0.5, float(one))[1] for one in v])
    assert plane.v_of(y) == pytest.approx(v, abs=1e-9)
    assert np.diff(y)[0] < np.diff(y)[-1], "what is farther away looks shorter"


def test_the_clock_counts_the_developer_and_the_evening(tmp_path: Path) -> None:
    driver = slid_in(tmp_path)
    driver.frame(0.25, times=48)
    words = [label.words for label in driver.frame(0.0).labels]
    assert "0:12" in words
    assert "of 1:00" in words
    assert any("min left tonight" in w for w in words)
    driver.click("speed:x8")
    before = darkroom(driver).tray.seconds
    driver.frame(0.25, times=4)
    assert darkroom(driver).tray.seconds - before == pytest.approx(8.0 * (1.0 + 1 / 60), abs=0.2)


def test_the_sheet_goes_through_every_bath_to_the_wall(tmp_path: Path) -> None:
    driver = slid_in(tmp_path)
    dark = darkroom(driver)
    driver.click("speed:x8")
    driver.frame(0.25, times=31)
    assert "developer has had its time" in driver.said()
    for stage in ("stop", "fix", "wash", "dry"):
        driver.press("return", only_listed=True)
        driver.frame(0.25, times=3)
        assert dark.tray.stage == stage
    driver.press("return")
    driver.frame()
    assert driver.app.place == "wall"
    assert dark.tray.stage == ""
    assert len(dark.wall.prints()) == 1


def test_white_light_is_refused_in_words_until_the_sheet_is_fixed(tmp_path: Path) -> None:
    driver = slid_in(tmp_path)
    dark = darkroom(driver)
    for _ in range(2):  # developer, stop
        driver.click("white-light")
        assert "fog" in driver.said()
        assert not dark.white_light
        assert not driver.app.screen.find("white-light").value
        assert driver.app.room.look.palette.name == "safelight"
        driver.click("go-on")
        driver.frame(0.2, times=4)
    assert dark.tray.stage == "fix"
    driver.click("white-light")
    assert "not fixed yet" in driver.said()
    assert not dark.white_light
    driver.frame(0.25, times=math.ceil(dark.tray.wanted_s / 0.25))
    assert "White light may go on" in driver.said()
    driver.click("white-light")
    driver.frame()
    assert dark.white_light
    assert driver.app.room.look.palette.name == "white-light"


def test_prints_are_neutral_in_white_light_and_amber_under_the_safelight(tmp_path: Path) -> None:
    driver = slid_in(tmp_path)
    driver.click("skip")
    driver.frame()
    middle = driver.app.screen.view.rect.center
    amber = driver.surface.get_at(middle)
    assert amber[0] > amber[2]
    driver.press("w")
    driver.frame()
    rect = driver.app.screen.view.rect
    pixels = pygame.surfarray.array3d(driver.surface)[rect.x : rect.right, rect.y : rect.bottom].astype(int)
    assert np.abs(pixels[..., 0] - pixels[..., 2]).max() == 0


def test_pulling_early_is_priced_as_lost_black_afterwards(tmp_path: Path) -> None:
    driver = slid_in(tmp_path)
    dark = darkroom(driver)
    driver.frame(0.25, times=100)
    assert driver.app.screen.go_on.label == "Pull it now"
    driver.click("go-on")
    price = lost_black(dark.wall.record(1))
    assert price.time_s == pytest.approx(dark.wall.record(1).development.time_s)
    assert price.lost > 0.05
    assert price.developed_out > 2.0
    assert dark.wall.sheet(1).black == pytest.approx(price.black, abs=1e-6)
    words = driver.app.screen.words.text
    assert f"{price.lost:.2f} of black is missing" in words
    assert f"{price.black:.2f}" in words


def test_a_sheet_that_had_its_time_lost_nothing(tmp_path: Path) -> None:
    driver = slid_in(tmp_path)
    driver.click("skip")
    assert lost_black(darkroom(driver).wall.record(1)).lost < 0.02
    assert "missing" not in driver.app.screen.words.text


def test_a_prediction_is_kept_before_the_sheet_and_shown_after(tmp_path: Path) -> None:
    driver = at_the_trays(tmp_path)
    expose(driver)
    driver.frame()
    driver.click("expect:darker")
    assert darkroom(driver).prediction == ("darker", "")
    driver.click("expect:lighter")
    assert darkroom(driver).prediction == ("darker", ""), "it is committed"
    driver.click("go-on")
    driver.click("skip")
    assert "You expected it darker than wanted." in driver.app.screen.words.text


def test_of_a_strip_one_predicts_the_step(tmp_path: Path) -> None:
    driver = at_the_trays(tmp_path)
    expose(driver, "strip", steps=STEPS_S)
    driver.frame()
    driver.click("expect:step 4")
    driver.click("go-on")
    driver.click("skip")
    assert darkroom(driver).evening.state.said_of("predicted")[0].choice == "step 4"
    assert "You expected: step 4" in driver.app.screen.words.text


def test_nothing_moves_by_itself_when_motion_is_reduced(tmp_path: Path) -> None:
    driver = slid_in(tmp_path, reduced_motion=True)
    view = driver.app.screen.view
    for _ in range(12):
        driver.frame(0.1)
        assert view.rock == 0.0
        assert view.slide == 0.0
    driver.click("go-on")
    driver.frame(1 / 60)
    assert view.position == 1.0


def test_the_tray_is_rocked_otherwise(tmp_path: Path) -> None:
    driver = slid_in(tmp_path)
    seen = set()
    for _ in range(30):
        driver.frame(0.1)
        seen.add(round(driver.app.screen.view.rock, 1))
    assert min(seen) < -0.8
    assert max(seen) > 0.8


def test_empty_trays_say_what_to_do_and_the_cautions_always_stand_there(tmp_path: Path) -> None:
    driver = at_the_trays(tmp_path)
    assert "Nothing to develop" in driver.app.screen.words.text
    driver.press("return")
    assert not driver.app.screen.go_on.enabled
    assert darkroom(driver).tray.stage == ""
    shown = " ".join(label.words for label in driver.canvas.labels)  # type: ignore[union-attr]
    assert " ".join(CAUTIONS.split()) in " ".join(shown.split())


def test_drawing_changes_nothing(tmp_path: Path) -> None:
    driver = slid_in(tmp_path)
    driver.frame(0.2, times=20)
    dark = darkroom(driver)
    before = (dark.tray.seconds, dark.kept, driver.app.screen.view.phase)
    driver.app.draw(driver.surface)
    first = pygame.image.tobytes(driver.surface, "RGB")
    driver.app.draw(driver.surface)
    assert pygame.image.tobytes(driver.surface, "RGB") == first
    assert (dark.tray.seconds, dark.kept, driver.app.screen.view.phase) == before
