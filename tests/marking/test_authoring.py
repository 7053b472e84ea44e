"""A new exercise from a few answers reads back, and its goal can be the tones of a print."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from sim.command.main import main
from sim.marking.authoring import Answers, write_new_exercise
from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record_file import record_from_data, write_record
from sim.printing.setup import usual_setup
from sim.reading import OutsideError
from sim.scoring.exercise_file import read_exercise
from sim.viewing.densitometer import read_place


def test_a_few_answers_give_a_folder_that_reads_back(tmp_path: Path) -> None:
    folder = tmp_path / "shelf-again"
    write_new_exercise(folder, Answers("shelf-again", "morning-shelf", unlocked=("time_s", "filter"), title="Shelf again"))
    exercise = read_exercise(folder)
    assert (exercise.name, exercise.title, exercise.unlocked) == ("shelf-again", "Shelf again", ("time_s", "filter"))
    assert {spot.name for c in exercise.criteria for spot in c.spots} == {"white-cup", "bottle-body"}


def test_the_new_reference_prints_to_the_new_targets(tmp_path: Path) -> None:
    folder = tmp_path / "dense"
    write_new_exercise(folder, Answers("dense", "parcels-dense-flat", unlocked=("time_s", "filter")))
    exercise = read_exercise(folder)
    (data,) = json.loads((folder / "reference.json").read_text())
    record = record_from_data(folder / "reference.json", data)
    negative = find_negative(record.negative)
    sheet = make_print(negative, record, find_stock(record.sheet.paper))
    for criterion in exercise.criteria:
        measured = read_place(sheet, criterion.spots[0].on(negative))
        assert abs(measured - criterion.wanted) <= criterion.tolerance, criterion.name


def test_the_tones_of_a_print_become_the_goal(tmp_path: Path) -> None:
    negative, stock = find_negative("racks-thin"), find_stock("glossy-rc-vc")
    goal = usual_setup(negative, stock, time_s=6.5)
    write_new_exercise(tmp_path / "as-mine", Answers("as-mine", "", places=tuple(p.name for p in negative.places[:3])), goal)
    exercise = read_exercise(tmp_path / "as-mine")
    sheet = make_print(negative, goal, stock)
    for criterion, place in zip(exercise.criteria, negative.places[:3], strict=True):
        assert criterion.wanted == pytest.approx(read_place(sheet, place), abs=0.0051)


def test_the_verb_writes_and_never_over_what_is_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "mine"
    goal = tmp_path / "goal.json"
    negative = find_negative("racks-thin")
    write_record(goal, usual_setup(negative, find_stock("glossy-rc-vc"), time_s=5.0))
    words = ["author", str(folder), "--goal", str(goal), "--unlock", "time_s", "--title", "Mine"]
    assert main(words) == 0
    before = {file: file.read_bytes() for file in folder.rglob("*") if file.is_file()}
    assert main(words) == 2
    assert "must be a new or empty folder" in capsys.readouterr().err
    assert {file: file.read_bytes() for file in folder.rglob("*") if file.is_file()} == before


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        (Answers("x", "morning-shelf", unlocked=("brightness",)), "unlocked must be chosen from"),
        (Answers("x", "no-such-sleeve"), "no-such-sleeve"),
        (Answers("x", "morning-shelf", places=("plaster",)), "lightest or darkest"),
        (Answers("x", "morning-shelf", places=("moon",)), "moon"),
    ],
)
def test_a_wrong_answer_is_refused_in_words_and_leaves_nothing(tmp_path: Path, answers: Answers, words: str) -> None:
    with pytest.raises((ValueError, OutsideError, KeyError), match=words):
        write_new_exercise(tmp_path / "new", answers)
    assert not (tmp_path / "new").exists() or not any((tmp_path / "new").iterdir())
