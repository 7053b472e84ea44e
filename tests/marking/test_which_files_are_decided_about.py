"""Decisions and the files they are about: what came before a re-opening, and which of several files one line accepts."""

from __future__ import annotations

from pathlib import Path

import pytest
from at_once import marked, row_of
from class_room import DUE, ClassRoom
from test_what_waits import class_page, decide, page_of, room_with

from sim.marking.batch import Outcome, read_batch
from sim.marking.gradebook import usual_mapping
from sim.marking.outputs import hand_back, write_outputs
from sim.marking.preflight import findings
from sim.reading import OutsideError

OLD = {"exercise_version": 9}  # of another version: only a person can settle it
HEADER = "learner,exercise,decision,points,reason,private,when,file"


def decide_about_files(room: ClassRoom, *lines: tuple[str, str, str]) -> None:
    """Write the table of decisions anew, each with learner, decision and the file it is about."""
    rows = [f"{learner},grey-steps,{decision},,,,,{file}" for learner, decision, file in lines]
    (room.folder / "review.csv").write_text("\n".join([HEADER, *rows]) + "\n", "utf-8")


def unsettled(found: Outcome) -> list[str]:
    """Return what the command says of decisions that settle nothing."""
    return [one.words for one in findings(found.results, usual_mapping(found.results), (), []) if one.kind == "not settled"]


@pytest.fixture
def two_wait(tmp_path: Path) -> ClassRoom:
    """k01 handed in two evenings of another version; both wait for a person."""
    room = room_with(tmp_path, keys="")
    room.hand("k01", "first.evening", (7.5,), opening=OLD, received=DUE - 7200)
    room.hand("k01", "second.evening", (7.0,), opening=OLD, seed=4)
    return room


@pytest.mark.parametrize("looked", [True, False], ids=["marked before the decision", "decided before any run"])
def test_evenings_that_came_before_do_not_use_a_re_opening_up(two_wait: ClassRoom, looked: bool) -> None:
    if looked:
        assert row_of(marked(two_wait), "k01").status == "needs-person"
    decide(two_wait, "k01,grey-steps,re-open,,the paper was old")
    for _ in range(2):  # the second run remembers what the first one saw
        found = marked(two_wait)
        page = page_of(found, "k01")
        assert row_of(found, "k01").status == "open-again"
        assert "Open again: one more evening may be handed in: the paper was old." in page
        assert "used up" not in page
        assert "nothing is decided yet" not in page
    assert "first.evening, second.evening lay there as it was first read" in class_page(found)
    assert any("write when it was decided" in words for words in unsettled(found))
    assert "lay there" not in page
    two_wait.hand("k01", "third.evening", (7.5,), seed=5, received=DUE - 60)
    after = marked(two_wait)
    assert row_of(after, "k01").status == "marked"
    assert "used up by third.evening: the paper was old." in page_of(after, "k01")
    assert unsettled(after) == []


def test_a_re_opening_used_up_by_what_cannot_be_marked_says_one_thing(two_wait: ClassRoom) -> None:
    decide(two_wait, "k01,grey-steps,re-open")
    marked(two_wait)
    two_wait.hand("k01", "third.evening", (7.5,), opening=OLD, seed=5, received=DUE - 60)
    page = page_of(marked(two_wait), "k01")
    assert "used up by third.evening." in page
    assert "Somebody looks at what you handed in since; nothing is decided about that yet." in page
    assert "nothing is decided yet" not in page


def test_what_is_remembered_is_forgotten_with_its_decision(two_wait: ClassRoom) -> None:
    kept = two_wait.folder / "review.csv.seen.csv"
    decide(two_wait, "k01,grey-steps,re-open")
    marked(two_wait)
    lines = kept.read_text("utf-8").splitlines()
    assert len(lines) == 3
    assert "k01" not in kept.read_text("utf-8")  # codes, since a blind marker may read what lies beside the tables
    decide(two_wait)
    marked(two_wait)
    assert len(kept.read_text("utf-8").splitlines()) == 1
    kept.write_text("learner,exercise,content\nx\n", "utf-8")
    decide(two_wait, "k01,grey-steps,re-open")
    with pytest.raises(OutsideError, match=r"review.csv.seen.csv.*line 2"):
        read_batch(two_wait.box, two_wait.course)


