"""Frames found in scans as they come from a holder: perforated, askew, dusty, thin; where none is sure, what to do is said."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from sim.command.main import main
from sim.negative.scan_frame import straightened
from sim.writing import write_png

PX = 10  # a millimetre of film
BASE = 0.22  # density of clear film above air, as the scanner sees it through the perforations
AIR_LIGHT = 0.8  # of full scale


def _scene(kind: str, rng: np.random.Generator, wide_mm: float = 36.0, high_mm: float = 24.0) -> np.ndarray:
    """Return densities above base and fog of a picture."""
    rows, cols = round(high_mm * PX), round(wide_mm * PX)
    y, x = np.mgrid[0:rows, 0:cols] / np.array([rows, cols])[:, None, None]
    tones = {
        "even light": 1.2 * (1 - y) ** 2 + 0.3 * np.sin(9 * x) ** 2 + 0.12,
        "dense": 1.9 + 0.5 * np.sin(5 * x) * np.cos(4 * y),
        "sky": np.where(y < 0.45, 1.5, 0.15 + 0.5 * np.abs(np.sin(14 * x)) * y),
        "thin": 0.06 + 0.25 * np.sin(7 * x) ** 2 * (1 - y) + 0.06 * y,
        "nothing at its edges": np.where((x - 0.5) ** 2 + (y - 0.4) ** 2 < 0.02, 1.2, 0.02),
    }[kind]
    return np.clip(tones + 0.015 * rng.standard_normal((rows, cols)), 0.0, 2.4)


def _scan(
    kind: str, tilt_deg: float, holder: bool = True, frames: int = 1, specks: int = 60
) -> tuple[np.ndarray, tuple[float, float, float, float]]:
    """Return a scan of perforated film above air, and where its first picture lies before it is askew, as fractions."""
    rng = np.random.Generator(np.random.PCG64(7))
    rebate, gap, pad = round(5.5 * PX), 2 * PX, 5 * PX
    picture = _scene(kind, rng)
    rows, cols = picture.shape
    film = np.full((rows + 2 * rebate, frames * (cols + gap) + gap), BASE)
    for k in range(frames):
        left = gap + k * (cols + gap)
        film[rebate:-rebate, left : left + cols] = picture + BASE
    for left in range(0, film.shape[1], round(4.75 * PX)):
        for top in (2 * PX, len(film) - 2 * PX - round(2.8 * PX)):
            film[top : top + round(2.8 * PX), left : left + 2 * PX] = 0.0
    film[4 : 4 + PX, 20:80:2] = 1.2  # figures at the film's edge
    out = np.full((len(film) + 2 * pad, film.shape[1] + 2 * pad), 4.0 if holder else 0.0)
    out[pad:-pad, pad:-pad] = film
    out = straightened(out.astype(np.float32), -tilt_deg)
    out = np.where(out > 3.2, 0.0, out) if not holder else out
    out = out + 0.006 * rng.standard_normal(out.shape)
    for _ in range(specks):  # dust, and holes in the coating
        r, c = rng.integers(0, out.shape[0] - 3), rng.integers(0, out.shape[1] - 3)
        out[r : r + 3, c : c + 3] = rng.choice([0.0, 3.0])
    high, wide = out.shape
    corner = pad + gap, pad + rebate
    return out, (corner[0] / wide, corner[1] / high, (corner[0] + cols) / wide, (corner[1] + rows) / high)


def _written(file: Path, density: np.ndarray, light: float = AIR_LIGHT) -> Path:
    values = np.round(np.clip(light * 10.0**-density, 0.0, 1.0) * 65535)
    write_png(file, values.astype(np.uint16))
    return file


def _said(file: Path, capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    done = main(["scan", str(file), "-o", str(file.parent / "out"), "--gamma", "1", "--find-frame", "--film", "24x36", *words])
    both = capsys.readouterr()
    return done, both.out + both.err


@pytest.mark.parametrize(
    ("kind", "tilt_deg", "holder"),
    [("even light", 0.0, True), ("even light", 4.0, False), ("dense", -2.0, True), ("dense", 0.7, False), ("sky", 4.0, True),
     ("sky", -2.0, False), ("thin", 0.7, True), ("thin", -4.0, False)],
)  # fmt: skip
def test_the_picture_is_found_inside_perforated_rebate_however_it_lies(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], kind: str, tilt_deg: float, holder: bool
) -> None:
    density, truth = _scan(kind, tilt_deg, holder)
    done, said = _said(_written(tmp_path / "a.png", density), capsys, "--json")
    assert done == 0, said
    made = json.loads(said)
    assert made["frame"] == pytest.approx(truth, abs=0.008), "of the scan: 0.4 mm, of which a quarter is left out on purpose"
    assert made["straightened_deg"] == pytest.approx(tilt_deg, abs=0.12)
    assert made["clear_by"] == "rebate"


def test_densities_stand_above_the_rebate_not_above_the_air(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    density, _ = _scan("dense", 0.7, specks=0)
    made = json.loads(_said(_written(tmp_path / "a.png", density), capsys, "--json")[1])
    assert made["density_1_percent"] == pytest.approx(1.43, abs=0.04)
    assert made["density_99_percent"] == pytest.approx(2.36, abs=0.04)


def test_a_frame_that_is_not_sure_is_said_and_what_to_do(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    done, said = _said(_written(tmp_path / "a.png", _scan("nothing at its edges", 2.0)[0]), capsys)
    assert done == 2
    assert "cut it out by hand with --crop" in said
    assert "thin film to its edge cannot be told from rebate" in said


def test_two_frames_and_another_film_are_not_one_frame(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    done, said = _said(_written(tmp_path / "two.png", _scan("dense", 0.0, frames=2)[0]), capsys)
    assert done == 2
    assert "--crop" in said
    done, said = _said(_written(tmp_path / "one.png", _scan("dense", 0.0)[0]), capsys, "--film", "60x60")
    assert done == 2
    assert "60 x 60 mm" in said
    assert "--film" in said


def _sheet() -> np.ndarray:
    """Return six frames in two strips, all askew by a degree, on a flatbed without a holder."""
    strip = _scan("dense", 0.0, holder=False, frames=3)[0][5 * PX : -5 * PX, 5 * PX : -5 * PX]
    sheet = np.concatenate([strip, strip])
    askew = straightened(sheet.astype(np.float32), -1.0)
    return np.where(askew > 3.2, 0.0, askew)


def test_a_sheet_is_cut_into_its_frames_and_a_wrong_grid_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = _written(tmp_path / "sheet.png", _sheet())
    done, said = _said(file, capsys, "--frames", "3x2")
    assert done == 0, said
    assert "Frames found inside holder or rebate: 6 of 6" in said
    for wrong in ("4x2", "2x2", "3x3"):
        done, said = _said(file, capsys, "--frames", wrong)
        assert done == 2, wrong
        assert f"hardly lie in {wrong.replace('x', ' x ')} even columns" in said


def _roll_in(folder: Path) -> Path:
    """Write three frames cut out without any rebate: usual, thin by two stops' worth, dense by as much."""
    folder.mkdir()
    usual = _scene("even light", np.random.Generator(np.random.PCG64(3)))
    for name, more in (("1-usual", 0.35), ("2-thin", 0.0), ("3-dense", 0.8)):
        _written(folder / f"{name}.png", usual + more)
    return folder


