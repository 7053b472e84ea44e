"""The wall of the one room: any number of prints, each where a hand put it; steps that set the timer; two prints compared."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands_in_room import Hands, in_room

from sim.window.standing.at_the_wall import AtTheWall


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path)


def _print(hands: Hands, times_s: tuple[float, ...], kind: str = "sheet") -> None:
    """Make prints, by the bench's own hands."""
    room = hands.window.room.darkroom
    room.desk.set("focus_light", False)
    for time_s in times_s:
        room.paper.take("strip" if kind == "strip" else "sheet")
        if kind == "strip":
            room.paper.lay_strip((4.0, 6.0, 9.0), angle_deg=90.0)
        else:
            room.paper.expose(time_s)
        room.tray.put_in()
        room.tray.finish()
        room.tray.clear()


def _wall(hands: Hands) -> AtTheWall:
    hands.press("alt+4")
    hands.frame(0.2, times=2)
    place = hands.window.place
    assert isinstance(place, AtTheWall)
    return place


def test_any_number_of_prints_hang_and_a_new_one_is_always_shown(hands: Hands) -> None:
    _print(hands, (6.0,) * 7)
    wall = _wall(hands)
    assert [pin.number for pin in wall.wall.hanging()] == [1, 2, 3, 4, 5, 6, 7]
    for number in range(1, 8):
        assert wall.wall.area.contains(hands.where(f"print {number}")), number


def test_a_print_is_dragged_and_hangs_there_at_the_next_evening(hands: Hands) -> None:
    _print(hands, (6.0, 9.0))
    wall = _wall(hands)
    before = hands.where("print 2")
    hands.drag(before.center, (before.centerx - 80, before.centery + 40))
    assert hands.where("print 2").center == pytest.approx((before.centerx - 80, before.centery + 40), abs=2)
    pin = wall.wall.pins.of(2)
    folder = hands.window.room.darkroom.folder
    hands.window.close()
    again = in_room(folder.parents[1], evening=False)
    again.press("c")
    again.frame()
    assert _wall(again).wall.pins.of(2) == pin


def test_a_strips_step_that_is_touched_sets_the_timer(hands: Hands) -> None:
    _print(hands, (0.0,), "strip")
    wall = _wall(hands)
    strip = hands.where("print 1")
    hands.touch("print 1", (0.5, 0.5))
    assert wall.wall.step_under() == (2, 6.0)
    hands.touch("this time")
    assert hands.window.room.darkroom.desk.now.time_s == 6.0
    assert strip.h > 100


def test_two_prints_are_compared_at_registered_position(hands: Hands) -> None:
    _print(hands, (6.0, 9.0))
    wall = _wall(hands)
    hands.press("c")
    hands.frame(0.1, times=2)
    assert wall.compare.way == "wipe"
    one, other = wall.compare._pair or (None, None)
    assert one is not None
    assert other is not None
    assert one.get_size() == other.get_size()
    hands.press("alt+2")
    assert wall.compare.way == "", "nothing stays open that one does not see"


def test_the_wall_is_panned_and_one_comes_near(hands: Hands) -> None:
    _print(hands, (6.0,))
    wall = _wall(hands)
    before = wall.wall.view
    hands.wheel("print 1", 3)
    assert wall.wall.view.px_per_mm > 1.9 * before.px_per_mm
    corner = wall.wall.area.topleft
    hands.drag((corner[0] + 6, corner[1] + 6), (corner[0] + 66, corner[1] + 6))
    assert wall.wall.view.x_mm != before.x_mm


def test_an_empty_wall_says_truly_why_it_is_empty(hands: Hands) -> None:
    wall = _wall(hands)
    assert any("Nothing hangs here yet" in label.words for label in hands.frame(0.0).labels)
    _print(hands, (6.0,))
    hands.frame()
    wall.wall.choose(1)
    hands.press("p")
    labels = " ".join(label.words for label in hands.frame(0.1).labels)
    assert "lies in the drawer" in labels