def test_an_extra_evening_before_a_re_opening_takes_nothing_from_the_one_after(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="", attempts=1)
    room.hand("k01", "first.evening", (3.0,), seed=3, received=DUE - 7200)
    room.hand("k01", "second.evening", (4.0,), seed=4)
    marked(room)
    decide(room, "k01,grey-steps,re-open")
    before = row_of(marked(room), "k01")
    assert [one.note for one in before.attempts] == ["", "over the limit of 1 attempts"]
    room.hand("k01", "third.evening", (7.5,), seed=5, received=DUE - 60)
    room.hand("k01", "fourth.evening", (7.5,), seed=6, received=DUE - 30)
    after = row_of(marked(room), "k01")
    over = ["", "over the limit of 1 attempts", "", "over the limit of 2 attempts"]
    assert [one.note for one in after.attempts] == over
    assert [one.counted for one in after.attempts] == [False, False, True, False]


def test_where_two_wait_a_line_without_a_file_settles_none_and_says_which_there_are(two_wait: ClassRoom) -> None:
    decide(two_wait, "k01,grey-steps,accept")
    found = marked(two_wait)
    page = page_of(found, "k01")
    said = "2 files wait there and the decision names none: its file must be one of first.evening, second.evening"
    assert row_of(found, "k01").status == "needs-person"
    assert any(said in words for words in unsettled(found))
    assert said in class_page(found).split("The whole class")[0]
    assert "accept (file: first.evening or second.evening)" in class_page(found)
    assert "marked as it stands" not in page
    assert "decision names none" not in page
    assert "Somebody looks at what you handed in; nothing is decided yet." in page


def test_one_line_accepts_one_file(two_wait: ClassRoom) -> None:
    decide_about_files(two_wait, ("k01", "accept", "second.evening"))
    found = marked(two_wait)
    row = row_of(found, "k01")
    assert [(one.file, one.status) for one in row.attempts] == [("first.evening", "needs-person"), ("second.evening", "marked")]
    assert row.status == "marked"
    assert "it is marked as it stands" in page_of(found, "k01")
    decide_about_files(two_wait, ("k01", "accept", "second.evening"), ("k01", "accept", "first.evening"))
    assert [one.status for one in row_of(marked(two_wait), "k01").attempts] == ["marked", "marked"]
    decide_about_files(two_wait, ("k01", "accept", "third.evening"))
    wrong = marked(two_wait)
    said = "no file called 'third.evening' is there: there are first.evening, second.evening"
    assert any(said in words for words in unsettled(wrong))
    assert row_of(wrong, "k01").status == "needs-person"


@pytest.fixture
def own_and_anothers(tmp_path: Path) -> ClassRoom:
    """k03 has an evening of their own waiting, and handed in one that says that it is the work of k02."""
    room = room_with(tmp_path)
    room.hand("k03", "own_k03_1.evening", (7.5,), opening=OLD)
    room.hand("k02", "up_k03_9.evening", (7.0,), seed=4)
    return room


def test_accepting_ones_own_evening_does_not_take_anothers_along(own_and_anothers: ClassRoom) -> None:
    decide(own_and_anothers, "k03,grey-steps,accept")
    found = marked(own_and_anothers)
    assert [(one.file, one.status) for one in row_of(found, "k03").attempts] == [("own_k03_1.evening", "marked")]
    assert row_of(found, "k02").status == "needs-person"
    assert "up_k03_9.evening, handed in by" in class_page(found)
    for lines in (
        (("k03", "accept", "own_k03_1.evening"), ("k02", "accept", "up_k03_9.evening")),
        (("k03", "accept", ""), ("k02", "accept", "")),  # for k02 only one waits; then only one is left for k03
    ):
        decide_about_files(own_and_anothers, *lines)
        both = marked(own_and_anothers)
        (theirs,), (own,) = (row_of(both, who).attempts for who in ("k02", "k03"))
        assert (theirs.status, own.status) == ("marked", "marked")
        assert theirs.file == f"file-{theirs.content[:16]}"  # its name would tell k02 who handed it in
        assert own.file == "own_k03_1.evening"
        assert "Somebody has to look" not in class_page(both)
        assert unsettled(both) == []


def test_no_page_says_marked_where_nothing_is(own_and_anothers: ClassRoom) -> None:
    decide_about_files(own_and_anothers, ("k02", "accept", "up_k03_9.evening"), ("k03", "accept", "up_k03_9.evening"))
    found = marked(own_and_anothers)
    assert row_of(found, "k02").status == "needs-person"
    for who in ("k02", "k03"):
        assert "marked as it stands" not in page_of(found, who)
    assert "one of the two must go" in class_page(found)


