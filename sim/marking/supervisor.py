"""A supervisor of worker processes that is itself an Executor: one lost worker loses one piece of work and nothing else.

Each worker has a pipe of its own and works on one piece at a time. When a worker dies, or does not answer within the
time limit (of time it has had: ``time_had.py``) and a margin, its piece ends with an exception, a fresh worker takes its
place, and the others never notice.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import threading
import time
from collections.abc import Callable
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from queue import Empty, SimpleQueue
from typing import Any

from sim.marking.time_had import TimeHad, next_look_s
from sim.marking.worker_walls import TimeLimitReached, limit_memory, memory_watched, processor_time_of

MARGIN_S = 3.0  # what a worker gets to end by itself before it is stopped from outside
START_S = 60.0  # a fresh worker first has to import what it needs
POLL_S = 0.05


class WorkerLost(Exception):
    """The process that did the work ended before it was done."""


@dataclass
class _Piece:
    future: Future[Any]
    work: Callable[..., Any]
    arguments: tuple[Any, ...]


def _serve(pipe: Connection, memory_mb: int, prepare: Callable[[], object] | None) -> None:
    """Do what comes through the pipe, one piece after the other, until the pipe closes."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the supervisor decides when to stop
    if prepare is not None:
        prepare()
    most = limit_memory(memory_mb)
    pipe.send("ready")
    while True:
        try:
            work, arguments = pipe.recv()
        except (EOFError, OSError):
            return
        answer: tuple[bool, Any]
        try:
            with memory_watched(most):
                answer = True, work(*arguments)
        except MemoryError:
            answer = False, MemoryError("memory")
        except Exception as error:
            answer = False, error
        try:
            pipe.send(answer)
        except (OSError, BrokenPipeError):
            return
        except Exception:  # an answer that cannot be sent
            pipe.send((False, WorkerLost("the answer could not be sent")))


class _Worker:
    """One process and our end of its pipe."""

    def __init__(self, memory_mb: int, prepare: Callable[[], object] | None):
        context = multiprocessing.get_context("spawn")  # the same on every system; no half-copied threads
        self.pipe, theirs = context.Pipe()
        self.process = context.Process(target=_serve, args=(theirs, memory_mb, prepare), daemon=True)
        self.process.start()
        theirs.close()
        self._greeted = False

    def do(self, piece: _Piece, time_limit_s: float | None, stopping: Callable[[], bool]) -> Any:
        """Return the worker's answer. Raises what the work raised, TimeLimitReached or WorkerLost."""
        try:
            if not self._greeted:
                self._wait(START_S, stopping)
                self._greeted = self.pipe.recv() == "ready"
            self.pipe.send((piece.work, piece.arguments))
            self._wait(None if time_limit_s is None else time_limit_s + MARGIN_S, stopping)
            good, answer = self.pipe.recv()
        except (EOFError, OSError):
            raise WorkerLost("the worker's process ended") from None
        if not good:
            raise answer
        return answer

    def _wait(self, seconds: float | None, stopping: Callable[[], bool]) -> None:
        had = TimeHad(processor_time_of(self.process.pid or 0))
        look = time.monotonic() + next_look_s(seconds or START_S, 0.0)
        while not self.pipe.poll(POLL_S):
            if stopping():
                raise WorkerLost("stopped")
            if seconds is not None and time.monotonic() >= look:
                so_far = had.s()
                if so_far >= seconds:
                    raise TimeLimitReached
                look = time.monotonic() + next_look_s(seconds, so_far)

    def end(self) -> None:
        """End the process, by force if it does not go."""
        self.pipe.close()
        if self.process.is_alive():
            self.process.kill()
        self.process.join()
        with contextlib.suppress(ValueError):
            self.process.close()


@dataclass
class Supervisor(Executor):
    """An Executor over ``workers`` processes, each piece within ``time_limit_s`` and ``memory_mb`` beyond the start.

    ``prepare`` is called once in every fresh worker before any piece, so that no piece pays for imports.
    """

    workers: int = 2
    time_limit_s: float | None = None
    memory_mb: int = 1500
    prepare: Callable[[], object] | None = None
    _queue: SimpleQueue[_Piece | None] = field(default_factory=SimpleQueue)
    _threads: list[threading.Thread] = field(default_factory=list)
    _stop: threading.Event = field(default_factory=threading.Event)

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Queue a piece of work; its function must be importable by name."""
        if self._stop.is_set():
            raise RuntimeError("the supervisor has been shut down")
        if kwargs:
            raise TypeError("the supervisor passes positional arguments only")
        future: Future[Any] = Future()
        self._queue.put(_Piece(future, fn, args))
        if len(self._threads) < self.workers:
            thread = threading.Thread(target=self._tend, daemon=True)
            self._threads.append(thread)
            thread.start()
        return future

    def _tend(self) -> None:
        """Keep one worker busy, and replace it when it is lost."""
        worker: _Worker | None = None
        try:
            while (piece := self._queue.get()) is not None:
                if not piece.future.set_running_or_notify_cancel():
                    continue
                try:
                    fresh = worker is None
                    worker = worker or _Worker(self.memory_mb, self.prepare)
                    try:
                        answer = worker.do(piece, self.time_limit_s, self._stop.is_set)
                    except MemoryError:
                        if fresh:
                            raise
                        worker.end()  # what earlier pieces left behind is no fault of this one: a fresh process decides
                        worker = _Worker(self.memory_mb, self.prepare)
                        answer = worker.do(piece, self.time_limit_s, self._stop.is_set)
                    piece.future.set_result(answer)
                except BaseException as error:
                    if isinstance(error, WorkerLost | TimeLimitReached | MemoryError | OSError) and worker is not None:
                        worker.end()  # after a limit the process may hold anything: a fresh one takes over
                        worker = None
                    piece.future.set_exception(error)
        finally:
            if worker is not None:
                worker.end()

    def __exit__(self, kind: object, error: object, trace: object) -> None:
        """End the workers: when all went well after the last piece, else at once."""
        self.shutdown(wait=True, cancel_futures=kind is not None)

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End the workers once the queue is done; with ``cancel_futures`` at once."""
        if cancel_futures:
            self._stop.set()
            with contextlib.suppress(Empty):
                while True:
                    piece = self._queue.get_nowait()
                    if piece is not None:
                        piece.future.cancel()
        for _ in self._threads:
            self._queue.put(None)
        if wait:
            for thread in self._threads:
                thread.join()
