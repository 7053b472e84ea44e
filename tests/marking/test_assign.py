"""Bundles: every learner a negative of their own, the same on every machine, and no answer in any file."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from at_once import AtOnce
from class_room import EXERCISE, class_room

from sim.command.main import main
from sim.evening.assignment import read_assignment
from sim.marking.assign import Piece, assign, course_tasks, given_before, negatives_for
from sim.marking.bundle import CannotBeDone, learner_negatives, with_densities
from sim.marking.course import read_course
from sim.marking.roster import read_roster
from sim.marking.shards import Shard
from sim.negative.develop import find_negative
from sim.printing.record_file import read_record, record_data, write_record
from sim.reading import OutsideError
from sim.scoring.derived import read_reference
from sim.scoring.exercise_file import find_exercise, read_exercise

SECRET = "a-secret-of-the-test-that-nobody-may-see"
LEARNERS = ("k1", "k2", "Ä/..x", "=cmd")
KEPT_FROM_LEARNERS = "step-7"  # a criterion of the hidden kind is set on this place below


OWN_GOAL = EXERCISE[: EXERCISE.index("[[criterion]]")] + """
[[criterion]]
kind = "tone"
place = { name = "step-9", x = 0.405, y = 0.5, spot_mm = 1.0 }
density = 0.60
points = 6.0

[[criterion]]
kind = "at-least"
place = { name = "step-7", x = 0.310, y = 0.5, spot_mm = 1.0 }
density = 0.9414
hidden = true
points = 2.0

[[criterion]]
kind = "match-print"
places = [
    { name = "step-9", x = 0.405, y = 0.5, spot_mm = 1.0 }, { name = "step-8", x = 0.357, y = 0.5, spot_mm = 1.0 },
]
record = "instructor.json"
points = 3.0
"""


@pytest.fixture(scope="module")
def course_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A course of a lesson and of an exercise whose goal is the instructor's own print: small, for many are made."""
    room = class_room(tmp_path_factory.mktemp("course") / "c")
    folder, own = room.folder, room.folder / "own-goal"
    own.mkdir()
    (own / "exercise.toml").write_text(OWN_GOAL, "utf-8")
    (own / "brief.md").write_text("# Own goal\n\n1. Print it.\n", "utf-8")
    (own / "hints.md").write_text("# Hints\n", "utf-8")
    write_record(own / "instructor.json", room.record(8.0))
    (own / "reference.json").write_text(json.dumps([record_data(room.record(8.0))]), "utf-8")
    (folder / "course.key").write_text(SECRET + "\n")
    rows = (f"{x},Learner Number {n},n{n}@example.org\n" for n, x in enumerate(LEARNERS))
    (folder / "roster.csv").write_text("id,name,email\n" + "".join(rows))
    (folder / "course.toml").write_text(
        'format = 1\ncourse = "c"\ntitle = "C"\nsecret_file = "course.key"\nroster = "roster.csv"\n'
        '[[exercise]]\nfolder = "time-from-a-strip"\ndue = 2026-12-01T18:00:00\nattempts = 3\n'
        '[[exercise]]\nfolder = "own-goal"\nvariants = true\n'
    )
    return folder / "course.toml"


@pytest.fixture(scope="module")
def bundles(course_file: Path) -> Path:
    out = course_file.parent / "bundles"
    course = read_course(course_file)
    assert len(list(assign(course, read_roster(course_file.parent / "roster.csv"), out))) == 2 * len(LEARNERS)
    return out


def test_every_learner_gets_a_negative_of_their_own(course_file: Path, bundles: Path) -> None:
    given = [read_assignment(file.parent) for file in sorted(bundles.rglob("assignment.toml"))]
    assert {one.learner for one in given} == set(LEARNERS)
    names = [name for one in given if one.exercise == "own-goal" for name in one.negatives]
    assert len(set(names)) == len(names) == len(LEARNERS)
    assert len({find_negative(name).digest for name in names}) == len(names)
    first = next(one for one in given if one.exercise == "time-from-a-strip")
    assert (first.due, first.attempts) == ("2026-12-01 18:00 (UTC)", 3)


def test_the_marker_finds_the_same_negatives_from_the_secret_alone(course_file: Path, bundles: Path) -> None:
    course = read_course(course_file)
    for task in course_tasks(course):
        for learner in LEARNERS[1:3]:
            again = negatives_for(task, SECRET.encode(), learner)
            given = [a for f in bundles.rglob("assignment.toml") if (a := read_assignment(f.parent)).learner == learner]
            assert again in [one.negatives for one in given if one.exercise == task.exercise.name]


