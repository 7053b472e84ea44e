"""A strip whose light is switched for every step: each burns by itself, and only the whole is a strip."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.bench.darkroom import Darkroom
from sim.printing.strip_agreement import disagreement
from sim.printing.strips import strip_in
from sim.refusals import Refused

TIMES_S = (4.0, 5.66, 8.0, 11.3)


@pytest.fixture
def room(tmp_path: Path) -> Darkroom:
    room = Darkroom.open(tmp_path)
    room.paper.take("strip")
    return room


def _burn(room: Darkroom, seconds: float) -> None:
    while room.paper.advance(min(seconds, 0.5)):
        pass


@pytest.mark.parametrize(
    ("way", "times_s", "over_s", "dimmed"),
    [("bursts", TIMES_S, 0.0, 0.0), ("same-place", TIMES_S, 0.0, 0.0), ("burn", (0.0, 2.0, 4.0), 8.0, 0.0),
     ("flash", (0.0, 2.0, 4.0), 8.0, 5.0)],
)  # fmt: skip
def test_every_way_is_given_switching_by_switching(
    room: Darkroom, way: str, times_s: tuple[float, ...], over_s: float, dimmed: float
) -> None:
    room.paper.lay_in_steps(way, times_s, 90.0, over_s, dimmed)  # type: ignore[arg-type]
    given = 0
    while room.paper.strip_to_come is not None:
        _burn(room, room.paper.begin_next_of_strip())
        given += 1
    record = room.paper.record()
    assert given == len(record.exposures)
    assert record.strip is not None
    assert record.strip.way == way
    assert record.strip.times_s == times_s
    assert disagreement(record) is None
    found = strip_in(record)
    assert found is not None
    assert [step.time_s for step in found.steps] == list(times_s)
    with pytest.raises(Refused, match="every step of the strip has had its light"):
        room.paper.begin_next_of_strip()


def test_a_step_cut_short_leaves_a_piece_with_the_light_it_had(room: Darkroom) -> None:
    room.paper.lay_in_steps("same-place", TIMES_S)
    room.paper.begin_next_of_strip()
    room.paper.advance(1.5)
    room.paper.end()
    assert room.paper.strip_to_come is None
    record = room.paper.record()
    assert record.strip is None
    assert record.exposures[0].time_s == pytest.approx(1.5)


def test_a_step_hardly_short_still_counts_and_one_a_little_more_does_not(room: Darkroom) -> None:
    for short_s, counts in ((0.005, True), (0.02, False)):
        room.paper.lay_in_steps("bursts", TIMES_S)
        room.paper.begin_next_of_strip()
        room.paper.advance(TIMES_S[0] - short_s)
        room.paper.end()
        assert (room.paper.strip_to_come is not None) is counts
        room.paper.throw_away()
        room.paper.take("strip")


def test_only_a_fresh_strip_is_laid_in_steps(room: Darkroom) -> None:
    room.paper.expose(2.0)
    with pytest.raises(Refused, match="take a fresh strip"):
        room.paper.lay_in_steps("bursts", TIMES_S)


def test_a_kill_between_two_steps_leaves_what_was_given(room: Darkroom) -> None:
    room.paper.lay_in_steps("bursts", TIMES_S)
    _burn(room, room.paper.begin_next_of_strip())
    folder = room.folder
    room.close()
    again = Darkroom.open(folder)
    piece = again.paper.piece
    assert piece is not None
    assert piece.seconds == pytest.approx(TIMES_S[0])
    assert again.paper.strip_to_come is None
