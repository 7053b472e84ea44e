"""Drills in the room: by touch and by keys, marked with cause and direction, kept; and what is recalled today."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pygame
import pytest
from hands_in_room import Hands, in_room
from learners import drills, wheel

from sim.scoring.syllabus import read_syllabus
from sim.teaching.drill_item import DrillItem
from sim.teaching.drills import DRILLS
from sim.teaching.progress import Progress, Recalled, read_progress, write_progress
from sim.window.teacher.drill_answers import FILTERS
from sim.window.teacher.drill_words import ABOUT


def _at_drills(folder: Path, **more: object) -> Hands:
    hands = in_room(folder, evening=False, **{"seen_l": 1.0, **more})
    hands.window.room.today = 20_000
    hands.press("l")
    hands.frame()
    hands.press("d")
    hands.frame()
    return hands


def _item(hands: Hands, drill: str) -> DrillItem:
    hands.touch(f"drill {drill}")
    hands.frame()
    hands.frame()
    item = drills(hands).item
    assert item is not None, hands.said
    return item


def _type(hands: Hands, text: str) -> None:
    for letter in text:
        hands.press(letter)
    hands.press("return")


def _answer(hands: Hands, item: DrillItem, off_stops: float = 0.0) -> None:
    """Answer by keys; numbers off by some stops, choices the farthest off where they are to be."""
    if item.answer_s is not None:
        _type(hands, f"{item.answer_s * 2.0**off_stops:.1f}")
    if item.answer_stops is not None:
        _type(hands, f"{max(0.0, item.answer_stops + off_stops):.2f}")
    if item.answer_filter is not None:
        row = hands.window.hands.focus
        assert row is not None
        assert row.id == "drill filter", "what is still missing has the focus"
        hands.press("right")
        steps = FILTERS.index(item.answer_filter) - 5
        for _ in range(abs(steps)):
            hands.press("right" if steps > 0 else "left")
        hands.press("j")
    if item.choices:
        keys = [one.key for one in item.choices]
        wanted = item.answer_choice if not off_stops else keys[int(np.argmax(item.off))]
        for _ in range(keys.index(wanted)):
            hands.press("right")
        hands.press("return")
    hands.frame()


def test_the_shelf_leads_to_all_drills_of_the_syllabus(tmp_path: Path) -> None:
    hands = _at_drills(tmp_path)
    shown = [row.slug for row in drills(hands).rows]
    assert shown == [entry.slug for entry in read_syllabus().drills]
    assert set(shown) == set(DRILLS) == {name for name, _ in ABOUT}
    assert hands.window.room.palette == "white-light", "tones are judged in neutral light"
    hands.press("escape")
    hands.frame()
    assert hands.window.room.palette == "safelight"


@pytest.mark.parametrize("drill", list(DRILLS))
def test_an_item_is_answered_by_keys_and_marked(tmp_path: Path, drill: str) -> None:
    hands = _at_drills(tmp_path)
    item = _item(hands, drill)
    _answer(hands, item)
    sheet = drills(hands)
    assert sheet.state == "marked", hands.said
    assert sheet.marked is not None
    assert sheet.marked.right, sheet.marked.words
    hands.frame()
    assert "Near enough." in hands.words
    assert hands.cut() == []


ON_THE_PICTURE = ["read-the-strip", "which-is-harder", "find-the-trace", "prints-in-a-ring", "which-is-lighter"]


@pytest.mark.parametrize("drill", ON_THE_PICTURE)
def test_what_is_meant_is_touched_on_the_picture(tmp_path: Path, drill: str) -> None:
    hands = _at_drills(tmp_path)
    item = _item(hands, drill)
    part = item.answer_choice if drill != "which-is-lighter" else item.answer_choice.partition("-")[0]
    at = next((x, y) for key, x, y in item.touched if key == part)
    hands.touch("drill board", at)
    if drill == "which-is-lighter":
        assert drills(hands).state == "item", "the print is touched; now by how much"
        assert {one.id for one in drills(hands).things()} >= {f"answer {item.answer_choice}"}
        hands.touch(f"answer {item.answer_choice}")
    marked = drills(hands).marked
    assert marked is not None
    assert marked.right


def test_a_wrong_touch_is_marked_wrong(tmp_path: Path) -> None:
    hands = _at_drills(tmp_path)
    item = _item(hands, "which-is-harder")
    wrong = next((x, y) for key, x, y in item.touched if key != item.answer_choice)
    hands.touch("drill board", wrong)
    marked = drills(hands).marked
    assert marked is not None
    assert not marked.right
    assert item.reason[1:] in marked.words


def test_a_round_is_kept_answer_by_answer_and_its_end_says_so(tmp_path: Path) -> None:
    hands = _at_drills(tmp_path, learner="k-1")
    _item(hands, "say-the-burn")
    for number in range(3):
        item = drills(hands).item
        assert item is not None
        _answer(hands, item, off_stops=2.0 if number == 1 else 0.0)
        kept = read_progress(tmp_path, "k-1").drills["say-the-burn"]
        assert [len(one.errors) for one in kept] == [number + 1], "one round, written anew with every answer"
        hands.press("j")
        hands.frame()
        hands.frame()
    hands.press("e")
    hands.frame()
    assert drills(hands).state == "end"
    assert "2 of 3" in hands.words
    assert "Farthest off was item 2" in hands.words
    assert hands.cut() == []
    hands.touch("all drills")
    assert drills(hands).state == "list"
    hands.frame()
    assert "2 of 3" in hands.words


def test_nothing_is_said_before_something_is_given(tmp_path: Path) -> None:
    hands = _at_drills(tmp_path)
    _item(hands, "new-aperture-new-seconds")
    hands.press("j")
    assert "Touch an answer first" in hands.said, "the number that stands there is no answer"
    wheel(hands, "drill seconds", 1)
    hands.frame()
    hands.press("j")
    assert drills(hands).state == "marked", "one that was turned is"


def test_the_screen_is_tried_before_the_first_drill_and_what_it_cannot_show_is_not_asked(tmp_path: Path) -> None:
    hands = _at_drills(tmp_path, seen_l=0.0)
    hands.touch("drill which-is-harder")
    hands.frame()
    assert drills(hands).state == "trial"
    assert hands.cut() == []
    hands.touch("rows seen 2")
    hands.frame()
    hands.frame()
    found = drills(hands).round
    assert found is not None
    assert found.least_seen_l == 4.0
    assert hands.window.room.preferences.seen_l == 4.0
    item = drills(hands).item
    assert item is None or item.seen_l >= 4.0


def test_prints_are_shown_in_neutral_tones(tmp_path: Path) -> None:
    hands = _at_drills(tmp_path)
    _item(hands, "read-the-strip")
    rect = hands.where("drill board")
    pixels = pygame.surfarray.array3d(hands.surface)[rect.x : rect.right, rect.y : rect.bottom].astype(int)
    assert np.abs(pixels[..., 0] - pixels[..., 2]).max() <= 2
    assert np.ptp(pixels[..., 1]) > 40, "steps of a strip differ"


def test_a_returning_learner_is_offered_three_items(tmp_path: Path) -> None:
    met = {"time-from-strip": ["a"], "burn-in": ["a"], "filter-from-range": ["a"], "hold-back": ["a"]}
    recalled = {skill: Recalled(day=19_000 + n, in_a_row=0) for n, skill in enumerate(met)}
    write_progress(tmp_path, Progress(met=met, recalled=recalled))
    hands = in_room(tmp_path, evening=False, seen_l=1.0)
    hands.window.room.today = 20_000
    hands.press("l")
    hands.frame()
    assert "time from strip, burn in, filter from range" in hands.words
    hands.touch("recall")
    hands.frame()
    hands.frame()
    for number, skill in enumerate(("time from strip", "burn in", "filter from range")):
        hands.frame()
        assert f"Recall: {skill}" in hands.words
        item = drills(hands).item
        assert item is not None
        _answer(hands, item, off_stops=2.0 if number == 1 else 0.0)
        hands.press("j")
        hands.frame()
    assert "2 of 3" in hands.words
    kept = read_progress(tmp_path).recalled
    assert (kept["time-from-strip"].in_a_row, kept["burn-in"].in_a_row, kept["burn-in"].day) == (1, 0, 20_000)
    assert kept["hold-back"].day == 19_003, "the fourth waits for another day"


def test_a_new_learner_is_asked_nothing(tmp_path: Path) -> None:
    hands = in_room(tmp_path, evening=False)
    hands.window.room.today = 20_000
    hands.press("l")
    hands.frame()
    hands.press("r")
    assert "Nothing is due" in hands.said
