"""What waits for a person: how it stands on every page and in the gradebook, and what each decision makes of it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from at_once import marked, row_of
from class_room import COURSE, DUE, ClassRoom, class_room

from sim.marking.accepted import ACCEPTED_TWICE
from sim.marking.batch import Outcome, read_batch
from sim.marking.class_page import class_text
from sim.marking.feedback_page import feedback_text
from sim.marking.gradebook import gradebook_text, usual_mapping
from sim.marking.outputs import hand_back, write_outputs
from sim.marking.pages import points_text
from sim.marking.preflight import findings, list_findings
from sim.reading import OutsideError

HEADER = "learner,exercise,decision,points,reason,private,when,file"
NAMES = {"k01": "Place к01", "k02": "Place κ02", "k03": "Place 학03", "k04": "Place к04"}


def room_with(folder: Path, keys: str = 'uploader_in = "*_{id}_*"', attempts: int = 3, exam: bool = False) -> ClassRoom:
    """Return a course whose files are named by the system that received them."""
    room = class_room(folder / "course")
    text = COURSE.replace("{variants}", "false").replace("attempts = 3", "exam = true\ngiven_out = true" if exam else
                                                         f"attempts = {attempts}")  # fmt: skip
    room.course.write_text(text.replace("[[exercise]]", f'review = "review.csv"\n{keys}\n[[exercise]]'), "utf-8")
    decide(room)
    return room


def decide(room: ClassRoom, *lines: str) -> None:
    """Write the table of decisions anew."""
    padded = [line + "," * (HEADER.count(",") - line.count(",")) for line in lines]
    (room.folder / "review.csv").write_text("\n".join([HEADER, *padded]) + "\n", "utf-8")


def text_of(page: str) -> str:
    """Return the words of a page as people read them."""
    body = re.sub(r"</?span[^>]*>", "", page.split("<body>")[1])  # what stands in the line
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", body)).replace("&#39;", "'").replace("&amp;", "&")


def page_of(found: Outcome, learner: str) -> str:
    return text_of(feedback_text(found.results, learner, found.marked))


def class_page(found: Outcome) -> str:
    return text_of(class_text(found.results, found.marked))


def in_gradebook(found: Outcome, learner: str) -> tuple[str, str]:
    """Return a learner's points and status as the course system is given them."""
    lines = gradebook_text(found.results, usual_mapping(found.results)).splitlines()
    cells = next(line for line in lines if line.startswith(f"{learner},")).split(",")
    return cells[3], cells[4]


FILE = "up_k02_9.evening"


def waits_for_the_other(found: Outcome, under: str) -> None:
    """What is written under who handed k03's work in settles nothing of k03's; under k03 it settles it for both."""
    queue = class_page(found).split("The whole class")[0]
    said = [one.words for one in findings(found.results, usual_mapping(found.results), (), [])]
    theirs = page_of(found, "k03")
    if under == "k03":
        assert "Somebody has to look" not in queue
        return
    assert row_of(found, "k03").status == "needs-person"
    assert f"{FILE}, handed in by" in queue
    assert any(words.startswith(f"{FILE}: ") for words in said)
    assert "but somebody else handed it in; somebody looks at it" in theirs
    assert "somebody has looked at it" not in theirs


@pytest.fixture
def anothers(tmp_path: Path) -> ClassRoom:
    """k02 handed in a file that says it is the work of k03; neither handed in anything else."""
    room = room_with(tmp_path)
    room.hand("k03", "up_k02_9.evening", (7.5,))
    return room


def test_the_queue_says_who_handed_it_in_whose_it_is_which_exercise_and_what_can_be_done(anothers: ClassRoom) -> None:
    found = marked(anothers)
    queue = class_page(found).split("The whole class")[0]
    assert "up_k02_9.evening, handed in by Place κ02 (k02), it says that it is the work of Place 학03 (k03)" in queue
    assert "Grey steps" in queue
    assert "for grey-steps: accept (under k02 it counts for who handed it in, under k03 for whom it names; " in queue
    assert "under who handed it in, or where several wait, with this file in the column file); partial, re-open" in queue
    assert "partial, re-open or excused under k03, for all of the exercise and without a file" in queue
    assert queue.count("up_k02_9.evening") == 1  # said once, not for each of the two


