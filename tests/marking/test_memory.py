"""Memory: the largest sheet that a darkroom allows is marked within what a worker may take, and says the same."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from class_room import EXERCISE, write_sheet

from sim.evening.evening import Evening
from sim.evening.handing_in import hand_in
from sim.marking.bundle import assigned_exercise
from sim.marking.replaying import Task, mark_evening, prepare_worker
from sim.marking.running import MEMORY_MB
from sim.marking.supervisor import Supervisor
from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.card_work import held_back
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import find_exercise, read_exercise
from sim.scoring.judged import judge
from sim.scoring.marks import score
from sim.scoring.start import start_record

SMALL_FILM = "racks-small-film"
SMALL_IMAGE_MM = 200.0  # the head almost on the paper: an image little larger than the film, on a whole sheet


def small_image_exercise(folder: Path) -> Exercise:
    """Return an exercise on small film and a whole sheet, in which the head may go down to the paper."""
    text = EXERCISE.replace("step-wedge", SMALL_FILM).replace("width_mm = 60.0", "width_mm = 203.0")
    text = text.replace("height_mm = 30.0", "height_mm = 254.0").replace("spot_mm = 1.0", "spot_mm = 3.0")
    text = text.replace('["time_s"]', '["time_s", "height_mm", "easel_tilt_deg"]')
    lesson = folder / "grey-steps"
    lesson.mkdir()
    (lesson / "exercise.toml").write_text(text, "utf-8")
    return read_exercise(lesson)


@pytest.fixture(scope="module")
def task(tmp_path_factory: pytest.TempPathFactory) -> Task:
    """An evening whose one sheet is a small image in the middle of a large paper."""
    folder = tmp_path_factory.mktemp("memory")
    exercise = small_image_exercise(folder)
    given = assigned_exercise(exercise, (SMALL_FILM,)).public()
    evening = Evening.open(
        folder / "log", exercise.paper, 6, 45.0, 7, exercise=exercise.name, exercise_version=1,
        exercise_digest=given.digest, learner="k01", attempt=1, negatives=[SMALL_FILM],
    )  # fmt: skip
    start = start_record(exercise, find_negative(SMALL_FILM), find_stock(exercise.paper))
    write_sheet(evening, replace(start, enlarger=replace(start.enlarger, height_mm=SMALL_IMAGE_MM)))
    evening.nominate(1)
    hand_in(folder / "log", folder / "out")
    return Task("k", "c" * 64, (folder / "out").read_bytes(), exercise, (exercise.digest, given.digest), 120.0)


def test_a_small_image_on_a_large_sheet_is_marked_within_a_workers_memory(task: Task) -> None:
    assert MEMORY_MB <= 500
    with Supervisor(1, 120.0, MEMORY_MB, prepare_worker) as workers:
        done = workers.submit(mark_evening, task).result()
    assert (done.result.status, done.result.limit) == ("marked", "")
    assert done.pictures


@pytest.mark.parametrize("name", ["time-from-a-strip", "holding-back-a-face"])
def test_an_evening_is_marked_at_its_places_as_on_the_whole_fine_print(name: str) -> None:
    exercise = find_exercise(name)[1]
    negatives, stock = [find_negative(one) for one in exercise.negatives], find_stock(exercise.paper)
    records = [start_record(exercise, negative, stock) for negative in negatives]
    records = [held_back(record, 0, 90.0, 120.0, 60.0, 0.5) if name == "holding-back-a-face" else record for record in records]
    at_places, whole = (
        score(judge(exercise, negatives, records, 1.0, only_places=only), exercise).marks for only in (True, False)
    )
    for one, other in zip(at_places, whole, strict=True):
        assert (one.name, one.missing) == (other.name, other.missing)
        assert one.measured == pytest.approx(other.measured, abs=0.0015)
        assert one.points == pytest.approx(other.points, abs=0.02)


def test_a_worker_that_earlier_pieces_have_filled_is_replaced_before_a_piece_pays_for_it() -> None:
    import hard_work

    with Supervisor(1, 60.0, 300, hard_work.ready) as workers:
        filling = [workers.submit(hard_work.filling, 60) for _ in range(12)]
        assert [one.result(timeout=60) for one in filling] == [60] * 12
        with pytest.raises(MemoryError):
            workers.submit(hard_work.filling, 400).result(timeout=60)
