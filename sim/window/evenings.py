"""Where evenings are kept: one numbered folder each; the newest is the one that is carried on."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from sim.reading import parse_json, read_text, validate
from sim.refusals import Refused
from sim.writing import write_text

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
    inside = (folder / FOLDER).glob("[0-9][0-9][0-9][0-9]")
    return sorted(p for p in inside if p.is_dir() and any(p.iterdir()))


def next_evening(folder: Path) -> Path:
    """Return the folder of an evening to come. Raises ValueError when the shelf is full."""
    kept = kept_evenings(folder)
    number = int(kept[-1].name) + 1 if kept else 1
    if number > MOST:
        raise Refused(f"evenings must be at most {MOST}, got one more; move old ones out of {folder / FOLDER}")
    return folder / FOLDER / f"{number:04d}"


def keep_task(evening: Path, exercise_folder: Path) -> None:
    """Write down in which folder of one's own an evening's exercise lies. Raises WritingFailed."""
    evening.mkdir(parents=True, exist_ok=True)
    data = {"format": 1, "folder": str(exercise_folder.resolve())}
    write_text(evening / TASK_FILE, json.dumps(data, indent=1, ensure_ascii=False) + "\n")


def forget_task(evening: Path, log_name: str) -> None:
    """Take the folder of an evening away again that was refused before it began."""
    if not (evening / log_name).exists():
        (evening / TASK_FILE).unlink(missing_ok=True)
        if evening.is_dir() and not any(evening.iterdir()):
            evening.rmdir()


def task_of(evening: Path) -> str:
    """Return the folder of an evening's exercise, empty for a lesson from the shelf or no lesson. Raises OutsideError."""
    file = evening / TASK_FILE
    if not file.exists():
        return ""
    return validate(file, parse_json(file, read_text(file, MOST_BYTES)), _Task).folder
