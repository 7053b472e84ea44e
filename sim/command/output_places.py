"""Where a verb's files go: one rule for all verbs. A folder that is not there yet is made with the file, and that is said.

So a slip of the keyboard shows; and a verb that refuses has made none.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

OUTPUTS = ("output", "save_record", "report", "plot", "html", "changes", "step_scale", "picture")


def folders_to_make(options: argparse.Namespace) -> list[Path]:
    """Return the folders around a verb's outputs that are not there yet, as far out as the first that must be made."""
    texts = [getattr(options, name, None) for name in OUTPUTS]
    found = []
    for text in texts:
        folder = Path(text).parent if isinstance(text, str) and text else Path()
        if not folder.exists():
            found.append(folder)
    return list(dict.fromkeys(found))


def say_made(folders: list[Path]) -> None:
    """Say which of the folders have been made, beside what the verb itself says."""
    for folder in folders:
        if folder.is_dir():
            print(f"Made the folder {folder}", file=sys.stderr)
