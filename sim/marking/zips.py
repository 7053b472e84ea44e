"""Zips that are given out: the same bytes for the same files, whoever writes them and when."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from sim.plain_text import table_cell, table_text
from sim.writing import write_bytes

INDEX_FILE = "index.csv"
_FIRST_DAY = (1980, 1, 1, 0, 0, 0)  # the earliest that a zip can say: no clock is asked


def zip_bytes(files: Mapping[str, bytes]) -> bytes:
    """Return a zip of files by name, in the order of their names."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        for name in sorted(files):
            info = zipfile.ZipInfo(name, _FIRST_DAY)
            info.compress_type, info.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
            archive.writestr(info, files[name])
    return buffer.getvalue()


def write_zip(file: Path, files: Mapping[str, bytes]) -> None:
    """Write a zip durably. Raises WritingFailed."""
    write_bytes(file, zip_bytes(files))


def index_text(header: Sequence[str], lines: Iterable[Sequence[str]]) -> str:
    """Return the list of what is given out, as a table for a mail merge or an upload."""
    return table_text([header, *(map(table_cell, line) for line in lines)])
