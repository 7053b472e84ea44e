"""The wedge's steps: no table of strips tells them, one more strip with twice the light does, whatever the paper's form."""

from __future__ import annotations

import json
import re
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from sim.calibration.believed_wedge import ONE_STOP, stop_read
from sim.calibration.readings_csv import Exposing, Wedge
from sim.calibration.scan_by_rows import readings_by_rows
from sim.command.main import main
from sim.refusals import Refused

from .scans_made import SCALE, Laid, scanned

Floats = NDArray[np.float64]
NET_DMAX, NOISE = 2.05, 0.02
STEEP, SPEED_POINT = {"00": 3.3, "2": 5.3, "5": 11.0}, {"00": 1.5, "2": 1.4, "5": 1.3}
APART = 0.15
TONES = range(6, 15)  # steps of the doubled strip that are read


def _net(x: Floats, form: str) -> Floats:
    from scipy.special import ndtr

    if form == "logistic":
        return NET_DMAX / (1.0 + np.exp(-x))
    if form == "normal":
        return np.asarray(NET_DMAX * ndtr(x / 1.7))
    return NET_DMAX * (1.0 - np.exp(-np.exp(0.7 * x)))


def _table(
    file: str, said: float = APART, form: str = "logistic", softer: float = 1.0, twice: float | None = 2.0, seed: int = 5,
    read: range = TONES,
) -> None:  # fmt: skip
    """Write readings under a wedge of 0.15 that is said to be another; filter 2 once more with ``twice`` the light."""
    rng, wedge = np.random.Generator(np.random.PCG64(seed)), 0.05 + APART * np.arange(21)

    def strip(setting: str, more: float = 0.0) -> Floats:
        x = STEEP[setting] / softer * (2.6 + more - wedge - SPEED_POINT[setting])
        return 0.06 + _net(x, form) + NOISE * rng.standard_normal(len(wedge))

    columns = {setting: strip(setting) for setting in STEEP}
    rows = [
        f"{k + 1},{0.05 + said * k:.2f},{','.join(f'{column[k]:.2f}' for column in columns.values())}" for k in range(21)
    ]
    if twice is not None:
        double = strip("2", float(np.log10(twice)))
        rows += [f"double {k},,,{double[k - 1]:.2f}," for k in read]
    head = ["row,wedge,00,2,5", "seconds,,20,20,20", "unexposed,,0.06,0.06,0.06"]
    Path(file).write_text("\n".join([*head, *rows]) + "\n")


@pytest.fixture
def at_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder that is one's own."""
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def _told(capsys: pytest.CaptureFixture[str], *more: str) -> tuple[int, str]:
    code = main(["calibrate", "paper", "t.csv", "--name", "mine", "--report", "p.png", "--anew", *more])
    both = capsys.readouterr()
    return code, both.out + both.err


@pytest.mark.parametrize(("said", "form"), [(0.10, "logistic"), (0.20, "normal"), (0.10, "exponential")])
def test_a_strip_with_twice_the_light_refuses_a_wedge_and_says_which_it_looks_like(
    at_home: Path, capsys: pytest.CaptureFixture[str], said: float, form: str
) -> None:
    _table("t.csv", said, form)
    code, told = _told(capsys)
    assert code == 2
    assert f"the wedge's steps look 0.15 apart, not {said:.2f} as was said" in told
    assert not list(at_home.rglob("mine.toml"))


@pytest.mark.parametrize(("form", "softer"), [("logistic", 1.0), ("normal", 0.9), ("exponential", 1.1)])
def test_the_right_wedge_is_said_to_be_checked_first_of_all(
    at_home: Path, capsys: pytest.CaptureFixture[str], form: str, softer: float
) -> None:
    _table("t.csv", APART, form, softer, seed=8)
    code, told = _told(capsys)
    assert code == 0
    lines = [line for line in told.splitlines() if "wedge" in line]
    assert lines[0].startswith("The wedge is checked: twice the light lies 0.")


