"""Files handed in as one zip, the way course systems give them out: read member by member, bounded, nothing put on a disk.

A member's name is a name to be shown, never a path. A zip may say less than it holds: sizes are counted while reading.
"""

from __future__ import annotations

import zipfile
import zlib
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path
from zoneinfo import ZoneInfo

from sim.reading import MAX_RECORD_BYTES, FileRefused, Problem

MOST_MEMBERS = 200_000
MOST_RATIO = 200  # an evening's log shrinks to a tenth
MOST_ZIP_BYTES = 8 * 1024**3
_CHUNK = 65_536
_ENCRYPTED = 0x1
_BROKEN = (zipfile.BadZipFile, zlib.error, OSError, EOFError, NotImplementedError, RuntimeError, ValueError)


@dataclass(frozen=True)
class Member:
    """A file of a zip: its name as it stands there, when it was put in by the system's own clock, and what keeps it unread.

    ``number`` is 1 for the first of its name.
    """

    name: str
    when: datetime
    problem: str = ""
    number: int = 1

    @property
    def shown_as(self) -> str:
        """What it is called, by which it can be told from the others of its name: they get a number, in every language."""
        return self.name if self.number == 1 else f"{self.name} ({self.number})"


def members(file: Path, zone: ZoneInfo) -> Iterator[Member]:
    """Yield the files of a zip by name. Raises FileRefused for what is no zip, or holds too much."""
    if file.stat().st_size > MOST_ZIP_BYTES:
        raise FileRefused(file, [Problem("", f"must not be larger than {MOST_ZIP_BYTES} bytes", "more")])
    try:
        listed = _opened(file).infolist()
    except _BROKEN as error:
        raise FileRefused(file, [Problem("", f"must be a whole zip ({str(error)[:80]})", "")]) from None
    if len(listed) > MOST_MEMBERS:
        raise FileRefused(file, [Problem("", f"must not hold more than {MOST_MEMBERS} files", f"{len(listed)}")])
    seen: Counter[str] = Counter()
    for info in sorted(listed, key=lambda one: one.filename):
        if info.is_dir():
            continue
        seen[info.filename] += 1
        yield Member(info.filename, _put_in(info, zone), _unreadable(info), seen[info.filename])


def _unreadable(info: zipfile.ZipInfo) -> str:
    if info.flag_bits & _ENCRYPTED:
        return "is locked with a password"
    if info.file_size > MAX_RECORD_BYTES:
        return f"must not be larger than {MAX_RECORD_BYTES} bytes, got {info.file_size}"
    if info.file_size > MOST_RATIO * max(info.compress_size, 1):
        return f"is packed more than {MOST_RATIO} times: no evening is"
    return "must be the file itself, got a link" if (info.external_attr >> 16) & 0o170000 == 0o120000 else ""


def _put_in(info: zipfile.ZipInfo, zone: ZoneInfo) -> datetime:
    try:
        return datetime(*info.date_time, tzinfo=zone).astimezone(UTC)
    except ValueError:  # a month 0, a second 60
        return datetime(1980, 1, 1, tzinfo=UTC)


def read_member(file: Path, name: str, number: int = 1) -> bytes:
    """Return the bytes of a member by name, and which of that name; never more than an evening may have. Raises FileRefused."""
    shown_as = Path(f"{file.name}: {name[:120]}")
    data = b""
    try:
        with _opened(file).open(_of_names(_opened(file))[name][number - 1]) as opened:
            while chunk := opened.read(_CHUNK):
                data += chunk
                if len(data) > MAX_RECORD_BYTES:
                    rule = f"must not be larger than {MAX_RECORD_BYTES} bytes"
                    raise FileRefused(shown_as, [Problem("", rule, "more")])
    except (LookupError, *_BROKEN) as error:
        raise FileRefused(shown_as, [Problem("", f"cannot be read from the zip ({str(error)[:80]})", "")]) from None
    return data


def _opened(file: Path) -> zipfile.ZipFile:
    """Return a zip with its list read: once, not again for each of thousands of files; anew once the zip is another."""
    found = file.stat()
    return _listed(file, found.st_mtime_ns, found.st_size)


@lru_cache(maxsize=1)
def _of_names(opened: zipfile.ZipFile) -> Mapping[str, list[zipfile.ZipInfo]]:
    """Return the members of every name in the order in which they lie there; a zip asked by name would give its last."""
    found: dict[str, list[zipfile.ZipInfo]] = {}
    for info in opened.infolist():
        found.setdefault(info.filename, []).append(info)
    return found


@lru_cache(maxsize=1)
def _listed(file: Path, changed_ns: int, size: int) -> zipfile.ZipFile:
    return zipfile.ZipFile(file)
