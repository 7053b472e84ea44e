"""What the dry side allows and refuses, said in words; lessons lock, ask, and only then let paper go to the wet bench."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from driving import Driver, open_room

from sim.bench.paper_in_hand import stop_times_s
from sim.enlarger.filters import FilterSetting
from sim.window.kit.events import Key, Pointer
from sim.window.lesson_desk import open_lesson, task_in
from tests.bench.darkrooms import lit_shares


@pytest.fixture
def hand(tmp_path: Path) -> Driver:
    return open_room(tmp_path, (1280, 800), evening=True)


def paper_of(driver: Driver):  # type: ignore[no-untyped-def]
    return driver.app.room.darkroom.paper


def test_the_foot_switch_needs_paper_and_no_red_filter(hand: Driver) -> None:
    hand.press("space")
    assert "no paper" in hand.said()
    hand.press("s")
    hand.press("r")
    hand.press("space")
    assert "red filter" in hand.said()
    assert paper_of(hand).piece.exposures == 0


def test_the_timer_ends_by_itself_and_four_times_as_fast(hand: Driver) -> None:
    hand.press("s")
    screen = hand.app.screen
    hand.press("space")
    frames = 0
    while screen.lamp.on:
        hand.frame(0.1)
        frames += 1
    assert frames == pytest.approx(100, abs=1)
    screen.timer.set_speed("fast")
    hand.press("space")
    frames = 0
    while screen.lamp.on:
        hand.frame(0.1)
        frames += 1
    assert frames == pytest.approx(25, abs=1)
    assert paper_of(hand).piece.seconds == pytest.approx(20.0)


def test_switched_off_early_what_was_given_stays_given(hand: Driver) -> None:
    hand.press("s")
    hand.press("space")
    hand.frame(0.1, times=30)
    hand.press("space")
    assert paper_of(hand).piece.seconds == pytest.approx(3.0, abs=0.11)


def test_leaving_the_enlarger_switches_the_lamp_off_and_hangs_the_card_back(hand: Driver) -> None:
    hand.press("s")
    hand.press("2")
    hand.press("space")
    hand.frame(0.1, times=5)
    screen = hand.app.screen
    hand.go("wall")
    assert not paper_of(hand).exposing
    assert paper_of(hand).piece.exposures == 1
    assert screen.hands.held is None


def test_paper_comes_out_only_when_the_focusing_light_is_off(hand: Driver) -> None:
    hand.press("l")
    assert hand.app.room.darkroom.easel.lit
    hand.press("s")
    assert not hand.app.room.darkroom.easel.lit
    hand.press("l")
    assert "fog" in hand.said()


def test_stops_count_from_the_time_last_used(hand: Driver) -> None:
    screen = hand.app.screen
    for _ in range(6):
        hand.press(".")
    assert hand.app.room.darkroom.desk.now.time_s == pytest.approx(20.0, abs=0.1)
    assert screen.timer.stops.value == pytest.approx(1.0, abs=0.01)
    hand.press("s")
    screen.timer.set_speed("at-once")
    hand.press("space")
    assert screen.timer.stops.value == pytest.approx(0.0)


def test_a_strip_in_one_go_has_the_steps_that_were_shown(hand: Driver) -> None:
    hand.press("shift+s")
    hand.frame()
    screen = hand.app.screen
    shown = screen.strip.marks()
    assert screen.strip.only_planned()
    hand.press("shift+c")
    hand.frame()
    assert not screen.strip.only_planned()
    assert [mark[0] for mark in screen.strip.marks()] == [mark[0] for mark in shown]
    assert np.allclose([mark[1:] for mark in screen.strip.marks()], [mark[1:] for mark in shown], atol=0.5)
    assert [step.time_s for step in paper_of(hand).strip_steps] == pytest.approx(list(stop_times_s(4.0, 0.5, 5)))


def test_a_strip_covered_step_by_step_adds_up(hand: Driver) -> None:
    hand.press("shift+s")
    screen = hand.app.screen
    screen.timer.set_speed("at-once")
    hand.press("space")
    hand.press("c")
    assert screen.strip.cover() == (pytest.approx(0.2), True)
    hand.press("space")
    for _ in range(4):
        hand.press("c")
    assert screen.strip.cover() is None
    paper = paper_of(hand)
    assert paper.piece.exposures == 2
    lit = lit_shares(hand.app.room.darkroom)[1]
    assert lit[25].mean() < 0.05
    assert lit[-25].mean() > 0.95


def test_throwing_away_lit_paper_is_asked_first(hand: Driver) -> None:
    hand.press("s")
    hand.app.screen.timer.set_speed("at-once")
    hand.press("space")
    left = hand.app.room.darkroom.sheets_left
    hand.click("throw-away")
    assert paper_of(hand).piece is not None
    hand.click("answer:yes")
    assert paper_of(hand).piece is None
    assert hand.app.room.darkroom.sheets_left == left


def test_a_plan_is_changed_struck_and_worked_off(hand: Driver) -> None:
    screen = hand.app.screen
    hand.press("s")
    for key in ("a", "=", "=", "a", "a"):
        hand.press(key)
    paper = paper_of(hand)
    assert [one.filter for one in paper.plan] == ["2", "3", "3"]
    screen.plan.strike(2)
    screen.plan.change(1, 4.0)
    hand.press("shift+a")
    assert [bar.done for bar in paper.bars()] == [True, False]
    screen.plan.change(1, 6.0)
    hand.press("shift+a")
    assert paper.piece.exposures == 2
    assert paper.piece.seconds == pytest.approx(16.0)
    assert [bar.kind for bar in paper.bars()] == ["soft", "hard"]


def test_a_longer_planned_exposure_keeps_its_cards_share(hand: Driver) -> None:
    from dataclasses import replace

    screen = hand.app.screen
    hand.press("s")
    hand.press("2")
    hand.press("x")
    screen.change_card(replace(screen.hands.edited, start_s=1.0, stop_s=5.0))
    hand.press("a")
    screen.plan.change(0, 20.0)
    (card,) = paper_of(hand).plan[0].cards
    assert (card.start_s, card.stop_s) == (2.0, 10.0)


def test_filters_are_written_into_a_plan_as_they_are_read_from_it() -> None:
    for name in ("3.5", "Y0.40", "Y0.10 M0.60", "none"):
        assert FilterSetting.named(name).name == name


def test_the_meter_counts_stops_from_what_was_held_and_keeps_its_tone(hand: Driver) -> None:
    screen = hand.app.screen
    hand.press("l")
    hand.frame()
    hand.press("m")
    hand.frame()
    assert any("0.00" in line for line in screen.easel.reading)
    for _ in range(3):
        hand.press("]")
    hand.frame()
    assert any("−1.0" in line or "−0.9" in line for line in screen.easel.reading)
    hand.press("shift+m")
    assert hand.app.room.darkroom.desk.now.time_s == pytest.approx(20.0, rel=0.08)
    hand.press("m")
    assert hand.app.room.darkroom.easel.reference is None  # held once more at the same place, it is let go


def test_another_negative_is_taken_from_the_light_table_by_mouse_and_by_keys(hand: Driver) -> None:
    hand.press("v")
    hand.frame()
    hand.click("sleeve:cup-close")
    hand.click("sleeve:cup-close")
    assert hand.app.room.darkroom.desk.now.negative == "cup-close"
    hand.press("v")
    hand.app.screen.set_focus(hand.app.screen.negatives.table)
    hand.press("right")
    hand.press("return")
    assert hand.app.room.darkroom.desk.now.negative == "firing-night"
    hand.press("v")
    hand.frame()
    hand.click("sleeve:pit-under-clouds")
    hand.click("sleeve:pit-under-clouds")
    now = hand.app.room.darkroom.desk.now
    assert now.sheet_width_mm > now.sheet_height_mm  # the sheet is turned the way the film lies
    hand.press("v")
    hand.frame()
    hand.click("sleeve:racks-small-film")
    hand.click("sleeve:racks-small-film")
    wide, high = hand.app.room.darkroom.desk.image_size_mm
    assert max(wide / 203, high / 254) > 0.8  # small film fills the sheet: lens and height were changed with it


def lesson(folder: Path, name: str) -> Driver:
    driver = open_room(folder, (1280, 800))
    driver.app.room.darkroom, driver.app.room.lesson = open_lesson(folder / "attempt", task_in(name), "somebody")
    driver.app.room.lesson.begin()
    driver.go("enlarger")
    return driver


def test_a_lesson_locks_with_a_reason_and_asks_before_developing(tmp_path: Path) -> None:
    driver = lesson(tmp_path, "same-place-strip")
    run, screen = driver.app.room.lesson, driver.app.screen
    assert screen.find("filter").why_not
    assert screen.find("rack").why_not
    driver.press("3")
    assert screen.hands.held is None
    assert driver.said() == screen.find("rack").why_not
    driver.press("shift+s")
    driver.press("shift+c")
    driver.press("w")
    driver.frame()
    driver.click("answer:not-yet")
    assert driver.app.place == "enlarger"
    assert run.prediction == ""
    driver.press("w")
    driver.frame()
    driver.click("answer:step-3")
    assert run.prediction == "step-3"
    assert driver.app.place == "wet-bench"


@pytest.mark.parametrize("seed", [1, 2])
def test_random_hands_break_nothing(hand: Driver, seed: int) -> None:
    generator = np.random.Generator(np.random.PCG64(seed))
    screen, room = hand.app.screen, hand.app.room.darkroom
    keys = [key for action in screen.ACTIONS for key in action.keys if key != "w"] + ["tab", "return", "escape"]
    for n in range(400):
        at = (int(generator.integers(1280)), int(generator.integers(60, 760)))
        kind = int(generator.integers(6))
        if kind < 3:
            hand.press(str(generator.choice(keys)))
        elif kind == 3:
            hand.app.handle(Pointer("wheel", at, steps=int(generator.choice([-1, 1])), shift=bool(generator.integers(2))))
        else:
            hand.app.handle(Pointer("move", at))
            hand.app.handle(Pointer("down", at, 1, buttons=frozenset({1})))
            hand.app.handle(Pointer("move", (at[0] + 9, at[1] - 7), buttons=frozenset({1})))
            hand.app.handle(Pointer("up", (at[0] + 9, at[1] - 7), 1))
        hand.app.update(0.05)
        if n % 40 == 0:
            hand.frame()
        if hand.app.place != "enlarger":
            hand.go("enlarger")
        assert "Something went wrong" not in hand.said(), hand.pressed[-5:]
        assert 0.0 <= room.sheets_left <= 20.0
        assert screen.hands.held is None or 0.0 <= screen.hands.held.card_height_mm <= 500.0


def test_a_key_held_down_does_not_switch_the_lamp_twice(hand: Driver) -> None:
    hand.press("s")
    hand.app.handle(Key("f5", True))
    hand.app.handle(Key("f5", True, repeat=True))
    assert paper_of(hand).exposing


def test_a_picture_that_is_coarse_while_the_head_moves_is_fine_once_it_stands(hand: Driver) -> None:
    screen = hand.app.screen
    hand.press("l")
    hand.frame(times=2)
    for n in range(3):
        screen.enlarger.wish_height(680 + 3 * n)
        hand.frame()
    assert screen.easel._coarse
    hand.frame(times=12)
    assert not screen.easel._coarse
    stood = screen.easel._live.pixels.copy()
    screen.easel.forget()
    hand.frame(1.0)
    assert np.array_equal(screen.easel._live.pixels, stood)
