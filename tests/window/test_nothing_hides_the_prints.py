"""What is read at the wall stands beside the prints; the seconds of narrow steps stand in rows; the wheel over a number."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands_in_room import Hands, in_room
from pygame import Rect
from test_one_room_wall import _print, _wall

from sim.window.kit.boxes import hiding_least
from sim.window.things.strip_meant import rows_needed, side_by_side

STEPS = (3.0, 4.2, 6.0, 8.5, 12.0)


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path)


def _strip(hands: Hands, chosen: str, angle_deg: float = 90.0) -> None:
    dark = hands.window.room.darkroom
    dark.desk.set("focus_light", False)
    dark.desk.set("filter", chosen)
    dark.paper.take("strip")
    dark.paper.lay_strip(STEPS, angle_deg=angle_deg)
    dark.tray.put_in()
    dark.tray.finish()
    dark.tray.clear()


def test_the_reading_and_what_it_is_good_for_hide_no_print(hands: Hands) -> None:
    _strip(hands, "00")
    _strip(hands, "5")
    _print(hands, (8.0, 6.0))
    wall = _wall(hands)
    for number, share in ((1, (0.5, 0.5)), (2, (0.5, 0.3)), (3, (0.4, 0.4)), (4, (0.9, 0.9))):
        hands.touch(f"print {number}", share)
        hands.frame(0.2, times=2)
        plates = [wall.read_out.rect, *(one.rect for one in (wall.this_time, wall.as_plan) if one.shown)]
        assert len(plates) == {1: 2, 2: 3}.get(number, 1)
        prints = [wall.wall.with_caption(pin) for pin in wall.wall.hanging()]
        for n, plate in enumerate(plates):
            assert wall.wall.area.contains(plate), number
            assert plate.collidelist(prints) < 0, number
            assert plate.collidelist(plates[:n]) < 0, number
    assert hands.cut() == []


def test_where_a_print_fills_the_wall_its_reading_leaves_the_read_place_free(hands: Hands) -> None:
    _print(hands, (8.0,))
    wall = _wall(hands)
    hands.wheel("print 1", 6)
    hands.frame(0.2, times=2)
    middle = wall.wall.area.center
    hands.touch("wall", (0.5, 0.5))
    hands.frame()
    assert wall.wall.reading is not None
    assert wall.wall.area.contains(wall.read_out.rect)
    assert not wall.read_out.rect.collidepoint(middle)


def test_the_slip_with_the_curve_hides_neither_what_is_read_nor_its_reading(hands: Hands) -> None:
    _print(hands, (8.0, 6.0, 7.0))
    wall = _wall(hands)
    for number in (1, 3):
        hands.touch(f"print {number}", (0.5, 0.2))
        hands.press("k")
        hands.frame(0.1, times=2)
        assert wall.thread.shown
        assert not wall.thread.rect.colliderect(wall.read_out.rect)
        read = wall.wall.point
        assert read is not None
        print_rect, (wide, high) = hands.where(f"print {number}"), wall.wall.size_mm(number)
        spot = print_rect.x + round(read[1] / wide * print_rect.w), print_rect.y + round(read[2] / high * print_rect.h)
        assert not wall.thread.rect.collidepoint(spot)
        hands.press("k")
        hands.frame()


def test_what_hides_least_is_chosen_and_of_equals_the_nearest() -> None:
    inside, hides = Rect(0, 0, 100, 100), [(1.0, Rect(0, 0, 50, 100))]
    cost, free = hiding_least((20, 20), [(30, 40), (31, 40), (50, 40), (70, 40)], inside, hides, (50, 50), 0.1)
    assert free.topleft == (50, 40)
    assert cost == pytest.approx(1.0)
    _, near = hiding_least((20, 20), [(49, 40), (80, 40)], inside, hides, (59, 50), 1.0)
    assert near.x == 49, "a pixel's width of what is hidden costs less than to stand far away"
    assert hiding_least((20, 20), [(95, 95)], inside, [], (50, 50), 1.0)[1].bottomright == (100, 100)


def test_words_stand_in_as_many_rows_as_their_steps_are_too_narrow_for() -> None:
    assert rows_needed([0, 40, 80], 40) == 1
    assert rows_needed([0, 40, 80], 41) == 2, "wider by one pixel than the step"
    assert rows_needed([80, 0, 20], 40) == 2
    assert rows_needed([80, 0, 20], 41) == 3
    assert rows_needed([7], 40) == 1
    assert side_by_side([(0, 0), (10, 9)])
    assert not side_by_side([(0, 0), (10, 10)])


def test_the_seconds_of_steps_from_the_left_never_stand_over_each_other(hands: Hands) -> None:
    hands.press("t")
    hands.frame()
    for _ in range(3):
        hands.touch("strip way")
    assert "first step at the left" in hands.words
    for _ in range(2):
        labels = [label for label in hands.frame().labels if label.words.endswith(" s") and label.words != "10.0 s"]
        assert len(labels) >= 4
        for n, label in enumerate(labels):
            others = [one.rect.inflate(-2, -4) for one in labels[:n]]
            assert label.rect.inflate(-2, -4).collidelist(others) < 0, label.words
        hands.press("r")
    hands.press("t")
    _strip(hands, "2", angle_deg=0.0)
    _wall(hands)
    labels = [label for label in hands.frame().labels if label.words in {f"{one:.1f} s" for one in STEPS}]
    assert len(labels) == len(STEPS)
    assert all(a.rect.inflate(-2, -4).collidelist([b.rect for b in labels[:n]]) < 0 for n, a in enumerate(labels))
    assert hands.cut() == []


def test_the_wheel_over_a_number_turns_the_thing_it_stands_at(hands: Hands) -> None:
    desk = hands.window.room.darkroom.desk
    seconds, height = desk.now.time_s, desk.now.height_mm
    hands.wheel("seconds", 1)
    hands.wheel("height", 1)
    assert hands.place == "enlarger", "it does not walk away from under the hand"
    assert desk.now.time_s > seconds
    assert desk.now.height_mm > height


def test_nothing_on_a_leaf_of_the_notebook_is_written_twice(hands: Hands) -> None:
    _print(hands, (8.0,))
    hands.press("f2")
    labels = [(label.words, tuple(label.rect)) for label in hands.frame(0.1, times=3).labels if label.layer == "over"]
    assert any("developer 60 s" in words for words, _ in labels)
    assert len(set(labels)) == len(labels)


@pytest.mark.parametrize(("size", "scale"), [((1024, 700), 1.0), ((1024, 700), 1.5), ((1920, 1200), 2.5)])
def test_the_slip_with_negative_and_paper_never_lies_over_the_easel(
    tmp_path: Path, size: tuple[int, int], scale: float
) -> None:
    hands = in_room(tmp_path, size, scale=scale)
    assert not hands.where("carrier").colliderect(hands.where("easel"))
    assert hands.where("easel").h > 0.4 * size[1]
    assert hands.cut() == []
