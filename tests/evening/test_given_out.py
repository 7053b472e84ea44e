"""What was given out to whoever works here: a bundle as it came, an examination's evenings that count, logs that are ours."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sim.evening.assignment import ASSIGNMENT_FILE, TASK_FILE, Assignment, assignment_in, read_assignment
from sim.evening.given_out import (
    evenings_begun,
    is_given_out,
    keep_begun,
    keep_given_out,
    negatives_given_out,
    refuse_another_evening,
)
from sim.evening.log import append_line, read_log, refuse_foreign
from sim.reading import OutsideError
from sim.refusals import Refused

EXAM = Assignment("autumn", "two-tones", "ada", ("bowl~k1", "cup~k2"), attempts=2, exam=True)
TASK = 'format = 1\ntitle = "Two tones"\n'


def bundle(folder: Path, one: Assignment, task: str = TASK) -> Path:
    sealed = replace(one, seal=one.sealed_with(task))
    lines = [f'{key} = "{getattr(sealed, key)}"' for key in ("course", "exercise", "learner", "due", "seal")]
    negatives = ", ".join(f'"{name}"' for name in sealed.negatives)
    lines += [f"negatives = [{negatives}]", f"attempts = {sealed.attempts}", f"exam = {str(sealed.exam).lower()}"]
    (folder / ASSIGNMENT_FILE).write_text("\n".join(["format = 1", *lines]), encoding="utf-8")
    (folder / TASK_FILE).write_text(task, encoding="utf-8")
    return folder


def test_a_bundle_is_read_as_it_came_and_a_word_changed_in_either_file_is_refused(tmp_path: Path) -> None:
    folder = bundle(tmp_path, EXAM)
    assert replace(read_assignment(folder), seal="") == EXAM
    (folder / TASK_FILE).write_text(TASK.replace("\n", "\r\n"), encoding="utf-8", newline="")
    assert read_assignment(folder).evenings == 2
    (folder / TASK_FILE).write_text(TASK.replace("Two", "Ten"), encoding="utf-8")
    with pytest.raises(OutsideError, match="as given out"):
        read_assignment(folder)
    given = bundle(tmp_path, EXAM) / ASSIGNMENT_FILE
    given.write_text(given.read_text("utf-8").replace("attempts = 2", "attempts = 9"), encoding="utf-8")
    with pytest.raises(OutsideError, match="as given out"):
        assignment_in(folder)


def test_a_folder_without_an_assignment_holds_none(tmp_path: Path) -> None:
    assert assignment_in(tmp_path) is None


def test_an_examinations_evenings_are_counted_wherever_they_lie_and_each_once(tmp_path: Path) -> None:
    first, second = tmp_path / "one.jsonl", tmp_path / "two.jsonl"
    refuse_another_evening(tmp_path, EXAM)
    for log in (first, first, second):
        refuse_another_evening(tmp_path, EXAM)
        keep_begun(tmp_path, EXAM, log)
    assert [one.log for one in evenings_begun(tmp_path, EXAM)] == [str(first), str(second)]
    with pytest.raises(Refused, match="2 of 2"):
        refuse_another_evening(tmp_path, EXAM)
    for other in (replace(EXAM, learner="learner-2"), replace(EXAM, exercise="three-tones"), replace(EXAM, course="spring")):
        refuse_another_evening(tmp_path, other)
        assert evenings_begun(tmp_path, other) == ()


def test_of_practice_no_evening_is_counted(tmp_path: Path) -> None:
    practice = replace(EXAM, exam=False)
    assert practice.evenings == 0
    assert replace(EXAM, attempts=0).evenings == 1
    keep_begun(tmp_path, practice, tmp_path / "one.jsonl")
    assert evenings_begun(tmp_path, practice) == ()
    assert not list(tmp_path.iterdir())
    refuse_another_evening(tmp_path, practice)


def test_negatives_given_out_are_known_with_their_variants_once_and_the_last_of_many(tmp_path: Path) -> None:
    assert negatives_given_out(tmp_path) == ()
    keep_given_out(tmp_path, EXAM)
    keep_given_out(tmp_path, replace(EXAM, negatives=("cup~k2", "loaf")))
    assert negatives_given_out(tmp_path) == ("bowl~k1", "cup~k2", "loaf")
    assert is_given_out("bowl", negatives_given_out(tmp_path))
    assert is_given_out("bowl~other", negatives_given_out(tmp_path))
    assert not is_given_out("bowls", negatives_given_out(tmp_path))
    for k in range(0, 400, 10):
        keep_given_out(tmp_path, replace(EXAM, negatives=tuple(f"n{k + i}" for i in range(10))))
    known = negatives_given_out(tmp_path)
    assert len(known) >= 200
    assert known == tuple(f"n{k}" for k in range(400 - len(known), 400))


@pytest.mark.parametrize(
    ("begun", "ours"),
    [
        ('{"data":', True), ('{"da', True), ('{ "data" : {"pa', True), ("", True), ("name,points\n", False),
        ('{"version": 2}', False),
    ],
)  # fmt: skip
def test_a_log_torn_in_its_first_line_is_gone_on_with_and_another_file_is_left_as_it_is(
    begun: str, ours: bool, tmp_path: Path
) -> None:
    file = tmp_path / "evening.jsonl"
    file.write_text(begun, encoding="utf-8")
    if ours:
        refuse_foreign(file)
    else:
        with pytest.raises(OutsideError, match="a file of another kind"):
            refuse_foreign(file)
    assert file.read_text("utf-8") == begun


def test_a_new_file_and_a_log_with_lines_are_no_strangers(tmp_path: Path) -> None:
    file = tmp_path / "evening.jsonl"
    refuse_foreign(file)
    assert not file.exists()
    append_line(file, "opened", {"paper": "glossy-rc-vc", "sheets": 10, "minutes": 90.0, "seed": 3}, None)
    refuse_foreign(file)
    assert len(read_log(file).lines) == 1
