"""Papers whose curve has another form than the program's: taken, their misfit told; slips in them still named."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from laws.secret_papers import GENERIC, HEAD
from numpy.typing import NDArray

from sim.calibration.contradictions import Doubted, sound_fit
from sim.calibration.next_strip import NextSheet
from sim.calibration.own_curves import NINETY, behind
from sim.calibration.own_paper import OwnPaper
from sim.calibration.wedge_strips import PaperReadings, StepReading, Strip
from sim.command.main import main
from sim.notebook.own_paper_page import own_paper_lines

Floats = NDArray[np.float64]
BASE, NET_DMAX, NOISE = 0.06, 2.05, 0.02
STEEP = {"00": 3.3, "2": 5.3, "5": 11.0}  # of a logistic curve, a log unit of light
SPEED_POINT = {"00": 1.5, "2": 1.4, "5": 1.3}


def _net(x: Floats) -> Floats:
    return NET_DMAX / (1.0 + np.exp(-x))


def _read(said_apart: float = 0.15, change: Callable[[Floats], Floats] = lambda d: d, harder: float = 1.0) -> PaperReadings:
    """Return strips of a logistic paper under a wedge of 0.15, read with noise; ``change`` what was done to the middle one."""
    rng, strips, wedge = np.random.Generator(np.random.PCG64(5)), [], 0.05 + 0.15 * np.arange(21)
    for setting, steep in STEEP.items():
        x = harder * steep * (2.6 - wedge - SPEED_POINT[setting])
        density = BASE + _net(x) + NOISE * rng.standard_normal(len(wedge))
        read = change(density) if setting == "2" else density
        steps = (StepReading(k + 1, 0.05 + said_apart * k, round(float(d), 2)) for k, d in enumerate(read))
        strips.append(Strip(setting, 2.6, tuple(steps)))
    return PaperReadings(tuple(strips), (BASE,), light_known=False)


def _iso_range(setting: str) -> float:
    """Return ISO R by its definition: from net 0.04 to 0.9 of the net maximum."""
    share = 0.04 / NET_DMAX
    return float(100.0 * (np.log(9.0) - np.log(share / (1.0 - share))) / STEEP[setting])


@cache
def taken() -> OwnPaper:
    return sound_fit(GENERIC, HEAD, _read())[0]


def test_a_paper_of_another_form_is_taken_and_its_iso_range_lies_within() -> None:
    assert taken().bend > 0.02
    for setting in STEEP:
        found = behind(taken(), setting)
        assert abs(found.iso_range - _iso_range(setting)) <= NINETY * found.iso_range_error


def test_its_misfit_is_said_and_nothing_is_held_against_it() -> None:
    said = " ".join(own_paper_lines(taken(), NextSheet("", 0.0, 0.0), ()))
    assert "another form than the program's" in said
    assert "Perhaps" not in said


def test_a_step_read_twice_in_it_is_refused_by_its_name_unless_the_printer_insists() -> None:
    at = 7  # in the steep middle
    slipped = _read(change=lambda d: np.concatenate([d[: at + 1], d[at:-1]]))
    with pytest.raises(Doubted, match=r"^strip 2, step (7|8|9|10):"):
        sound_fit(GENERIC, HEAD, slipped)
    assert sound_fit(GENERIC, HEAD, slipped, as_it_is=True)[0].readings == slipped


def test_a_paper_of_ones_own_is_not_overwritten_unasked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    columns = [[str(one.density) for one in strip.readings] for strip in _read().strips]
    rows = [f"{k + 1},{0.05 + 0.15 * k:.2f},{','.join(cells)}" for k, cells in enumerate(zip(*columns, strict=True))]
    table = "\n".join(["row,wedge,00,2,5", "seconds,,20,20,20", "unexposed,,0.06,0.06,0.06", *rows])
    Path("read.csv").write_text(table + "\n")
    asked = ["calibrate", "paper", "read.csv", "--name", "my-paper", "--report", "page.png"]
    assert main(asked) == 0
    (kept,) = (tmp_path / "home").rglob("my-paper.toml")
    kept.write_text(before := kept.read_text() + "# my remark\n")
    assert main(asked) == 2
    assert "--anew" in capsys.readouterr().err
    assert kept.read_text() == before
    assert main([*asked, "--anew"]) == 0
    assert "my remark" not in kept.read_text()


