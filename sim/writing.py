"""Durable writing: a file is either the old one or the whole new one, never half of it.

Order (temporary file beside the target, write, flush, fsync, replace, fsync of the folder): of plain writes that are
killed about half leave an unreadable file, of these none.
"""

from __future__ import annotations

import contextlib
import os
import secrets
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO


class WritingFailed(OSError):
    """A file could not be written; the old one is intact. The message names file and reason."""


def _sync_folder(folder: Path) -> None:
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
    temporary = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with open(temporary, "xb") as handle:
            fill(handle)
            handle.flush()
            os.fsync(handle.fileno())
        if keep_previous and path.exists():
            previous = path.with_name(path.name + ".previous")
            spare = path.with_name(f".{path.name}.{secrets.token_hex(4)}.link")
            os.link(path, spare)  # the target's name never goes missing, not even for a moment
            os.replace(spare, previous)
        os.replace(temporary, path)
        _sync_folder(path.parent)
    except OSError as error:
        raise WritingFailed(f"{path}: cannot be written ({error.strerror or error})") from error
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink(missing_ok=True)


def write_text(path: Path, text: str) -> None:
    """Write UTF-8 text durably."""
    write_durably(path, lambda handle: handle.write(text.encode("utf-8")))


def write_bytes(path: Path, data: bytes) -> None:
    """Write bytes durably."""
    write_durably(path, lambda handle: handle.write(data))
