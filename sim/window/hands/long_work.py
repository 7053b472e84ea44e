"""Long work beside the window: readings, marks, pictures, pages, scans. It holds all it needs, so that nobody waits for it.

A job never touches the evening under way. What follows from it happens on the window's own thread, before a later frame.
"""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

Made = TypeVar("Made")


@dataclass(frozen=True, eq=False)
class _Done(Generic[Made]):
    then: Callable[[Made], None]
    made: Made

    def follow(self) -> None:
        self.then(self.made)


@dataclass(frozen=True, eq=False)
class _Job:
    words: str
    work: Callable[[], Callable[[], None]]


class LongWork:
    """Two pairs of hands, one for what somebody waits for, one for the rest; each does one job after the other."""

    def __init__(self) -> None:
        self.at_once = False  # tests: work is done on the spot
        self._under_way: list[_Job] = []
        self._jobs: dict[bool, queue.Queue[_Job | None]] = {True: queue.Queue(), False: queue.Queue()}
        self._done: queue.Queue[tuple[_Job, Callable[[], None]]] = queue.Queue()
        self._workers: dict[bool, threading.Thread] = {}

    @property
    def busy(self) -> bool:
        """Whether something is being worked out."""
        return bool(self._under_way)

    @property
    def words(self) -> list[str]:
        """What is said of what is under way or waits, in its order."""
        return [one.words for one in self._under_way]

    def begin(
        self, words: str, job: Callable[[], Made], then: Callable[[Made], None], soon: bool = False,
        failed: Callable[[], None] = lambda: None,
    ) -> None:  # fmt: skip
        """Take up a job; ``then`` gets what it made. ``soon``: somebody waits for it.

        A refusal or fault is raised where what follows is asked for, once ``failed`` was told.
        """

        def work() -> Callable[[], None]:
            try:
                return _Done(then, job()).follow
            except Exception as error:
                return _raising(error, failed)

        one = _Job(words, work)
        self._under_way.append(one)
        if self.at_once:
            self._done.put((one, work()))
            return
        self._jobs[soon].put(one)
        if soon not in self._workers or not self._workers[soon].is_alive():
            self._workers[soon] = threading.Thread(target=self._work, args=(soon,), name="long work", daemon=True)
            self._workers[soon].start()

    def _work(self, soon: bool) -> None:
        while (one := self._jobs[soon].get()) is not None:
            self._done.put((one, one.work()))

    def finished(self) -> Callable[[], None] | None:
        """Return what follows from the next job that is done, or None."""
        try:
            one, follow = self._done.get_nowait()
        except queue.Empty:
            return None
        self._under_way.remove(one)
        return follow

    def close(self, wait_s: float = 10.0) -> None:
        """Let what is under way come to its end, so that no file is half written."""
        for soon, worker in self._workers.items():
            if worker.is_alive():
                self._jobs[soon].put(None)
                worker.join(wait_s)


def _raising(error: Exception, failed: Callable[[], None]) -> Callable[[], None]:
    def follow() -> None:
        failed()
        raise error

    return follow
