"""What a newcomer and a printer stumbled over at the wall and in the words, done again by scripted hands."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hands_in_room import Hands, in_room
from test_notebook_in_room import _sheet
from test_one_room_wall import _print, _wall

from sim.notebook.record_words import changes
from sim.printing.record import Card, Still


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path / "evenings")


def test_comparing_says_which_side_is_which_and_escape_leaves_it(hands: Hands) -> None:
    _print(hands, (8.0, 6.0))
    wall = _wall(hands)
    hands.touch("compare")
    hands.frame(0.1, times=3)
    assert "Left of the line print 1, right of it print 2" in hands.said
    assert "◂ sheet 1" in hands.words
    assert "sheet 2" in hands.words
    names = [label for label in hands.frame().labels if label.words.startswith("◂") or label.words.endswith("▸")]
    assert len(names) == 2
    assert not names[0].rect.colliderect(names[1].rect)
    stood, picture = wall.compare.line, wall.compare.rect
    hands.drag((picture.x + 200, picture.centery), (picture.x + 240, picture.centery))
    assert 0.0 < wall.compare.line - stood < 0.3, "a drag moves the line from where it is"
    hands.press("escape")
    hands.frame()
    assert wall.compare.way == ""


def test_compare_without_a_second_print_says_so(hands: Hands) -> None:
    _print(hands, (8.0,))
    _wall(hands)
    hands.touch("compare")
    assert "two prints of one negative" in hands.said.lower()


def test_what_was_done_differently_names_cards_of_an_added_exposure_and_the_first_aperture(hands: Hands) -> None:
    _sheet(hands.window.room.darkroom, 6.0)
    record = hands.window.room.darkroom.wall.record(1)
    base = record.exposures[0]
    held = replace(base, time_s=4.0, cards=(Card("disc", Still(60.0, 60.0), 100.0, stop_s=2.0),))
    said = "; ".join(changes(record, record.with_exposures(replace(base, f_number=16.0), held)))
    assert "aperture" in said
    assert "exposure 2 added" in said
    assert "disc" in said


def test_the_grey_scale_dims_with_the_room(hands: Hands) -> None:
    _print(hands, (8.0,))
    _wall(hands)
    scale = hands.where("step scale")
    at = (scale.x + 6, scale.centery)
    lights = []
    for _ in range(2):
        hands.frame(0.1)
        lights.append(sum(hands.surface.get_at(at)[:3]))
        hands.press("w")
    assert min(lights) < 0.75 * max(lights)


@pytest.mark.parametrize("kind", ["wall", "enlarger", "trays", "shelf"])
def test_everything_has_a_name_and_help(hands: Hands, kind: str) -> None:
    _print(hands, (8.0,))
    hands.press({"shelf": "alt+1", "enlarger": "alt+2", "trays": "alt+3", "wall": "alt+4"}[kind])
    hands.frame(times=2)
    bare = [one.id for one in hands.window.things() if one.shown and not (one.name() and one.about())]
    assert bare == []


def test_help_leaves_while_keys_or_the_wheel_work_what_lies_under_the_hand(hands: Hands) -> None:
    hands.point(hands.where("timer").center)
    hands.wait(1.0)
    assert hands.window.hands.told() is not None
    hands.press("g")
    hands.frame()
    assert hands.window.hands.told() is None
    hands.wait(1.0)
    assert hands.window.hands.told() is None
