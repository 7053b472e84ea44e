"""What the pointer drags, keys and numbers can do as well, and the record is the same to the last letter."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from driving import Driver, open_room

from sim.printing.record_file import record_data, record_json
from sim.window.dry.enlarger_view import head_rect
from sim.window.dry.hand import RACK
from sim.window.kit.events import Key, Pointer


def hand(folder: Path) -> Driver:
    folder.mkdir()
    return open_room(folder, (1280, 800), evening=True)


def drag(driver: Driver, start: tuple[int, int], end: tuple[int, int], steps: int = 7) -> None:
    """Take hold at one point and let go at another, with a frame now and then as a real hand has."""
    app = driver.app
    app.handle(Pointer("move", start))
    app.handle(Pointer("down", start, 1, buttons=frozenset({1})))
    for n in range(1, steps + 1):
        at = (start[0] + (end[0] - start[0]) * n // steps, start[1] + (end[1] - start[1]) * n // steps)
        app.handle(Pointer("move", at, buttons=frozenset({1})))
        if n % 3 == 0:
            driver.frame()
    app.handle(Pointer("up", end, 1))
    driver.frame()


def type_into(driver: Driver, field: str, digits: str) -> None:
    """Give a number field the keyboard, write digits, press Enter."""
    screen = driver.app.screen
    screen.set_focus(screen.find(field))
    for letter in digits:
        driver.app.handle(Key(letter, True, text=letter))
    driver.press("return")


def point(driver: Driver, x_mm: float, y_mm: float) -> tuple[int, int]:
    return driver.app.screen.easel.plan.to_px(x_mm, y_mm)


def set_up(driver: Driver) -> dict[str, Any]:
    return record_data(driver.app.screen.darkroom.desk.base_record())


def exposed(driver: Driver) -> dict[str, Any]:
    return json.loads(record_json(driver.app.screen.darkroom.paper.record()))


def test_the_head_dragged_stepped_and_typed_gives_one_record(tmp_path: Path) -> None:
    dragged, stepped, typed = (hand(tmp_path / name) for name in ("dragged", "stepped", "typed"))
    screen = dragged.app.screen
    before = screen.darkroom.desk.now.height_mm
    head = screen.enlarger.head
    start = head_rect(dragged.app.room.look, head.plan, screen.enlarger.state()).center
    drag(dragged, start, (start[0], start[1] - 40))
    height = screen.darkroom.desk.now.height_mm
    assert height > before + 50

    type_into(typed, "height", f"{height:.0f}")
    steps = stepped.app.screen
    type_into(stepped, "height", f"{height - 13:.0f}")
    steps.set_focus(steps.enlarger.head)
    stepped.app.handle(Key("up", True, shift=True))
    for _ in range(3):
        stepped.app.handle(Key("up", True))
    assert set_up(dragged) == set_up(typed) == set_up(stepped)
    assert screen.darkroom.desk.focus_offset_mm != 0.0  # the ring stayed where it was


@pytest.mark.parametrize(("ring", "key", "field"), [("aperture", "]", "f_number"), ("filter", "=", "filter")])
def test_a_ring_turned_by_hand_by_wheel_and_by_key_gives_one_record(
    tmp_path: Path, ring: str, key: str, field: str
) -> None:
    turned, pressed, wheeled = (hand(tmp_path / name) for name in ("turned", "pressed", "wheeled"))
    before = getattr(turned.app.screen.darkroom.desk.now, field)
    rect = turned.where(ring)
    step = 0
    while getattr(turned.app.screen.darkroom.desk.now, field) == before and step < 60:
        step += 4
        drag(turned, rect.center, (rect.centerx - step, rect.centery), 1)
    pressed.press(key)
    wheeled.app.handle(Pointer("wheel", wheeled.where(ring).center, steps=1))
    assert getattr(turned.app.screen.darkroom.desk.now, field) != before
    assert set_up(turned) == set_up(pressed) == set_up(wheeled)


def lay(driver: Driver) -> None:
    driver.press("shift+c")
    driver.frame()


def test_a_strip_dragged_nudged_and_placed_by_numbers_gives_one_record(tmp_path: Path) -> None:
    dragged, nudged, numbered = (hand(tmp_path / name) for name in ("dragged", "nudged", "numbered"))
    for one in (dragged, nudged, numbered):
        one.press("shift+s")
        one.press("t")
        one.frame()
    x, y = dragged.app.screen.middle_of_piece()
    drag(dragged, point(dragged, x, y), point(dragged, x + 16, y + 30))
    x, y = dragged.app.screen.middle_of_piece()
    nudged.app.screen.pages.turn_to("paper")
    type_into(nudged, "strip-x", f"{x - 12:.0f}")
    type_into(nudged, "strip-y", f"{y + 4:.0f}")
    nudged.app.screen.set_focus(nudged.app.screen.easel.board)
    nudged.app.handle(Key("right", True, shift=True))
    nudged.app.handle(Key("right", True))
    for _ in range(2):
        nudged.app.handle(Key("up", True))
    numbered.app.screen.pages.turn_to("paper")
    type_into(numbered, "strip-x", f"{x:.0f}")
    type_into(numbered, "strip-y", f"{y:.0f}")
    for one in (dragged, nudged, numbered):
        lay(one)
    assert exposed(dragged) == exposed(nudged) == exposed(numbered)
    assert exposed(dragged)["sheet"]["image_shift_mm"] != [0.0, 0.0]


def expose_at_once(driver: Driver) -> dict[str, Any]:
    driver.app.screen.timer.set_speed("at-once")
    driver.press("f5")
    return exposed(driver)


def test_a_card_placed_by_mouse_by_keys_and_by_numbers_gives_one_record(tmp_path: Path) -> None:
    moused, keyed, numbered = (hand(tmp_path / name) for name in ("moused", "keyed", "numbered"))
    for one in (moused, keyed, numbered):
        one.press("s")
        one.frame()
    moused.click("rack:2")
    at = point(moused, 80, 140)
    moused.app.handle(Pointer("move", at))
    for _ in range(3):
        moused.app.handle(Pointer("wheel", at, steps=1))
    for _ in range(2):
        moused.app.handle(Pointer("wheel", at, steps=1, shift=True))
    held = moused.app.screen.hands.held
    assert held is not None
    moused.press("x")

    keyed.press("3")
    keyed.app.screen.hold_card_at(held.x_mm - 4.0, held.y_mm + 10.0)
    keyed.app.screen.set_focus(None)
    for key in ("right", "right", "up", "up", "up", "up", "up", "h", "h", "h", "g", "g"):
        keyed.press(key)
    keyed.press("x")

    numbered.press("3")
    numbered.press("n")
    for field, value in (("card-x", held.x_mm), ("card-y", held.y_mm), ("card-height", 150), ("card-angle", 30)):
        type_into(numbered, field, f"{value:g}")
    numbered.press("x")
    records = [expose_at_once(one) for one in (moused, keyed, numbered)]
    assert records[0] == records[1] == records[2]
    (card,) = records[0]["exposures"][0]["cards"]
    assert (card["card_height_mm"], card["angle_deg"], card["shape"]) == (150.0, 30.0, "oval")
    assert card["motion"] == {"kind": "still", "x_mm": held.x_mm, "y_mm": held.y_mm}


def test_a_planned_exposure_made_longer_by_dragging_is_the_one_made_longer_by_keys(tmp_path: Path) -> None:
    dragged, keyed = (hand(tmp_path / name) for name in ("dragged", "keyed"))
    for one in (dragged, keyed):
        one.press("s")
        one.press("a")
        one.app.screen.pages.turn_to("plan")
        one.app.screen.refresh()
        one.frame()
    rect = dragged.where("plan")
    start = (rect.x + rect.w // 2, rect.y + 8)
    drag(dragged, start, (start[0] + 44, start[1]), 4)
    wanted = dragged.app.screen.darkroom.paper.plan[0].time_s
    assert wanted > 10.0
    bars = keyed.app.screen.plan_page.bars
    keyed.app.screen.set_focus(bars)
    for _ in range(round((wanted - 10.0) / 0.5)):
        keyed.app.handle(Key("right", True))
    for one in (dragged, keyed):
        one.press("shift+a")
    assert exposed(dragged) == exposed(keyed)
    assert exposed(dragged)["exposures"][0]["time_s"] == wanted


def test_seconds_and_stops_are_one_time(tmp_path: Path) -> None:
    seconds, stops = (hand(tmp_path / name) for name in ("seconds", "stops"))
    type_into(seconds, "seconds", "20")
    type_into(stops, "stops", "1")
    assert set_up(seconds) == set_up(stops)
    assert seconds.app.screen.find("stops").value == pytest.approx(1.0)


def test_every_tool_of_the_rack_has_its_digit(tmp_path: Path) -> None:
    driver = hand(tmp_path / "rack")
    for n, tool in enumerate(RACK):
        driver.press(str(n + 1))
        assert driver.app.screen.hands.held.name == tool.name
    driver.press("0")
    assert driver.app.screen.hands.held is None


def test_an_arrow_held_down_moves_on_and_stops_when_let_go(tmp_path: Path) -> None:
    driver = hand(tmp_path / "held")
    driver.press("2")
    screen = driver.app.screen
    screen.set_focus(None)
    start = screen.hands.held.x_mm
    driver.app.handle(Key("right", True))
    assert screen.hands.held.x_mm == start + 2.0
    driver.frame(0.1, times=10)
    far = screen.hands.held.x_mm
    assert start + 30.0 < far < start + 70.0
    driver.app.handle(Key("right", False))
    driver.frame(0.1, times=5)
    assert screen.hands.held.x_mm == far