@pytest.mark.parametrize("lines", [
    (("k02", "accept", ""), ("k03", "accept", "up_k03_9.evening")),
    (("k03", "accept", "up_k03_9.evening"), ("k02", "accept", "")),
    (("k03", "accept", "up_k03_9.evening"), ("k02", "accept", "up_k03_9.evening")),
])  # fmt: skip
@pytest.mark.parametrize("own", [False, True], ids=["nothing else", "beside an evening that counts"])
def test_accepted_under_both_ids_it_waits_though_a_line_names_no_file(
    tmp_path: Path, lines: tuple[tuple[str, str, str], ...], own: bool
) -> None:
    room = room_with(tmp_path)
    room.hand("k02", "up_k03_9.evening", (7.0,), seed=4)
    if own:
        room.hand("k02", "own_k02_1.evening", (3.0,))
    decide_about_files(room, *lines)
    found = marked(room)
    assert row_of(found, "k03").status == "needs-person"
    assert [one.status for one in row_of(found, "k02").attempts] == (["marked"] if own else [])
    assert [one.file for one in found.results.unplaced if not one.settled] == ["up_k03_9.evening"]
    assert "one of the two must go" in class_page(found).split("The whole class")[0]
    assert sum("one of the two lines must go" in words for words in unsettled(found)) == 2
    assert "marked as it stands" not in page_of(found, "k02") + page_of(found, "k03")


def test_an_accepted_evening_that_cannot_be_marked_says_so(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="")
    broken = room.hand("k01", "first.evening", (7.5,))
    broken.write_bytes(broken.read_bytes()[:-40])
    decide(room, "k01,grey-steps,accept,,the disk was full")
    page = page_of(marked(room), "k01")
    assert "cannot be marked as it stands, and what comes of it is still to be decided: the disk was full." in page
    assert "it is marked as it stands" not in page
    assert "nothing is decided yet" not in page


def test_a_file_belongs_to_accept_alone_and_stands_once(two_wait: ClassRoom) -> None:
    for lines, said in (
        ([("k01", "excused", "first.evening")], "file belongs to accept alone"),
        ([("k01", "accept", "first.evening")] * 2, "must not repeat line 2"),
        ([("k01", "accept", ""), ("k01", "excused", "")], "must not repeat line 2"),
    ):
        decide_about_files(two_wait, *lines)
        with pytest.raises(OutsideError, match=said):
            read_batch(two_wait.box, two_wait.course)


def test_an_older_evening_beside_one_that_counts_is_listed_and_pushes_nothing_out(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="", attempts=1)
    room.hand("k01", "old.evening", (3.0,), opening=OLD, received=DUE - 7200)
    room.hand("k01", "new.evening", (7.5,), seed=4)
    before = marked(room)
    points = row_of(before, "k01").points
    queue = class_page(before).split("The whole class")[0]
    assert "marked; 1 beside it waits" in queue
    assert "old.evening" in queue
    said = [one for one in findings(before.results, usual_mapping(before.results), (), []) if one.kind == "needs a person"]
    assert [one.words for one in said] == ["k01, grey-steps: old.evening waits beside the evening that counts"]
    assert "Somebody looks at old.evening; nothing is decided about that yet." in page_of(before, "k01")
    write_outputs(before, tmp_path / "out", None)
    assert "k01" in hand_back(before.results, tmp_path / "out", tmp_path / "back")[1]
    decide(room, "k01,grey-steps,accept")
    after = marked(room)
    row = row_of(after, "k01")
    assert [(one.file, one.status, one.counted, one.note) for one in row.attempts] == [
        ("old.evening", "marked", False, ""), ("new.evening", "marked", True, ""),
    ]  # fmt: skip
    assert row.points == points
    assert "Somebody has to look" not in class_page(after)


def test_a_line_without_a_file_makes_nobody_elses_work_ones_own(tmp_path: Path) -> None:
    room = room_with(tmp_path)
    room.hand("k02", "up_k03_9.evening", (7.0,), seed=4)
    decide(room, "k03,grey-steps,accept")
    found = marked(room)
    assert [row_of(found, who).status for who in ("k02", "k03")] == ["needs-person"] * 2
    assert "what waits there names another learner" in " ".join(unsettled(found))
    assert "marked as it stands" not in page_of(found, "k03")
    assert "up_k03_9.evening, handed in by" in class_page(found)
