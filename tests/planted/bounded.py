"""A bound on the processor time of a test: by the clock a busy machine would call honest tests hung."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager


class TooLong(BaseException):
    """A test has had its time; no exception that a test or a search for examples would take for its own."""


@contextmanager
def no_longer_than(most_s: float) -> Iterator[None]:
    """Stop what is done inside once it has had so many seconds of processor time."""

    def stop(_number: int, _frame: object) -> None:
        raise TooLong(f"more than {most_s:g} s")

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, most_s)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        signal.signal(signal.SIGPROF, before)
