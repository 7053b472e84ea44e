"""A card over the easel, drawn piece by piece, darkens what it keeps from the paper in a print, and nothing else."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.ndimage import maximum_filter, minimum_filter

from sim.bench.darkroom import Darkroom
from sim.bench.tools import CardPose, Tool
from sim.printing.cards import covered_share
from sim.refusals import Refused

SIZE = (420, 520)
REACH_PX = 5  # two pixels either way: the picture lays a shadow to the nearest pixel
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
def test_what_is_dark_in_the_picture_gets_no_light_in_a_print(room: Darkroom, name: str) -> None:
    pose = POSES[name]
    bare, (grid, region) = room.easel.picture(SIZE).values, room.easel.view_grid(SIZE)
    card = pose.card().placed(1.0, -region[0], -region[1])
    covered = covered_share(card, grid, room.desk.card_optics(room.desk.now.f_number), 0.0, 1.0)
    pieces = np.zeros_like(bare) if pose.tool.lets_through == "inside" else bare.copy()
    touched = 0
    for rows, cols, values in room.easel.shaded(pose):
        pieces[rows, cols] = values
        touched += pieces[rows, cols].size
    shaded, open_to_all = minimum_filter(covered, REACH_PX) > 0.999, maximum_filter(covered, REACH_PX) < 0.001
    assert not pieces[shaded].any()
    assert np.array_equal(pieces[open_to_all], bare[open_to_all])
    assert (pieces <= bare).all()
    assert (name == "far away") == np.array_equal(pieces, bare), "the card is seen where it is over the easel"
    if name != "far away":
        assert shaded.any()
        assert open_to_all.any()
    if name in ("a disc on its wire", "a hole"):
        assert touched < 0.35 * bare.size, "what the card leaves as it is costs nothing"
