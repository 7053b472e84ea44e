"""What files are called where no name may be read: by their content, copies of one another each by a code of its own.

Copies are told apart by their names under the course's secret, so that no code can be led back to a name without it.
"""

from __future__ import annotations

import hashlib
import hmac
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from sim.marking.course import Course, read_secret
from sim.marking.handed_files import HandedFile

COPY_DIGITS = 8  # chosen: 32 bits tell a file's few copies apart


def content_code(file: HandedFile) -> str:
    """Return what a file and all copies of it are called by their content alone."""
    return f"file-{file.content[:16]}"


def with_codes(files: Sequence[HandedFile], course: Course, secret: bytes) -> tuple[HandedFile, ...]:
    """Return the files with the codes by which they are called where no name may be read. Raises FileRefused.

    Without a secret nobody marks blind, and copies keep the code of their content.
    """
    many = Counter(file.content for file in files)
    if len(many) == len(files):
        return tuple(files)
    if not secret and course.secret_file is not None and course.secret_file.is_file():
        secret = read_secret(course)
    return tuple(_coded(file, secret) if many[file.content] > 1 and secret else file for file in files)


def _coded(file: HandedFile, secret: bytes) -> HandedFile:
    place = f"file\n{file.shown_as}".encode("utf-8", "backslashreplace")
    own = hmac.new(secret, place, hashlib.sha256).hexdigest()[:COPY_DIGITS]
    return replace(file, code=f"{content_code(file)}-{own}")
