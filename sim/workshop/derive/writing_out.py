"""The folder ``derived/`` on disk: compared with what was derived, or replaced as a whole, never by half."""

from __future__ import annotations

import shutil
from pathlib import Path

from sim.writing import sync_folder, write_text

NEW, OLD = ".derived-new", ".derived-old"


def differences(folder: Path, files: dict[str, str]) -> list[str]:
    """Return, by file name, where a folder's derived files are not what follows from its wishes today."""
    there = {file.name for file in folder.iterdir()} if folder.is_dir() else set()
    found = [f"{name} is missing" for name in sorted(files.keys() - there)]
    found += [f"{name} does not belong there" for name in sorted(there - files.keys())]
    for name in sorted(files.keys() & there):
        if (folder / name).read_bytes() != files[name].encode("utf-8"):
            found.append(f"{name} differs")
    return found


def replace_folder(folder: Path, files: dict[str, str]) -> None:
    """Put new files in the place of a derived folder: written beside it first, then exchanged by renaming.

    Killed in between, either the old folder stands there, or the new one, or (for the moment between two renamings) none,
    with both whole beside it.
    """
    new, old = folder.with_name(NEW), folder.with_name(OLD)
    for left in (new, old):
        shutil.rmtree(left, ignore_errors=True)
    for name, text in files.items():
        write_text(new / name, text)
    if folder.exists():
        folder.rename(old)
    new.rename(folder)
    sync_folder(folder.parent)
    shutil.rmtree(old, ignore_errors=True)
