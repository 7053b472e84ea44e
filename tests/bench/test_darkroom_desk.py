"""The desk: controls say no in words, everything is undone and kept, and a raised head is out of focus."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from sim.bench.darkroom import Darkroom
from sim.printing.controls import DIALLED
from sim.refusals import Refused
from tests.bench.darkrooms import OnlyTime, small_room


@pytest.fixture
def room(tmp_path: Path) -> Darkroom:
    return small_room(tmp_path)


BAD = [
    ("f_number", 4.5, "between 5.6 and 32"), ("f_number", "wide", "must be a number"),
    ("filter", "6", "must be none or one of"),
    ("height_mm", 5000.0, "on this column"), ("head", "sun", "must be one of"), ("sheet", "big", "width x height"),
    ("sheet", "999x999", "between 20 and 700"), ("yellow", 9.0, "between 0 and 2"), ("border_mm", 150.0, "between"),
    ("time_s", float("nan"), "between"), ("carrier", "wood", "must be one of"), ("red_filter", 1.0, "on or off"),
    ("negative", "nothing", "must be one of"), ("sparkle", 1.0, "control must be one of"), ("paper", "x", "must be one of"),
    ("focus_offset_mm", 9.0, "between -5 and 5"), ("lens", "50-mm", "covers a diagonal"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "value", "words"), BAD)
def test_a_control_refuses_in_words_and_nothing_changes(room: Darkroom, name: str, value: object, words: str) -> None:
    before = room.desk.now
    with pytest.raises(ValueError, match=words):
        room.desk.set(name, value)  # type: ignore[arg-type]
    assert room.desk.now == before


def test_every_control_can_be_read_and_set_to_what_it_stands_at(room: Darkroom) -> None:
    for name in DIALLED:
        control = room.desk.control(name)
        room.desk.set(name, control.value)
        if control.kind == "choice":
            assert control.value in control.choices or control.name == "sheet"
            assert len(control.choice_titles) == len(control.choices)
        if control.kind == "number":
            assert control.low is not None
            assert control.high is not None
            assert control.low <= float(control.value) <= control.high
    assert not room.desk.undo()


def test_the_lens_ring_has_engraved_marks_and_thirds_between(room: Darkroom) -> None:
    ring = room.desk.control("f_number")
    assert {5.6, 8.0, 11.0, 16.0, 22.0, 32.0} <= set(ring.choices)
    assert ring.choices == tuple(sorted(ring.choices))
    assert "f/8 + 1/3" in ring.choice_titles
    for f_number in ring.choices:
        room.desk.set("f_number", f_number)


def test_undo_goes_back_step_by_step_and_redo_forward(room: Darkroom) -> None:
    start = room.desk.now
    room.desk.set("filter", "3")
    room.desk.set("time_s", 7.0)
    assert room.desk.undo()
    assert (room.desk.now.filter, room.desk.now.time_s) == ("3", start.time_s)
    assert room.desk.undo()
    assert room.desk.now == start
    assert not room.desk.undo()
    assert room.desk.redo()
    assert room.desk.redo()
    assert room.desk.now.time_s == 7.0
    assert not room.desk.redo()


def test_what_was_set_is_found_again(room: Darkroom, tmp_path: Path) -> None:
    room.desk.set("magenta", 0.35)
    room.desk.set("image_shift_x_mm", 4.0)
    room.close()
    again = Darkroom.open(tmp_path)
    assert again.desk.now == room.desk.now
    assert again.desk.now.filter == "none"
    assert again.damage is None


def test_a_damaged_desk_file_is_moved_aside_and_the_one_before_is_taken(room: Darkroom, tmp_path: Path) -> None:
    room.desk.set("time_s", 3.0)
    room.desk.set("time_s", 4.0)
    (tmp_path / "desk.json").write_text('{"format": 1, "set_up"')
    room.close()
    again = Darkroom.open(tmp_path)
    assert again.damage is not None
    assert "moved to desk.json.damaged" in again.damage
    assert again.desk.now.time_s == 3.0


HOSTILE = [
    ("negative", "nobody"), ("paper", "x"), ("head", "sun"), ("lens", "x"), ("height_mm", -1.0), ("height_mm", 1e308),
    ("ring_mm", "near"), ("f_number", 0.0), ("time_s", 1e9), ("filter", "9"), ("sheet_width_mm", 0.0), ("border_mm", 101.5),
    ("carrier", "wood"), ("contact", "yes"), ("filter", 2.0), ("unheard", 1), ("image_shift_x_mm", 1e6),
]  # fmt: skip


@pytest.mark.parametrize(("name", "value"), HOSTILE)
def test_a_desk_file_that_somebody_changed_is_set_aside_in_words(tmp_path: Path, name: str, value: object) -> None:
    small_room(tmp_path).close()
    file = tmp_path / "desk.json"
    for kept in (file, tmp_path / "desk.json.previous"):
        kept.write_text(json.dumps({**json.loads(file.read_text()), "set_up": _changed(file, name, value)}))
    again = Darkroom.open(tmp_path)
    assert again.damage is not None
    assert "desk.json" in again.damage
    assert again.desk.base_record().negative == "morning-shelf"


def _changed(file: Path, name: str, value: object) -> dict[str, object]:
    return {**json.loads(file.read_text())["set_up"], name: value}


def test_raising_the_head_leaves_the_ring_and_the_picture_goes_out_of_focus(room: Darkroom) -> None:
    ring, size, height = room.desk.now.ring_mm, room.desk.magnification, room.desk.now.height_mm
    assert room.desk.focus_offset_mm == 0.0
    room.desk.set("height_mm", height + 40.0)
    assert room.desk.now.ring_mm == ring
    assert room.desk.focus_offset_mm > 0.05  # higher head: the sharp place of the negative comes nearer to the lens
    assert room.desk.magnification > size
    room.desk.focus()
    assert room.desk.focus_offset_mm == 0.0
    assert room.desk.now.ring_mm < ring


def test_a_dragged_column_is_seen_at_once_and_kept_when_it_is_let_go(room: Darkroom, tmp_path: Path) -> None:
    start = room.desk.now
    for k in range(1, 6):
        room.desk.set("height_mm", start.height_mm + 3.0 * k, settle=False)
    assert room.desk.now.height_mm == start.height_mm + 15.0
    assert Darkroom.look(tmp_path).desk.now == start
    room.desk.set("height_mm", start.height_mm + 15.0)
    assert Darkroom.look(tmp_path).desk.now == room.desk.now
    assert room.desk.undo()
    assert room.desk.now == start
    assert not room.desk.undo()


def test_a_strip_is_turned_about_its_middle(room: Darkroom) -> None:
    room.paper.take("strip", at_mm=(90.0, 110.0))
    along = room.paper.piece
    room.paper.turn()
    across = room.paper.piece
    assert along is not None
    assert across is not None
    assert (along.width_mm, along.height_mm) == (50.75, 238.74)  # cut to lie inside the picture
    assert (across.width_mm, across.height_mm) == (190.99, 63.5)
    assert across.x_mm + across.width_mm / 2 == pytest.approx(90.0, abs=0.006)
    assert across.y_mm + across.height_mm / 2 == pytest.approx(110.0, abs=0.006)
    room.paper.turn()
    assert room.paper.piece == along


def test_the_set_up_of_a_sheet_on_the_wall_is_taken_over(room: Darkroom) -> None:
    room.desk.set("filter", "4")
    room.desk.set("image_shift_x_mm", 5.0)
    then = room.desk.now
    room.paper.take("sheet")
    room.paper.expose()
    room.tray.put_in()
    room.tray.finish()
    room.desk.usual()
    assert room.desk.now != then
    room.desk.like(room.wall.record(1))
    assert room.desk.now == then


def test_another_negative_that_does_not_fit_gets_its_usual_set_up(room: Darkroom) -> None:
    room.desk.set("time_s", 7.0)
    room.desk.place_negative("pit-large-sheet")
    assert room.desk.now.negative == "pit-large-sheet"
    assert room.desk.now.contact
    assert room.desk.now.time_s == 7.0
    room.desk.base_record()


def test_a_lesson_locks_controls_with_the_reason_and_asks_before_developing(tmp_path: Path) -> None:
    room = small_room(tmp_path, OnlyTime())
    for name, value in (("filter", "3"), ("yellow", 0.3), ("image_shift_x_mm", 2.0), ("border_mm", 3.0)):
        with pytest.raises(Refused, match="not what is practised"):
            room.desk.set(name, value)
    assert room.desk.control("filter").locked is not None
    assert room.desk.control("red_filter").locked is None
    room.desk.set("time_s", 4.0)
    room.paper.take("sheet")
    room.paper.expose()
    with pytest.raises(Refused, match="practised"):
        room.paper.expose()
    assert room.prediction_wanted() == "lighter or darker?"
    with pytest.raises(Refused, match="lighter or darker"):
        room.tray.put_in()
    room.predict("darker")
    room.tray.put_in()
    assert room.prediction == ("darker", "")
    assert room.tray.finish() == 1
    kinds = [line.kind for line in room.evening.state.said]
    assert kinds == ["predicted"]
    assert room.prediction is None
