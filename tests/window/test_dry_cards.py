"""Cards in the light: the hand's path is recorded, and the print from the record is the print."""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np
import pytest
from driving import Driver, open_room

from sim.bench.darkroom import Darkroom
from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.cards import path_mm
from sim.printing.make_print import make_print
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_from_data, record_json
from sim.window.dry.hand import RACK, Hands, HeldCard
from sim.window.kit.events import Pointer


def record_from_json(text: str) -> PrintingRecord:
    return record_from_data(Path("record.json"), json.loads(text))


@pytest.fixture
def hand(tmp_path: Path) -> Driver:
    return open_room(tmp_path, (1280, 800), evening=True)


def hold_back(driver: Driver, seconds: float, speed: str = "fast") -> None:
    """Take a sheet, switch the lamp on, and keep the oval turning over the bowls for a while by mouse."""
    screen = driver.app.screen
    driver.press("s")
    screen.timer.set_speed(speed)
    driver.click("rack:2")
    driver.app.handle(Pointer("move", screen.easel.plan.to_px(60, 150)))
    driver.press("f5")
    times = {"fast": 4.0, "real": 1.0}[speed]
    for n in range(round(seconds / times * 30)):
        at = (60 + 6 * math.cos(n / 3), 150 + 6 * math.sin(n / 3))
        driver.app.handle(Pointer("move", screen.easel.plan.to_px(*at)))
        driver.frame(1 / 30)
    driver.app.handle(Pointer("move", screen.easel.plan.to_px(60, 150)))
    driver.press("0")
    for _ in range(600):
        if not screen.lamp.on:
            break
        driver.frame(1 / 30)
    assert not screen.lamp.on


def test_a_card_moved_by_mouse_is_recorded_and_its_print_is_the_print(hand: Driver, tmp_path: Path) -> None:
    hold_back(hand, 4.0)
    room = hand.app.room.darkroom
    record = room.paper.record()
    cards = record.exposures[0].cards
    assert cards
    assert all(card.shape == "oval" and card.motion.kind == "path" for card in cards)
    assert sum(card.stop_s - card.start_s for card in cards) == pytest.approx(4.0, abs=0.3)
    points = [p for card in cards for p in card.motion.points]
    assert len(points) > 8
    assert max(abs(x - 60) for _, x, _ in points) < 7.0

    room.tray.put_in()
    number = room.tray.finish()
    made = room.wall.sheet(number)
    logged = room.evening.state.sheets[-1].record
    assert logged.exposures[0].cards == cards
    again = make_print(find_negative(logged.negative), logged, find_stock(logged.sheet.paper))
    assert np.array_equal(made.density, again.density)
    with_hand = room.wall.read(number, 60.0, 150.0).density
    plain = record.with_exposures(*(e.__class__(e.time_s, e.f_number, e.filter, light_s=logged.exposures[0].light_s)
                                    for e in record.exposures))  # fmt: skip
    without = make_print(find_negative(plain.negative), plain, find_stock(plain.sheet.paper))
    row, col = without.at(60.0, 150.0)
    assert with_hand < float(without.density[row, col]) - 0.1

    folder = Path(room.folder)
    assert np.array_equal(Darkroom.look(folder).wall.sheet(number).density, made.density)


def test_seconds_of_the_card_in_the_light_are_counted_beside_what_is_left(hand: Driver) -> None:
    screen = hand.app.screen
    hand.press("s")
    hand.press("3")
    hand.press("f5")
    for _ in range(30):
        hand.frame(0.1)
    assert screen.lamp.card_seconds["oval"] == pytest.approx(3.0)
    words = [label.words for label in hand.canvas.labels]
    assert "7.0 s" in words  # what is left, large
    assert "3.0 s" in words  # under the empty hook