def test_both_pages_say_that_something_came_in_and_name_nobody_else(anothers: ClassRoom, tmp_path: Path) -> None:
    found = marked(anothers)
    mine, theirs = page_of(found, "k02"), page_of(found, "k03")
    assert "up_k02_9.evening, which you handed in, says that it is another learner's work; somebody looks at it" in mine
    said = r"file-[0-9a-f]{16} says that it is your work, but somebody else handed it in; somebody looks at it"
    assert re.search(said, theirs)
    for page in (mine, theirs):
        assert "nothing handed in" not in page
        assert "somebody has to look at it" in page
    assert "k02" not in theirs
    assert "k03" not in mine
    assert "what you handed in" not in theirs
    assert [in_gradebook(found, one)[1] for one in ("k02", "k03")] == ["needs-person"] * 2
    write_outputs(found, tmp_path / "out", None)
    assert hand_back(found.results, tmp_path / "out", tmp_path / "back")[1] == ["k02", "k03"]


@pytest.mark.parametrize(("under", "other", "words"), [
    ("k02", "k03", "accepted by a person for who handed it in"),
    ("k03", "k02", "accepted by a person for whom it names, though somebody else handed it in"),
])  # fmt: skip
def test_accepted_it_is_the_attempt_of_that_learner(anothers: ClassRoom, under: str, other: str, words: str) -> None:
    decide(anothers, f"{under},grey-steps,accept,,,,,{FILE if under == 'k02' else ''}")
    found = marked(anothers)
    row = row_of(found, under)
    assert (row.status, row.points is not None, row.attempts[0].note) == ("marked", True, words)
    assert words in page_of(found, under)
    assert ("k02" in page_of(found, under)) == (under == "k02")  # its name tells who handed it in
    assert in_gradebook(found, under) == (f"{row.points:.2f}", "marked")
    assert row_of(found, other).status == "missing"
    assert "Somebody has to look" not in class_page(found)
    assert found.results.unplaced == []


def test_accepted_under_who_handed_it_in_it_may_be_on_either_ones_own_negative(tmp_path: Path) -> None:
    room = room_with(tmp_path)
    room.course.write_text(room.course.read_text("utf-8").replace("variants = false", "variants = true"), "utf-8")
    batch = read_batch(room.box, room.course)
    from sim.marking.bundle import variants_in_turn

    (room.folder / "review.csv").write_text(f"{HEADER}\nk02,grey-steps,accept,,,,,{FILE}\n", "utf-8")
    own = next(iter(variants_in_turn(batch.exercises["grey-steps"], batch.secret, "k03", 0)))
    room.hand("k03", "up_k02_9.evening", (7.5,), negative=own)
    row = row_of(marked(room), "k02")
    assert (row.status, row.reasons) == ("marked", [])


def test_accepted_for_both_it_still_waits_and_says_why(anothers: ClassRoom) -> None:
    decide(anothers, f"k02,grey-steps,accept,,,,,{FILE}", f"k03,grey-steps,accept,,,,,{FILE}")
    found = marked(anothers)
    assert [row_of(found, one).status for one in ("k02", "k03")] == ["needs-person"] * 2
    assert "accepted both for whom it names and for who handed it in: one of the two must go" in class_page(found)
    said = [one.words for one in findings(found.results, usual_mapping(found.results), (), []) if one.kind == "not settled"]
    assert said == [f"{one}, grey-steps: {ACCEPTED_TWICE}" for one in ("k02", "k03")]


def test_which_of_two_learners_handed_a_file_in_is_told_to_neither_where_nobody_knows(tmp_path: Path) -> None:
    room = room_with(tmp_path)
    room.hand("k03", "x_k02_k03_y.evening", (7.5,))
    found = marked(room)
    assert "whether you or somebody else handed it in cannot be told; somebody looks at it" in page_of(found, "k03")
    assert "which you or somebody else handed in, says that it is another learner's work" in page_of(found, "k02")
    assert "k02" not in page_of(found, "k03")
    assert "k03" not in page_of(found, "k02")
    assert "x_k02_k03_y.evening" in class_page(found)


