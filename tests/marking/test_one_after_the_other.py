"""Evenings on one negative share what it projects; none of them is marked otherwise for what was marked before it."""

from __future__ import annotations

from dataclasses import replace
from threading import Thread

import pytest
from class_room import class_room, wedge

from sim.marking import mark_of_submission, replaying
from sim.marking.bundle import assigned_exercise
from sim.marking.kept_work import Marked, marked_text
from sim.marking.mark_of_submission import KEPT_BETWEEN_EVENINGS, AtTheEnlarger, pictured_px_per_mm
from sim.marking.print_pictures import LARGE_PX, SMALL_PX
from sim.marking.replaying import Task, mark_evening
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record import Sheet
from sim.scoring.start import start_record


@pytest.fixture(scope="module")
def tasks(tmp_path_factory: pytest.TempPathFactory) -> list[Task]:
    """Two evenings of different times on the one wedge."""
    room = class_room(tmp_path_factory.mktemp("one-after-the-other"))
    given = assigned_exercise(room.exercise, ("step-wedge",))
    files = [room.hand(learner, times=times) for learner, times in (("k01", (3.0, 9.0)), ("k02", (5.0, 7.6, 6.0)))]
    digests = (given.digest, given.public().digest)
    return [Task(file.stem, str(k) * 64, file.read_bytes(), given, digests, 120.0) for k, file in enumerate(files)]


def alone(task: Task) -> Marked:
    """Return an evening as somebody marks it who has marked nothing before."""
    found: list[Marked] = []
    other = Thread(target=lambda: found.append(mark_evening(task)))
    other.start()
    other.join()
    return found[0]


def test_an_evening_is_marked_the_same_alone_and_after_others(tasks: list[Task]) -> None:
    first, second = tasks
    assert mark_evening(first).result.status == "marked"
    assert replaying._this_thread.enlarger[0] == ("step-wedge",)
    in_turn = [mark_evening(second), mark_evening(first)]
    for task, marked in zip((second, first), in_turn, strict=True):
        assert marked_text(marked) == marked_text(alone(task))


def test_an_evening_that_breaks_off_leaves_nothing_for_the_next(tasks: list[Task], monkeypatch: pytest.MonkeyPatch) -> None:
    mark_evening(tasks[0])

    def broken(*_: object) -> Marked:
        raise ArithmeticError

    monkeypatch.setattr(replaying, "judged_evening", broken)
    assert mark_evening(tasks[1]).result.limit == "crash"
    assert "enlarger" not in vars(replaying._this_thread)


@pytest.mark.parametrize(("more", "kept"), [(0, True), (1, False)])
def test_what_is_projected_is_kept_between_evenings_up_to_a_bound(
    more: int, kept: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    enlarger = AtTheEnlarger([wedge()])
    lights = enlarger.lights
    taken = {id(lights): KEPT_BETWEEN_EVENINGS - 5, id(enlarger.coarse): 5 + more}
    monkeypatch.setattr(mark_of_submission.LightCache, "bytes", property(lambda cache: taken[id(cache)]))
    enlarger.clear_if_large()
    assert (enlarger.lights is lights) == kept


def test_what_a_cache_takes_is_told_and_films_are_shared(tasks: list[Task]) -> None:
    exercise, negative = tasks[0].exercise, wedge()
    assert exercise is not None
    enlarger, stock = AtTheEnlarger([negative]), find_stock(exercise.paper)
    assert enlarger.lights.bytes == enlarger.coarse.bytes == 0
    sheet = make_print(negative, start_record(exercise, negative, stock), stock, 2.5, lights=enlarger.coarse)
    assert enlarger.lights.bytes == negative.silver_density.nbytes  # what its film may grow to
    assert enlarger.coarse.bytes >= enlarger.lights.bytes + 8 * sheet.density.size  # codes twice, and the fall-off


FULL = Sheet("glossy-rc-vc", 203.0, 254.0)


@pytest.mark.parametrize(("sheet", "counts", "px"), [
    (FULL, True, 2.5), (FULL, False, SMALL_PX / 254.0), (replace(FULL, kind="strip"), False, 2.5),
    (Sheet("glossy-rc-vc", 60.0, 30.0), True, LARGE_PX / 60.0), (Sheet("glossy-rc-vc", 60.0, 30.0), False, 2.5),
    (Sheet("glossy-rc-vc", SMALL_PX / 2.5, 50.0), False, 2.5), (Sheet("glossy-rc-vc", SMALL_PX / 2.4, 50.0), False, 2.4),
])  # fmt: skip
def test_paper_is_pictured_as_fine_as_it_is_shown_or_read(sheet: Sheet, counts: bool, px: float) -> None:
    assert pictured_px_per_mm(sheet, counts) == pytest.approx(px)
