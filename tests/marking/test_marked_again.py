"""Marking again: a new version of an exercise, marks that change shown first, a blind marker's points, reasons for whom."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from at_once import here, marked, row_of
from class_room import EXERCISE, SECRET, ClassRoom, class_room
from test_who_handed_in import with_keys

from sim.command.main import main
from sim.marking import course_run
from sim.marking.batch import read_batch
from sim.marking.class_page import class_text
from sim.marking.feedback_page import feedback_text
from sim.marking.regrade import changes_in_words, changes_of
from sim.marking.roster import anonymous_code, is_code
from sim.marking.similar_work import signs_in
from sim.reading import OutsideError

EASIER = EXERCISE.replace("version = 1", "version = 2").replace("tolerance_density = 0.05", "tolerance_density = 0.08", 1)
CODE = anonymous_code("k01", SECRET.strip())


@pytest.fixture
def two(tmp_path: Path) -> ClassRoom:
    room = class_room(tmp_path / "course", roster=("k01", "k02"))
    room.hand("k01", times=(7.0,))
    room.hand("k02", times=(8.0,))
    return room


def mark(room: ClassRoom, *more: str) -> int:
    return main(["mark", str(room.box), "--course", str(room.course), "-o", str(room.folder / "out"), "--jobs", "1", *more])


def test_a_new_version_leaves_evenings_markable_for_whoever_accepts_it(two: ClassRoom) -> None:
    before = marked(two)
    (two.folder / "grey-steps" / "exercise.toml").write_text(EASIER, "utf-8")
    waiting = marked(two)
    assert {row.status for row in waiting.results.rows} == {"needs-person"}
    with_keys(two)
    text = two.course.read_text("utf-8")
    two.course.write_text(text.replace("points = 100.0", "points = 100.0\naccepted_versions = [1]"), "utf-8")
    after = marked(two)
    assert {row.status for row in after.results.rows} == {"marked"}
    assert "version" in row_of(after, "k01").reasons[0]
    changes = changes_of(before.results, after.results)
    assert [one.learner for one in changes] == ["k01"]
    assert (changes[0].difference or 0) > 5
    assert changes_in_words(changes).startswith("1 mark changes: 1 up, 0 down; by +")
    assert row_of(marked(two), "k01").points == row_of(after, "k01").points


def test_signs_stay_where_a_version_was_raised_and_say_under_which(tmp_path: Path) -> None:
    room = class_room(tmp_path / "course", roster=("k01", "k02"))
    for learner in ("k01", "k02"):
        room.hand(learner, times=(5.2, 6.1, 7.9), seed=11)
    before = [(one.what, one.learner, one.other) for one in signs_in(marked(room).results)]
    assert {what for what, _, _ in before} == {"same-light", "same-decisions"}
    (room.folder / "grey-steps" / "exercise.toml").write_text(EASIER, "utf-8")
    waiting = marked(room)
    assert [(one.what, one.learner, one.other) for one in signs_in(waiting.results)] == before
    page = class_text(waiting.results, waiting.marked)
    assert "Grey steps, under version 1" in page
    assert "2 evenings wait unmarked for a person: of such it is told where two are alike" in page


def test_the_command_shows_first_who_changes_by_how_much(
    two: ClassRoom, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(course_run, "chosen_executor", here)
    assert mark(two) == 0
    (two.folder / "grey-steps" / "exercise.toml").write_text(EASIER, "utf-8")
    old = (two.folder / "out" / "results.json").read_bytes()
    table = two.folder / "changes.csv"
    assert mark(two, "--accept-version", "--dry-run", "--changes", str(table)) == 0
    said = capsys.readouterr().out
    assert said.index("Marks that change") < said.index("1 mark changes") < said.index("Dry run")
    assert (two.folder / "out" / "results.json").read_bytes() == old
    (line,) = csv.DictReader(io.StringIO(table.read_text("utf-8"), newline=""))
    assert (line["learner"], line["exercise"]) == ("k01", "grey-steps")
    assert float(line["difference"]) > 5


def test_a_blind_marker_gives_points_by_code(two: ClassRoom, tmp_path: Path) -> None:
    assert is_code(CODE)
    assert not is_code("learner-of-the-month")
    with_keys(two, overrides='"over.csv"')
    table = two.folder / "over.csv"
    table.write_text(f"learner,exercise,points,reason,private\n{CODE},grey-steps,90,the better print,see the mail\n", "utf-8")
    for hide_names in (True, False):
        found = marked(two, hide_names=hide_names)
        assert [row.points for row in found.results.rows if row.override] == [90.0]
    given = row_of(found, "k01").override
    assert given is not None
    assert (given.reason, given.private) == ("the better print", "see the mail")
    page = feedback_text(found.results, "k01", found.marked)
    assert "the better print" in page
    assert "see the mail" not in page
    assert "see the mail" in class_text(found.results, found.marked)
    table.write_text(f"learner,exercise,points,reason\n{CODE},grey-steps,90,a\nk01,grey-steps,80,b\n", "utf-8")
    with pytest.raises(OutsideError, match="by id and by code"):
        read_batch(two.box, two.course)


def test_without_the_secret_a_code_leads_to_nobody(two: ClassRoom) -> None:
    with_keys(two, overrides='"over.csv"')
    (two.folder / "over.csv").write_text(f"learner,exercise,points,reason\n{CODE},grey-steps,90,why\n", "utf-8")
    (two.folder / "course.key").write_bytes(b"another secret of another course")
    assert [row.override for row in marked(two).results.rows] == [None, None]
