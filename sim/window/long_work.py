"""One pair of hands beside the window: long work is done there, and the bench is worked by one pair of hands at a time.

Work that uses the bench (``bench``) begins once the window has drawn what it will show meanwhile, and what follows from it
happens on the window's own thread when no such work is left. Work that only makes a picture may be done at any time.
"""

from __future__ import annotations

import queue
import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

BENCH, PICTURES, END = 0, 2, 1  # the order in which waiting work is taken up; at the end pictures are left undone


@dataclass(frozen=True, eq=False)
class Job:
    """Something that takes long, what follows from it, and what it is called meanwhile."""

    job: Callable[[], Any]
    then: Callable[[Any], Any]
    words: str
    bench: bool


@dataclass(frozen=True, eq=False)
class Done:
    """A job that came to its end: what it gave, or what went wrong."""

    job: Job
    result: Any
    error: Exception | None


class LongWork:
    """Jobs of one kind keep their order. All methods but ``_work`` belong to the window's own thread."""

    def __init__(self) -> None:
        self.at_once = False  # tests: long work is done on the spot
        self.worker: threading.Thread | None = None
        self._resting: list[Job] = []
        self._waiting: queue.PriorityQueue[tuple[int, int, Job | None]] = queue.PriorityQueue()
        self._done: queue.Queue[Done] = queue.Queue()
        self._ready: deque[Done] = deque()
        self._under_way: list[Job] = []
        self._count = 0

    @property
    def busy(self) -> bool:
        """Work is under way, or what follows from it is still to come."""
        return bool(self._under_way or self._ready)

    @property
    def idle(self) -> bool:
        """No hands are at work."""
        return self.worker is None or not self.worker.is_alive()

    @property
    def words(self) -> str:
        """What is under way, in words."""
        return next((job.words for job in self._under_way if job.words), "")

    @property
    def bench_asked(self) -> bool:
        """Work at the bench was asked for and is not done."""
        return any(job.bench for job in self._under_way)

    @property
    def bench_taken(self) -> bool:
        """The other hands are at the bench: nobody else touches it, not even to look."""
        return not self.at_once and len(self._resting) < sum(job.bench for job in self._under_way)

    def later(self, job: Job) -> None:
        """Take up a job."""
        self._under_way.append(job)
        if self.at_once:
            self._done.put(_do(job))
        elif job.bench:
            self._resting.append(job)
        else:
            self._hand_over(job)

    def begin(self) -> None:
        """Let work at the bench begin."""
        resting, self._resting = self._resting, []
        for job in resting:
            self._hand_over(job)

    def _hand_over(self, job: Job) -> None:
        if self.worker is None or not self.worker.is_alive():  # also after it was sent home
            self.worker = threading.Thread(target=self._work, name="long work", daemon=True)
            self.worker.start()
        self._count += 1
        self._waiting.put((BENCH if job.bench else PICTURES, self._count, job))

    def _work(self) -> None:
        while (job := self._waiting.get()[2]) is not None:
            self._done.put(_do(job))

    def finished(self) -> Done | None:
        """Return the next job whose consequences may be drawn now, or None."""
        while True:
            try:
                done = self._done.get_nowait()
            except queue.Empty:
                break
            self._under_way.remove(done.job)
            self._ready.append(done)
        held = self.bench_taken
        for done in self._ready:
            if not (held and done.job.bench):
                self._ready.remove(done)
                return done
        return None

    def close(self, wait_s: float) -> None:
        """Let work at the bench come to its end, so that no decision is half kept."""
        self.begin()
        if self.worker is not None and self.worker.is_alive():
            self._waiting.put((END, 0, None))
            self.worker.join(wait_s)


def _do(job: Job) -> Done:
    try:
        return Done(job, job.job(), None)
    except Exception as error:  # whatever it is, it is said in the room and the program goes on
        return Done(job, None, error)
