"""What a learner who cannot program tries at an examination: other folders, an editor, and the program's own verbs."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from class_room import COURSE, ClassRoom, class_room

from sim.command.main import main
from sim.evening.assignment import read_assignment
from sim.evening.given_out import evenings_begun
from sim.marking.pages import file_name
from sim.printing.record_file import write_record

FIRST = "predict right\nprint time=4\nsee right\nwhy exposure\n"
KEY = "0123456789abcdef"


@pytest.fixture(scope="module")
def given(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A course of one examination, and a learner's bundle on a negative of their own."""
    folder = tmp_path_factory.mktemp("given")
    room = class_room(folder / "course", roster=("k01", "k02"))
    file = room.folder / "grey-steps" / "exercise.toml"
    file.write_text(file.read_text("utf-8").rpartition("\n[[criterion]]")[0], "utf-8")  # one grey, which any variant gives
    room.course.write_text(COURSE.replace("{variants}", "true").replace("attempts = 3\n", "exam = true\n"), "utf-8")
    (room.folder / "grey-steps" / "brief.md").write_text("# Grey steps\n\n1. Print the grey.\n", "utf-8")
    assert main(["assign", str(room.course), "-o", str(folder / "bundles"), "--learner", "k01"]) == 0
    return folder


@pytest.fixture
def bundle(given: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """The bundle, with the course beside it, for one test."""
    shutil.copytree(given, tmp_path, dirs_exist_ok=True)
    capsys.readouterr()
    return tmp_path / "bundles" / "k01" / "grey-steps"


def lesson(bundle: Path, here: Path, *more: str, lines: str = FIRST) -> int:
    (here / "do").write_text(lines)
    words = ["lesson", "--folder", str(bundle), "--do", str(here / "do"), "--keep", str(here / "kept")]
    return main([*words, "--pictures", str(here / "p"), *more])


def test_what_is_off_is_not_called_right(bundle: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert lesson(bundle, tmp_path) == 0
    said = capsys.readouterr().out
    assert "step 9 is lighter than wanted" in said
    assert "within its tolerance" not in said
    assert "ask for nothing more" not in said
    assert "the rest is yours to judge" in said


def test_there_is_one_evening_wherever_its_log_lies(
    bundle: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log = tmp_path / "mine.log"
    assert lesson(bundle, tmp_path, "--log", str(log)) == 0
    copy = shutil.copytree(bundle, tmp_path / "copies" / "of-it")
    for folder, more in ((bundle, ()), (bundle, ("--new",)), (copy, ()), (copy, ("--log", str(tmp_path / "other.log")))):
        assert lesson(folder, tmp_path, *more) == 2
        assert f"1 of 1 was begun; go on with it, in {log}" in capsys.readouterr().err
    assert not (tmp_path / "other.log").exists()
    assert lesson(bundle, tmp_path, "--log", str(log), lines="predict right\n") == 0


def test_what_a_person_opens_again_is_one_evening_more_and_no_two(
    bundle: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert lesson(bundle, tmp_path) == 0
    course = tmp_path / "course" / "course.toml"
    course.write_text(course.read_text("utf-8").replace("[[exercise]]", 'review = "review.csv"\n[[exercise]]'), "utf-8")
    (tmp_path / "course" / "review.csv").write_text("learner,exercise,decision\nk01,grey-steps,re-open\n", "utf-8")
    assert main(["assign", str(course), "-o", str(bundle.parents[1])]) == 0
    others = bundle.parents[1] / "k02" / "grey-steps"
    assert [read_assignment(one).evenings for one in (bundle, others)] == [2, 1]
    assert lesson(bundle, tmp_path, "--new") == 0
    assert len(evenings_begun(tmp_path / "kept", read_assignment(bundle))) == 2
    capsys.readouterr()
    assert lesson(bundle, tmp_path, "--new") == 2
    assert "2 of 2 was begun" in capsys.readouterr().err


EDITED = {
    "exam": ("assignment.toml", "exam = true", "exam = false"), "sheets": ("exercise.toml", "sheets = 6", "sheets = 60"),
    "tolerance": ("exercise.toml", "tolerance_density = 0.05", "tolerance_density = 0.5"),
    "seal": ("assignment.toml", "seal = ", "# seal = "),
}  # fmt: skip


@pytest.mark.parametrize("case", EDITED)
def test_a_bundle_changed_with_an_editor_is_not_opened(
    case: str, bundle: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    name, old, new = EDITED[case]
    text = (bundle / name).read_text("utf-8")
    assert old in text
    (bundle / name).write_text(text.replace(old, new), "utf-8")
    assert lesson(bundle, tmp_path) == 2
    assert "seal: must fit assignment.toml and exercise.toml as given out" in capsys.readouterr().err


def test_other_ends_of_lines_change_nothing(bundle: Path, tmp_path: Path) -> None:
    for file in (bundle / "exercise.toml", bundle / "assignment.toml"):
        file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    assert lesson(bundle, tmp_path, lines="predict right\n") == 0


def test_a_bundle_without_its_assignment_is_not_opened(
    bundle: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (bundle / "assignment.toml").unlink()
    assert lesson(bundle, tmp_path) == 2
    assert "was given out in a course, but holds no assignment.toml" in capsys.readouterr().err


def test_no_verb_prints_a_learners_own_negative_outside_its_evening(
    bundle: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (name,) = read_assignment(bundle).negatives
    record = tmp_path / "print.json"
    room = ClassRoom(tmp_path / "course", class_room(tmp_path / "other").exercise)
    write_record(record, room.record(8.0, name))
    (bundle / "assignment.toml").unlink()
    (bundle / "hints.md").write_text("# H\n")
    (bundle / "design.md").write_text("# D\n")
    tries = [[verb, "--negative", name] for verb in ("print", "strip", "ring", "meter", "reach")]
    tries += [["print", str(record)], ["derive", str(bundle)], ["check", str(bundle)]]
    tries += [["author", str(tmp_path / "x"), "--negative", name], ["author", str(tmp_path / "x"), "--goal", str(record)]]
    for words in tries:
        assert main(words) == 2, words
        assert "was given out in a course" in capsys.readouterr().err
    assert not (bundle / "derived").exists()
    assert not (tmp_path / "x").exists()


def test_a_lessons_own_second_negative_is_nobodys(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["meter", "--negative", "step-wedge~second"]) == 0
    assert main(["meter", "--negative", f"step-wedge~{KEY}"]) == 2
    assert main(["meter", "--negative", f"step-wedge~{KEY}0"]) == 0  # a key of another length is no learner's


@pytest.mark.parametrize("name", ["-k02", "--jobs", "../k03", "-.-x", "-"])
def test_no_folder_or_page_is_called_as_an_option_is(name: str) -> None:
    assert not file_name(name).startswith(("-", "."))
    assert file_name(name) != file_name(name + "x")
