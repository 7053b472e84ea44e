"""Durable writing: a file is either the old one or the whole new one, never half of it.

Order (temporary file beside the target, write, flush, fsync, replace, fsync of the folder): of plain writes that are
killed about half leave an unreadable file, of these none.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import stat
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

from sim.refusals import Refusal


class WritingFailed(Refusal, OSError):
    """A file could not be written; the old one is intact. The message names file and reason."""


def sync_folder(folder: Path) -> None:
    """Put a folder's list of names on disk, so that a new file is still there after a power cut."""
    with contextlib.suppress(OSError):  # some file systems cannot sync a folder; the data itself is synced
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def write_durably(path: Path, fill: Callable[[BinaryIO], object], keep_previous: bool = False) -> None:
    """Write a file through ``fill(handle)``. Raises WritingFailed and leaves the old file as it was.

    ``keep_previous`` keeps one older generation beside it with the suffix ``.previous``.
    """
    path = _target(path)
    temporary, spare = (path.with_name(f".{path.name[:40]}.{secrets.token_hex(4)}.{end}") for end in ("part", "link"))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with open(temporary, "xb") as handle:
            fill(handle)
            handle.flush()
            os.fsync(handle.fileno())
        if keep_previous and path.exists():
            previous = path.with_name(path.name + ".previous")
            os.link(path, spare)  # the target's name never goes missing, not even for a moment
            os.replace(spare, previous)
        os.replace(temporary, path)
        sync_folder(path.parent)
    except OSError as error:
        raise WritingFailed(f"{path}: cannot be written ({error.strerror or error})") from error
    finally:
        for left in (temporary, spare):
            with contextlib.suppress(OSError):
                left.unlink(missing_ok=True)


def _target(path: Path) -> Path:
    """Return the file meant, links followed. Refuses what a file must not take the place of: folders, devices, pipes."""
    path = Path(os.path.realpath(path))
    try:
        mode = path.stat().st_mode
    except OSError:
        return path  # not there yet; whatever else is wrong shows when it is written
    if not stat.S_ISREG(mode):
        kind = "a folder" if stat.S_ISDIR(mode) else "a pipe or device"
        raise WritingFailed(f"{path}: cannot be written (must be a regular file, got {kind})")
    return path


def write_text(path: Path, text: str) -> None:
    """Write UTF-8 text durably."""
    write_durably(path, lambda handle: handle.write(text.encode("utf-8")))


def write_bytes(path: Path, data: bytes) -> None:
    """Write bytes durably."""
    write_durably(path, lambda handle: handle.write(data))