def test_what_is_accepted_is_named_where_something_else_waits(anothers: ClassRoom) -> None:
    anothers.hand("k02", "up_k02_1.evening", (7.5,), seed=4, opening={"exercise_version": 9})
    anothers.hand("k02", "up_k03_2.evening", (7.5,), seed=5)
    decide(anothers, f"k02,grey-steps,accept,,,,,{FILE}")
    page = page_of(marked(anothers), "k02")
    assert f"marked as it stands ({FILE})." in page
    assert "Somebody looks at up_k02_1.evening; nothing is decided about that yet." in page
    assert "says that it is your work, but somebody else handed it in; somebody looks at it" in page


@pytest.mark.parametrize("under", ["k02", "k03"])
def test_points_given_in_part_settle_the_file_and_say_so(anothers: ClassRoom, under: str) -> None:
    decide(anothers, f"{under},grey-steps,partial,40,printed together,they told me")
    found = marked(anothers)
    assert in_gradebook(found, under) == ("40.00", "given")
    head, *lines = gradebook_text(found.results, usual_mapping(found.results)).splitlines()
    assert head.split(",")[3:6] == ["grey-steps points", "grey-steps status", "grey-steps reason"]
    assert next(line for line in lines if line.startswith(under)).split(",")[5] == "printed together"
    page = page_of(found, under)
    assert "decided: these points were given by a person" in page
    assert "40 points given by a person: printed together" in page
    assert "they told me" not in page
    still = "your marks do not wait for it, and somebody still looks at whose it is"
    assert (still if under == "k02" else "somebody has looked at it") in page
    assert ("somebody has looked at it" in page) == (under == "k03")
    assert "somebody has to look" not in page
    whole = class_page(found)
    waits_for_the_other(found, under)
    assert "decided: points given" in whole
    assert "they told me" in whole


@pytest.mark.parametrize("under", ["k02", "k03"])
def test_opened_again_it_waits_for_the_learner_and_is_used_up_by_what_comes(anothers: ClassRoom, under: str) -> None:
    decide(anothers, f"{under},grey-steps,re-open,,with your own name")
    before = marked(anothers)
    assert in_gradebook(before, under) == ("", "open-again")
    assert "one more evening may be handed in: with your own name." in page_of(before, under)
    waits_for_the_other(before, under)
    anothers.hand(under, f"again_{under}_2.evening", (7.5,), seed=9, received=DUE - 60)
    after = marked(anothers)
    assert in_gradebook(after, under)[1] == "marked"
    page = page_of(after, under)
    assert f"used up by again_{under}_2.evening: with your own name." in page
    assert "may be handed in" not in page
    assert f"was opened again, used up by again_{under}_2.evening" in class_page(after)


def test_a_second_file_after_a_re_opening_waits_again(anothers: ClassRoom) -> None:
    decide(anothers, "k03,grey-steps,re-open")
    marked(anothers)  # the decision is read, and what lay there then came before it
    anothers.hand("k03", "up_k02_10.evening", (7.0,), seed=9, received=DUE - 60)
    found = marked(anothers)
    assert "up_k02_10.evening, handed in by" in class_page(found)
    assert "up_k02_9.evening, handed in by" not in class_page(found)


def test_a_damaged_evening_opened_again(tmp_path: Path) -> None:
    room = room_with(tmp_path, attempts=1)
    broken = room.hand("k01", "a_k01_1.evening", (7.5,))
    cut = broken.read_bytes()[:-40]
    broken.write_bytes(cut)
    decide(room, "k01,grey-steps,re-open")
    (room.box / "a_k01_1.evening").touch()
    listed = "file,received,uploader\na_k01_1.evening,2026-11-20T10:00:00Z,k01\n"
    (room.folder / "list.csv").write_text(listed, "utf-8")
    text = room.course.read_text("utf-8").replace('review = "review.csv"', 'review = "review.csv"\nreceived = "list.csv"')
    room.course.write_text(text, "utf-8")
    assert row_of(marked(room), "k01").status == "open-again"
    second = room.hand("k01", "b_k01_2.evening", (7.5,), seed=4, received=DUE - 60)
    second.write_bytes(second.read_bytes()[:-30])
    (room.folder / "list.csv").write_text(listed + "b_k01_2.evening,2026-11-22T10:00:00Z,k01\n", "utf-8")
    assert row_of(marked(room), "k01").status == "tampered"  # used up, and damaged once more: somebody has to look
    decide(room, "k01,grey-steps,re-open,,,,2026-11-23T10:00:00Z")
    assert row_of(marked(room), "k01").status == "open-again"  # that one was decided about as well
    decide(room, "k01,grey-steps,re-open,,,,yesterday")
    with pytest.raises(OutsideError, match="when: must be a time such as"):
        read_batch(room.box, room.course)