def test_a_card_by_numbers_stands_in_a_running_exposure_as_it_stands_in_one_at_once(tmp_path: Path) -> None:
    cards = []
    for name, speed in (("real", "fast"), ("once", "at-once")):
        (tmp_path / name).mkdir()
        driver = open_room(tmp_path / name, evening=True)
        screen = driver.app.screen
        driver.press("s")
        driver.press("2")
        screen.hold_card_at(90.0, 120.0)
        driver.press("x")
        screen.choose_card(0)
        card = screen.hands.edited
        screen.change_card(HeldCard(**{**card.__dict__, "motion": "circling", "start_s": 2.0, "stop_s": 6.0}))
        screen.timer.set_speed(speed)
        driver.press("f5")
        for _ in range(200):
            driver.frame(0.1)
        cards.append(json.loads(record_json(screen.darkroom.paper.record()))["exposures"][0])
    assert cards[0] == cards[1]
    assert cards[0]["cards"][0]["motion"]["kind"] == "circling"
    assert (cards[0]["cards"][0]["start_s"], cards[0]["cards"][0]["stop_s"]) == (2.0, 6.0)


def test_a_card_that_should_stay_longer_than_the_lamp_is_taken_out_with_it(hand: Driver) -> None:
    screen = hand.app.screen
    hand.press("s")
    hand.press("2")
    hand.press("x")
    card = screen.hands.edited
    screen.change_card(HeldCard(**{**card.__dict__, "start_s": 1.0, "stop_s": 9.0}))
    hand.press("f5")
    hand.frame(0.1, times=20)
    hand.press("f5")
    exposure = screen.darkroom.paper.record().exposures[0]
    assert exposure.time_s == pytest.approx(2.0)
    assert exposure.cards[0].start_s == 1.0
    assert exposure.cards[0].stop_s == 0.0  # to the end


@pytest.mark.parametrize("motion", ["still", "circling", "sweeping"])
def test_where_a_card_by_numbers_is_drawn_is_where_the_exposure_has_it(motion: str) -> None:
    card = HeldCard("oval", "oval", 30.0, 60.0, x_mm=50.0, y_mm=70.0, angle_deg=30.0, motion=motion)
    for moment in (0.0, 0.31, 1.0, 2.7):
        dwell = path_mm(card.card(), moment, moment + 1e-6)
        x, y = dwell.x_mm @ dwell.share, dwell.y_mm @ dwell.share
        assert card.place_at(moment) == pytest.approx((x, y), abs=1e-3)


def test_hands_pick_up_fix_and_take_away() -> None:
    hands = Hands().picked_up(1, 10.0, 20.0)
    assert (hands.held.x_mm, hands.held.y_mm) == (10.0, 20.0)
    assert hands.picked_up(1, 0.0, 0.0).held is None  # the same tool again goes back
    assert hands.picked_up(0, 0.0, 0.0).held.name == RACK[0].name  # another one is taken instead
    fixed = hands.fix()
    assert fixed.held is None
    assert fixed.edited == hands.held
    assert fixed.take_away() == Hands()
    with pytest.raises(ValueError, match="take a card"):
        Hands().fix()


def test_a_card_in_the_hand_at_once_is_refused_in_words(hand: Driver) -> None:
    hand.press("s")
    hand.app.screen.timer.set_speed("at-once")
    hand.press("3")
    hand.press("f5")
    assert "real time" in hand.said()
    assert hand.app.room.darkroom.paper.piece.exposures == 0


def test_a_hand_that_leaves_the_easel_takes_its_card_out_of_the_light(hand: Driver) -> None:
    screen = hand.app.screen
    hand.press("s")
    hand.click("rack:1")
    assert screen.hands.away  # the hand is still at the rack
    hand.press("f5")
    hand.frame(0.1, times=10)
    hand.app.handle(Pointer("move", screen.easel.plan.to_px(90, 120)))
    hand.frame(0.1, times=20)
    hand.app.handle(Pointer("move", screen.timer.pad.rect.center))
    hand.frame(0.1, times=10)
    hand.app.handle(Pointer("move", screen.easel.plan.to_px(90, 120)))
    hand.frame(0.1, times=5)
    hand.press("f5")
    assert screen.lamp.card_seconds == {"large disc": pytest.approx(2.5)}
    exposure = screen.darkroom.paper.record().exposures[0]
    assert exposure.time_s == pytest.approx(4.5)
    times = [(card.start_s, card.stop_s) for card in exposure.cards]
    assert times == [(pytest.approx(1.0), pytest.approx(3.0)), (pytest.approx(4.0), pytest.approx(4.5))]
