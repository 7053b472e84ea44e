"""An examination: the lesson gives no marks, no hints and no second evening; marks are given out later, with a print beside."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from pathlib import Path

import pytest
from at_once import marked, row_of
from class_room import COURSE, ClassRoom, class_room

from sim.command.main import main
from sim.marking.batch import Outcome
from sim.marking.class_page import class_text
from sim.marking.course import read_course
from sim.marking.feedback_page import feedback_text
from sim.marking.gradebook import gradebook_text, usual_mapping
from sim.printing.record_file import write_record
from sim.reading import OutsideError
from sim.teaching.lesson import LessonRun, NotNow

DONE = "predict right\nhint\nprint time=7.5\nsee right\nwhy exposure\nnominate 1\n"
ON = "predict right\nprint time=8\nsee right\nwhy as-planned\nnominate 2\n"


def as_exam(room: ClassRoom, *keys: str) -> None:
    text = COURSE.replace("{variants}", "false").replace("attempts = 3\n", "exam = true\n" + "".join(f"{k}\n" for k in keys))
    room.course.write_text(text, "utf-8")


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> ClassRoom:
    room = class_room(tmp_path_factory.mktemp("exam") / "course", roster=("k01", "k02"))
    (room.folder / "grey-steps" / "brief.md").write_text("# Grey steps\n\n1. Print the grey.\n", "utf-8")
    (room.folder / "grey-steps" / "hints.md").write_text(
        "# Hints\n\n## Look at\n\nLook.\n\n## Principle\n\nThink.\n\n## Neighbouring case\n\nElsewhere.\n", "utf-8"
    )
    as_exam(room)
    room.hand("k01", times=(7.5,))
    room.hand("k02", times=(8.0,))
    room.hand("k02", "second.evening", times=(7.0,), received=1_796_148_000 - 60, seed=4)
    write_record(room.folder / "own.json", room.record(8.0))
    return room


def lesson(room: ClassRoom, keep: Path, lines: str, *more: str) -> int:
    (keep / "do").write_text(lines)
    bundle = room.folder / "bundles" / "k01" / "grey-steps"
    words = ["lesson", "--folder", str(bundle), "--do", str(keep / "do"), "--keep", str(keep / "kept"), "--json"]
    return main([*words, "--pictures", str(keep / "p"), *more])


def test_the_lesson_gives_neither_marks_nor_hints_nor_a_second_evening(
    room: ClassRoom, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["assign", str(room.course), "-o", str(room.folder / "bundles"), "--learner", "k01"]) == 0
    assert lesson(room, tmp_path, DONE) == 1  # the hint is refused
    said = capsys.readouterr().out
    assert "In an examination there are no hints." in said
    assert "Marks:" not in said
    assert "Quality:" not in said
    assert "marks are given out by whoever teaches" in said
    data = json.loads(said[said.rindex("\n{\n") :])
    assert data["nominated"] == [1]
    assert "points" not in data
    assert lesson(room, tmp_path, "", "--new") == 2
    assert "in an examination evenings are counted, and 1 of 1 was begun; go on with it" in capsys.readouterr().err
    assert lesson(room, tmp_path, ON) == 0  # one goes on with the evening, and may name another sheet
    said = capsys.readouterr().out
    assert json.loads(said[said.rindex("\n{\n") :])["nominated"] == [2]
    (log,) = (tmp_path / "kept" / "evenings").rglob("*.jsonl")
    with LessonRun.open(log, str(room.folder / "bundles" / "k01" / "grey-steps"), name="grey-steps").evening as evening:
        run = LessonRun.over(evening, room.folder / "bundles" / "k01" / "grey-steps", room.exercise)
        assert run.readings(1)[1] == ()
        with pytest.raises(NotNow, match="given out by whoever teaches"):
            run.result()


@pytest.fixture(scope="module")
def held(room: ClassRoom) -> Outcome:
    as_exam(room)
    return marked(room)


def test_until_it_is_given_out_nothing_is_told_but_that_it_came_in(held: Outcome) -> None:
    assert row_of(held, "k01").points is not None
    page = feedback_text(held.results, "k01", held.marked)
    assert "its marks are given out later" in page
    assert "k01.evening" in page
    for word in ("wanted", "Marks:", "What cost most", "Sheet 1", "points</span>", "data:image"):
        assert word not in page.partition("</style>")[2]
    (first, *_) = csv.DictReader(io.StringIO(gradebook_text(held.results, usual_mapping(held.results)), newline=""))
    assert (first["grey-steps points"], first["grey-steps status"], first["total"]) == ("", "marked", "")
    assert "an examination, on no learner" in class_text(held.results, held.marked)


def test_one_evening_counts(held: Outcome) -> None:
    assert [one.note for one in row_of(held, "k02").attempts] == ["", "over the limit of 1 attempts"]


def test_once_given_out_marks_stand_beside_the_instructors_own_print(room: ClassRoom, held: Outcome) -> None:
    as_exam(room, "given_out = true", 'own_print = "own.json"')
    given = marked(room)
    assert given.replayed == 0  # nothing is marked again for that
    page = feedback_text(given.results, "k01", given.marked, given.own_prints)
    assert "Marks:" in page
    assert "The instructor&#39;s own print" in page or "The instructor's own print" in page
    assert len(given.own_prints["grey-steps"]) == 1
    assert "Of step wedge." in page
    other = [replace(one, negative="step-wedge~second") for one in given.own_prints["grey-steps"]]
    told = feedback_text(given.results, "k01", given.marked, {"grey-steps": other})
    assert "Of step wedge (second); yours was another negative of that sleeve." in told  # both are made of the one sleeve


BAD = {
    "given_out = true": "exam = true", "exam = true\nattempts = 2": "must be 1 in an exam",
    'own_print = "x.json"': "exam = true",
}  # fmt: skip


@pytest.mark.parametrize("keys", BAD, ids=range(len(BAD)))
def test_keys_that_cannot_stand_together_are_refused(keys: str, tmp_path: Path) -> None:
    room = class_room(tmp_path / "course")
    room.course.write_text(COURSE.replace("{variants}", "false").replace("attempts = 3", keys), "utf-8")
    with pytest.raises(OutsideError, match=BAD[keys]):
        read_course(room.course)