BAD = {"empty": b"", "too large": b" " * (8 * 1024 * 1024 + 1), "no evening": b"\xff\xfe\x00"}


@pytest.mark.parametrize("content", BAD.values(), ids=BAD.keys())
@pytest.mark.parametrize("name", ["up_k02_9.evening", "k02_grey-steps_1.jsonl", "k02-x.evening", "k02/1.evening"])
def test_what_cannot_be_read_stands_with_whose_name_is_on_it(tmp_path: Path, content: bytes, name: str) -> None:
    room = room_with(tmp_path, 'uploader_in = "*_{id}_*"' if name[:2] == "up" else "")
    (room.box / name).parent.mkdir(exist_ok=True)
    (room.box / name).write_bytes(content)
    found = marked(room)
    page = page_of(found, "k02")
    assert "nothing handed in" not in page
    assert "the file cannot be read" in page
    assert "Somebody looks at what you handed in" in page
    assert name in page
    queue = class_page(found).split("The whole class")[0]
    assert "Place κ02 (k02)" in queue
    assert "for grey-steps: partial, re-open or excused under k02" in queue
    if not content:
        assert f"{name}: the file is empty" in page
    assert "1970" not in page
    assert in_gradebook(found, "k02") == ("", "unreadable")
    assert row_of(found, "k02").reasons[0]
    decide(room, "k02,grey-steps,partial,30,the upload failed")
    assert in_gradebook(marked(room), "k02") == ("30.00", "given")


def test_where_not_even_the_exercise_can_be_told_the_page_says_what_came(tmp_path: Path) -> None:
    room = room_with(tmp_path)
    other = room.folder / "more-steps"
    other.mkdir()
    (other / "exercise.toml").write_text((room.folder / "grey-steps" / "exercise.toml").read_text("utf-8"), "utf-8")
    room.course.write_text(room.course.read_text("utf-8") + '\n[[exercise]]\nfolder = "more-steps"\n', "utf-8")
    (room.box / "up_k02_9.evening").write_bytes(b"")
    (room.box / "more-steps_k01_9.evening").write_bytes(b"")
    found = marked(room)
    assert [row.status for row in found.results.rows if row.learner == "k01"] == ["missing", "unreadable"]
    page = page_of(found, "k02")
    assert "up_k02_9.evening came in from you and cannot be marked" in page
    assert "which exercise it is for cannot be told from it" in page
    assert "nothing handed in" not in page
    assert "nothing has come in that could be marked" in page
    assert "Place κ02 (k02)" in class_page(found).split("The whole class")[0]
    assert found.set_aside == {"k02"}


def test_what_systems_leave_lying_is_nobodys_work(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="")
    (room.box / "k02").mkdir()
    (room.box / "k02" / ".left").write_bytes(b"x")
    (room.box / "k03").mkdir()
    found = marked(room)
    assert {row.status for row in found.results.rows} == {"missing"}
    assert [(one.file, one.learner) for one in found.results.unplaced] == [("k02/.left", ""), ("k03", "")]


def test_a_name_that_the_pattern_does_not_fit_is_found(tmp_path: Path) -> None:
    room = room_with(tmp_path)
    room.hand("k01", "up_k01_1.evening")
    room.hand("k02", "whatever.evening")
    batch = read_batch(room.box, room.course)
    (one,) = list_findings(batch.received, batch.files, False, batch.course.uploader_in)
    assert one.kind == "uploader not known"
    assert "whatever.evening is not named as uploader_in says (*_{id}_*)" in one.words
    assert "nothing says but the file itself" in one.words
    (hidden,) = list_findings(batch.received, batch.files, True, batch.course.uploader_in)
    assert hidden.words == "1 file"


