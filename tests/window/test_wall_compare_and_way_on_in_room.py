"""The wall, comparing, names and help, and the way on from a passed lesson, by scripted hands."""

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


def _passed(tmp_path: Path, second_s: float = 120.0) -> Hands:
    """Take the first lesson: a sheet lifted early, one at the paper's full time or other seconds, which is nominated."""
    hands = in_room(tmp_path, (1088, 700), evening=False)
    hands.window.open_exercise("first-session")
    hands.frame(times=3)
    room, run = hands.window.room, hands.window.room.lesson
    assert run is not None
    run.begin()
    for seconds, said in ((40.0, "right"), (second_s, "darker")):
        run.predict(said)
        dark = room.darkroom
        dark.desk.set("focus_light", False)
        dark.paper.take("sheet")
        dark.paper.expose(9.3)
        dark.tray.put_in()
        dark.tray.advance(seconds)
        dark.tray.next()
        dark.tray.finish()
        dark.tray.clear()
        dark.switch_white_light(True)
        hands.frame(times=2)
        run.see("right", "")
        if run.stage == "explain":
            run.why(next(one.key for one in run.step.choices))
        dark.switch_white_light(False)
    room.darkroom.switch_white_light(True)
    hands.press("alt+4")
    hands.frame(0.2, times=3)
    hands.touch("print 2", (0.5, 0.9))
    hands.touch("counts")
    hands.frame(0.2, times=4)
    assert run.stage == "marks", hands.said
    return hands


def test_after_a_passed_lesson_the_way_on_is_named_leads_there_and_nothing_begins_anew_unasked(tmp_path: Path) -> None:
    hands = _passed(tmp_path)
    teacher, room = hands.window.teacher, hands.window.room
    assert teacher._step is not None
    assert teacher._step.passed
    while teacher.index + 1 < len(teacher.lines):
        hands.press("j")
        hands.frame(0.2, times=2)
    assert teacher.next.name() == "Next: Time from a strip"
    assert teacher.once_more.name() == "Again, on another negative"
    shown = {name for name, _ in hands.frame().hits}
    assert {"next lesson", "once more"} <= shown
    used = [hands.where(name) for name in ("counts", "compare", "wet", "ring", "step scale")]
    assert teacher.note.rect.collidelist(used) < 0
    before, first = room.darkroom.folder, room.lesson
    hands.touch("once more")
    assert room.darkroom.folder == before, "it asks first"
    assert "Touch again" in hands.words
    hands.touch("next lesson")
    hands.frame(times=3)
    assert room.lesson is not None
    assert room.lesson is not first
    assert room.lesson.exercise.name == "time-from-a-strip"


def test_another_attempt_is_on_another_negative_and_the_list_marks_the_lesson_after(tmp_path: Path) -> None:
    from sim.window.lesson_desk import shelf_of

    hands = _passed(tmp_path)
    room, first = hands.window.room, hands.window.room.lesson
    assert first is not None
    assert shelf_of(room.folder, room.preferences.learner).next_slug == "time-from-a-strip"
    names = [one.name for one in first.negatives]
    for _ in range(2):
        hands.window.teacher.once_more.pressed()
    hands.frame(times=3)
    assert room.lesson is not None
    assert room.lesson.exercise.name == "first-session"
    assert [one.name for one in room.lesson.negatives] != names
    assert "attempt 2" in hands.said
    assert "another take" in hands.said


def test_the_slide_to_the_reached_print_covers_neither_caption_nor_reading(tmp_path: Path) -> None:
    hands = _passed(tmp_path, 70.0)
    place, teacher = hands.window.place, hands.window.teacher
    hands.frame(0.2, times=6)
    wall = _wall(hands)
    assert teacher.fade.shown
    slide = teacher.fade.rect
    assert not slide.colliderect(wall.read_out.rect)
    captions = [label.rect for label in hands.frame().labels if label.words.startswith("sheet ")]
    assert captions
    assert slide.collidelist(captions) < 0
    assert place.area.contains(slide)
    assert hands.cut() == []


def test_a_print_that_has_all_that_was_asked_for_has_no_slide_to_a_better_one(tmp_path: Path) -> None:
    hands = _passed(tmp_path)
    hands.frame(0.2, times=6)
    run = hands.window.room.lesson
    assert run is not None
    assert run.step.marks is not None
    assert all(one.share == 1.0 for one in run.step.marks.marks)
    assert not hands.window.teacher.fade.shown
