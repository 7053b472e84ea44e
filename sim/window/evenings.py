"""Where evenings are kept: one numbered folder each; the newest is the one that is carried on."""

from __future__ import annotations

from pathlib import Path

FOLDER = "evenings"
MOST = 9999


def kept_evenings(folder: Path) -> list[Path]:
    """Return the folders of all evenings, oldest first."""
    inside = (folder / FOLDER).glob("[0-9][0-9][0-9][0-9]")
    return sorted(p for p in inside if p.is_dir() and any(p.iterdir()))


def next_evening(folder: Path) -> Path:
    """Return the folder of an evening to come. Raises ValueError when the shelf is full."""
    kept = kept_evenings(folder)
    number = int(kept[-1].name) + 1 if kept else 1
    if number > MOST:
        raise ValueError(f"evenings must be at most {MOST}, got one more; move old ones out of {folder / FOLDER}")
    return folder / FOLDER / f"{number:04d}"