def test_without_the_check_it_is_the_first_thing_said_and_widens_iso_r(
    at_home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A wedge said 0.10 and really 0.15 cannot be told from a harder paper: what ISO R would be is said in figures."""
    _table("t.csv", 0.10, twice=None)
    code, told = _told(capsys)
    assert code == 0
    lines = told.splitlines()
    first = next(k for k, line in enumerate(lines) if line.startswith("NOT CHECKED: the wedge's steps are taken to be 0.10"))
    assert not [line for line in lines[:first] if line.endswith(".")], "nothing else is said before"
    said = re.search(r"Were they 0.15, ISO R behind 2 would be (\d+), not (\d+)", lines[first])
    assert said is not None
    assert float(said[1]) == pytest.approx(1.5 * float(said[2]), abs=1.0)
    unchecked = json.loads(_told(capsys, "--json")[1])
    _table("t.csv", APART)
    checked = json.loads(_told(capsys, "--json")[1])
    assert (unchecked["wedge_checked"], checked["wedge_checked"]) == (False, True)
    share = [one["iso_range_error"] / one["iso_range"] for one in unchecked["filters"]]
    assert min(share) > 0.049, "five hundredths for a wedge nobody checked, beside what the readings leave open"


@pytest.mark.parametrize("softer", [0.8, 1.1, 1.15])
def test_a_softer_or_harder_paper_under_the_right_wedge_is_not_accused(
    at_home: Path, capsys: pytest.CaptureFixture[str], softer: float
) -> None:
    for form in ("logistic", "normal", "exponential"):
        _table("t.csv", APART, form, softer, twice=None, seed=3)
        code, told = _told(capsys)
        assert (code, "Perhaps another wedge" in told) == (0, False), (form, told)


def test_a_doubled_strip_that_was_not_doubled_is_refused(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _table("t.csv", twice=1.0)
    code, told = _told(capsys)
    assert (code, "must have had twice the light" in told) == (2, True)


def test_a_single_doubled_step_in_white_checks_nothing(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _table("t.csv", 0.10, read=range(20, 21))
    code, told = _told(capsys)
    assert (code, "NOT CHECKED" in told) == (0, True)


def test_a_doubled_step_must_stand_in_the_single_strip(at_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _table("t.csv", read=range(9, 10))
    text = Path("t.csv").read_text().replace("double 9", "double 22")
    Path("t.csv").write_text(text)
    code, told = _told(capsys)
    assert (code, "step 22 behind 2 must be read in the single strip too" in told) == (2, True)


def test_a_scan_has_its_doubled_strip_as_a_row_of_its_own(tmp_path: Path) -> None:
    """Read under a wedge of 0.15 said as 0.15 and as 0.10; the doubled strip lies one stop further along."""
    def strip(clear_at: float, contrast: float) -> tuple[float, ...]:
        return tuple(0.06 + 2.0 / (1.0 + np.exp((0.05 + APART * np.arange(21) - clear_at) / contrast)))

    laid = {"00": strip(1.6, 0.30), "2": strip(1.5, 0.19), "double 2": strip(1.5 + ONE_STOP, 0.19)}
    rows = [Laid(tuple(SCALE), (475, 75), (750, 60))]
    rows += [Laid(densities, (475, 225 + 150 * k), (750, 80)) for k, densities in enumerate(laid.values())]
    Image.fromarray(scanned(rows, (650, 950), behind=2.5)).save(tmp_path / "scan.png")
    exposing, names = Exposing(None, {"00": 20.0, "2": 20.0}), ("grey", *laid)
    for said, moved in ((0.15, 0.30), (0.10, 0.20)):
        wedge = Wedge.even(21, 0.05, said)
        read = readings_by_rows(tmp_path / "scan.png", names, tuple(SCALE), exposing, wedge)
        assert read.settings == ("00", "2")
        stop = stop_read(read)
        assert stop is not None
        assert stop.moved == pytest.approx(moved, abs=0.015)
    with pytest.raises(Refused, match="must be of a setting that lies there too"):
        readings_by_rows(tmp_path / "scan.png", ("grey", "00", "2", "double 5"), tuple(SCALE), exposing, wedge)


def test_the_recipe_asks_for_the_check() -> None:
    from sim.notebook.wedge_recipe_page import wedge_recipe

    for size in ("a4", "letter"):
        pages = wedge_recipe(size)
        said = " ".join(text.get_text() for figure in pages for axes in figure.axes for text in axes.texts)
        assert len(pages) == 1, size
        assert "double 9" in said
        assert "It must lie 0.30 further along the wedge" in " ".join(said.split())
