"""Durable writing: a file is either the old one or the whole new one, never half of it.

Order (temporary file beside the target, write, flush, fsync, replace, fsync of the folder): of plain writes that are
killed about half leave an unreadable file, of these none. What a file system does not have (hard links, fsync) is done
without; what a killed write leaves behind is swept away by whoever next has the file to himself.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import io
import os
import re
import secrets
import stat
import time
import unicodedata
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, BinaryIO

from sim.refusals import Refusal

LONGEST_STEM = 40  # characters of a file's name that stand in the names of what is written beside it
# What a file system answers that does not know the call; a full disk or a broken one answers otherwise.
NOT_KNOWN_HERE = frozenset({errno.EINVAL, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP})
NO_LINKS_HERE = NOT_KNOWN_HERE | {errno.EPERM, errno.EMLINK, errno.EXDEV}
# What one system answers (access denied, sharing or lock violation) while another program reads a file that is to be replaced
HELD_OPEN = frozenset({5, 32, 33})
TRIES_AT_A_FILE_HELD_OPEN, BETWEEN_TRIES_S = 10, 0.05
_LEFTOVER = re.compile(r"\.(?P<stem>.+)\.[0-9a-f]{8}\.(?:part|link)", re.DOTALL)


class WritingFailed(Refusal, OSError):
    """A file could not be written; the old one is intact. The message names file and reason."""


class ChangedMeanwhile(WritingFailed):
    """A file was to be replaced that no longer holds what was read from it; it was left as it is."""


@contextlib.contextmanager
def failing_as(file: Path, cannot_be: str) -> Iterator[None]:
    """Say of whatever the system refuses meanwhile that a file cannot be written, continued or repaired, and why."""
    try:
        yield
    except WritingFailed:
        raise
    except OSError as error:
        raise WritingFailed(f"{file}: cannot be {cannot_be} ({error.strerror or error})") from error


def stem_of(name: str) -> str:
    """Return what stands for a file's name in the names beside it: itself, or where it is long its beginning and a digest."""
    if len(name) <= LONGEST_STEM:
        return name
    alike = unicodedata.normalize("NFC", name).casefold()  # one file under all spellings that a file system takes for one
    digest = hashlib.sha256(alike.encode("utf-8", "surrogatepass")).hexdigest()[:8]
    return f"{name[: LONGEST_STEM - 9]}-{digest}"


def sync_file(descriptor: int) -> None:
    """Put what was written on disk. Where the file system cannot be asked to, the system does it in its own time."""
    try:
        os.fsync(descriptor)
    except OSError as error:
        if error.errno not in NOT_KNOWN_HERE:
            raise


def sync_folder(folder: Path) -> None:
    """Put a folder's list of names on disk, so that a new file is still there after a power cut."""
    with contextlib.suppress(OSError):  # some file systems cannot sync a folder; the data itself is synced
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def write_durably(
    path: Path, fill: Callable[[BinaryIO], object], keep_previous: bool = False, only_over: bytes | None = None
) -> None:
    """Write a file through ``fill(handle)``. Raises WritingFailed and leaves the old file as it was.

    ``keep_previous`` keeps one older generation beside it with the suffix ``.previous``. ``only_over``: the file is replaced
    only while it holds these bytes, else ChangedMeanwhile is raised.
    """
    path = _target(path)
    around = f".{stem_of(path.name)}.{secrets.token_hex(4)}"
    temporary, spare = path.with_name(f"{around}.part"), path.with_name(f"{around}.link")
    try:
        with failing_as(path, "written"):
            path.parent.mkdir(parents=True, exist_ok=True)
            with open(temporary, "xb") as handle:
                fill(handle)
                handle.flush()
                sync_file(handle.fileno())
            if keep_previous and path.exists():
                _same_again(path, spare)  # the target's name never goes missing, not even for a moment
                put_in_place(spare, path.with_name(path.name + ".previous"))
            if only_over is not None and path.read_bytes() != only_over:
                raise ChangedMeanwhile(f"{path}: cannot be written (it has changed since it was read; open it again)")
            put_in_place(temporary, path)
            sync_folder(path.parent)
    finally:
        for left in (temporary, spare):
            with contextlib.suppress(OSError):
                left.unlink(missing_ok=True)


def put_in_place(new: Path, old: Path) -> None:
    """Give a written file the name of the old one. Raises OSError.

    One system does not replace a file that another program has open, if only to look through it for a moment: there it is
    tried again, for half a second at most.
    """
    for left in range(TRIES_AT_A_FILE_HELD_OPEN - 1, -1, -1):
        try:
            os.replace(new, old)
            return
        except PermissionError as error:
            if left == 0 or getattr(error, "winerror", None) not in HELD_OPEN:
                raise
        time.sleep(BETWEEN_TRIES_S)


def _same_again(path: Path, spare: Path) -> None:
    """Give a file a second name; where the file system has no hard links, a copy of it. Raises OSError."""
    try:
        os.link(path, spare)
    except OSError as error:
        if error.errno not in NO_LINKS_HERE:
            raise
    except AttributeError:  # a system without hard links at all
        pass
    else:
        return
    with open(path, "rb") as old, open(spare, "xb") as copy:
        copy.write(old.read())
        copy.flush()
        sync_file(copy.fileno())


def leftovers_of(file: Path) -> list[Path]:
    """Return what killed writes of a file, and of the damaged ends set aside from it, left beside it."""
    stem = re.escape(stem_of(file.name))
    ours = re.compile(rf"{stem}|{re.escape(file.name)}\.damaged-\d+", re.DOTALL)
    try:
        names = os.listdir(file.parent)
    except OSError:
        return []
    found = ((name, _LEFTOVER.fullmatch(name)) for name in names)
    return sorted(file.with_name(name) for name, match in found if match and ours.fullmatch(match["stem"]))


def sweep(file: Path) -> None:
    """Remove what killed writes of a file left beside it. Only for whoever holds the file: nobody else is writing it then."""
    for left in leftovers_of(Path(os.path.realpath(file))):
        with contextlib.suppress(OSError):
            left.unlink()


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


def write_png(path: Path, picture: Any, **options: Any) -> None:
    """Write grey or RGB values [row, col], or a picture of the imaging library, durably as PNG."""
    from PIL import Image

    image = picture if isinstance(picture, Image.Image) else Image.fromarray(picture)
    packed = io.BytesIO()
    image.save(packed, "PNG", **options)
    write_bytes(path, packed.getvalue())
