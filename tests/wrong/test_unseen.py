"""What is listed as too little to be seen is planted and looked at: it must move no print further than the list says."""

from __future__ import annotations

from pathlib import Path

import pytest
from night import turns

from .unseen import EYE, UNSEEN, moved

# Each takes a copy of the program and some ten seconds: every eighth by day, all by night or with TONEWRIGHT_ALL_WRONG=1.
LOOKED_AT = sorted(UNSEEN) if turns("TONEWRIGHT_ALL_WRONG", 0, 1) else sorted(UNSEEN)[::8]


def test_nothing_is_listed_that_an_eye_could_see() -> None:
    assert [name for name, one in UNSEEN.items() if one.most_lightness > EYE] == []


@pytest.mark.slow
@pytest.mark.parametrize("name", LOOKED_AT)
def test_it_moves_the_prints_that_show_it_most_no_further_than_the_list_says(name: str, tmp_path: Path) -> None:
    one = UNSEEN[name]
    density, of_l = moved(one.wrong, one.look, tmp_path)
    assert density <= one.most_density
    assert of_l <= one.most_lightness


@pytest.mark.slow
def test_what_an_eye_does_see_is_told_apart(tmp_path: Path) -> None:
    """The same look, a yellow that is wrong by half."""
    one = UNSEEN["filter 1 1/2's yellow x 0.87"]
    _, of_l = moved(type(one.wrong)(one.wrong.files, one.wrong.name, 0.5), one.look, tmp_path)
    assert of_l > EYE
