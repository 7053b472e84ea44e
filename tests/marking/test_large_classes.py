"""Large classes: groups with files of their own, parts on several machines, and workers that are all gone."""

from __future__ import annotations

import json
from collections.abc import Callable
from concurrent.futures import Executor, Future
from pathlib import Path
from typing import Any

import pytest
from at_once import AtOnce, here
from class_room import DUE, ClassRoom, all_bytes, class_room

from sim.command.main import main
from sim.marking import batch as batch_module
from sim.marking import course_run
from sim.marking.batch import mark_batch, read_batch
from sim.marking.kept_work import Marked
from sim.marking.regrade import earlier_results
from sim.marking.replaying import Task, stopped
from sim.marking.running import Cluster, WorkersGone, run_tasks
from sim.marking.shards import Shard

LEARNERS = ("k01", "k02", "k03", "k04", "k05")


@pytest.fixture(scope="module", autouse=True)
def in_this_process() -> Any:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(course_run, "chosen_executor", here)
        yield


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> ClassRoom:
    room = class_room(tmp_path_factory.mktemp("large") / "course", roster=LEARNERS)
    for number, learner in enumerate(LEARNERS[:4]):
        room.hand(learner, times=(7.0 + 0.3 * number,), received=DUE - 3600 + 4 * 86_400 * (number == 3))
    (room.box / "stray.evening").write_text("nothing\n", "utf-8")
    return room


def mark(room: ClassRoom, out: str, *more: str) -> int:
    return main(["mark", str(room.box), "--course", str(room.course), "-o", str(room.folder / out), "--jobs", "1", *more])


@pytest.fixture(scope="module")
def together(room: ClassRoom) -> Path:
    assert mark(room, "together") == 1
    return room.folder / "together"


@pytest.fixture(scope="module")
def apart(room: ClassRoom, together: Path) -> Path:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(batch_module, "MOST_IN_ONE", 4)
        patch.setattr(batch_module, "GROUP", 2)
        assert mark(room, "apart") == 1
    return room.folder / "apart"


def test_groups_hold_what_one_file_held(together: Path, apart: Path) -> None:
    whole, summary = (json.loads((one / "results.json").read_text("utf-8")) for one in (together, apart))
    assert summary["rows"] == []
    assert summary["groups"] == [f"groups/results-00{n}.json" for n in (1, 2, 3)]
    parts = [json.loads((apart / name).read_text("utf-8")) for name in summary["groups"]]
    assert [row for part in parts for row in part["rows"]] == whole["rows"]
    assert summary["unplaced"] == whole["unplaced"]
    assert [part["unplaced"] for part in parts] == [[], [], []]


def test_gradebook_and_learners_pages_are_the_same_however_large_the_class(together: Path, apart: Path) -> None:
    one, other = all_bytes(together), all_bytes(apart)
    for name in ("gradebook.csv", *(f"pages/{learner}.html" for learner in LEARNERS)):
        assert one[name] == other[name], name


def test_the_class_page_leads_to_the_groups(apart: Path) -> None:
    page = (apart / "class.html").read_text("utf-8")
    assert '<a href="groups/class-003.html">k05 to k05</a>, 1 learner<' in page
    assert "data:image" not in page
    assert "Mean" in page
    group = (apart / "groups" / "class-001.html").read_text("utf-8")
    assert '<a href="../pages/k01.html">' in group
    assert "data:image" in group


def test_earlier_results_are_read_from_the_groups(together: Path, apart: Path) -> None:
    one, other = (earlier_results(folder / "results.json") for folder in (together, apart))
    assert one is not None
    assert other is not None
    assert [(row.learner, row.points) for row in one.rows] == [(row.learner, row.points) for row in other.rows]


