"""Every size of the window: tiny ones show the whole room made smaller, and a thousand sizes fill no memory."""

from __future__ import annotations

import gc
import os
from pathlib import Path

import numpy as np
import pygame
import pytest
from driving import Driver, open_room
from evening_made import darkroom, expose, sheet
from layouts import faults
from test_random_events import NAMES, _Faults, _memory_mb

from sim.kept_within import KeptWithin
from sim.window.app import room_size
from sim.window.kit.events import Key, Pointer
from sim.window.stations import BESIDE, PLACES

SMALL = ((320, 240), (400, 1200), (1900, 260), (1023, 700), (640, 480))
MOST_GROWTH_MB = 150.0
RESIZES = int(os.environ.get("TONEWRIGHT_RESIZES", "80"))  # a thousand by hand


def resized(driver: Driver, size: tuple[int, int]) -> None:
    driver.app.resize(size)
    driver.surface = pygame.Surface(size)
    driver.frame()


def pointed(driver: Driver, name: str) -> None:
    """Click where a thing is drawn in the window, which shows the room smaller."""
    rect, (wide, high), (w, h) = driver.where(name), driver.app.size, driver.app.window
    at = (rect.centerx * w // wide, rect.centery * h // high)
    driver.app.handle(Pointer("down", at, 1, buttons=frozenset({1})))
    driver.app.handle(Pointer("up", at, 1))
    driver.frame()


def test_the_room_is_never_laid_out_smaller_than_its_least_size() -> None:
    assert room_size((1280, 800)) == (1280, 800)
    assert room_size((512, 350)) == (1024, 700)
    assert room_size((320, 240)) == (1024, 768)  # the window's shape is kept
    assert all(side <= 4096 for size in ((1, 1), (1, 2000), (9000, 3)) for side in room_size(size)[:1])


@pytest.mark.parametrize("size", SMALL)
def test_a_tiny_window_shows_every_place_whole_and_throws_nothing(tmp_path: Path, size: tuple[int, int]) -> None:
    driver = open_room(tmp_path, size)
    found = _Faults()
    driver.app.room.log.addHandler(found)
    pointed(driver, "free-evening")
    assert driver.app.place == "enlarger", "the click arrived"
    sheet(driver)
    for place in [name for name, _ in PLACES] + list(BESIDE):
        driver.go(place)
        canvas = driver.frame()
        assert faults(canvas) == []
        assert pygame.surfarray.array2d(driver.surface).std() > 0
    assert found.found == []


def test_random_keys_and_presses_in_a_tiny_window_throw_nothing(tmp_path: Path) -> None:
    driver = open_room(tmp_path, (320, 240))
    found, dice = _Faults(), np.random.Generator(np.random.PCG64(5))
    driver.app.room.log.addHandler(found)
    pointed(driver, "free-evening")
    for number in range(400):
        at = (int(dice.integers(-5, 325)), int(dice.integers(-5, 245)))
        if dice.random() < 0.5:
            driver.app.handle(Pointer("down", at, 1, buttons=frozenset({1})))
            driver.app.handle(Pointer("up", at, 1))
        else:
            name = str(dice.choice([n for n in NAMES if n != "q"]))
            driver.app.handle(Key(name, True, text=name if len(name) == 1 else ""))
            driver.app.handle(Key(name, False))
        driver.app.leaving = False
        driver.app.update(0.05)
        if number % 40 == 0:
            driver.frame()
    assert found.found == []


def test_many_sizes_of_the_window_fill_no_memory(tmp_path: Path) -> None:
    """Every size makes its pictures anew; those of the sizes before are let go of by their bytes, not by their number."""
    driver = open_room(tmp_path, (1920, 1200), evening=True)
    dice = np.random.Generator(np.random.PCG64(2))
    for time_s in (6.0, 9.0):
        sheet(driver, time_s=time_s)
    expose(driver)
    darkroom(driver).tray.put_in()
    most = start = _memory_mb()
    for place in ("enlarger", "wet-bench", "wall", "notebook"):
        driver.go(place)
        for number in range(RESIZES // 4):
            resized(driver, (int(dice.integers(1024, 1921)), int(dice.integers(700, 1201))))
            if number % 10 == 9:
                most = max(most, _memory_mb())
    stores = [thing for thing in gc.get_objects() if isinstance(thing, KeptWithin)]
    filled = sum(store.bytes for store in stores) / 2**20
    print(f"\n{RESIZES} sizes: {most:.0f} MB at most, {filled:.0f} of them kept for later; {start:.0f} before")
    assert all(store.bytes <= store.most_bytes or len(store) == 1 for store in stores)
    assert sum(store.bytes for store in stores if len(store) == 1) < 100 * 2**20
    assert most - start < MOST_GROWTH_MB
    if RESIZES >= 400:  # in a process of its own
        assert most < 400.0


@pytest.mark.parametrize("time_s", [0.2, 1.0, 2.0, 5.0])
def test_the_curve_of_a_sheet_pulled_at_once_is_drawn(tmp_path: Path, time_s: float) -> None:
    driver = open_room(tmp_path, evening=True)
    found = _Faults()
    driver.app.room.log.addHandler(found)
    expose(driver)
    tray = darkroom(driver).tray
    tray.put_in()
    tray.advance(time_s)
    tray.next()
    tray.finish()
    tray.clear()
    for view in ("curve", "chain"):
        driver.go("wall")
        driver.click(f"look-at:{view}")
        canvas = driver.frame()
        assert found.found == []
        assert faults(canvas) == []
        assert any("log exposure" in label.words for label in canvas.labels)
