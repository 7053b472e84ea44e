"""The verb that looks through a loupe, and the same looks inside a lesson."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from running import Run


def picture(path: Path) -> np.ndarray:
    return np.asarray(Image.open(path)).astype(float)


def test_a_loupe_shows_a_place_and_a_point(run: Run, here: Path) -> None:
    ran = run("loupe", "--negative", "racks-small-film", "--at", "near-bowl", "--f-number", "4")
    assert ran.code == 0
    assert "the lens keeps" in ran.out
    assert picture(here / "racks-small-film-loupe.png").shape == (400, 400)
    ran = run("loupe", "--negative", "racks-small-film", "--at", "60,85", "--side", "10", "-o", "small.png", "--json")
    assert json.loads(ran.out)["x_mm"] == 60.0
    assert picture(here / "small.png").shape == (400, 400)


def test_a_focuser_shows_grain_that_goes_out_of_focus(run: Run, here: Path) -> None:
    for name, focus in (("sharp.png", "0"), ("soft.png", "0.3")):
        ran = run("loupe", "--negative", "racks-small-film", "--easel", "--at", "100,70", "--focus", focus, "--f-number", "4",
                  "-o", name)  # fmt: skip
        assert ran.code == 0
    sharp, soft = (np.diff(picture(here / name), axis=1).std() for name in ("sharp.png", "soft.png"))
    assert soft < 0.6 * sharp


@pytest.mark.parametrize(
    ("at", "words"),
    [("400,3", "--at must lie on the sheet"), ("nowhere", "--at must be one of"), ("a,b", "--at must be a named place, or mm")],
)
def test_what_is_no_point_of_the_sheet_is_refused_in_words(at: str, words: str, run: Run, here: Path) -> None:
    ran = run("loupe", "--negative", "racks-small-film", "--at", at)
    assert ran.code == 2
    assert words in ran.err


def test_a_print_writes_a_loupe_at_a_point(run: Run, here: Path) -> None:
    ran = run("print", "--negative", "focus-target", "--loupe", "50,127")
    assert ran.code == 0
    assert picture(here / "focus-target-print-loupe.png").std() > 20.0


def test_a_lesson_looks_through_loupe_and_focuser(run: Run, here: Path) -> None:
    Path("lines.txt").write_text("go-on\nloupe 1 near-bowl\nfocuser at=100,100 focus=0.1 f-number=4\nfocuser height=600\n")
    ran = run("lesson", "focus-and-best-aperture", "--do", "lines.txt", "--keep", "keep", "--pictures", "seen")
    assert "there is none yet" in ran.out
    assert picture(here / "seen" / "easel-100-100.png").shape == (480, 480)
    assert "height on the column is locked" in ran.out
