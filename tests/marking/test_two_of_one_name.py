"""Files of one name or one content: unequal ones in a zip are decided about, copies are told apart without names."""

from __future__ import annotations

import re
import shutil
import warnings
import zipfile
from pathlib import Path

import pytest
from at_once import marked, row_of
from class_room import DUE, ClassRoom
from test_beside_what_counts import found_of, held
from test_what_waits import class_page, decide, page_of, room_with
from test_which_files_are_decided_about import OLD, decide_about_files, unsettled

from sim.marking.batch import Outcome
from sim.marking.outputs import write_outputs

NAME = "k01_grey-steps_1.jsonl"
LONG = f"{'a-very-long-name-' * 20}{NAME}"
GOOD, POOR = (7.5,), (4.0,)


def in_a_zip(room: ClassRoom, *times: tuple[float, ...], name: str = NAME) -> list[bytes]:
    """Put evenings of k01 under one name into a zip that takes the place of the folder; return them as they lie there."""
    made = [room.hand("k01", f"{n}.evening", one, seed=3) for n, one in enumerate(times)]
    found = [file.read_bytes() for file in made]
    for file in made:
        file.unlink()
    room.box.rmdir()
    with zipfile.ZipFile(room.box, "w", zipfile.ZIP_DEFLATED) as packed, warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        for data in found:
            packed.writestr(name, data)
    return found


@pytest.fixture
def poor_then_good(tmp_path: Path) -> ClassRoom:
    """k01's poor evening, and behind it in the zip a good one of the same name."""
    room = room_with(tmp_path, keys="")
    in_a_zip(room, POOR, GOOD)
    return room


def counted(found: Outcome) -> list[str]:
    return [one.file for one in row_of(found, "k01").attempts if one.counted]


def test_two_unequal_files_of_one_name_wait_until_one_is_accepted(poor_then_good: ClassRoom, tmp_path: Path) -> None:
    room, second = poor_then_good, f"{NAME} (2)"
    found = marked(room)
    queue = class_page(found).split("The whole class")[0]
    assert "the zip holds another file of this name that is not the same" in queue
    assert f"accept (file: {second}), partial, re-open or excused under k01; accept with the other file" in queue
    assert found_of(found, "needs a person") == [f"k01, grey-steps: {second} waits beside the evening that counts"]
    assert counted(found) == [NAME]
    assert "k01" in held(found, tmp_path / "held")
    decide_about_files(room, ("k01", "accept", second))
    after = marked(room)
    assert counted(after) == [second]
    assert "Somebody has to look" not in class_page(after)
    assert f"Of your 2 attempts the best counts: {second}." in page_of(after, "k01")
    assert "k01" not in held(after, tmp_path / "after")


def test_the_first_accepted_sets_the_other_of_its_name_aside(poor_then_good: ClassRoom, tmp_path: Path) -> None:
    before = row_of(marked(poor_then_good), "k01").points
    decide_about_files(poor_then_good, ("k01", "accept", NAME))
    found = marked(poor_then_good)
    assert counted(found) == [NAME]
    assert row_of(found, "k01").points == before
    assert "Somebody has to look" not in class_page(found)
    assert unsettled(found) == []
    page = page_of(found, "k01")
    assert "another file of its name was decided for" in page
    assert "Somebody looks" not in page
    assert "k01" not in held(found, tmp_path)


def test_a_very_long_name_still_says_which_of_its_name_it_is(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="")
    in_a_zip(room, POOR, GOOD, name=LONG)
    shown = [one.file for one in row_of(marked(room), "k01").attempts]
    assert [len(one) for one in shown] == [200, 200]
    assert [one.endswith(" (2)") for one in shown] == [False, True]
    decide_about_files(room, ("k01", "accept", shown[1]))
    found = marked(room)
    assert counted(found) == [shown[1]]
    assert unsettled(found) == []


def test_points_given_say_of_no_file_that_it_still_waits(poor_then_good: ClassRoom) -> None:
    decide(poor_then_good, "k01,grey-steps,partial,30,as agreed")
    page = page_of(marked(poor_then_good), "k01")
    assert "30 points given by a person: as agreed" in page
    assert "needs a person" not in page
    assert f"{NAME} (2): decided: points given" in page


def test_files_of_one_name_by_two_learners_are_each_ones_own(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="")
    with zipfile.ZipFile(tmp_path / "both.zip", "w") as packed, warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        for learner in ("k01", "k02"):
            packed.writestr("evening.jsonl", room.hand(learner, f"{learner}.evening", GOOD, seed=4).read_bytes())
    shutil.rmtree(room.box)
    (tmp_path / "both.zip").rename(room.box)
    found = marked(room)
    assert [row_of(found, one).status for one in ("k01", "k02")] == ["marked", "marked"]
    assert "Somebody has to look" not in class_page(found)


def test_the_same_evening_twice_under_one_name_waits_for_nobody(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="")
    first, second = in_a_zip(room, GOOD, GOOD)
    assert first == second
    found = marked(room)
    assert [one.note for one in row_of(found, "k01").attempts] == ["", "the same file again"]
    assert "Somebody has to look" not in class_page(found)


def copies_of_two(tmp_path: Path) -> ClassRoom:
    """k01 and k02 each handed their evening, of another version, in twice; k03 handed in one file."""
    room = room_with(tmp_path, keys="")
    for learner in ("k01", "k02"):
        file = room.hand(learner, f"{learner}.evening", GOOD, opening=OLD, seed=5)
        (room.box / f"{learner}-again.evening").write_bytes(file.read_bytes())
    room.hand("k03", "k03.evening", GOOD)
    return room


