"""Wet bench, wall and notebook in all their states: words inside the window, none over another, at every size and length."""

from __future__ import annotations

from pathlib import Path

import pytest
from driving import Driver, open_room
from evening_made import STEPS_S, darkroom, evening, expose
from layouts import faults

CASES = (((1024, 700), 1.0), ((1280, 800), 1.0), ((1600, 1000), 1.0), ((1600, 1000), 1.5))
LANGUAGES = ("en-XA",)  # its words are a third longer: where they fit, English does


def at(folder: Path, size: tuple[int, int], scale: float, language: str) -> Driver:
    return open_room(folder, size, scale, language, evening=True)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(("size", "scale"), CASES)
def test_the_wet_bench_fits_in_every_bath(tmp_path: Path, size: tuple[int, int], scale: float, language: str) -> None:
    driver = at(tmp_path, size, scale, language)
    driver.go("wet-bench")
    assert faults(driver.frame()) == []
    expose(driver)
    assert faults(driver.frame()) == []
    driver.click("go-on")
    driver.frame(0.25, times=60)
    for _ in range(5):
        assert faults(driver.frame(0.25, times=3)) == [], darkroom(driver).tray.stage
        if darkroom(driver).tray.stage != "dry":
            driver.click("go-on")
    driver.press("w")
    assert faults(driver.frame()) == []
    driver.press("w")
    driver.click("go-on")
    expose(driver, "strip", steps=STEPS_S)
    driver.go("wet-bench")
    assert faults(driver.frame()) == []


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(("size", "scale"), CASES)
def test_wall_and_notebook_fit_in_every_view(tmp_path: Path, size: tuple[int, int], scale: float, language: str) -> None:
    driver = at(tmp_path, size, scale, language)
    evening(driver)
    driver.go("wall")
    driver.click("print:4")
    for chosen in ("4", "1"):
        driver.app.screen.sheets.value = chosen
        for view in ("prints", "difference", "curve", "chain", "split"):
            driver.app.screen.view.choose(view)
            driver.app.screen.layout(driver.app.frame.layout(driver.surface.get_rect()))
            assert faults(driver.frame()) == [], (view, chosen)
    driver.go("notebook")
    for page in ("1", "4"):
        driver.app.screen.pages.value = page
        driver.app.screen.refresh()
        assert faults(driver.frame()) == [], page
    driver.press("o")
    assert faults(driver.frame()) == []


def test_every_control_is_reached_by_the_keyboard_and_its_focus_is_seen(tmp_path: Path) -> None:
    import pygame

    driver = at(tmp_path, (1280, 800), 1.0, "en")
    evening(driver)
    for place in ("wet-bench", "wall", "notebook"):
        driver.go(place)
        screen = driver.app.screen
        wanted = {c.id for c in screen.controls if c.visible and c.focusable}
        seen = set()
        for _ in range(len(wanted) + 12):
            driver.frame(0.0)
            before = pygame.image.tobytes(driver.surface, "RGB")
            driver.press("tab")
            driver.frame(0.0)
            assert pygame.image.tobytes(driver.surface, "RGB") != before
            if screen.focus is not None:
                seen.add(screen.focus.id)
        assert wanted <= seen, place
