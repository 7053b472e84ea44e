"""Lines that an instructor or a learner reads, each held against what is so."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest
from at_once import AtOnce, here, marked, row_of
from class_room import EXERCISE, SECRET, ClassRoom, class_room
from test_what_waits import class_page, page_of, room_with

from sim.command.main import main
from sim.marking.batch import mark_batch, read_batch
from sim.marking.gradebook import gradebook_text, usual_mapping
from sim.marking.preflight import findings
from sim.marking.roster import anonymous_code


@pytest.fixture(scope="module")
def one_of_two(tmp_path_factory: pytest.TempPathFactory) -> ClassRoom:
    """Two prints are asked for; k01 put one forward, and used two sheets for it."""
    room = class_room(tmp_path_factory.mktemp("lines") / "course", roster=("k01",))
    file = room.folder / "grey-steps" / "exercise.toml"
    file.write_text(EXERCISE.replace("economy_points = 1.0", "economy_points = 1.0\ncopies = 2"), "utf-8")
    room.hand("k01", times=(3.0, 7.5), opening={"exercise_digest": ""})
    return room


def test_a_missing_print_is_named_first_with_what_it_cost(one_of_two: ClassRoom) -> None:
    found = marked(one_of_two)
    result = row_of(found, "k01").submission
    assert result is not None
    assert result.in_part
    page = page_of(found, "k01")
    missing = result.advice[0]
    assert missing.cause == "missing-print"
    assert missing.loss_points == pytest.approx((6.0 + 3.0 + 1.0) / 2)  # half of all
    assert "What cost most 1 of the 2 prints asked for is missing, and what is missing earns nothing. (5 points)" in page
    assert "What cost most points most often: prints that are missing (once)." in class_page(found)
    lost = result.full_points - (result.points or 0.0)
    assert sum(one.loss_points for one in result.advice) <= lost + 0.01  # nothing is told twice


@pytest.mark.parametrize("exam", [True, False])
def test_where_there_is_one_attempt_the_class_page_calls_none_the_best(tmp_path: Path, exam: bool) -> None:
    page = class_page(marked(room_with(tmp_path, keys="", attempts=1, exam=exam)))
    assert "one attempt: the first file that can be marked counts" in page
    assert "best attempt" not in page
    more = class_page(marked(room_with(tmp_path / "more", keys="")))
    assert "the best attempt counts, 3 attempts allowed" in more


def test_a_variant_is_not_given_as_a_negative_to_make_variants_of(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    room = class_room(tmp_path / "course", variants=True)
    file = room.folder / "grey-steps" / "exercise.toml"
    file.write_text(EXERCISE.replace('["step-wedge"]', '["step-wedge", "step-wedge~second"]'), "utf-8")
    for line in (["assign", str(room.course), "-o", str(tmp_path / "out")],
                 ["mark", str(room.box), "--course", str(room.course), "-o", str(tmp_path / "out")]):  # fmt: skip
        assert main(line) == 2
        said = capsys.readouterr().err
        for word in (str(room.course), "exercise[0].variants", "step-wedge~second", "got true"):
            assert word in said
    assert not (tmp_path / "out").exists()


def test_a_name_with_two_exercises_is_put_to_neither(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="")
    other = room.folder / "grey-steps-b"
    other.mkdir()
    (other / "exercise.toml").write_text((room.folder / "grey-steps" / "exercise.toml").read_text("utf-8"), "utf-8")
    room.course.write_text(room.course.read_text("utf-8") + '\n[[exercise]]\nfolder = "grey-steps-b"\n', "utf-8")
    (room.box / "k01 grey-steps and grey-steps-b.txt").write_bytes(b"no evening")
    (room.box / "k02 grey-steps-b.txt").write_bytes(b"no evening")
    found = marked(room)
    states = {(row.learner, row.exercise): row.status for row in found.results.rows}
    assert [states["k01", one] for one in ("grey-steps", "grey-steps-b")] == ["missing", "missing"]
    assert [states["k02", one] for one in ("grey-steps", "grey-steps-b")] == ["missing", "unreadable"]
    assert "which exercise it is for cannot be told" in page_of(found, "k01")
    queue = class_page(found).split("The whole class")[0]
    assert "k01 grey-steps and grey-steps-b.txt" in queue
    assert "which exercise it is for cannot be told" in queue


def test_of_two_files_of_one_name_in_a_zip_the_first_is_marked_and_the_other_waits(tmp_path: Path) -> None:
    room = class_room(tmp_path / "course", roster=("k01",))
    first, second = (room.hand("k01", f"{n}.evening", (time,), seed=n).read_bytes() for n, time in ((3, 7.5), (4, 3.0)))
    with zipfile.ZipFile(room.folder / "all.zip", "w") as archive:
        archive.writestr("k01_grey-steps_1.jsonl", first)
        with pytest.warns(UserWarning, match="Duplicate name"):
            archive.writestr("k01_grey-steps_1.jsonl", second)
    found = mark_batch(read_batch(room.folder / "all.zip", room.course), room.folder / "out", AtOnce())
    row = row_of(found, "k01")
    assert row.status == "marked"
    assert row.points == row_of(marked(_only(room, first)), "k01").points
    assert sorted((one.status, one.counted) for one in row.attempts) == [("marked", True), ("needs-person", False)]
    page = page_of(found, "k01")
    assert "Somebody looks at k01_grey-steps_1.jsonl (2); nothing is decided about that yet." in page
    assert "the zip holds another file of this name that is not the same" in page
    assert "the same file again" not in page


def _only(room: ClassRoom, data: bytes) -> ClassRoom:
    """Return the room with one evening handed in."""
    for file in room.box.iterdir():
        file.unlink()
    (room.box / "one.evening").write_bytes(data)
    return room


def test_pages_without_names_say_why_no_signs_are_listed(tmp_path: Path) -> None:
    room = class_room(tmp_path / "course", roster=("k01", "k02"))
    room.hand("k01", times=(7.5,))
    room.hand("k02", times=(7.5,))
    hidden = class_page(marked(room, hide_names=True))
    assert "Worth a second look No signs are listed on pages without names" in hidden
    assert anonymous_code("k01", SECRET.strip()) in hidden
    plain = class_page(marked(room))
    assert "lamp and timer erred in the same way" in plain
    assert "No signs are listed" not in plain


def test_points_given_where_nothing_came_in_are_given(tmp_path: Path) -> None:
    room = class_room(tmp_path / "course", roster=("k01",))
    table = room.folder / "overrides.csv"
    table.write_text("learner,exercise,points,reason\nk01,grey-steps,50,printed in class\n", "utf-8")
    found = marked(room, overrides=table)
    assert ",50.00,given,printed in class" in gradebook_text(found.results, usual_mapping(found.results))
    page = page_of(found, "k01")
    assert "decided: these points were given by a person" in page
    assert "nothing handed in" not in page


WINDOW = '\n[[criterion]]\nname = "in-time"\nkind = "time-window"\nleast_s = 20.0\nmost_s = 25.0\npoints = 6.0\n'


def test_points_lost_by_no_tone_are_named(tmp_path: Path) -> None:
    room = class_room(tmp_path / "course", roster=("k01", "k02"))
    with (room.folder / "grey-steps" / "exercise.toml").open("a", encoding="utf-8") as file:
        file.write(WINDOW)
    room.hand("k01", times=(7.5,), opening={"exercise_digest": ""})
    found = marked(room)
    result = row_of(found, "k01").submission
    assert result is not None
    window = next(one for one in result.criteria if one.name == "in-time")
    assert window.points < window.full_points / 2
    page = page_of(found, "k01")
    assert f"in time {window.points:.1f} of 6" in page
    assert "Nothing cost points worth naming" not in page


def test_a_comment_about_what_is_not_there_is_found(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys='comments = "comments.csv"')
    room.hand("k01", times=(7.5,))
    lines = ("sheet-9,Look", "midle-grey,Near", "middle-grey,Well", "sheet-1,Good", ",All")
    rows = "".join(f"k01,grey-steps,{line}\n" for line in lines)
    (room.folder / "comments.csv").write_text("learner,exercise,about,says\n" + rows, "utf-8")
    found = marked(room)
    said = [one.words for one in findings(found.results, usual_mapping(found.results), (), []) if one.kind == "comment"]
    assert [("'sheet-9'" in words, "'midle-grey'" in words) for words in said] == [(True, False), (False, True)]


def test_what_was_never_replayed_is_not_said_to_be_known_from_before(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    room = class_room(tmp_path / "course", roster=("k01",))
    room.hand("k01", times=(7.5,))
    (room.box / "empty.evening").write_bytes(b"")
    monkeypatch.setattr("sim.marking.course_run.chosen_executor", here)
    line = ["mark", str(room.box), "--course", str(room.course), "-o", str(tmp_path / "out"), "--jobs", "1"]
    main(line)
    first = capsys.readouterr().out
    main(line)
    again = capsys.readouterr().out
    assert "1 evenings replayed, 0 known from before" in first
    assert "0 evenings replayed, 1 known from before" in again
    for said in (first, again):
        assert "Not replayed, since they are no evenings or wait for a decision: 1" in said
