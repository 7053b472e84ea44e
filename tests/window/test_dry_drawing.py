"""The dry side in all its states: drawing changes nothing, and every word has its place."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pygame
import pytest
from driving import Driver, open_room
from layouts import faults

from sim.bench.light_table import on_light_table
from sim.window.dry.easel_part import IN_SHADOW, light_table_of
from sim.window.dry.easel_plan import easel_plan
from sim.window.dry.enlarger_view import plan_of
from sim.window.dry.hand import RACK
from sim.window.dry.paper_box import sheets_in_words
from sim.window.kit.events import Pointer
from sim.window.kit.look import Look


def dark(driver: Driver) -> None:
    """Nothing is lit, no paper is out."""


def focusing(driver: Driver) -> None:
    driver.press("l")
    driver.press("o")
    driver.frame()
    driver.press("m")
    driver.app.handle(Pointer("move", driver.app.screen.easel.plan.to_px(60, 90)))


def red(driver: Driver) -> None:
    driver.press("l")
    driver.press("r")


def strip_laid(driver: Driver) -> None:
    driver.press("shift+s")
    driver.press("shift+c")


def strip_across(driver: Driver) -> None:
    driver.press("shift+s")
    driver.press("t")
    driver.press("shift+c")


def card_in_light(driver: Driver) -> None:
    driver.press("s")
    driver.press("3")
    driver.press("f5")
    for _ in range(8):
        driver.press("right")
        driver.frame(0.1)


def numbers(driver: Driver) -> None:
    driver.press("s")
    driver.press("6")
    driver.press("x")
    driver.press("n")


def planned(driver: Driver) -> None:
    driver.press("s")
    for key in ("-", "-", "a", "=", "=", "=", "=", "a", "shift+a", "2", "x", "a"):
        driver.press(key)
    driver.app.screen.pages.turn_to("plan")
    driver.app.screen.refresh()


def sleeves(driver: Driver) -> None:
    driver.press("v")


def set_up(driver: Driver) -> None:
    driver.press("b")


def dials(driver: Driver) -> None:
    driver.app.screen.darkroom.desk.set("yellow", 0.4)
    driver.app.screen.dials = True
    driver.app.screen.refresh()


STATES: dict[str, Callable[[Driver], None]] = {
    f.__name__: f
    for f in (dark, focusing, red, strip_laid, strip_across, card_in_light, numbers, planned, sleeves, set_up, dials)
}


@pytest.mark.parametrize("state", STATES)
def test_drawing_changes_nothing(tmp_path: Path, state: str) -> None:
    driver = open_room(tmp_path, (1280, 800), evening=True)
    STATES[state](driver)
    driver.frame()
    screen = driver.app.screen
    before = (screen.darkroom.kept, screen.hands, screen.opened, screen.easel.probe_mm, dict(screen.lamp.card_seconds))
    first = pygame.image.tobytes(driver.surface, "RGB")
    driver.app.draw(driver.surface)
    assert pygame.image.tobytes(driver.surface, "RGB") == first
    other = pygame.Surface(driver.surface.get_size())
    driver.app.draw(other)
    assert pygame.image.tobytes(other, "RGB") == first
    after = (screen.darkroom.kept, screen.hands, screen.opened, screen.easel.probe_mm, dict(screen.lamp.card_seconds))
    assert after == before


SMALL, USUAL, LARGE = (1024, 700), (1280, 800), (1600, 1000)


@pytest.mark.parametrize(
    ("size", "scale", "language"),
    [
        (USUAL, 1.0, "en"), (SMALL, 1.0, "en-XA"), (LARGE, 1.5, "en-XA"),
    ],
)
def test_every_state_fits(tmp_path: Path, size: tuple[int, int], scale: float, language: str) -> None:
    for name, state in STATES.items():
        folder = tmp_path / name
        folder.mkdir()
        driver = open_room(folder, size, scale, language, evening=True)
        state(driver)
        assert faults(driver.frame()) == [], name


def test_a_frame_with_the_still_part_kept_is_the_frame_drawn_whole(tmp_path: Path) -> None:
    driver = open_room(tmp_path, (1280, 800), evening=True)
    card_in_light(driver)
    driver.frame(0.1)
    kept = pygame.surfarray.array3d(driver.surface).copy()
    words = sorted((label.words, tuple(label.rect)) for label in driver.canvas.labels)
    screen = driver.app.screen
    screen._still.__init__()
    driver.app.draw(driver.surface)
    assert np.array_equal(pygame.surfarray.array3d(driver.surface), kept)
    driver.canvas = driver.app.draw(driver.surface)
    assert sorted((label.words, tuple(label.rect)) for label in driver.canvas.labels) == words


def test_light_paper_and_shadow_are_told_apart_on_the_easel(tmp_path: Path) -> None:
    driver = open_room(tmp_path, (1280, 800), evening=True)
    screen = driver.app.screen
    driver.press("s")
    driver.frame()
    plan = screen.easel.plan
    middle, aside = plan.to_px(100, 130), plan.to_px(30, 130)
    before = driver.surface.get_at(middle)
    assert before.r > before.b  # paper in the safelight
    driver.press("2")
    screen.hold_card_at(100.0, 130.0)
    driver.press("f5")
    driver.frame(0.1)
    dark_there, lit_aside = driver.surface.get_at(middle), driver.surface.get_at(aside)
    assert dark_there.g < 40 < lit_aside.g


def test_red_filter_in_means_only_red_on_the_easel(tmp_path: Path) -> None:
    driver = open_room(tmp_path, (1280, 800), evening=True)
    red(driver)
    driver.frame()
    colour = driver.surface.get_at(driver.app.screen.easel.plan.to_px(60, 200))
    assert colour.r > 4 * colour.g


def test_screen_points_and_millimetres_go_both_ways() -> None:
    look = Look(1.5)
    plan = easel_plan(look, pygame.Rect(300, 60, 700, 800), (203.0, 254.0))
    for x, y in ((0.0, 0.0), (100.0, 30.0), (203.0, 254.0)):
        assert plan.to_mm(plan.to_px(x, y)) == pytest.approx((x, y), abs=1.0 / plan.px_per_mm)
    assert plan.to_px(10, 0)[0] > plan.to_px(0, 0)[0]  # x to the right
    assert plan.to_px(0, 10)[1] > plan.to_px(0, 0)[1]  # y down
    column = plan_of(look, pygame.Rect(0, 0, 210, 500), 180.0, 1200.0)
    assert column.height_at(column.y_of(700.0)) == pytest.approx(700.0, abs=2.0)
    assert column.y_of(900.0) < column.y_of(300.0)
    assert column.height_at(-5000) == 1200.0


def test_more_light_is_never_darker_on_the_screen() -> None:
    table = light_table_of((1.0, 0.9, 0.6)).astype(np.int64)
    for shift in (0, 8, 16):
        part = table >> shift & 255
        assert (np.diff(part) >= -1).all()  # rounding of what the safelight adds
        assert part[255] > part[0]
    assert table[0] == round(IN_SHADOW[2]) + 256 * round(IN_SHADOW[1]) + 65536 * round(IN_SHADOW[0])


def test_quarters_are_strips_on_the_box() -> None:
    assert [sheets_in_words(n) for n in (20.0, 19.75, 19.5, 19.25, 0.75, 0.0)] == ["20", "19¾", "19½", "19¼", "¾", "0"]


def test_thin_film_is_light_on_the_light_table_and_lies_as_the_picture_lies() -> None:
    thin, dense = on_light_table("racks-thin", 100), on_light_table("parcels-dense-flat", 100)
    assert thin.mean() > dense.mean()
    assert max(thin.shape) == 100
    upright = on_light_table("morning-shelf", 120)
    assert upright.shape[0] > upright.shape[1]  # [row, col]


def test_every_control_has_a_help_text_and_every_key_is_named_once(tmp_path: Path) -> None:
    screen = open_room(tmp_path, evening=True).app.screen
    assert [control.id for control in screen.controls if not screen.help_for(control)] == []
    ids = {control.help_key for control in screen.controls}
    assert sorted(set(screen.HELP) - ids) == []  # no text for a control that is not there
    keys = [key for action in screen.ACTIONS for key in action.keys]
    assert len(keys) == len(set(keys))
    assert sum(action.id.startswith("tool-") for action in screen.ACTIONS) == len(RACK)
