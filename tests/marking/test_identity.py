"""Who is who, and what is believed: codes of 64 bits, collisions as errors, and answers of workers held against the task."""

from __future__ import annotations

import io
import os
from collections.abc import Callable
from concurrent.futures import Executor, Future
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from at_once import marked, row_of
from class_room import ClassRoom, all_bytes, class_room
from PIL import Image

from sim.marking import batch as batch_module
from sim.marking import roster as roster_module
from sim.marking.assign import assign
from sim.marking.batch import mark_batch, read_batch, task_of
from sim.marking.course import read_course
from sim.marking.kept_work import Marked, keep, kept
from sim.marking.pages import file_name
from sim.marking.replaying import Task, mark_evening
from sim.marking.results import SubmissionResult
from sim.marking.roster import Learner, anonymous_code, read_roster, refuse_alike
from sim.marking.worker_answers import wrong_with
from sim.reading import OutsideError, ValueRefused


@pytest.fixture
def two(tmp_path: Path) -> ClassRoom:
    """A course of two learners."""
    return class_room(tmp_path / "course", roster=("k01", "k02"))


def test_a_code_has_64_bits_and_leads_back_to_nobody() -> None:
    codes = {anonymous_code(f"k{n:05d}", b"a secret") for n in range(5000)}
    assert len(codes) == 5000
    assert all(len(code.removeprefix("learner-")) * 4 >= 64 for code in codes)
    assert anonymous_code("k00001", b"a secret") != anonymous_code("k00001", b"another secret")
    assert len(file_name("К01").rpartition("-")[2]) * 4 >= 64  # so has what tells pages apart


def test_two_learners_with_one_code_are_an_error_that_names_both(two: ClassRoom, monkeypatch: pytest.MonkeyPatch) -> None:
    two.hand("k01")
    two.hand("k02")
    monkeypatch.setattr(roster_module, "anonymous_code", lambda learner, secret: "learner-0123456789abcdef")
    with pytest.raises(OutsideError, match="the same code, got 'k01' and 'k02'"):
        marked(two, hide_names=True)
    assert not (two.folder / "out").exists()


def test_two_learners_with_pages_of_one_name_are_an_error_that_names_both(monkeypatch: pytest.MonkeyPatch) -> None:
    refuse_alike(Path("roster.csv"), [Learner("K01"), Learner("k01"), Learner("к01"), Learner("k01-")])
    monkeypatch.setattr(roster_module, "file_name", lambda name: name.lower())
    with pytest.raises(ValueRefused, match="pages of the same name, got 'K01' and 'k01'"):
        refuse_alike(Path("roster.csv"), [Learner("K01"), Learner("k01")])


