"""Collects the texts in data that are shown: titles and places of negatives, lessons, skills, papers, heads, lenses."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

SOURCE = Path(__file__).parent
FILES = (
    "negative/sleeves/*.toml", "negative/films/*.toml", "paper/stocks/*.toml", "paper/developer.toml",
    "enlarger/equipment.toml", "enlarger/filters.toml", "../lessons/syllabus.toml", "../lessons/*/exercise.toml",
)  # fmt: skip
SHOWN_KEYS = frozenset({"title", "teaches", "what"})  # whose texts are shown as they stand
NAMED_KEYS = frozenset(
    {"place", "places", "name", "needs", "skill", "skills"}
)  # names, which are shown without their hyphens


def plain(name: str) -> str:
    """Return a name as it is read out, as ``viewing/plain_names`` does, which no file at the top may ask."""
    return name.replace("~", ", ").replace("-", " ")


def data_texts() -> Iterator[tuple[str, str]]:
    """Yield file and text of everything in data that is shown."""
    for pattern in FILES:
        for file in sorted(SOURCE.glob(pattern)):
            name = file.resolve().relative_to(SOURCE.resolve().parent).as_posix()
            yield from ((name, text) for text in _shown_in(tomllib.loads(file.read_text(encoding="utf-8"))))
            if "sleeves" in pattern:
                yield name, plain(file.stem)  # what a record calls it


def _shown_in(table: object, key: str = "") -> Iterator[str]:
    if isinstance(table, dict):
        for inner, value in table.items():
            yield from _shown_in(value, inner)
    elif isinstance(table, list):
        for value in table:
            yield from _shown_in(value, key)
    elif isinstance(table, str):
        if key in SHOWN_KEYS:
            yield table
        elif key in NAMED_KEYS:
            yield plain(table)
