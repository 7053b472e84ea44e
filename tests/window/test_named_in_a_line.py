"""What a line names is what stands on the print: whole names, wherever they stand in the line, the longest first."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from sim.window.teacher.on_print import _named

MARKS = [SimpleNamespace(place=place) for place in ("jar", "jar-shade", "near-bowl", "wall", "back-wall", "")]


@pytest.mark.parametrize(
    ("line", "places"),
    [
        ("The jar shade is too dark.", ["jar-shade"]),
        ("Near bowl: a third of a stop less.", ["near-bowl"]),
        ("Look at jar and jar shade.", ["jar", "jar-shade"]),
        ("The back wall closes.", ["back-wall"]),
        ("Nothing of it.", ["jar", "jar-shade", "near-bowl", "wall", "back-wall", ""]),
        ("Jars are no jar's business: walls neither.", ["jar"]),
    ],
)
def test_a_line_points_at_what_it_names(line: str, places: list[str]) -> None:
    assert [mark.place for mark in _named(MARKS, line)] == places  # type: ignore[arg-type]