def test_bundles_of_two_learners_never_share_a_folder(two: ClassRoom, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(roster_module, "file_name", lambda name: "one")
    with pytest.raises(ValueRefused, match="'k01' and 'k02'"):
        list(assign(read_course(two.course), read_roster(two.folder / "roster.csv"), tmp_path / "bundles"))
    assert not (tmp_path / "bundles").exists()


def jpeg(side_px: int) -> bytes:
    buffer = io.BytesIO()
    Image.new("L", (side_px, 8)).save(buffer, "JPEG")
    return buffer.getvalue()


def told(**changes: Any) -> Callable[[Marked], object]:
    """Return a lie: the true answer with other values in its result."""
    return lambda true: Marked(true.result.model_copy(update=changes), true.pictures)


def pictured(**pictures: Any) -> Callable[[Marked], object]:
    return lambda true: Marked(true.result, {**true.pictures, **{k.replace("_", "-"): v for k, v in pictures.items()}})


def criteria(**changes: Any) -> Callable[[Marked], object]:
    return lambda true: told(criteria=[one.model_copy(update=changes) for one in true.result.criteria])(true)


def sheets(**changes: Any) -> Callable[[Marked], object]:
    return lambda true: told(sheets=[one.model_copy(update=changes) for one in true.result.sheets])(true)


class Taller(SubmissionResult):
    """Looks like a result and is none."""


LIES: dict[str, Callable[[Marked], object]] = {
    "nothing": lambda true: None,
    "a dict": lambda true: {"result": true.result},
    "text": lambda true: "<script>alert(1)</script>",
    "a result of a kind of its own": lambda true: Marked(Taller.model_construct(**true.result.model_dump()), true.pictures),
    "pictures that are no table": lambda true: Marked(true.result, [b"x"]),  # type: ignore[arg-type]
    "another file": told(content="0" * 64),
    "another exercise": told(exercise_digest="0" * 64),
    "another marker": told(marker_version="9.9/9"),
    "late by itself": told(status="late"),
    "nothing handed in": told(status="missing"),
    "a status of its own": told(status="excellent"),
    "a limit without failing": told(limit="time"),
    "failed without a limit": told(status="failed"),
    "points for a tampered file": told(status="tampered"),
    "more points than there are": told(points=1000.0),
    "points that its criteria do not give": told(points=0.5),
    "fewer points to have": told(full_points=1.0),
    "points that are no number": told(points=float("nan")),
    "points in words": told(points="all"),
    "no points": told(points=None),
    "a criterion worth more": criteria(points=100.0),
    "a criterion of its own": criteria(name="charm"),
    "a share beyond all": criteria(share=2.0),
    "more economy than there is": told(economy_points=50.0),
    "another negative": lambda true: told(
        negatives=[one.model_copy(update={"name": "step-wedge~other"}) for one in true.result.negatives]
    )(true),
    "a reason that moves the cursor": told(reasons=["\x1b[2J"]),
    "a reason written backwards": told(reasons=["\u202eevil"]),
    "a reason without end": told(reasons=["x" * 100_000]),
    "reasons without end": told(reasons=["x"] * 1000),
    "a sheet's picture that is no sheet's": sheets(picture="../../etc/passwd"),
    "a picture of no sheet": pictured(sheet_99=jpeg(8)),
    "a picture of another name": pictured(portrait=jpeg(8)),
    "a picture that is a page": pictured(sheet_1=b"<html><script>alert(1)</script>"),
    "a picture that is too large": pictured(sheet_1=jpeg(1200)),
    "a picture that is too heavy": pictured(sheet_1=jpeg(600) + b"\0" * 600_000),
    "a picture in words": pictured(sheet_1="x"),
}


@dataclass
class Lying(Executor):
    """Marks in this process and gives something else back, to the tasks of one learner's file or to all."""

    lie: Callable[[Marked], object]

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        future: Future[Any] = Future()
        future.set_result(self.lie(fn(*args, **kwargs)))
        return future


@pytest.fixture(scope="module")
def true_answer(tmp_path_factory: pytest.TempPathFactory) -> tuple[Task, Marked]:
    """A task and the true answer to it."""
    room = class_room(tmp_path_factory.mktemp("true") / "course", roster=("k01",))
    file = room.hand("k01")
    batch = read_batch(room.box, room.course)
    task = replace(task_of(batch, batch.files[0]), data=file.read_bytes())
    return task, mark_evening(task)


def test_the_true_answer_is_believed(true_answer: tuple[Task, Marked]) -> None:
    assert true_answer[1].result.points is not None
    assert wrong_with(*true_answer) == ""


@pytest.mark.parametrize("case", LIES, ids=lambda case: case.replace(" ", "-"))
def test_an_answer_that_is_none_is_not_believed(case: str, true_answer: tuple[Task, Marked]) -> None:
    task, true = true_answer
    assert wrong_with(task, LIES[case](true)) != ""


@pytest.mark.parametrize("case", ["another file", "more points than there are", "text"])
def test_what_is_not_believed_is_made_again_here_to_the_same_bytes(two: ClassRoom, case: str) -> None:
    two.hand("k01")
    two.hand("k02", times=(3.0, 6.0))
    home = marked(two, two.folder / "home")
    found = mark_batch(read_batch(two.box, two.course), two.folder / "out", Lying(LIES[case]))
    assert (found.not_believed, home.not_believed) == (2, 0)
    assert found.results == home.results
    assert all_bytes(two.folder / "out") == all_bytes(two.folder / "home")


def test_one_learners_result_given_for_anothers_is_not_taken(two: ClassRoom) -> None:
    two.hand("k01", times=(3.0, 4.6))
    two.hand("k02", times=(3.0, 30.0))
    first: list[Marked] = []

    def swapped(true: Marked) -> Marked:
        first.append(true)
        return first[0]

    home = marked(two, two.folder / "home")
    found = mark_batch(read_batch(two.box, two.course), two.folder / "out", Lying(swapped))
    assert found.not_believed == 1
    assert found.results == home.results


def test_kept_work_of_another_file_is_made_again(two: ClassRoom) -> None:
    two.hand("k01", times=(3.0, 4.6))
    two.hand("k02", times=(3.0, 30.0))
    out = two.folder / "out"
    before = marked(two, out)
    first, second = sorted(os.listdir(out / "results"))
    good = kept(out / "results", first.removesuffix(".json"))
    assert good is not None
    keep(out / "results", second.removesuffix(".json"), good)  # sealed and whole, and about somebody else's evening
    again = marked(two, out)
    assert again.replayed == 1
    assert again.results == before.results


def test_it_is_said_that_answers_were_not_believed(two: ClassRoom, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    from contextlib import contextmanager

    from sim.marking import course_run

    two.hand("k01")
    monkeypatch.setattr(course_run, "chosen_executor", contextmanager(lambda *rest: iter([Lying(LIES["another file"])])))
    said: list[str] = []
    course_run.run_course(course_run.Wanted(two.box, two.course, tmp_path / "out", scheduler="tcp://somewhere"), said.append)
    assert any("1 answers of other machines were none" in line for line in said)
    assert row_of(marked(two), "k01").points is not None
    assert batch_module.RESULTS_FOLDER in os.listdir(tmp_path / "out")
