"""What is judged without being announced: learners can open the rest, and marks without it call themselves provisional."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from class_room import EXERCISE, ClassRoom, class_room

from sim.command.main import main
from sim.marking.bundle import bundled_exercise
from sim.marking.course import exercise_of, read_course
from sim.reading import FileRefused
from sim.scoring.exercise_file import read_exercise
from sim.scoring.public_form import wrong_with_public_form

ECONOMY = EXERCISE.replace("economy_points = 1.0", "economy_points = 2.0")  # 2 of 11 points, and 2 of 8 that learners know
ALL_HIDDEN = EXERCISE.replace("points = 6.0", "points = 6.0\nhidden = true")
ON_THE_BENCH = "predict right\nprint time=8\nsee right\nwhy as-planned\nnominate 1\n"


@pytest.fixture(scope="module")
def given(tmp_path_factory: pytest.TempPathFactory) -> ClassRoom:
    room = class_room(tmp_path_factory.mktemp("kept") / "course", roster=("k01",))
    (room.folder / "grey-steps" / "exercise.toml").write_text(ECONOMY, "utf-8")
    (room.folder / "grey-steps" / "brief.md").write_text("# Grey steps\n\n1. Print the grey.\n", "utf-8")
    assert main(["assign", str(room.course), "-o", str(room.folder / "bundles")]) == 0
    return ClassRoom(room.folder, read_exercise(room.folder / "grey-steps"))


def test_points_for_paper_are_a_share_of_the_whole_exercise(given: ClassRoom) -> None:
    bundle = replace(read_exercise(given.folder / "bundles" / "k01" / "grey-steps"), name="grey-steps")
    assert bundle.digest == bundled_exercise(given.exercise, ("step-wedge",)).digest
    assert (bundle.quality_points, bundle.kept_back_points, bundle.economy_points) == (6.0, 3.0, 2.0)
    assert [c.name for c in bundle.criteria] == ["middle-grey"]


def test_an_exercise_that_keeps_nothing_back_has_the_digest_it_had(given: ClassRoom) -> None:
    shown = replace(given.exercise, criteria=given.exercise.criteria[:1])
    assert shown.public() == shown
    assert shown.public().digest == shown.digest
    assert given.exercise.public().digest != replace(given.exercise.public(), kept_back_points=0.0).digest


def test_a_mark_without_what_is_kept_back_says_that_it_is_provisional(
    given: ClassRoom, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "do").write_text(ON_THE_BENCH)
    bundle = given.folder / "bundles" / "k01" / "grey-steps"
    words = ["lesson", "--folder", str(bundle), "--do", str(tmp_path / "do"), "--log", str(tmp_path / "log"),
             "--keep", str(tmp_path / "keep"), "--pictures", str(tmp_path / "p"), "--json"]  # fmt: skip
    assert main(words) == 0
    out = capsys.readouterr().out
    assert "Provisional marks: " in out
    assert "3 points more are judged" in out
    data = json.loads(out[out.rindex("\n{\n") :])
    assert (data["provisional"], data["kept_back_points"], data["full_points"]) == (True, 3.0, 8.0)


def test_what_learners_could_not_open_is_found_before_it_is_given_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    room = class_room(tmp_path / "course", roster=("k01",))
    (room.folder / "grey-steps" / "exercise.toml").write_text(ALL_HIDDEN, "utf-8")
    assert "criterion" in wrong_with_public_form(read_exercise(room.folder / "grey-steps"))
    assert main(["assign", str(room.course), "-o", str(room.folder / "bundles")]) == 2
    assert "learners can open" in capsys.readouterr().err
    assert not (room.folder / "bundles").exists()


def test_the_form_that_learners_get_is_no_exercise_to_be_marked(given: ClassRoom, tmp_path: Path) -> None:
    course = read_course(given.course)
    room = class_room(tmp_path / "course")
    bundle = given.folder / "bundles" / "k01" / "grey-steps" / "exercise.toml"
    (room.folder / "grey-steps" / "exercise.toml").write_text(bundle.read_text("utf-8"), "utf-8")
    assert exercise_of(course, 0)[1] == given.exercise
    with pytest.raises(FileRefused, match="not the form that learners get"):
        exercise_of(read_course(room.course), 0)
