"""Files beside an evening that counts: none is passed over in silence, and no line says that it settled what it did not."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from at_once import marked, row_of
from class_room import DUE, ClassRoom
from made_results import criterion, results, row, submission
from test_what_waits import class_page, decide, page_of, room_with
from test_which_files_are_decided_about import OLD, decide_about_files, unsettled

from sim.marking.batch import Outcome
from sim.marking.class_figures import exercise_figures
from sim.marking.feedback_page import feedback_text
from sim.marking.gradebook import gradebook_text, usual_mapping
from sim.marking.outputs import hand_back, write_outputs
from sim.marking.preflight import findings


def found_of(found: Outcome, kind: str) -> list[str]:
    """Return what the command says of one kind of finding."""
    return [one.words for one in findings(found.results, usual_mapping(found.results), (), []) if one.kind == kind]


def held(found: Outcome, folder: Path) -> list[str]:
    """Return whose pages are not handed back."""
    write_outputs(found, folder / "out", None)
    return hand_back(found.results, folder / "out", folder / "back")[1]


@pytest.fixture
def counted_and_waiting(tmp_path: Path) -> ClassRoom:
    """k01 has an evening that counts, and one of another version beside it."""
    room = room_with(tmp_path, keys="")
    room.hand("k01", "old.evening", (3.0,), opening=OLD, received=DUE - 7200)
    room.hand("k01", "new.evening", (7.5,), seed=4)
    return room


def test_an_open_re_opening_hides_nothing_that_waits_beside(counted_and_waiting: ClassRoom, tmp_path: Path) -> None:
    decide(counted_and_waiting, "k01,grey-steps,re-open")
    found = marked(counted_and_waiting)
    assert "marked; 1 beside it waits" in class_page(found)
    assert "accept (file: old.evening)" in class_page(found)
    assert found_of(found, "needs a person") == ["k01, grey-steps: old.evening waits beside the evening that counts"]
    assert "Somebody looks at old.evening; nothing is decided about that yet." in page_of(found, "k01")
    assert "k01" in held(found, tmp_path)


def test_anothers_upload_beside_one_that_counts_holds_both_pages_and_is_a_finding(tmp_path: Path) -> None:
    room = room_with(tmp_path)
    room.hand("k02", "own_k02_1.evening", (3.0,))
    upload = room.hand("k02", "up_k03_9.evening", (7.5,), seed=4)
    room.hand("k03", "own_k03_1.evening", (7.4,), seed=5)
    found = marked(room)
    assert [row_of(found, one).status for one in ("k02", "k03")] == ["marked", "marked"]
    code = next(one.file for one in row_of(found, "k02").waiting)
    rest = "handed in by somebody else than it names, waits beside the evening that counts"
    assert found_of(found, "needs a person") == [
        f"k02, grey-steps: {code}, {rest}", f"k03, grey-steps: up_k03_9.evening, {rest}",
    ]  # fmt: skip
    assert code in class_page(found).split("The whole class")[0]  # so that who asks about it can be answered
    assert held(found, tmp_path) == ["k02", "k03"]
    before = row_of(found, "k02").points
    decide(room, f"k02,grey-steps,accept,,,,,{upload.name}")
    after = marked(room)
    assert (row_of(after, "k02").points or 0.0) > (before or 0.0)
    assert held(after, tmp_path) == []


def test_the_reason_of_a_line_that_settled_nothing_stands_in_no_gradebook(tmp_path: Path) -> None:
    room = room_with(tmp_path)
    room.hand("k03", "own_k03_1.evening", (7.5,), opening=OLD)
    decide(room, "k01,grey-steps,accept,,faint hope,quietly", "k03,grey-steps,accept,,our mistake,quietly")
    text = gradebook_text(marked(room).results, usual_mapping(marked(room).results))
    assert "faint hope" not in text
    assert "our mistake" in text
    decide(room, "k01,grey-steps,accept,,faint hope,quietly")
    alone = marked(room).results
    assert "reason" not in gradebook_text(alone, usual_mapping(alone)).splitlines()[0]


def test_of_anothers_upload_of_an_accepted_version_only_whose_it_is_is_asked(tmp_path: Path) -> None:
    room = room_with(tmp_path)
    course = room.course.read_text("utf-8")
    room.course.write_text(course.replace("attempts = 3", "attempts = 3\naccepted_versions = [9]"), "utf-8")
    room.hand("k02", "up_k03_9.evening", (7.5,), opening=OLD)
    (said,) = marked(room).results.unplaced
    assert said.reasons == ["it says that it is the work of 'k02', but 'k03' handed it in"]


def test_a_used_re_opening_settles_what_was_before_and_nothing_since(counted_and_waiting: ClassRoom, tmp_path: Path) -> None:
    decide(counted_and_waiting, "k01,grey-steps,re-open")
    marked(counted_and_waiting)
    counted_and_waiting.hand("k01", "third.evening", (7.4,), seed=5, received=DUE - 60)
    found = marked(counted_and_waiting)
    page = page_of(found, "k01")
    assert "used up by third.evening" in page
    assert "needs a person" not in page
    assert "Somebody looks" not in page
    assert "old.evening: decided: open again" in page
    assert "k01" not in held(found, tmp_path)
    counted_and_waiting.hand("k01", "fourth.evening", (7.3,), opening=OLD, seed=6, received=DUE - 30)
    since = marked(counted_and_waiting)
    assert "Somebody looks at fourth.evening; nothing is decided about that yet." in page_of(since, "k01")
    assert "k01" in held(since, tmp_path)


@pytest.mark.parametrize(("file", "why"), [
    ("new.evening", "new.evening does not wait for a person's word"),
    ("copy.evening", "copy.evening is the same file again: its file must be old.evening"),
    ("over.evening", "over.evening does not wait for a person's word"),
    ("junk.evening", "junk.evening does not wait for a person's word"),
])  # fmt: skip
def test_a_line_about_a_file_that_does_not_wait_settles_none(tmp_path: Path, file: str, why: str) -> None:
    room = room_with(tmp_path, keys="", attempts=1)
    old = room.hand("k01", "old.evening", (3.0,), opening=OLD, received=DUE - 7200)
    room.hand("k01", "new.evening", (7.5,), seed=4, received=DUE - 7000)
    room.hand("k01", "over.evening", (7.4,), seed=5, received=DUE - 6000)
    (room.box / "copy.evening").write_bytes(old.read_bytes())
    whole = room.hand("k01", "junk.evening", (7.4,), seed=8, received=DUE - 6000)
    whole.write_bytes(whole.read_bytes()[:-40])
    for name in ("copy.evening", "junk.evening"):
        os.utime(room.box / name, (DUE - 100, DUE - 100))
    decide_about_files(room, ("k01", "accept", file))
    found = marked(room)
    assert any(why in words for words in unsettled(found))
    assert "it is marked as it stands" not in page_of(found, "k01")
    assert [one.file for one in row_of(found, "k01").attempts if one.counted] == ["new.evening"]
    decide_about_files(room, ("k01", "accept", "old.evening"))
    meant = marked(room)
    assert "Somebody has looked, and it is marked as it stands (old.evening)." in page_of(meant, "k01")
    assert unsettled(meant) == []


def test_an_empty_file_and_one_that_is_no_evening_beside_what_counts_are_found(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="")
    room.hand("k01", "k01_grey-steps_1.evening", (7.5,))
    (room.box / "k01_grey-steps_2.evening").write_bytes(b"")
    (room.box / "k01_grey-steps_3.evening").write_bytes(b"\xff\xfe\x00")
    names = "k01_grey-steps_2.evening, k01_grey-steps_3.evening"
    assert sorted(", ".join(found_of(marked(room), "not marked")).partition(" beside")[0].partition(": ")[2].split(", ")) \
        == sorted(names.split(", "))


def test_what_waits_is_counted_once_for_each_evening(counted_and_waiting: ClassRoom) -> None:
    counted_and_waiting.hand("k02", "first.evening", (7.5,), opening=OLD, seed=9)
    counted_and_waiting.hand("k02", "second.evening", (7.0,), opening=OLD, seed=10)
    counted_and_waiting.hand("k03", "third.evening", (7.0,), opening=OLD, seed=11)
    assert "4 evenings wait unmarked for a person" in class_page(marked(counted_and_waiting))
    decide(counted_and_waiting, "k03,grey-steps,partial,40,as agreed")
    found = marked(counted_and_waiting)
    assert "3 evenings wait unmarked for a person" in class_page(found)
    reasons = "; ".join(row_of(found, "k02").reasons)
    assert "first.evening: " in reasons
    assert "second.evening: " in reasons
    assert "second.evening: " in class_page(found).split("The whole class")[0]


def test_every_criterion_that_lost_points_is_named_beside_a_cause() -> None:
    marks = [criterion(name, 0.0, 1.0) for name in ("cup", "long-enough", "sky", "wall", "snow", "roof")]
    evening = submission((1.0, 1.0), "exposure", 2.0).model_copy(update={"criteria": marks, "points": 4.0})
    page = feedback_text(results(row("a", evening, 40.0, (0.4,))), "a", lambda _: None)
    for name in ("cup", "long enough", "sky", "wall", "snow", "roof"):
        assert f"<li>{name} <span>0.0 of 1</span></li>" in page


def test_what_cost_most_is_told_without_a_line_of_advice() -> None:
    evening = submission((1.0, 0.5), "exposure", 2.0).model_copy(update={"advice": []})
    found = results(row("a", evening, 80.0, (0.8,)))
    assert exercise_figures(found, "one").causes == (("shade", 1),)
    whole = submission((1.0, 1.0), "exposure", 2.0).model_copy(update={"advice": []})
    assert exercise_figures(results(row("a", whole, 100.0, (1.0,))), "one").causes == ()