def test_accepting_where_nothing_waits_is_found(tmp_path: Path) -> None:
    room = room_with(tmp_path)
    decide(room, "k01,grey-steps,accept")
    found = marked(room)
    said = [one.words for one in findings(found.results, usual_mapping(found.results), (), []) if one.kind == "not settled"]
    assert said == ["k01, grey-steps: accepted, but nothing of theirs waits there"]


def test_states_stand_on_pages_as_words(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="")
    room.hand("k01", "first.evening", (7.5,), opening={"exercise_version": 9})
    room.hand("k01", "second.evening", (7.5,), seed=4)
    found = marked(room)
    page = page_of(found, "k01") + class_page(found)
    assert "first.evening: needs a person:" in page
    for word in ("needs-person", "out-of-range", "open-again"):
        assert word not in page


def test_a_used_re_opening_of_an_exam_says_so(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="", exam=True)
    room.hand("k01", "first.evening", (3.0,), seed=3)
    decide(room, "k01,grey-steps,re-open,,the lamp failed")
    assert "one more evening may be handed in: the lamp failed." in page_of(marked(room), "k01")
    room.hand("k01", "second.evening", (7.5,), received=DUE - 60, seed=4)
    page = page_of(marked(room), "k01")
    assert "used up by second.evening: the lamp failed." in page
    assert "may be handed in" not in page


WINDOWS = """
[[criterion]]
name = "in-time"
kind = "time-window"
least_s = 8.0
most_s = 15.0
points = 2.0

[[criterion]]
name = "for-the-hand"
kind = "each-time"
least_s = 5.0
points = 1.0
"""


def test_a_window_of_time_shows_both_its_ends(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="")
    with (room.folder / "grey-steps" / "exercise.toml").open("a", encoding="utf-8") as file:
        file.write(WINDOWS)
    room.hand("k01", times=(10.0,), opening={"exercise_digest": ""})
    room.hand("k02", times=(3.0,), opening={"exercise_digest": ""})
    found = marked(room)
    inside, short = page_of(found, "k01"), page_of(found, "k02")
    for page, took in ((inside, "10.00 s"), (short, "3.00 s")):
        assert f"8.00 to 15.00 s {took}" in page
        assert f"5.00 or more s {took}" in page


def test_what_is_not_given_out_is_in_no_total_and_the_page_says_so(tmp_path: Path) -> None:
    room = room_with(tmp_path, keys="")
    for name in ("more-steps", "held-steps"):
        (room.folder / name).mkdir()
        text = (room.folder / "grey-steps" / "exercise.toml").read_text("utf-8")
        (room.folder / name / "exercise.toml").write_text(text.replace("Grey steps", f"The {name}"), "utf-8")
    more = '\n[[exercise]]\nfolder = "more-steps"\n\n[[exercise]]\nfolder = "held-steps"\nexam = true\n'
    room.course.write_text(room.course.read_text("utf-8") + more, "utf-8")
    for name in ("grey-steps", "more-steps", "held-steps"):
        room.hand("k01", f"k01_{name}_1.evening", (7.5,), opening={"exercise": name})
    found = marked(room)
    rows = {row.exercise: row for row in found.results.rows if row.learner == "k01"}
    assert rows["held-steps"].points is not None
    so_far = (rows["grey-steps"].points or 0.0) + (rows["more-steps"].points or 0.0)
    whole, mine = class_page(found), page_of(found, "k01")
    assert f"{points_text(so_far)} of 200" in whole
    assert f"{points_text(so_far)} of 200 points in all. Not counted yet: The held-steps." in mine
    assert "of 100, not given out yet, in no total" in whole
    assert "Totals are of what counts so far, without The held-steps, whose marks are not given out yet" in whole
    assert "*" not in whole
    decide(room, "k01,more-steps,partial,70,as agreed")
    assert "* points given by a person." in class_page(marked(room))