def test_copies_have_codes_of_their_own_on_pages_without_names(tmp_path: Path) -> None:
    room = copies_of_two(tmp_path)
    found = marked(room, hide_names=True)
    codes = [one.file for row in found.results.rows for one in row.attempts]
    assert len(codes) == 5
    assert len(set(codes)) == 5
    shared = {row.attempts[0].content[:16] for row in found.results.rows if len(row.attempts) == 2}
    for code in codes:
        assert re.fullmatch(r"file-[0-9a-f]{16}(-[0-9a-f]{8})?", code)
        assert ("-" in code.removeprefix("file-")) == (code[5:21] in shared)
    write_outputs(found, tmp_path / "out", None)
    page = (tmp_path / "out" / "class.html").read_text("utf-8")
    assert "again.evening" not in page


def test_a_copys_code_accepts_its_evening_with_names_and_without(tmp_path: Path) -> None:
    room = copies_of_two(tmp_path)
    hidden = marked(room, hide_names=True)
    row = next(row for row in hidden.results.rows if len(row.attempts) == 2)
    code = next(one.file for one in row.attempts if one.note != "the same file again")
    decide_about_files(room, (row.learner, "accept", code))
    assert [one.status for one in marked(room, hide_names=True).results.rows].count("marked") == 2
    assert [one.status for one in marked(room).results.rows].count("marked") == 2


@pytest.mark.parametrize("under", ["k02", "k03"])
def test_a_copy_of_anothers_upload_is_settled_with_it(tmp_path: Path, under: str) -> None:
    room = room_with(tmp_path)
    first = room.hand("k03", "up_k02_1.evening", GOOD)
    for name in ("up_k02_2.evening", "up_k04_3.evening"):  # k04 has handed the same in
        (room.box / name).write_bytes(first.read_bytes())
    decide_about_files(room, (under, "accept", "up_k02_1.evening"))
    found = marked(room)
    notes = [one.note for one in row_of(found, under).attempts]
    assert notes.count("the same file again") == (2 if under == "k03" else 1)
    assert [one.counted for one in row_of(found, under).attempts].count(True) == 1
    queue = class_page(found).split("The whole class")[0]
    assert "up_k02_2.evening" not in queue
    assert ("up_k04_3.evening, handed in by" in queue) == (under == "k02")


def test_of_several_evenings_since_a_re_opening_one_stands_beside_the_first(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="")
    text = room.course.read_text("utf-8").replace('policy = "best"', 'policy = "first"').replace("attempts = 3\n", "")
    room.course.write_text(text, "utf-8")
    room.hand("k01", "first.evening", POOR, received=DUE - 9000)
    decide(room, "k01,grey-steps,re-open,,,,2026-12-01T16:00:00+00:00")
    room.hand("k01", "asked.evening", (6.5,), seed=4, received=DUE - 900)
    room.hand("k01", "more.evening", GOOD, seed=5, received=DUE - 600)
    found = marked(room)
    points = {one.file: one.points for one in row_of(found, "k01").attempts}
    assert points["first.evening"] < points["asked.evening"] < points["more.evening"]
    assert counted(found) == ["asked.evening"]
    page = page_of(found, "k01")
    assert f"Beside it stands what somebody accepted or asked for: asked.evening ({points['asked.evening']:g} points)." in page


def test_who_is_not_on_the_roster_is_offered_no_line(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys='received = "received.csv"')
    room.hand("k03", "x.evening", GOOD)
    table = room.folder / "received.csv"
    table.write_text("file,received,uploader\nx.evening,2026-12-01T10:00:00+00:00,stranger@else.example\n", "utf-8")
    queue = class_page(marked(room)).split("The whole class")[0]
    assert "x.evening, it concerns Place 학03 (k03)" in queue
    assert "'stranger@else.example' handed it in" in queue
    assert "accept (under k03 for whom it names; where several wait, with this file in the column file)" in queue


def test_a_re_opening_that_cannot_be_told_names_every_copy(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="")
    first = room.hand("k01", "first.evening", POOR, received=DUE - 7200)
    (room.box / "copy.evening").write_bytes(first.read_bytes())
    room.hand("k01", "second.evening", (5.0,), seed=4)
    decide(room, "k01,grey-steps,re-open")
    said = " ".join(unsettled(marked(room)))
    for name in ("first.evening", "copy.evening", "second.evening"):
        assert name in said
    assert "copy.evening = first.evening" in said


@pytest.mark.parametrize(("policy", "told"), [
    ("first", "The first attempt would count: new.evening ({poor} points). Beside it stands what somebody accepted or asked "
     "for: old.evening ({good} points). Of these the better counts: old.evening."),
    ("best", "Of your 2 attempts the best counts: old.evening."),
    ("last", "Of your 2 attempts the last counts: new.evening."),
])  # fmt: skip
def test_the_page_says_which_attempt_counts_and_why(tmp_path: Path, policy: str, told: str) -> None:
    room = room_with(tmp_path, keys="")
    room.course.write_text(room.course.read_text("utf-8").replace('policy = "best"', f'policy = "{policy}"'), "utf-8")
    room.hand("k01", "old.evening", GOOD, opening=OLD, received=DUE - 7200)
    room.hand("k01", "new.evening", POOR, seed=4)
    assert "attempts" not in page_of(marked(room), "k01").split("Marks:")[0]
    decide_about_files(room, ("k01", "accept", "old.evening"))
    found = marked(room)
    by_name = {one.file: f"{one.points:g}" for one in row_of(found, "k01").attempts}
    assert told.format(poor=by_name["new.evening"], good=by_name["old.evening"]) in page_of(found, "k01")