def test_a_negative_that_was_found_is_not_looked_for_again(
    course_file: Path, bundles: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    course, roster = read_course(course_file), read_roster(course_file.parent / "roster.csv")
    asked: list[str] = []
    monkeypatch.setattr("sim.marking.assign.learner_negatives", lambda exercise, secret, learner: asked.append(learner))
    before = {file: file.read_bytes() for file in bundles.rglob("*.toml")}
    list(assign(course, roster, bundles))
    assert asked == []
    assert {file: file.read_bytes() for file in bundles.rglob("*.toml")} == before


def test_what_a_bundle_says_is_believed_only_when_the_secret_says_so(course_file: Path, bundles: Path, tmp_path: Path) -> None:
    task = course_tasks(read_course(course_file))[1]
    piece = Piece("k1", task, tmp_path / "own-goal")
    shutil.copytree(bundles / "k1" / "own-goal", piece.folder)
    assert given_before(piece, SECRET.encode()) is not None
    assert given_before(piece, b"another secret of another course") is None
    assert given_before(Piece("k2", task, piece.folder), SECRET.encode()) is None
    other = replace(task.exercise, version=2)
    assert given_before(Piece("k1", replace(task, exercise=other), piece.folder), SECRET.encode()) is None


def test_parts_and_helpers_come_to_the_same_bundles(course_file: Path, bundles: Path, tmp_path: Path) -> None:
    course, roster = read_course(course_file), read_roster(course_file.parent / "roster.csv")
    served = [list(assign(course, roster, tmp_path, executor=AtOnce(), shard=Shard(n, 2))) for n in (1, 2)]
    assert sorted(one.learner for part in served for one in part) == sorted(LEARNERS * 2)
    assert all(part for part in served)
    assert all(file.read_bytes() == (bundles / file.relative_to(tmp_path)).read_bytes() for file in tmp_path.rglob("*.toml"))


def test_no_bundle_holds_a_key_an_answer_or_a_hidden_target(course_file: Path, bundles: Path) -> None:
    references = [
        record
        for folder in (find_exercise("time-from-a-strip")[0], course_file.parent / "own-goal")
        for record in read_reference(folder)
    ]
    files = [file for file in bundles.rglob("*") if file.is_file()]
    texts = {"brief.md", "hints.md", "brief.de.md", "hints.de.md"}
    assert {file.name for file in files} == {"exercise.toml", "assignment.toml"} | texts
    for file in files:
        text = file.read_text()
        assert SECRET not in text
        assert "0.9414" not in text
        assert KEPT_FROM_LEARNERS not in text or file.parent.name != "own-goal" or file.name != "exercise.toml"
        assert "instructor.json" not in text
        assert "hidden = true" not in text
        assert "Learner Number" not in text
        assert "example.org" not in text
    for file in bundles.rglob("exercise.toml"):
        exercise = read_exercise(file.parent)
        assert exercise.goals == ()
        assert all(not criterion.hidden for criterion in exercise.criteria)
        answers = {record.exposures[0].time_s for record in references}
        assert exercise.start.time_s not in answers


def test_the_goal_of_an_instructor_is_given_as_tones(course_file: Path, bundles: Path) -> None:
    exercise = read_exercise(course_file.parent / "own-goal")
    plain = with_densities(exercise)
    match = next(c for c in plain.criteria if c.kind == "match-print")
    assert len(match.densities) == 2
    assert match.record == ""
    bundled = read_exercise(next(bundles.glob("k1/own-goal")))
    assert next(c for c in bundled.criteria if c.kind == "match-print").densities == match.densities
    assert read_record(course_file.parent / "own-goal" / "instructor.json") == exercise.goal(
        next(c for c in exercise.criteria if c.kind == "match-print")
    )


def test_names_that_are_no_names_stay_inside_the_folder(bundles: Path) -> None:
    assert len([p for p in bundles.iterdir() if p.is_dir()]) == len(LEARNERS)
    assert all(file.resolve().is_relative_to(bundles.resolve()) for file in bundles.rglob("*"))


def test_a_second_assignment_writes_the_same_bytes(course_file: Path, bundles: Path, tmp_path: Path) -> None:
    assert main(["assign", str(course_file), "-o", str(tmp_path / "again"), "--learner", "k2"]) == 0
    for file in (tmp_path / "again").rglob("*.toml"):
        assert file.read_bytes() == (bundles / file.relative_to(tmp_path / "again")).read_bytes()


def test_an_unknown_learner_and_a_missing_secret_are_refused_in_words(
    course_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["assign", str(course_file), "-o", str(tmp_path), "--learner", "nobody"]) == 2
    assert "must be a learner of the roster" in capsys.readouterr().err
    other = tmp_path / "course.toml"
    text = course_file.read_text().replace("course.key", "no.key")
    other.write_text(text.replace('folder = "own-goal"', 'folder = "strip-in-stops"'))
    (tmp_path / "roster.csv").write_text("id\nk1\n")
    assert main(["assign", str(other), "-o", str(tmp_path / "b")]) == 2
    assert "no.key" in capsys.readouterr().err
    assert not (tmp_path / "b").exists()
    plain = other.read_text().replace("variants = true", "variants = false")
    other.write_text(plain)  # whether a variant is fair is asked elsewhere
    assert main(["assign", str(other), "-o", str(tmp_path / "b"), "--new-secret", "--learner", "k1"]) == 0
    assert len((tmp_path / "no.key").read_text().strip()) == 64


def test_what_cannot_be_printed_is_refused_before_it_is_given_out(
    course_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sim.marking.bundle.MOST_TRIES", 3)
    exercise = read_exercise(course_file.parent / "own-goal")
    impossible = tuple(replace(c, wanted=2.9, tolerance=0.01) if c.kind == "tone" else c for c in exercise.criteria)
    with pytest.raises(CannotBeDone, match="none of 3 variants"):
        learner_negatives(replace(exercise, criteria=impossible), SECRET.encode(), "k1")


def test_a_broken_assignment_names_its_key(tmp_path: Path) -> None:
    (tmp_path / "assignment.toml").write_text('format = 1\ncourse = "c"\nexercise = "e"\nlearner = ""\nnegatives = ["a"]\n')
    with pytest.raises(OutsideError, match="learner"):
        read_assignment(tmp_path)
