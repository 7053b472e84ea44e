"""Who handed it in, when, and how much time they had: lists that disagree, extensions, days of grace."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from at_once import AtOnce, marked, row_of
from class_room import COURSE, DUE, ClassRoom, class_room

from sim.command.main import main
from sim.evening.assignment import read_assignment
from sim.marking.batch import mark_batch, read_batch
from sim.marking.feedback_page import feedback_text
from sim.marking.handed_files import HandedFile
from sim.marking.outputs import hand_back
from sim.marking.preflight import list_findings
from sim.marking.roster import Learner
from sim.marking.who_handed_in import not_by_its_learner
from sim.reading import OutsideError

DAY = 86_400
LIST = """file,received,uploader
k01.evening,2026-12-01T17:00:00Z,k01
k02.evening,2026-12-01T17:00:00Z,K02@KILN.example
for-k03.evening,2026-12-01T17:00:00Z,k04
gone.evening,2026-12-01T17:00:00Z,k03
nobodys.evening,2026-12-01T17:00:00Z,someone else
"""


def with_keys(room: ClassRoom, **keys: str) -> ClassRoom:
    """Write the course file anew, with keys of the course and its only exercise changed."""
    text = COURSE.replace("{variants}", "false")
    for key, value in keys.items():
        text = text.replace('time_zone = "UTC"', f'time_zone = "UTC"\n{key} = {value}')
    room.course.write_text(text, "utf-8")
    return room


@pytest.fixture(scope="module")
def listed(tmp_path_factory: pytest.TempPathFactory) -> ClassRoom:
    """A class of which one handed in for another, one file is not listed, and a name of the list is nowhere."""
    room = class_room(tmp_path_factory.mktemp("listed") / "course")
    for learner in ("k01", "k02"):
        room.hand(learner, times=(8.0,))
    room.hand("k03", "for-k03.evening", (8.0,))
    room.hand("k04", "unlisted.evening", (8.0,))
    room.hand("k04", "nobodys.evening", (7.5,))
    (room.folder / "received.csv").write_text(LIST, "utf-8")
    return with_keys(room, received='"received.csv"')


def test_a_file_handed_in_by_somebody_else_waits_for_a_person(listed: ClassRoom) -> None:
    found = marked(listed)
    assert [row_of(found, one).status for one in ("k01", "k02", "k03")] == ["marked", "marked", "needs-person"]
    stray = {one.file: (one.status, one.reasons) for one in found.results.unplaced}
    assert stray == {
        "for-k03.evening": ("needs-person", ["it says that it is the work of 'k03', but 'k04' handed it in"]),
        "nobodys.evening": ("needs-person", ["it says that it is the work of 'k04', but 'someone else' handed it in"]),
    }
    assert row_of(found, "k04").attempts[0].file == "unlisted.evening"


def test_a_page_that_would_call_such_work_missing_is_not_handed_back_yet(listed: ClassRoom, tmp_path: Path) -> None:
    found, out, back = marked(listed), tmp_path / "out", tmp_path / "back"
    for learner in ("k01", "k02", "k03", "k04"):
        (out / "pages").mkdir(parents=True, exist_ok=True)
        (out / "pages" / f"{learner}.html").write_text(learner)
    # k04 has work that counts, and somebody else handed in more that says it is theirs: that may still change their mark
    assert hand_back(found.results, out, back, set_aside=found.set_aside) == (["k01", "k02"], ["k03", "k04"])
    assert not (back / "k04.html").exists()
    assert not (back / "k03.html").exists()


def test_codes_do_not_say_who_it_was(listed: ClassRoom) -> None:
    found = marked(listed, hide_names=True)
    assert {tuple(one.reasons) for one in found.results.unplaced} == {
        ("it says that it is the work of another learner, but somebody else handed it in",)
    }


def test_list_and_folder_are_held_against_each_other(listed: ClassRoom) -> None:
    batch = read_batch(listed.box, listed.course)
    found = {(one.kind, one.words) for one in list_findings(batch.received, batch.files, False)}
    assert found == {
        ("not in the folder", "gone.evening stands in the list of what came in"),
        ("not in the list", "unlisted.evening came when its own clock says"),
    }
    hidden = list_findings(batch.received, batch.files, True)
    assert {(one.kind, one.words) for one in hidden} == {("not in the folder", "1 file"), ("not in the list", "1 file")}
    assert list_findings(None, batch.files, False) == []


def test_a_late_rule_that_spares_a_stranger_is_an_error(tmp_path: Path) -> None:
    room = class_room(tmp_path / "course")
    room.course.write_text(room.course.read_text("utf-8").replace("exempt = []", 'exempt = ["k01", "k0l"]'), "utf-8")
    with pytest.raises(OutsideError, match=r"exercise\[0\]\.late\.exempt: must name learners of the course, got 'k0l'"):
        read_batch(room.box, room.course)
    assert main(["assign", str(room.course), "-o", str(tmp_path / "b")]) == 2


@pytest.fixture(scope="module")
def given_time(tmp_path_factory: pytest.TempPathFactory) -> ClassRoom:
    room = class_room(tmp_path_factory.mktemp("time") / "course")
    room.hand("k01", times=(8.0,), received=DUE + 2 * DAY)
    room.hand("k02", times=(8.0,), received=DUE + 2 * DAY)
    (room.folder / "more.csv").write_text(
        "learner,exercise,due,reason\nk01,grey-steps,2026-12-04T18:00,a letter from the doctor\n", "utf-8"
    )
    return with_keys(room, extensions='"more.csv"')


def test_an_extension_is_a_due_time_of_ones_own(given_time: ClassRoom, tmp_path: Path) -> None:
    found = marked(given_time)
    assert [(row_of(found, one).status, row_of(found, one).own_due) for one in ("k01", "k02")] == [
        ("marked", "2026-12-04T18:00:00"), ("late", ""),
    ]  # fmt: skip
    assert row_of(found, "k01").points == pytest.approx((row_of(found, "k02").points or 0) / 0.8, abs=0.02)
    page = feedback_text(found.results, "k01", found.marked)
    assert "Due 2026-12-04 18:00 for you (UTC)" in page
    assert "doctor" not in page
    assert main(["assign", str(given_time.course), "-o", str(tmp_path)]) == 0
    dues = [read_assignment(tmp_path / one / "grey-steps").due for one in ("k01", "k02")]
    assert dues == ["2026-12-04 18:00 (UTC)", "2026-12-01 18:00 (UTC)"]


BAD_EXTENSIONS = ("k09,grey-steps,2026-12-04T18:00", "k01,other,2026-12-04T18:00", "k01,grey-steps,2026-12-04T18:00+01:00",
                  "k01,grey-steps,soon", "k01,grey-steps,2026-12-04\nk01,grey-steps,2026-12-05")  # fmt: skip


@pytest.mark.parametrize("row", BAD_EXTENSIONS, ids=range(len(BAD_EXTENSIONS)))
def test_a_bad_extension_is_refused_by_line(row: str, tmp_path: Path) -> None:
    room = with_keys(class_room(tmp_path / "course"), extensions='"more.csv"')
    (room.folder / "more.csv").write_text(f"learner,exercise,due\n{row}\n", "utf-8")
    with pytest.raises(OutsideError, match=r"line [23]"):
        read_batch(room.box, room.course)


def test_days_of_grace_are_spent_in_the_order_of_the_due_times(tmp_path: Path) -> None:
    room = with_keys(class_room(tmp_path / "course", roster=("k01", "k02")), days_of_grace="3")
    other = room.folder / "more-steps"
    other.mkdir()
    (other / "exercise.toml").write_text((room.folder / "grey-steps" / "exercise.toml").read_text("utf-8"), "utf-8")
    earlier = '\n[[exercise]]\nfolder = "more-steps"\ndue = 2026-11-24T18:00:00\n[exercise.late]\npercent_per_day = 10.0\n'
    room.course.write_text(room.course.read_text("utf-8") + earlier, "utf-8")
    room.hand("k01", "first.evening", (8.0,), received=DUE - 7 * DAY + 1.5 * DAY, opening={"exercise": "more-steps"})
    room.hand("k01", "second.evening", (8.0,), received=DUE + 2.5 * DAY)
    room.hand("k02", times=(8.0,), received=DUE + 0.1 * DAY)
    found = mark_batch(read_batch(room.box, room.course), tmp_path / "out", AtOnce()).results
    rows = {(row.learner, row.exercise): row for row in found.rows}
    assert [rows["k01", one].late.grace_days for one in ("more-steps", "grey-steps")] == [2, 1]  # type: ignore[union-attr]
    assert [rows["k01", one].late.percent for one in ("more-steps", "grey-steps")] == [0.0, 20.0]  # type: ignore[union-attr]
    assert rows["k01", "more-steps"].status == "marked"
    assert rows["k01", "grey-steps"].late.words == (  # type: ignore[union-attr]
        "2.5 days late (day 3 begun), 1 day of grace spent: 20 % of the points taken off"
    )
    assert rows["k02", "grey-steps"].late.percent == 0.0  # type: ignore[union-attr]


def test_blind_pages_tell_no_minute_no_extension_and_no_negative_of_ones_own(given_time: ClassRoom) -> None:
    named, hidden = marked(given_time).results, marked(given_time, hide_names=True).results
    marks = [sorted((row.points or 0, row.status) for row in one.rows) for one in (named, hidden)]
    assert marks[0] == marks[1]
    told = hidden.model_dump_json()
    for word in ("2026-12-03T", "2026-12-04", "for you", "2.0 days", "k01", "k02", "@"):
        assert word not in told, word
    late = next(row for row in hidden.rows if row.status == "late")
    page = feedback_text(hidden, late.learner, lambda content: None)
    assert "late: 20 % of the points taken off" in page
    assert "12-03" not in page
    assert "late_s" in told


@pytest.mark.parametrize(("uploader", "found"), [
    ("K01", ""), ("k01", ""), ("K02", "K02"), ("k02", "k02"), ("ONE@kiln.example", ""), ("two@kiln.example", "K02 or k02"),
    ("nobody", "nobody"), ("", ""),
])  # fmt: skip
def test_an_uploader_is_known_however_the_id_is_written_and_a_shared_address_is_nobodys(uploader: str, found: str) -> None:
    learners = [Learner("K01", email="one@kiln.example"), Learner("K02", email="two@kiln.example"),
                Learner("k02", email="Two@kiln.example")]  # fmt: skip
    file = HandedFile(Path("one"), "c", datetime.now(UTC), learner="K01", uploader=uploader)
    assert not_by_its_learner([file], learners) == ({Path("one"): found} if found else {})


def test_a_shared_address_is_not_taken_for_either_of_those_who_have_it() -> None:
    learners = [Learner(one, email="both@kiln.example") for one in ("k01", "k02")]
    for one in ("k01", "k02"):
        file = HandedFile(Path("one"), "c", datetime.now(UTC), learner=one, uploader="both@kiln.example")
        assert not_by_its_learner([file], learners) == {Path("one"): "k01 or k02"}
