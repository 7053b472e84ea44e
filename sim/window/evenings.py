"""Where evenings are kept: one numbered folder each; the newest is the one that is carried on."""

from __future__ import annotations

import contextlib
import json
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from sim.locking import lock_file_of
from sim.reading import parse_json, read_text, validate
from sim.refusals import Refused
from sim.writing import WritingFailed, write_text

FOLDER = "evenings"
TASK_FILE = "exercise.json"  # beside the log of an evening whose exercise lies in a folder of one's own
MOST = 9999
MOST_BYTES = 16 * 1024


class _Task(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")
    format: Literal[1]
    folder: Annotated[str, Field(min_length=1, max_length=4096)]


def kept_evenings(folder: Path) -> list[Path]:
    """Return the folders of all evenings, oldest first."""
    return [p for p in _numbered(folder) if any(not inside.name.startswith(".") for inside in p.iterdir())]


def _numbered(folder: Path) -> list[Path]:
    return sorted(p for p in (folder / FOLDER).glob("[0-9][0-9][0-9][0-9]") if p.is_dir())


def new_evening(folder: Path) -> Path:
    """Make the folder of an evening to come, which nobody else has been given. Raises Refused when the shelf is full."""
    there = _numbered(folder)
    number = int(there[-1].name) + 1 if there else 1
    while number <= MOST:
        made = folder / FOLDER / f"{number:04d}"
        try:
            made.parent.mkdir(parents=True, exist_ok=True)
            made.mkdir()  # fails where another window was quicker
        except FileExistsError:
            number += 1
        except OSError as error:
            raise WritingFailed(f"{made}: cannot be made ({error.strerror or error})") from error
        else:
            return made
    raise Refused(f"evenings must be at most {MOST}, got one more; move old ones out of {folder / FOLDER}")


def keep_task(evening: Path, exercise_folder: Path) -> None:
    """Write down in which folder of one's own an evening's exercise lies. Raises WritingFailed."""
    evening.mkdir(parents=True, exist_ok=True)
    data = {"format": 1, "folder": str(exercise_folder.resolve())}
    write_text(evening / TASK_FILE, json.dumps(data, indent=1, ensure_ascii=False) + "\n")


def forget_task(evening: Path, log_name: str) -> None:
    """Take the folder of an evening away again that was refused before it began."""
    if (evening / log_name).exists():
        return
    with contextlib.suppress(OSError):  # what cannot be taken away may stay: without a log it is no evening
        (evening / TASK_FILE).unlink(missing_ok=True)
        lock_file_of(evening / log_name).unlink(missing_ok=True)
        evening.rmdir()


def task_of(evening: Path) -> str:
    """Return the folder of an evening's exercise, empty for a lesson from the shelf or no lesson. Raises OutsideError."""
    file = evening / TASK_FILE
    if not file.exists():
        return ""
    return validate(file, parse_json(file, read_text(file, MOST_BYTES)), _Task).folder
