"""Work kept between runs: one JSON file per evening replayed, written as it finishes, found again by what it depends on.

A file's name is the hash of the evening's content, the exercise, the negatives given out and the marker's version: when
one of them changes, the evening is marked anew, else not. A damaged file is no result; it is made again.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from sim.marking.results import SubmissionResult
from sim.reading import FileRefused, read_bytes
from sim.version import VERSION
from sim.writing import write_text

MARKER_VERSION = f"{VERSION}/12"  # the second number goes up when the same evening may get other marks or pages
MAX_KEPT_BYTES = 32 * 1024 * 1024


@dataclass(frozen=True)
class Marked:
    """What the replay of one evening gave: the result, and its pictures as JPEG by name."""

    result: SubmissionResult
    pictures: dict[str, bytes] = field(default_factory=dict)


def key_of(parts: Iterable[str]) -> str:
    """Return the name under which work that depends on these texts is kept."""
    text = json.dumps([MARKER_VERSION, *parts], ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def marked_text(marked: Marked) -> str:
    """Return the kept form: JSON whose last key seals what stands before it."""
    content: dict[str, Any] = {
        "result": marked.result.model_dump(mode="json"),
        "pictures": {name: base64.b64encode(data).decode("ascii") for name, data in sorted(marked.pictures.items())},
    }
    return json.dumps({**content, "seal": _seal(content)}, sort_keys=True, ensure_ascii=False, allow_nan=False) + "\n"


def _seal(content: dict[str, Any]) -> str:
    text = json.dumps(content, sort_keys=True, ensure_ascii=True, allow_nan=False)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def keep(folder: Path, key: str, marked: Marked) -> None:
    """Write a piece of work durably. Raises WritingFailed."""
    write_text(folder / f"{key}.json", marked_text(marked))


def kept(folder: Path, key: str) -> Marked | None:
    """Return work kept under a key; None when there is none, or what is there is not whole."""
    file = folder / f"{key}.json"
    if not file.is_file():
        return None
    try:
        data = json.loads(read_bytes(file, MAX_KEPT_BYTES))
        if data.pop("seal") != _seal(data):
            return None
        pictures = {str(name): base64.b64decode(text) for name, text in data["pictures"].items()}
        return Marked(SubmissionResult.model_validate(data["result"]), pictures)
    except (FileRefused, ValidationError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None
