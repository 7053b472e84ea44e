"""A strip covered by hand, lamp switched for every step, is read as the strip it is; anything else is not."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.bench.darkroom import Darkroom
from sim.printing.strips import strip_in
from sim.refusals import Refused
from sim.viewing.strip_reading import read_strip
from tests.bench.darkrooms import OnlyTime


def _room(folder: Path) -> Darkroom:
    return Darkroom.open(folder, rules=OnlyTime())


def _covered(room: Darkroom, shares: tuple[float, ...], times_s: tuple[float, ...]) -> None:
    room.paper.take("strip", upright=True)
    for share, time_s in zip(shares, times_s, strict=True):
        room.paper.cover(share or None, 90.0)
        room.paper.expose(time_s)


def test_even_steps_are_found_again_with_their_seconds(tmp_path: Path) -> None:
    room = _room(tmp_path)
    _covered(room, (0.0, 0.25, 0.5, 0.75), (2.0, 2.0, 4.0, 8.0))
    assert [mark.time_s for mark in room.paper.strip_steps] == pytest.approx([2.0, 4.0, 8.0, 16.0])
    assert [mark.y_mm for mark in room.paper.strip_steps] == sorted(mark.y_mm for mark in room.paper.strip_steps)
    room.predict("step-2")
    room.tray.put_in()
    number = room.tray.finish()
    found = strip_in(room.wall.record(number))
    assert found is not None
    assert [step.time_s for step in found.steps] == pytest.approx([2.0, 4.0, 8.0, 16.0])
    assert len(read_strip(found, room.wall.sheet(number)).densities) == 4
    assert [len(one.strip_steps) for one in room.wall.prints()] == [4]


@pytest.mark.parametrize(
    ("shares", "times_s"), [((0.0, 0.3, 0.5, 0.75), (2.0, 2.0, 4.0, 8.0)), ((0.25, 0.5), (2.0, 2.0)), ((0.0,), (2.0,))]
)
def test_uneven_steps_are_a_way_of_ones_own(tmp_path: Path, shares: tuple[float, ...], times_s: tuple[float, ...]) -> None:
    room = _room(tmp_path)
    _covered(room, shares, times_s)
    assert room.paper.strip_steps == ()
    assert strip_in(room.paper.record()) is None


def test_a_whole_sheet_is_still_exposed_once_where_the_lesson_says_so(tmp_path: Path) -> None:
    room = _room(tmp_path)
    room.paper.take("sheet")
    room.paper.expose()
    with pytest.raises(Refused):
        room.paper.expose()
