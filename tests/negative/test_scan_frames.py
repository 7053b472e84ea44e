"""A scan's frame: turned, straightened, found, and its densities still what they were; what is guessed or lost is said."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from sim.command.main import main
from sim.negative.develop import find_negative
from sim.negative.frame_finding import Unsure, find_frame
from sim.negative.scan import ScanEncoding
from sim.negative.scan_frame import Box, frames_of_sheet, straightened, turned
from sim.negative.scan_work import ScanChoices, scanned_roll
from sim.refusals import Refused
from sim.shelf import NEGATIVE, own_shelf
from sim.writing import write_png

CLEAR = 0.8  # light of clear film, of full scale


def _photograph(rows: int = 240, cols: int = 300) -> np.ndarray:
    """Return densities above base as a photograph has them: a dense sky, shadows that are nearly clear, grain."""
    y, x = np.mgrid[0:rows, 0:cols] / np.array([rows, cols])[:, None, None]
    grain = 0.01 * np.random.Generator(np.random.PCG64(5)).standard_normal((rows, cols))
    return np.clip(1.6 * (1.0 - y) ** 2 + 0.25 * np.sin(9 * x) ** 2 + 0.12 + grain, 0.0, 2.2)


def _in_holder(picture: np.ndarray) -> tuple[np.ndarray, tuple[int, int]]:
    """Return the photograph with clear rebate and a black holder around it, and where its corner lies."""
    rows, cols = picture.shape
    sheet = np.full((rows + 100, cols + 120), 4.0)
    sheet[30:-30, 40:-40] = 0.0
    sheet[50:-50, 60:-60] = picture
    return sheet, (50, 60)


def _written(file: Path, density: np.ndarray, bits: int = 16) -> Path:
    light = CLEAR * 10.0**-density
    if bits == 16:
        write_png(file, np.round(light * 65535).astype(np.uint16))
    else:
        srgb = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
        Image.fromarray(np.round(srgb * 255).astype(np.uint8)).save(file, quality=90)
    return file


def test_a_photograph_at_sixteen_bits_comes_back_within_a_hundredth(tmp_path: Path) -> None:
    sheet, (top, left) = _in_holder(_photograph())
    file = _written(tmp_path / "scan.png", sheet)
    frame = scanned_roll((file,), ScanChoices(ScanEncoding(1.0), find_frame=True))[0].frames[0]
    rows, cols = sheet.shape
    r0, c0 = round(frame.box.top * rows), round(frame.box.left * cols)
    truth = sheet[r0 : r0 + frame.density.shape[0], c0 : c0 + frame.density.shape[1]]
    assert frame.found
    assert abs(r0 - top) <= 3
    assert abs(c0 - left) <= 3
    assert np.abs(frame.density - truth).max() <= 0.01


def test_turning_and_turning_back_is_nothing() -> None:
    picture = _photograph(40, 60)
    assert np.array_equal(turned(turned(picture, 90), 270), picture)
    assert turned(picture, 90)[0, -1] == picture[0, 0]  # clockwise: the top left corner comes to the top right
    assert np.array_equal(turned(turned(picture, 0, True), 0, True), picture)


def test_straightening_clockwise_turns_what_leans_left() -> None:
    leaning = np.full((201, 201), 2.0)
    for row in range(201):
        leaning[row, round(100 - np.tan(np.radians(4.0)) * (100 - row))] = 0.0  # its top leans to the left
    upright = straightened(leaning, 4.0)
    assert np.ptp([np.argmin(upright[row]) for row in (40, 100, 160)]) <= 1


def test_a_frame_without_holder_or_rebate_is_not_made_up(tmp_path: Path) -> None:
    assert find_frame(_photograph()) == Unsure("no edge")
    with pytest.raises(Refused, match="--crop"):
        scanned_roll((_written(tmp_path / "bare.png", _photograph()),), ScanChoices(ScanEncoding(1.0), find_frame=True))


def test_a_sheet_of_frames_is_cut_row_after_row() -> None:
    boxes = frames_of_sheet(3, 2, Box(0.0, 0.0, 1.0, 0.5))
    assert len(boxes) == 6
    assert boxes[1] == Box(1 / 3, 0.0, 2 / 3, 0.25)


def test_eight_bits_packed_with_loss_are_taken_and_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = _written(tmp_path / "phone.jpg", _photograph(), 8)
    assert main(["scan", str(file), "-o", str(tmp_path)]) == 0
    said = capsys.readouterr().out
    assert "8 bits packed with loss" in said
    assert "Clear film was guessed" in said
    assert "taken to be 0.10" in said


def test_a_roll_from_a_folder_gets_its_places_and_prints(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    roll = tmp_path / "roll"
    roll.mkdir()
    for name in ("b.png", "a.png"):
        _written(roll / name, _in_holder(_photograph())[0])
    words = [
        "scan",
        str(roll),
        "-o",
        str(tmp_path),
        "--gamma",
        "1",
        "--find-frame",
        "--name",
        "walk",
        "--place",
        "gate=0.25,0.5",
    ]
    assert main(words) == 0
    assert "Frames found inside holder or rebate: 2 of 2" in capsys.readouterr().out
    shelf, name = own_shelf().with_typed(NEGATIVE, str(tmp_path / "walk-02.toml"))
    place = find_negative(name, shelf).place("gate")
    assert (place.x, place.y) == (0.25, 0.5)


def test_a_roll_with_a_bad_scan_writes_nothing(tmp_path: Path) -> None:
    roll = tmp_path / "roll"
    roll.mkdir()
    _written(roll / "a.png", _photograph())
    (roll / "b.png").write_bytes(b"no picture")
    assert main(["scan", str(roll), "-o", str(tmp_path / "out")]) == 2
    assert not (tmp_path / "out").exists()


def _sheet_of_six() -> np.ndarray:
    """Return two columns and three rows of frames with clear film between and around them."""
    frame, gap = _photograph(160, 240), 24
    sheet = np.zeros((3 * (160 + gap), 2 * (240 + gap)))
    for row in range(3):
        for col in range(2):
            top, left = row * (160 + gap) + gap // 2, col * (240 + gap) + gap // 2
            sheet[top : top + 160, left : left + 240] = frame
    return sheet


@pytest.mark.parametrize("grid", ["4x2", "4x3", "2x6", "1x3", "2x2"])
def test_cuts_beside_the_gaps_of_a_sheet_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], grid: str
) -> None:
    file = _written(tmp_path / "sheet.png", _sheet_of_six())
    assert main(["scan", str(file), "--frames", grid, "--gamma", "1", "-o", str(tmp_path / "out")]) == 2
    assert f"must lie in the gaps that the sheet shows, got {grid.replace('x', ' x ')}" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_a_sheet_s_own_grid_is_cut_and_one_whose_gaps_are_not_seen_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = _written(tmp_path / "sheet.png", _sheet_of_six())
    words = ["--gamma", "1", "-o", str(tmp_path / "out"), "--frames"]
    assert main(["scan", str(file), *words, "2x3"]) == 0
    assert "not checked" not in capsys.readouterr().out
    bare = _written(tmp_path / "bare.png", np.tile(_photograph(), (2, 2)))
    assert main(["scan", str(bare), *words, "2x2"]) == 0
    assert "cut as said, and not checked" in capsys.readouterr().out


def test_what_has_run_full_is_counted_in_the_frame(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet, (top, left) = _in_holder(_photograph())
    holes = sheet.copy()
    for k in range(8):
        holes[35:45, 60 + 40 * k : 80 + 40 * k] = -0.2  # air through perforations: more light than the scanner takes
    words = ["--gamma", "1", "--find-frame", "-o", str(tmp_path)]
    file = tmp_path / "scan.png"
    light = np.minimum(CLEAR * 10.0**-holes, 1.0)
    write_png(file, np.round(light * 65535).astype(np.uint16))
    assert main(["scan", str(file), *words]) == 0
    assert "run full" not in capsys.readouterr().out
    light[top + 120 : top + 170, left + 100 : left + 200] = 1.0
    write_png(file, np.round(light * 65535).astype(np.uint16))
    assert main(["scan", str(file), *words]) == 0
    share = 5000 / (240 * 300)
    assert f"Warning: {100 * share:.0f}" in capsys.readouterr().out
