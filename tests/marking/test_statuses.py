"""Every state a piece of handed-in work can end in, with a file that brings it about."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest
from at_once import marked, row_of
from class_room import DUE, ClassRoom, class_room, rewritten, wedge

from sim.evening.log import read_log
from sim.marking.bundle import variants_in_turn
from sim.printing.record_file import record_data


def test_graded(room: ClassRoom) -> None:
    room.hand("k01")
    row = row_of(marked(room), "k01")
    assert row.status == "marked"
    assert row.points is not None
    assert row.submission is not None
    assert [sheet.nominated for sheet in row.submission.sheets] == [False, True]


def test_late(room: ClassRoom) -> None:
    room.hand("k01", "in-time.evening", received=DUE)
    room.hand("k02", received=DUE + 3600)
    found = marked(room)
    k01, k02 = row_of(found, "k01"), row_of(found, "k02")
    assert (k01.status, k02.status) == ("marked", "late")
    assert k02.points_before_late == k01.points
    assert k02.points == pytest.approx(0.9 * (k01.points or 0), abs=0.006)


def test_missing(room: ClassRoom) -> None:
    row = row_of(marked(room), "k01")
    assert (row.status, row.points, row.attempts) == ("missing", None, [])


@pytest.mark.parametrize("content", [b"", b"hello\n", b"\xff\xfe\x00", b"{}\n", b"[" * 5000, b'{"number":0}'], ids=range(6))
def test_unreadable_belongs_to_nobody_and_is_listed(room: ClassRoom, content: bytes) -> None:
    (room.box / "odd.evening").write_bytes(content)
    found = marked(room)
    assert [(one.file, one.status) for one in found.results.unplaced] == [("odd.evening", "unreadable")]


def test_unreadable_where_the_first_line_says_whose_it_is(room: ClassRoom) -> None:
    file = room.hand("k01")
    text = file.read_text("utf-8").replace('"opened"', '"begun"', 1)
    file.write_text(text, "utf-8")
    assert row_of(marked(room), "k01").status == "unreadable"


def test_a_folder_of_files_that_cannot_be_opened_goes_on(room: ClassRoom) -> None:
    room.hand("k01")
    (room.box / "huge.evening").write_bytes(b" " * (8 * 1024 * 1024 + 1))
    os.mkfifo(room.box / "pipe.evening")
    (room.box / "link.evening").symlink_to("/etc/passwd")
    found = marked(room)
    assert row_of(found, "k01").status == "marked"
    assert [(one.file, one.status) for one in found.results.unplaced] == [
        ("huge.evening", "unreadable"), ("link.evening", "unreadable"), ("pipe.evening", "unreadable"),
    ]  # fmt: skip


def changed(file: Path, old: str, new: str) -> None:
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new), "utf-8")


def test_tampered_by_a_changed_time(room: ClassRoom) -> None:
    changed(room.hand("k01"), '"time_s":5.0', '"time_s":5.5')
    row = row_of(marked(room), "k01")
    assert (row.status, row.points) == ("tampered", None)
    assert "changed after it was written" in row.reasons[0]


def test_tampered_by_a_cut(room: ClassRoom) -> None:
    file = room.hand("k01")
    lines = file.read_text("utf-8").splitlines(keepends=True)
    file.write_text("".join(lines[:-1]), "utf-8")
    assert row_of(marked(room), "k01").status == "tampered"


def test_a_locked_control_that_was_moved_is_out_of_range(room: ClassRoom) -> None:
    room.hand("k01", filter_name="4")
    row = row_of(marked(room), "k01")
    assert (row.status, row.points) == ("out-of-range", None)
    assert "filter" in row.reasons[0]


def test_another_negative_is_out_of_range(room: ClassRoom) -> None:
    room.hand("k01", negative="step-wedge~mine")
    row = row_of(marked(room), "k01")
    assert row.status == "out-of-range"
    assert "not the one given" in row.reasons[0]


def test_a_fuller_box_is_out_of_range(room: ClassRoom) -> None:
    file = room.hand("k01")
    rewritten(file, {0: {"sheets": 60}})
    row = row_of(marked(room), "k01")
    assert row.status == "out-of-range"
    assert "box" in row.reasons[0]


def test_a_paper_or_negative_file_named_in_a_log_is_never_printed(room: ClassRoom, tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text("format = 1\n", "utf-8")
    file = room.hand("k01")
    record = read_log(file).lines[2].data["record"]
    rewritten(file, {2: {"record": {**record, "negative": str(own)}}})
    assert row_of(marked(room), "k01").status == "out-of-range"


def test_another_version_of_the_exercise_needs_a_person(room: ClassRoom) -> None:
    room.hand("k01", opening={"exercise_version": 2})
    row = row_of(marked(room), "k01")
    assert (row.status, row.points) == ("needs-person", None)
    assert "version 2" in row.reasons[0]


def test_an_exercise_put_right_without_a_new_version_is_marked_as_it_is_today_and_says_so(room: ClassRoom) -> None:
    room.hand("k01")
    before = row_of(marked(room), "k01")
    lesson = room.folder / "grey-steps" / "exercise.toml"
    lesson.write_text(lesson.read_text("utf-8").replace("tolerance_density = 0.05", "tolerance_density = 0.2"), "utf-8")
    after = row_of(marked(room), "k01")
    assert (before.reasons, after.status) == ([], "marked")
    assert (after.points or 0) > (before.points or 0)
    assert "differs from today's" in after.reasons[0]


def test_a_negative_that_is_not_what_it_was_needs_a_person(room: ClassRoom) -> None:
    file = room.hand("k01")
    record = record_data(replace(room.record(5.0), negative_digest="0" * 64))
    light = read_log(file).lines[2].data["record"]["exposures"][0]["light_s"]
    record["exposures"][0]["light_s"] = light
    rewritten(file, {2: {"record": record}})
    row = row_of(marked(room), "k01")
    assert row.status == "needs-person"
    assert "other densities" in row.reasons[0]


def test_a_stranger_needs_a_person(room: ClassRoom) -> None:
    room.hand("k09")
    found = marked(room)
    assert [(one.file, one.status) for one in found.results.unplaced] == [("k09.evening", "needs-person")]
    assert "roster" in found.results.unplaced[0].reasons[-1]


def test_another_exercise_needs_a_person(room: ClassRoom) -> None:
    room.hand("k01", opening={"exercise": "some-other-one"})
    assert marked(room).results.unplaced[0].status == "needs-person"


def test_a_score_written_into_the_file_changes_nothing(room: ClassRoom) -> None:
    file = room.hand("k01")
    room.hand("k02")
    record = read_log(file).lines[2].data["record"]
    rewritten(file, {2: {"record": {**record, "note": "points: 100 of 100, passed"}}})
    found = marked(room)
    assert row_of(found, "k01").points == row_of(found, "k02").points


def test_each_learner_has_negatives_of_their_own(tmp_path: Path) -> None:
    room = class_room(tmp_path / "course", variants=True)
    secret = b"a secret for a course of steps"
    own = {who: next(variants_in_turn(room.exercise, secret, who, 0)) for who in ("k01", "k02", "k03")}
    assert len(set(own.values())) == 3
    third = list(variants_in_turn(room.exercise, secret, "k03", 0))[2]
    for who, negative in {"k01": own["k01"], "k02": own["k01"], "k03": third, "k04": "step-wedge"}.items():
        room.hand(who, negative=negative)
    found = marked(room)
    states = {row.learner: row.status for row in found.results.rows}
    assert states == {"k01": "marked", "k02": "out-of-range", "k03": "marked", "k04": "out-of-range"}
    assert wedge(own["k01"]).digest == row_of(found, "k01").submission.negatives[0].digest  # type: ignore[union-attr]
