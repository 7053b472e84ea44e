"""The viewing wall: one scale, one light, the densitometer under the pointer, and the sheet that counts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pygame
import pytest
from driving import Driver, open_room
from evening_made import STEPS_S, darkroom, evening, sheet
from PIL import Image
from pygame import Rect

from sim.viewing.lightness import screen_values
from sim.window.kit.events import Key, Pointer
from sim.window.wall.hanging import WALL_DENSITY, hang, wall_grey


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Driver:
    driver = open_room(tmp_path_factory.mktemp("wall"), evening=True)
    evening(driver)
    driver.go("wall")
    return driver


@pytest.fixture
def hand(kept: Driver) -> Driver:
    """The same evening, the wall as one first finds it."""
    kept.app.screens.pop("wall", None)
    kept.app.place = "enlarger"
    kept.go("wall")
    return kept


def prints(driver: Driver) -> Any:
    return driver.app.screen.prints


def test_what_was_developed_hangs_at_one_scale(hand: Driver) -> None:
    hung = prints(hand).hung
    assert [h.number for h in hung] == [1, 2, 3, 4]
    scales = [side / mm for h in hung for side, mm in zip(h.rect.size, h.size_mm, strict=True)]
    assert max(scales) - min(scales) < 0.02
    for n, one in enumerate(hung):
        assert prints(hand).rect.contains(one.rect)
        assert all(not one.rect.colliderect(other.rect) for other in hung[n + 1 :])


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_prints_fill_what_room_there_is(count: int) -> None:
    room = Rect(0, 0, 640, 460)
    hung, scale = hang(room, [(n, 203.0, 254.0) for n in range(count)], 20, 20)
    assert all(room.contains(h.rect) for h in hung)
    union = hung[0].rect.unionall([h.rect for h in hung[1:]])
    assert max(union.w / room.w, (union.h + 20) / room.h) > 0.8
    assert scale > 0


def test_the_pointer_reads_what_the_densitometer_reads_there(hand: Driver) -> None:
    wall = darkroom(hand).wall
    for share in ((0.3, 0.3), (0.62, 0.7)):
        hand.click("print:4", share)
        number, x, y = prints(hand).probe
        direct = wall.read(number, x, y)
        shown = [label.words for label in hand.canvas.labels]  # type: ignore[union-attr]
        assert number == 4
        assert prints(hand).reading == direct
        assert f"{direct.density:.2f}" in shown
        assert f"L* {direct.lightness:.0f}" in shown
        assert f"nearest step {direct.nearest_step}, {direct.step_density:.2f}" in shown


def test_the_densitometer_says_how_far_off_a_real_sheet_may_be(hand: Driver) -> None:
    wall = darkroom(hand).wall
    tones = wall.worth(4)()
    assert tones
    for share in ((0.3, 0.3), (0.62, 0.7)):
        hand.click("print:4", share)
        hand.frame()
        density = prints(hand).reading.density
        near = min(tones, key=lambda tone: abs(tone.density - density))
        shown = [label.words for label in hand.canvas.labels]  # type: ignore[union-attr]
        assert f"real paper ± {near.untested:.2f}, after a strip ± {near.after_a_strip:.2f}" in shown
    assert 0.02 <= near.after_a_strip <= near.untested


def test_where_no_named_place_lies_nothing_is_said_of_real_paper(hand: Driver, monkeypatch: pytest.MonkeyPatch) -> None:
    wall = darkroom(hand).wall
    monkeypatch.setattr(wall, "real_tones", {})
    monkeypatch.setattr("sim.bench.real_sheet.on_sheet", lambda *_: False)
    assert wall.worth(4)() == ()
    hand.click("print:4", (0.3, 0.3))
    hand.frame()
    assert not [label.words for label in hand.canvas.labels if label.words.startswith("real paper")]  # type: ignore[union-attr]


def test_pixels_and_millimetres_are_turned_into_each_other(hand: Driver) -> None:
    control = prints(hand)
    hung = control.hung[2]
    for zoom, centre in ((1, (0.5, 0.5)), (4, (0.3, 0.8))):
        control.zoom, control.centre = zoom, centre
        for pos in ((hung.rect.x + 5, hung.rect.y + 7), hung.rect.center):
            back = control.to_px(hung, *control.to_mm(hung, pos))
            assert back == pytest.approx(pos, abs=1)


def test_the_pixel_shown_is_the_density_read(hand: Driver) -> None:
    control, wall = prints(hand), darkroom(hand).wall
    hung = control.hung[3]
    for zoom in ("1", "4"):
        hand.click(f"zoom:{zoom}")
        for share in (0.35, 0.6):
            pos = (hung.rect.x + int(hung.rect.w * share), hung.rect.y + int(hung.rect.h * share))
            x, y = control.to_mm(hung, pos)
            shown = pygame.surfarray.array3d(hand.surface)[pos[0] - 2 : pos[0] + 3, pos[1] - 2 : pos[1] + 3, 0].mean()
            spot = max(5 / control.px_per_mm / int(zoom), 0.3)
            wanted = screen_values(np.array([[wall.read(4, x, y, spot).density]], np.float32))[0, 0]
            if control.probe is None or abs(control.to_px(hung, *control.probe[1:])[0] - pos[0]) > 30:
                assert abs(float(shown) - float(wanted)) < 14


def test_the_wall_is_neutral_and_lit_as_the_prints_are(hand: Driver) -> None:
    rect = prints(hand).rect
    pixels = pygame.surfarray.array3d(hand.surface)[rect.x : rect.right, rect.y : rect.bottom].astype(int)
    assert np.ptp(pixels, axis=2).max() == 0
    for lux in (500.0, 2000.0):
        wanted = int(screen_values(np.array([[WALL_DENSITY]], np.float32), lux)[0, 0])
        assert wall_grey(lux) == (wanted, wanted, wanted)
    assert wall_grey(2000.0) > wall_grey(500.0)


def test_the_viewing_light_has_a_stated_level(hand: Driver) -> None:
    before = pygame.surfarray.array3d(hand.surface)[prints(hand).hung[3].rect.center][0]
    assert "Viewing light, 500 lux" in [label.words for label in hand.canvas.labels]  # type: ignore[union-attr]
    hand.press("l", only_listed=True)
    hand.frame()
    assert "Viewing light, 2000 lux" in [label.words for label in hand.canvas.labels]  # type: ignore[union-attr]
    assert pygame.surfarray.array3d(hand.surface)[prints(hand).hung[3].rect.center][0] > before


def test_wet_sheets_are_shown_wet_and_read_dry(hand: Driver) -> None:
    control, wall = prints(hand), darkroom(hand).wall
    hand.click("print:3", (0.4, 0.4))
    dry = control.reading
    hand.press("w", only_listed=True)
    hand.frame()
    hung = control.hung[2]
    shown = pygame.surfarray.array3d(control.pictures[3])[..., 0].T
    wanted = wall.picture(3, hung.rect.size, wet=True)
    seen, asked = (  # made equally small: one may be drawn a few pixels larger than the other, and texture is fine
        np.asarray(Image.fromarray(p.astype(np.uint8)).resize((40, 50), Image.Resampling.BOX), dtype=float)
        for p in (shown, wanted)
    )
    assert np.abs(seen - asked).mean() < 2.0
    said = [label.words for label in hand.canvas.labels]  # type: ignore[union-attr]
    assert "sheet 3, wet" in said
    assert "Densitometer, on the dry sheet" in said
    assert control.reading == dry


def test_a_fibre_print_is_lighter_wet_than_dry(tmp_path: Path) -> None:
    driver = open_room(tmp_path, evening=True)
    darkroom(driver).desk.set("paper", "glossy-fb-vc")
    sheet(driver, time_s=6.0)
    driver.go("wall")
    middle = {}
    for wet in (False, True):
        driver.app.screen.wet.value = wet
        driver.app.screen.refresh()
        middle[wet] = pygame.surfarray.array3d(prints(driver).pictures[1]).mean()
    assert middle[True] > middle[False] + 1.0


def test_the_keyboard_moves_the_densitometer_and_takes_it_to_the_same_place_of_the_next_print(hand: Driver) -> None:
    screen, control = hand.app.screen, prints(hand)
    screen.set_focus(control)
    hand.press("right")
    first = control.probe
    hand.press("right")
    hand.app.handle(Key("down", True, shift=True))
    assert control.probe[1] == pytest.approx(first[1] + 1.0)
    assert control.probe[2] == pytest.approx(first[2] + 10.0)
    sides = next(h.size_mm for h in control.hung if h.number == control.probe[0])
    share = (control.probe[1] / sides[0], control.probe[2] / sides[1])
    hand.press("end")
    hand.press("end")
    number, x, y = control.probe
    size = next(h.size_mm for h in control.hung if h.number == number)
    assert number == 3
    assert (x / size[0], y / size[1]) == pytest.approx(share, abs=0.01)
    hand.press("return")
    assert screen.sheets.value == "3"
    for _ in range(400):
        hand.press("left")
    assert control.probe[1] == pytest.approx(0.1), "it stays on the paper"


def test_the_wheel_zooms_about_the_point(hand: Driver) -> None:
    control = prints(hand)
    hung = control.hung[3]
    pos = (hung.rect.x + hung.rect.w // 3, hung.rect.y + hung.rect.h // 2)
    hand.app.handle(Pointer("move", pos))
    before = control.probe[1:]
    hand.app.handle(Pointer("wheel", pos, steps=1))
    hand.frame()
    assert control.zoom == 2
    assert hand.app.screen.zoom.value == "2"
    assert hung.rect.collidepoint(control.to_px(hung, *before))
    hand.press("-", only_listed=True)
    hand.frame()
    assert control.zoom == 1


def test_strips_show_seconds_stops_and_reading_of_every_step(hand: Driver) -> None:
    hand.click("sheets:1")
    wall = darkroom(hand).wall
    strip = wall.prints()[0]
    rows = hand.app.screen.steps.rows
    assert len(rows) == len(STEPS_S)
    for n, (row, step) in enumerate(zip(rows, strip.strip_steps, strict=True)):
        density = wall.read(1, step.x_mm, step.y_mm).density
        stops = np.log2(STEPS_S[n] / STEPS_S[0])
        assert row.text == f"{n + 1}   {STEPS_S[n]:.1f} s"
        assert row.note == f"+{stops:.2f}   D {density:.2f}"
    hand.click("steps:2")
    assert prints(hand).probe[0] == 1
    assert prints(hand).probe[2] == pytest.approx(strip.strip_steps[2].y_mm)


def test_four_hang_at_most(tmp_path: Path) -> None:
    driver = open_room(tmp_path, evening=True)
    for n in range(5):
        sheet(driver, "strip", time_s=3.0 + n)
    driver.go("wall")
    screen = driver.app.screen
    assert screen.pinned == [2, 3, 4, 5], "the oldest came down"
    driver.click("sheets:1")
    driver.click("pin")
    assert "Four hang already" in driver.said()
    assert screen.pinned == [2, 3, 4, 5]
    driver.click("sheets:2")
    driver.click("pin")
    assert screen.pinned == [3, 4, 5]
    driver.click("sheets:1")
    driver.press("p", only_listed=True)
    driver.frame()
    assert screen.pinned == [3, 4, 5, 1]
    assert [h.number for h in prints(driver).hung] == [3, 4, 5, 1]


def test_the_sheet_that_counts_can_be_changed_and_changed_back(tmp_path: Path) -> None:
    driver = open_room(tmp_path, evening=True)
    for n in range(2):
        sheet(driver, time_s=5.0 + n)
    sheet(driver, "strip")
    driver.go("wall")
    wall = darkroom(driver).wall
    driver.click("nominate")
    assert "strip" in driver.said()
    assert wall.nominated == ()
    driver.click("sheets:1")
    driver.click("nominate")
    assert wall.nominated == (1,)
    assert "These count: 1." in driver.said()
    driver.press("n", only_listed=True)
    assert wall.nominated == (1,)
    assert "has to count" in driver.said()
    driver.click("sheets:2")
    driver.press("n")
    assert wall.nominated == (1, 2)
    driver.press("ctrl+z", only_listed=True)
    assert wall.nominated == (1,)
    driver.press("ctrl+z")
    assert wall.nominated == (1,)
    assert "no earlier naming" in driver.said()


def test_drawing_changes_nothing(hand: Driver) -> None:
    hand.click("print:4", (0.4, 0.4))
    screen = hand.app.screen
    before = (darkroom(hand).kept, tuple(screen.pinned), prints(hand).probe, screen.sheets.value)
    hand.app.draw(hand.surface)
    first = pygame.image.tobytes(hand.surface, "RGB")
    hand.app.draw(hand.surface)
    assert pygame.image.tobytes(hand.surface, "RGB") == first
    assert (darkroom(hand).kept, tuple(screen.pinned), prints(hand).probe, screen.sheets.value) == before
