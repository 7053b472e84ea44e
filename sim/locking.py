"""One pair of hands: a file that programs share is held by an operating-system lock while somebody works on it.

The lock stands on a small file beside the one it is for (``.evening.jsonl.lock``), because the file itself may be replaced
while it is held. It goes with the program that took it, however that ends; the small file goes when it is let go. Where a
file system keeps no locks, or the folder cannot be written to, work goes on without one and ``why_not`` says so.
"""

from __future__ import annotations

import contextlib
import os
import threading
import time
from pathlib import Path

from sim.refusals import Refusal
from sim.writing import stem_of

LOOK_AGAIN_S = 0.02  # how often somebody who waits looks whether the file is free
TRIES_AT_A_FILE_TAKEN_AWAY = 5  # a lock file that was removed while it was being taken is made anew

_here: set[str] = set()  # what this process holds: some network shares do not tell two locks of one process apart
_guard = threading.Lock()


class OpenElsewhere(Refusal):
    """Another program, or another part of this one, holds the file; the message names it."""

    def __init__(self, file: Path, more: str = "close it there first; until then it can be looked at, not changed") -> None:
        self.file = str(file)
        super().__init__(f"{file}: is open elsewhere ({more})")


class Hold:
    """A file held. Ends with ``let_go``, when it is no longer used, or with the program."""

    def __init__(self, file: Path, lock_file: Path, descriptor: int | None, why_not: str | None) -> None:
        """Take note of what ``take_hold`` found; use that."""
        self.file, self.why_not = file, why_not
        self._lock_file, self._descriptor, self._process = lock_file, descriptor, os.getpid()
        self._key = _key_of(lock_file)

    @property
    def locked(self) -> bool:
        """Tell whether nobody else can take the file now: False where there are no locks, or once it was let go."""
        return self._descriptor is not None

    def let_go(self) -> None:
        """Let others have the file. A second time does nothing."""
        key, self._key = self._key, ""
        descriptor, self._descriptor = self._descriptor, None
        ours = bool(key) and self._process == os.getpid()
        if descriptor is not None:
            with contextlib.suppress(OSError):
                if ours and _still_there(descriptor, self._lock_file):
                    os.unlink(self._lock_file)  # while it is held: who waits for it sees that it is gone and makes a new one
            with contextlib.suppress(OSError):
                os.close(descriptor)  # which takes the lock away, unless a child process still has it
        if ours:
            with _guard:
                _here.discard(key)

    def __enter__(self) -> Hold:
        return self

    def __exit__(self, *_: object) -> None:
        self.let_go()

    def __del__(self) -> None:
        with contextlib.suppress(Exception):  # a program on its way out has little left to do this with
            self.let_go()


def lock_file_of(file: Path) -> Path:
    """Return the file that the lock for another one stands on, links followed."""
    file = Path(os.path.realpath(file))
    return file.with_name(f".{stem_of(file.name)}.lock")


def _key_of(lock_file: Path) -> str:
    return os.path.normcase(str(lock_file))


def take_hold(file: Path, wait_s: float = 0.0) -> Hold:
    """Return a hold on a file, there or not yet. Raises OpenElsewhere when it is not to be had within ``wait_s`` seconds."""
    lock_file = lock_file_of(file)
    tries = 1 + round(wait_s / LOOK_AGAIN_S)
    for left in range(tries, 0, -1):
        hold = _take(file, lock_file)
        if hold is not None:
            return hold
        if left > 1:
            time.sleep(LOOK_AGAIN_S)
    if wait_s:
        raise OpenElsewhere(file, f"and has been for {wait_s:g} s; nothing was changed")
    raise OpenElsewhere(file)


def _take(file: Path, lock_file: Path) -> Hold | None:
    """Return the hold, without a lock where there can be none; None when somebody has it."""
    key = _key_of(lock_file)
    with _guard:
        if key in _here:
            return None
        _here.add(key)
    descriptor: int | None = None
    why_not: str | None = None
    try:
        descriptor = _locked(lock_file)
        if descriptor is None:
            return None
    except (OSError, ValueError) as error:  # a ValueError is a name that no file can have
        why_not = getattr(error, "strerror", None) or str(error)
    finally:
        if descriptor is None and why_not is None:
            with _guard:
                _here.discard(key)
    return Hold(file, lock_file, descriptor, why_not)


def _locked(lock_file: Path) -> int | None:
    """Return an open descriptor with the lock on it, None when somebody has it. Raises OSError where there can be none."""
    from filelock import (
        lock_descriptor,  # a tenth of a second of start-up time that verbs without an evening do not pay
    )

    lock_file.parent.mkdir(parents=True, exist_ok=True)
    for _ in range(TRIES_AT_A_FILE_TAKEN_AWAY):
        descriptor = os.open(lock_file, os.O_RDWR | os.O_CREAT | getattr(os, "O_NONBLOCK", 0), 0o644)
        try:
            if not lock_descriptor(descriptor, blocking=False):
                os.close(descriptor)
                return None
            if _still_there(descriptor, lock_file):
                return descriptor
        except BaseException:
            os.close(descriptor)
            raise
        os.close(descriptor)
    return None


def _still_there(descriptor: int, lock_file: Path) -> bool:
    """Tell whether what was locked is still the file of that name, so that two never hold two files of one name."""
    try:
        return os.path.samestat(os.fstat(descriptor), os.stat(lock_file))
    except FileNotFoundError:
        return False