def test_groups_that_are_no_more_are_taken_away(room: ClassRoom, apart: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = (apart / "results.json").read_bytes()
    assert mark(room, "apart") == 1
    assert "0 evenings replayed" in capsys.readouterr().out
    assert list((apart / "groups").iterdir()) == []
    assert (apart / "results.json").read_bytes() != before


def test_parts_marked_apart_come_to_the_same_as_all_at_once(
    room: ClassRoom, together: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for part in ("1/3", "2/3", "3/3"):
        assert mark(room, "parts", "--shard", part) == 0
        assert not (room.folder / "parts" / "results.json").exists()
    replayed = capsys.readouterr().out
    assert sum(int(line.split(": ")[1].split()[0]) for line in replayed.splitlines() if line.startswith("Part")) == 5
    assert mark(room, "parts") == 1
    assert "0 evenings replayed, 5 known from before" in capsys.readouterr().out
    assert all_bytes(room.folder / "parts") == all_bytes(together)


@pytest.mark.parametrize("text", ["0/3", "4/3", "1", "a/b", "1/2000", "¹/3"])
def test_a_part_that_is_none_is_refused(room: ClassRoom, text: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert mark(room, "none", "--shard", text) == 2
    assert "--shard must be" in capsys.readouterr().err


def test_every_evening_belongs_to_one_part() -> None:
    contents = [f"{n * 7919:064x}"[::-1] for n in range(200)]
    parts = [Shard(n, 7) for n in range(1, 8)]
    assert all(sum(part.holds(content) for part in parts) == 1 for content in contents)


class Client:
    """A cluster's client as far as it is asked."""

    def __init__(self, status: str = "running", workers: int = 1):
        self.status, self.workers = status, workers

    def scheduler_info(self) -> dict[str, Any]:
        return {"workers": dict.fromkeys(map(str, range(self.workers)))}


class Silent(Executor):
    """Takes work, does the first pieces, and then nothing comes any more."""

    def __init__(self, answers: int, client: Client, then: Callable[[Client], None]):
        self.answers, self.client, self.then = answers, client, then

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        future: Future[Any] = Future()
        if self.answers > 0:
            future.set_result(fn(*args))
        else:
            self.then(self.client)
        self.answers -= 1
        return future


def work(task: Task) -> Marked:
    return stopped(task, "time", "x")


def test_work_that_was_called_off_is_done_again_at_home() -> None:
    """A scheduler that dies calls off what is under way: that is a state of its own, and no error of the work."""
    tasks, kept = [Task(str(n), f"{n}" * 64, b"", None) for n in range(3)], []

    class CallsOff(Executor):
        def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
            future: Future[Any] = Future()
            future.cancel()
            future.set_running_or_notify_cancel()
            return future

    assert run_tasks(tasks, CallsOff(), lambda task, marked: kept.append(task.key), work, in_flight=2) == 0
    assert kept == ["0", "1", "2"]


GONE: dict[str, tuple[Callable[[Client], None], str]] = {
    "scheduler": (lambda client: setattr(client, "status", "closed"), "cannot be reached any more"),
    "last worker": (lambda client: setattr(client, "workers", 0), "has lost its last worker"),
}


@pytest.mark.parametrize("who", GONE, ids=lambda who: who.replace(" ", "-"))
def test_a_cluster_that_is_gone_is_said_in_words_and_what_came_is_kept(who: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sim.marking.running.LOOK_EVERY_S", 0.01)
    monkeypatch.setattr("sim.marking.running.GONE_S", 0.05)
    client, kept = Client(), []
    cluster = Cluster(client, "tcp://here:1", Silent(2, client, GONE[who][0]))
    tasks = [Task(str(n), f"{n}" * 64, b"", None) for n in range(5)]
    with pytest.raises(WorkersGone, match=GONE[who][1]) as gone:
        run_tasks(tasks, cluster, lambda task, marked: kept.append(task.key), work, in_flight=2)
    assert "mark again and it goes on from there" in str(gone.value)
    assert kept == ["0", "1"]


def test_it_is_said_within_half_a_minute() -> None:
    from sim.marking.running import GONE_S, LOOK_EVERY_S

    assert GONE_S + 2 * LOOK_EVERY_S < 30.0


def test_a_worker_that_begins_anew_in_time_is_waited_for() -> None:
    cluster = Cluster(client := Client(workers=0), "tcp://here:1", AtOnce())
    assert cluster.lost(10.0) == ""
    client.workers = 1
    assert cluster.lost(10.0) == ""
    client.workers = 0
    assert cluster.lost(10.0) == ""
    assert "last worker" in cluster.lost(10.0)


def test_a_shard_makes_no_rows(room: ClassRoom, tmp_path: Path) -> None:
    found = mark_batch(read_batch(room.box, room.course), tmp_path / "o", AtOnce(), shard=Shard(1, 2))
    assert found.results.rows == []
