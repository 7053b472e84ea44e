"""A print that was right, told by hands in the room: one act and an enlarger is known; added to, left out, refused in words."""

from __future__ import annotations

from pathlib import Path

import pytest
from hands_in_room import Hands, in_room, own_in_the_carrier, typed_in

from sim.bench.own_enlargers import RightPrintSaid, told_by
from sim.window.things.right_print import RightPrint


@pytest.fixture
def hands(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Hands:
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path / "data")
    return in_room(tmp_path / "evenings")


def _heads(hands: Hands) -> list[str]:
    folder = hands.window.room.folder.parent / "data" / "shelf" / "heads"
    return sorted(file.name for file in folder.glob("*.toml"))


def _printed(hands: Hands) -> None:
    hands.window.room.darkroom.desk.set("time_s", 8.0)
    hands.press("s")
    hands.press("space")
    hands.wait(10.0)
    hands.develop()


def test_a_leaf_of_the_notebook_was_right_at_so_many_seconds(hands: Hands, tmp_path: Path) -> None:
    """The shortest of all: one act, and the head lies in the drawer; a print that stands alone is refused, then left out."""
    own_in_the_carrier(hands, tmp_path / "field.png")
    _printed(hands)
    hands.press("f2")
    hands.frame(times=3)
    hands.touch("was right")
    hands.frame(times=2)
    over = hands.window.over
    assert isinstance(over, RightPrint)
    assert over.time_s == 8.0
    typed_in(hands, "right seconds", "12")
    hands.touch("it was right")
    hands.frame(times=2)
    assert "My enlarger lies in the drawer" in hands.said
    assert _heads(hands) == ["my-enlarger.toml"]
    assert "own:my-enlarger" in hands.window.room.darkroom.desk.control("head").choices
    assert "known from 1 print that was right" in hands.words
    once = (tmp_path / "data" / "shelf" / "heads" / "my-enlarger.toml").read_bytes()
    hands.touch("it was right")
    hands.frame(times=2)
    told = " ".join(words for words, _, _ in over.text._said)
    assert "got print 1 again: 12 s at f/" in told
    assert "Was it printed anew" in told
    assert "--" not in told
    assert (tmp_path / "data" / "shelf" / "heads" / "my-enlarger.toml").read_bytes() == once
    typed_in(hands, "right seconds", "12.5")
    hands.touch("it was right")
    hands.frame(times=2)
    assert "now known from 2 prints" in hands.words
    kept = (tmp_path / "data" / "shelf" / "heads" / "my-enlarger.toml").read_bytes()
    typed_in(hands, "right seconds", "60")
    hands.touch("it was right")
    hands.frame(times=2)
    assert "Print 3 must go with the first two" in " ".join(words for words, _, _ in over.text._said)
    assert (tmp_path / "data" / "shelf" / "heads" / "my-enlarger.toml").read_bytes() == kept
    hands.wheel("right anyway", 1)
    hands.touch("it was right")
    hands.frame(times=2)
    assert "now known from 3 prints" in hands.words
    hands.touch("leave out print")
    hands.frame(times=2)
    assert "known from 2 prints" in hands.words
    hands.press("escape")
    hands.frame(times=2)
    assert type(hands.window.over).__name__ == "Notebook"


def test_a_print_of_a_negative_that_no_real_enlarger_held_tells_nothing_of_it(hands: Hands) -> None:
    _printed(hands)
    hands.press("f2")
    hands.frame(times=3)
    hands.touch("was right")
    hands.frame(times=2)
    hands.touch("it was right")
    hands.frame(times=2)
    assert "must be of a negative of your own" in hands.words
    assert _heads(hands) == []


def test_a_print_left_out_leaves_the_light_told_against_the_head_begun_from(hands: Hands, tmp_path: Path) -> None:
    """Two prints, the second left out: the same line as after the first alone; and nothing is begun from itself."""
    own_in_the_carrier(hands, tmp_path / "field.png")
    record = hands.window.room.darkroom.desk.now.record()
    first = told_by("my-enlarger", record, RightPrintSaid(12.0, 8.0, "2"))
    first.keep("My enlarger")
    told_by("my-enlarger", record, RightPrintSaid(18.0, 8.0, "2")).keep("My enlarger")
    hands.window.open_over(RightPrint(hands.window.room, record, lambda: None))
    hands.frame(times=2)
    hands.touch("leave out print")
    hands.frame(times=2)
    over = hands.window.over
    assert isinstance(over, RightPrint)
    words = " ".join(line for line, _, _ in over.text._said)
    light = next(line for line in first.lines() if line.startswith("Light against the head begun from"))
    assert light.partition(" stop.")[0] in words
    file = tmp_path / "data" / "shelf" / "heads" / "my-enlarger.toml"
    assert "begun from own:my-enlarger" not in file.read_text()
