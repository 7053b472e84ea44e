"""A new exercise from a few answers reads back, and its goal can be the tones of a print."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.command.main import main
from sim.marking.authoring import Answers, write_new_exercise
from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record_file import write_record
from sim.printing.setup import usual_setup
from sim.reading import OutsideError
from sim.scoring.derived import DERIVED, REFERENCE_FILE, TARGETS_FILE, TRIALS_FILE, read_reference
from sim.scoring.exercise_file import read_exercise
from sim.viewing.densitometer import read_place
from sim.workshop.derive.wishes import read_wishes


@pytest.fixture(scope="module")
def dense(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("authored") / "dense"
    words = ["author", str(folder), "--negative", "parcels-dense-flat", "--unlock", "time_s,filter", "--title", "Dense again"]
    assert main(words) == 0
    return folder


def test_a_few_answers_give_a_folder_that_reads_back(dense: Path) -> None:
    exercise = read_exercise(dense)
    assert (exercise.name, exercise.title, exercise.unlocked) == ("dense", "Dense again", ("time_s", "filter"))
    ends = {place.name for place in find_negative("parcels-dense-flat").places if place.part in ("lightest", "darkest")}
    assert {spot.name for c in exercise.criteria for spot in c.spots} == ends


def test_what_is_written_by_hand_are_wishes_and_what_follows_is_derived(dense: Path) -> None:
    by_hand = {file.relative_to(dense).as_posix() for file in dense.rglob("*") if file.is_file() and DERIVED not in file.parts}
    assert by_hand == {"exercise.toml", "brief.md", "hints.md", "design.md", "trials/too-little-light.toml"}
    wishes = (dense / "exercise.toml").read_text(encoding="utf-8")
    assert "net_density = 0.07" in wishes
    assert "share = 0.9" in wishes
    assert "\ndensity" not in wishes
    assert "size" not in (dense / "trials" / "too-little-light.toml").read_text(encoding="utf-8")
    assert {file.name for file in (dense / DERIVED).iterdir()} >= {REFERENCE_FILE, TARGETS_FILE, TRIALS_FILE}


def test_the_new_reference_prints_to_the_new_targets(dense: Path) -> None:
    exercise, (record,) = read_exercise(dense), read_reference(dense)
    negative = find_negative(record.negative)
    sheet = make_print(negative, record, find_stock(record.sheet.paper))
    for criterion in exercise.criteria:
        measured = read_place(sheet, criterion.spots[0].on(negative))
        assert abs(measured - criterion.wanted) <= criterion.tolerance, criterion.name


def test_reach_proposes_which_light_and_which_card_as_wishes(tmp_path: Path) -> None:
    folder, unlocked = tmp_path / "split", ("time_s", "filter", "cards", "exposures")
    write_new_exercise(folder, Answers("split", "against-the-window", unlocked=unlocked))
    wishes = read_wishes(folder)
    assert len(wishes.filters) == 2
    assert wishes.cards
    areas = {place.name for place in find_negative("against-the-window").places if place.area}
    assert {card.place for card in wishes.cards} <= areas


def test_wishes_that_do_not_hold_are_told_and_nothing_is_derived(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    goal, folder = tmp_path / "goal.json", tmp_path / "done"
    write_record(goal, usual_setup(find_negative("racks-thin"), find_stock("glossy-rc-vc"), time_s=5.0))
    assert main(["author", str(folder), "--goal", str(goal), "--unlock", "time_s", "--start-time", "5"]) == 1
    assert "stop: done: the start does not pass" in capsys.readouterr().out
    assert (folder / "exercise.toml").is_file()
    assert not (folder / DERIVED).exists()


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