def test_a_roll_of_separate_files_shows_its_thin_and_its_dense_frame(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    roll = _roll_in(tmp_path / "roll")
    assert main(["scan", str(roll), "-o", str(tmp_path / "out"), "--gamma", "1", "--film", "24x36"]) == 0
    assert "the roll's clearest file stands for all its files" in capsys.readouterr().out
    assert main(["proof", str(tmp_path / "out"), "-o", str(tmp_path / "proof.png"), "--json"]) == 0
    usual, thin, dense = json.loads(capsys.readouterr().out)["frames"]
    assert (usual["stands_out"], thin["stands_out"], dense["stands_out"]) == ("", "thin", "dense")
    assert thin["stops_from_roll"] - dense["stops_from_roll"] == pytest.approx(0.8 / 0.30103, abs=0.1)


def test_a_roll_stands_above_the_rebate_that_some_of_it_shows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    roll = tmp_path / "roll"
    roll.mkdir()
    for k, kind in enumerate(("dense", "thin")):
        _written(roll / f"{k}.png", _scan(kind, 0.7)[0])
    done, said = _said(roll, capsys)
    assert done == 0, said
    assert "Clear film is the rebate that the roll shows, one for all its files" in said


def test_by_which_curve_light_was_read_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = _written(tmp_path / "a.png", _scene("even light", np.random.Generator(np.random.PCG64(3))))
    assert main(["scan", str(file), "-o", str(tmp_path)]) == 0
    assert "read by the sRGB curve" in capsys.readouterr().out
