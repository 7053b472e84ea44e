"""A card over the easel, drawn piece by piece, darkens exactly what the whole picture with it darkens."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from sim.bench.darkroom import Darkroom
from sim.bench.tools import CardPose, Tool
from sim.refusals import Refused

SIZE = (420, 520)
POSES = {
    "a disc on its wire": CardPose(Tool("disc", 55.0, 55.0), 90.0, 110.0, 120.0),
    "a disc half beside the easel": CardPose(Tool("disc", 55.0, 55.0), 2.0, 5.0, 80.0),
    "an edge": CardPose(Tool("edge", 200.0, 200.0), 100.0, 90.0, 60.0, 90.0),
    "an edge at an angle": CardPose(Tool("edge", 200.0, 200.0), 100.0, 90.0, 60.0, 37.0),
    "a hole": CardPose(Tool("oval", 40.0, 75.0, lets_through="inside"), 120.0, 140.0, 150.0),
    "far away": CardPose(Tool("bar", 22.0, 90.0), -700.0, -700.0, 120.0),
}


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> Darkroom:
    room = Darkroom.open(tmp_path_factory.mktemp("evening"))
    room.desk.set("focus_light", True)
    return room


def test_a_card_needs_a_picture_to_lie_over(tmp_path: Path) -> None:
    room = Darkroom.open(tmp_path)
    with pytest.raises(Refused, match="look at the easel first"):
        list(room.easel.shaded(POSES["a disc on its wire"]))


@pytest.mark.parametrize("name", POSES)
def test_the_pieces_make_the_whole_picture(room: Darkroom, name: str) -> None:
    pose = POSES[name]
    whole = room.easel.picture(SIZE, None, [pose]).values
    bare = room.easel.picture(SIZE).values
    pieces = np.zeros_like(bare) if pose.tool.lets_through == "inside" else bare.copy()
    touched = 0
    for rows, cols, values in room.easel.shaded(pose):
        pieces[rows, cols] = values
        touched += pieces[rows, cols].size
    assert np.array_equal(pieces, whole)
    assert (name == "far away") == (np.array_equal(whole, bare)), "the card is seen where it is over the easel"
    if name in ("a disc on its wire", "a hole"):
        assert touched < 0.35 * bare.size, "what the card leaves as it is costs nothing"
