"""Running many pieces of marking work on any Executor, and on walls of our own where the Executor breaks.

Few pieces are under way at a time, each result is handed over as it comes. When a pool or a cluster loses a worker, the
pieces it drags along are done again one by one behind our own supervisor: only the piece that ends processes pays for it.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from contextlib import contextmanager
from typing import Any

from sim.marking.kept_work import Marked
from sim.marking.replaying import Task, mark_evening, prepare_worker, stopped
from sim.marking.supervisor import Supervisor, WorkerLost
from sim.marking.worker_answers import wrong_with
from sim.marking.worker_walls import TimeLimitReached
from sim.refusals import Refused

IN_FLIGHT_PER_WORKER = 4
MOST_IN_FLIGHT = 64
MEMORY_MB = 500  # beyond a fresh worker; an ordinary evening takes 50, the largest that a darkroom allows some 300

LOOK_EVERY_S = 2.0  # how often it is asked whether anybody is still at work
GONE_S = 15.0  # how long a cluster may be without a single worker, for one that begins anew

Work = Callable[[Task], Marked]
Done = Callable[[Task, Marked], None]


class WorkersGone(Refused):
    """The scheduler, or the last of its workers, cannot be reached any more; the message says which."""


class Cluster(Executor):
    """The workers behind a scheduler as an Executor, and whether anybody is left there."""

    def __init__(self, client: Any, address: str, executor: Executor):
        """Wrap a client's executor."""
        self.client, self.address, self.executor = client, address, executor
        self._without_s = 0.0

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Hand a piece of work to the cluster."""
        return self.executor.submit(fn, *args, **kwargs)

    def lost(self, waited_s: float) -> str:
        """Return what is gone: the scheduler, or for longer than a moment its last worker; empty while somebody is there.

        ``waited_s`` is how long nothing has come since it was last asked.
        """
        if self.client.status != "running":
            return f"the scheduler at {self.address} cannot be reached any more"
        if not waited_s:
            self._without_s = 0.0
            return ""
        workers = self.client.scheduler_info().get("workers", {})
        self._without_s = 0.0 if workers else self._without_s + waited_s
        return f"the scheduler at {self.address} has lost its last worker" if self._without_s >= GONE_S else ""


def run_tasks(
    tasks: Iterable[Task], executor: Executor, done: Done, work: Work = mark_evening, in_flight: int = MOST_IN_FLIGHT,
    memory_mb: int = MEMORY_MB,
) -> int:  # fmt: skip
    """Do every task on an executor and hand each result to ``done`` as it finishes, in whatever order that is.

    What comes back is looked at before it is believed (``worker_answers.wrong_with``); what is no answer to its task is
    made again here. Return how many that were. Raises WorkersGone when an executor that can tell says that nobody is left.
    """
    lost: Callable[[float], str] = getattr(executor, "lost", lambda waited_s: "")
    waiting = iter(tasks)
    under_way: dict[Future[Marked], Task] = {}
    again: list[Task] = []
    not_believed = 0
    broken = not _fill(waiting, under_way, executor, work, in_flight, again)
    while under_way:
        finished, _ = wait(under_way, timeout=LOOK_EVERY_S, return_when=FIRST_COMPLETED)
        for future in sorted(finished, key=lambda f: under_way[f].key):
            task = under_way.pop(future)
            not_believed += _take(task, future, done, again)
        if why := lost(0.0 if finished else LOOK_EVERY_S):
            for future in under_way:
                future.cancel()
            raise WorkersGone(f"{why}; what was marked is kept, so mark again and it goes on from there")
        broken = broken or not _fill(waiting, under_way, executor, work, in_flight, again)
    again += waiting
    if again:  # one by one behind our own walls, so that who is guilty is certain
        with Supervisor(1, max(task.time_limit_s for task in again), memory_mb, prepare_worker) as alone:
            for task in again:
                _take_alone(task, alone.submit(work, task), done)
    return not_believed


def _fill(
    waiting: Iterator[Task], under_way: dict[Future[Marked], Task], executor: Executor, work: Work, in_flight: int,
    again: list[Task],
) -> bool:  # fmt: skip
    """Send out tasks until enough are under way; return whether the executor still takes any."""
    while len(under_way) < in_flight:
        task = next(waiting, None)
        if task is None:
            return True
        try:
            under_way[executor.submit(work, task)] = task
        except RuntimeError:  # a broken pool, or one that was shut down under us
            again.append(task)
            return False
    return True


def _take(task: Task, future: Future[Marked], done: Done, again: list[Task]) -> bool:
    """Hand a result over, or put the task where it is done again; return whether an answer was not believed."""
    try:
        answer = future.result()
        if wrong_with(task, answer):
            again.append(task)
            return True
        done(task, answer)
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException as error:
        if isinstance(error, WorkerLost | TimeLimitReached | MemoryError):
            done(task, _ended(task, error))  # our own supervisor: it was this piece and no other
        elif not future.cancelled() and future.exception() is None:
            raise  # the result is here; what failed is handing it over, and that must be seen
        else:
            again.append(task)
    return False


def _take_alone(task: Task, future: Future[Marked], done: Done) -> None:
    error = future.exception()
    if error is not None:
        done(task, _ended(task, error))
    elif why := wrong_with(task, future.result()):
        done(task, stopped(task, "crash", f"marking it gave no result that can be taken: {why}"))
    else:
        done(task, future.result())


def _ended(task: Task, error: BaseException) -> Marked:
    """Return the row of a task that a limit ended."""
    if isinstance(error, TimeLimitReached):
        return stopped(task, "time", f"marking it took more than {task.time_limit_s:g} s of a processor's time")
    if isinstance(error, MemoryError):
        return stopped(task, "memory", "marking it needed more memory than it may have")
    return stopped(task, "crash", "the process that marked it ended before it was done")


@contextmanager
def chosen_executor(
    jobs: int, time_limit_s: float, scheduler: str | None = None, memory_mb: int = MEMORY_MB, wait_s: float = 20.0
) -> Iterator[Executor]:
    """Return an executor: worker processes of this machine, or those of a cluster behind a scheduler's address.

    Raises ValueError when the optional part for clusters is not installed, or no scheduler answers.
    """
    if scheduler is None:
        with Supervisor(jobs, time_limit_s, memory_mb, prepare_worker) as executor:
            yield executor
        return
    try:
        from distributed import Client
    except ImportError:
        raise Refused("--scheduler needs the optional part for clusters: pip install 'tonewright[cluster]'") from None
    for name in ("distributed", "distributed.client", "tornado.application"):
        logging.getLogger(name).setLevel(logging.CRITICAL)  # what is lost we say ourselves
    try:
        client = Client(scheduler, timeout=wait_s, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise Refused(f"--scheduler must be the address of a running scheduler, got {scheduler!r} ({error})") from None
    with client:
        cluster = Cluster(client, scheduler, client.get_executor(pure=False))
        try:
            yield cluster
        finally:
            cluster.executor.shutdown(wait=False)
