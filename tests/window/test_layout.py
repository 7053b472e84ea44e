"""At every size and scale all words stand inside the window, none over another; with words 40 % longer too."""

from __future__ import annotations

from pathlib import Path

import pytest
from driving import SCALES, SIZES, Driver, open_room
from gallery import Gallery
from layouts import faults

from sim.window.kit.look import held_scale
from sim.window.stations import PLACES

# every size at every scale that it can show; scales that come out the same are taken once
CASES = sorted({(size, round(held_scale(scale, size), 3)) for size in SIZES for scale in SCALES})
LANGUAGES = ("en", "en-XA")
# the longer words are the harder case; English is looked at in the smallest and a large room
PLACED = [(*case, "en-XA") for case in CASES] + [(*CASES[0], "en"), (*CASES[-1], "en")]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(("size", "scale"), CASES)
def test_door_preferences_keys_and_help_fit(tmp_path: Path, size: tuple[int, int], scale: float, language: str) -> None:
    driver = open_room(tmp_path, size, scale, language)
    assert faults(driver.frame()) == []
    driver.press("f2")
    assert faults(driver.frame()) == []
    driver.press("escape")
    for _ in range(len(driver.app.screen.controls)):
        driver.press("tab")
        driver.press("f1")
        assert faults(driver.frame()) == []
        driver.press("escape")
    driver.go("preferences")
    assert faults(driver.frame()) == []
    driver.press("f2")
    assert faults(driver.frame()) == []


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(("size", "scale"), CASES)
def test_the_kit_fits(tmp_path: Path, size: tuple[int, int], scale: float, language: str) -> None:
    driver = open_room(tmp_path, size, scale, language)
    gallery = Gallery(driver.app.room)
    gallery.build()
    driver.app.screens["gallery"] = gallery
    driver.app.place = "gallery"
    driver.app._stand()
    assert faults(driver.frame()) == []
    driver.click("ask")
    assert faults(driver.frame()) == []


@pytest.mark.parametrize(("size", "scale", "language"), PLACED)
def test_every_place_fits_in_a_free_evening(tmp_path: Path, size: tuple[int, int], scale: float, language: str) -> None:
    driver = open_room(tmp_path, size, scale, language, evening=True)
    for place, _ in PLACES:
        driver.go(place)
        assert driver.app.place == place, driver.said()
        assert faults(driver.frame()) == [], place
        driver.press("f2")
        for _ in range(4):
            assert faults(driver.frame()) == [], place
            driver.press("right")
        driver.press("escape")
        assert driver.app.over is None


@pytest.mark.parametrize(("size", "scale", "language"), [PLACED[0], PLACED[2], PLACED[len(CASES) - 1], PLACED[-2]])
def test_every_place_fits_in_a_lesson(tmp_path: Path, size: tuple[int, int], scale: float, language: str) -> None:
    driver = open_room(tmp_path, size, scale, language)
    driver.go("lessons")
    assert faults(driver.frame()) == []
    driver.click("begin")
    for place, _ in PLACES:
        driver.go(place)
        assert driver.app.place == place, driver.said()
        assert faults(driver.frame()) == [], place


def _stages(driver: Driver) -> set[str]:
    """Go through a worked example and collect the stages that were seen."""
    seen = set()
    for _ in range(14):
        driver.frame(times=3)
        assert faults(driver.frame()) == [], driver.app.screen.step.stage
        screen = driver.app.screen
        seen.add(screen.step.stage)
        if screen.step.stage == "predict" and len(screen.step.sheets) > 1:
            driver.click("nominate")
            continue
        if screen.step.stage == "marks":
            break
        if screen.answers.visible and screen.answers.rows:
            driver.click(f"answers:{screen.answers.rows[1].key}")
        driver.click("go-on")
    return seen


@pytest.mark.parametrize(("size", "language"), [((1024, 700), "en-XA"), ((1280, 800), "en"), ((2560, 1440), "en")])
def test_a_worked_example_fits_at_every_stage(tmp_path: Path, size: tuple[int, int], language: str) -> None:
    driver = open_room(tmp_path, size, 1.0, language)
    driver.go("lessons")
    driver.click("begin")
    assert _stages(driver) >= {"brief", "predict", "make", "see", "explain", "marks"}


def test_a_scale_that_does_not_fit_is_held_down() -> None:
    assert held_scale(2.0, (1024, 700)) == 1.0
    assert held_scale(2.0, (2560, 1440)) == pytest.approx(2.0)
    assert held_scale(2.5, (2560, 1440)) == pytest.approx(1440 / 700)
    assert held_scale(1.0, (800, 600)) == 1.0


def test_a_window_made_smaller_and_larger_is_laid_out_again(tmp_path: Path) -> None:
    driver = open_room(tmp_path)
    import pygame

    for size in ((1024, 700), (1900, 1000), (640, 480), (1280, 800)):
        driver.app.resize(size)
        driver.surface = pygame.Surface(size)
        canvas = driver.frame()
        if size[0] >= 1024:
            assert faults(canvas) == []
