"""One lost worker loses one piece of work: the supervisor, the limits, and a batch with hangs, crashes and a memory hog."""

from __future__ import annotations

import random
import threading
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

import hard_work
import pytest
from at_once import marked
from class_room import ClassRoom, all_bytes, class_room
from hard_work import CRASH, HANG, HANG_HARD, HOG, misbehaving, quick, ready
from night import turns

from sim.marking import supervisor as supervisor_module
from sim.marking.batch import Outcome, mark_batch, read_batch
from sim.marking.supervisor import Supervisor, WorkerLost
from sim.marking.worker_walls import TimeLimitReached, time_limit


def test_a_lost_worker_loses_one_piece_only() -> None:
    with Supervisor(2) as workers:
        futures = {n: workers.submit(quick, n) for n in (1, 13, 2, 3, 15, 4, 5)}
        found = {n: f.exception() or f.result() for n, f in futures.items()}
    assert {n: found[n] for n in (1, 2, 3, 4, 5)} == {1: 1, 2: 4, 3: 9, 4: 16, 5: 25}
    assert isinstance(found[13], WorkerLost)
    assert isinstance(found[15], ValueError)


def test_what_does_not_answer_is_stopped_from_outside(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(supervisor_module, "MARGIN_S", 1.0)
    with Supervisor(1, time_limit_s=1.0, prepare=ready) as workers:
        hanging, after = workers.submit(quick, 14), workers.submit(quick, 6)
        assert isinstance(hanging.exception(timeout=30), TimeLimitReached)
        assert after.result(timeout=30) == 36


def test_leaving_by_an_exception_does_not_wait_for_work() -> None:
    start = time.monotonic()
    with pytest.raises(KeyError), Supervisor(1) as workers:  # noqa: PT012
        workers.submit(quick, 14)
        workers.submit(quick, 2)
        time.sleep(0.2)
        raise KeyError
    assert time.monotonic() - start < 20
    with pytest.raises(RuntimeError):
        workers.submit(quick, 1)


def test_the_alarm_ends_a_loop_in_the_main_thread() -> None:
    with pytest.raises(TimeLimitReached), time_limit(0.1):
        time.sleep(30)


def test_a_watcher_ends_a_loop_in_another_thread() -> None:
    found: list[str] = []

    def loop() -> None:
        try:
            with time_limit(0.1):
                while True:
                    time.sleep(0.01)
        except TimeLimitReached:
            found.append("stopped")

    thread = threading.Thread(target=loop, daemon=True)
    thread.start()
    thread.join(10)
    assert found == ["stopped"]


def test_a_limit_not_reached_leaves_no_trace() -> None:
    with time_limit(0.15):
        pass
    time.sleep(0.25)


MANY = turns("TONEWRIGHT_ROSTER", 20, 60)
ROSTER = tuple(f"l{n:02d}" for n in range(MANY))
TERRIBLE = {"l02": HANG, "l07": HANG_HARD, "l11": CRASH, "l15": CRASH, "l17": HOG}
HOSTILE = {"l01": b"\x00\xff", "l05": b'{"number":0,"kind":"opened","data":{"learner":"l05","exercise":"grey-steps"}}\n',
           "l09": b"[" * 100_000}  # fmt: skip


def all_sorts(room: ClassRoom) -> None:
    """Hand in as many evenings: five that do terrible things, three that are hostile, the rest in order."""
    for n, learner in enumerate(ROSTER):
        room.hand(learner, times=(3.0, 4.0 + 0.05 * n), seed=TERRIBLE.get(learner, 7))
    for learner, data in HOSTILE.items():
        (room.box / f"{learner}.evening").write_bytes(data)


def mark_all_sorts(room: ClassRoom) -> Outcome:
    batch = read_batch(room.box, room.course, time_limit_s=5.0)
    with Supervisor(2, batch.time_limit_s, 600, ready) as workers:
        return mark_batch(batch, room.folder / "out", workers, 2, work=misbehaving)


def test_files_with_hangs_crashes_and_a_hog_get_a_row_each(tmp_path, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    monkeypatch.setattr(supervisor_module, "MARGIN_S", 0.5)
    room = class_room(tmp_path / "course", roster=ROSTER)
    all_sorts(room)
    found = mark_all_sorts(room)
    states = {row.learner: (row.status, row.limit) for row in found.results.rows}
    assert len(states) == MANY
    assert Counter(states.values()) == {("marked", ""): MANY - 8, ("failed", "time"): 2, ("failed", "crash"): 2,
                                        ("failed", "memory"): 1, ("unreadable", ""): 3}  # fmt: skip
    assert {who for who, state in states.items() if state == ("failed", "time")} == {"l02", "l07"}
    assert {who for who, state in states.items() if state == ("failed", "crash")} == {"l11", "l15"}
    assert states["l17"] == ("failed", "memory")
    assert found.results.unplaced == []  # what says nothing of itself is called after a learner
    assert all(row.points is None for row in found.results.rows if row.status == "failed")
    before = all_bytes(room.folder / "out")
    again = mark_all_sorts(room)
    assert again.replayed == 0
    assert again.results == found.results
    assert all_bytes(room.folder / "out") == before


def test_a_pool_that_breaks_is_replaced_and_only_the_guilty_pays(room: ClassRoom) -> None:
    for n, learner in enumerate(("k01", "k02", "k03", "k04")):
        room.hand(learner, times=(3.0, 4.0 + n), seed=CRASH if learner == "k02" else 7)
    batch = read_batch(room.box, room.course)
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        found = mark_batch(batch, room.folder / "pool", pool, 2, work=misbehaving)
    assert {row.learner: row.status for row in found.results.rows} == {
        "k01": "marked", "k02": "failed", "k03": "marked", "k04": "marked",
    }  # fmt: skip
    with Supervisor(1) as workers:
        mark_batch(batch, room.folder / "own", workers, 1, work=misbehaving)
    assert all_bytes(room.folder / "pool") == all_bytes(room.folder / "own")


def test_a_longer_limit_is_a_new_try(room: ClassRoom) -> None:
    room.hand("k01")

    def too_slow(task: object) -> object:
        raise TimeLimitReached

    assert marked(room, work=too_slow).results.rows[0].limit == "time"
    batch = read_batch(room.box, room.course, time_limit_s=60.0)
    with Supervisor(1) as workers:
        assert mark_batch(batch, room.folder / "out", workers, 1).results.rows[0].status == "marked"


def test_the_order_of_files_on_disk_is_of_no_account(room: ClassRoom, tmp_path) -> None:  # type: ignore[no-untyped-def]
    other = class_room(tmp_path / "other")
    names = ["k01", "k02", "k03", "k04"]
    for where, order in ((room, names), (other, random.Random(4).sample(names, 4))):
        for name in order:
            where.hand(name, times=(3.0, 3.0 + len(name)))
    assert marked(room).results == marked(other).results


def test_the_terrible_work_is_what_it_says() -> None:
    assert len({HANG, HANG_HARD, CRASH, HOG}) == 4
    assert hard_work.quick(5) == 25
