"""What the marking tests share."""

from __future__ import annotations

from pathlib import Path

import pytest
from class_room import ClassRoom, class_room


@pytest.fixture
def room(tmp_path: Path) -> ClassRoom:
    """A small course without variants."""
    return class_room(tmp_path / "course")
