"""Numbers that people write into a table of strips: just inside what is taken, just outside; what the eye's calls are worth."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from laws.secret_papers import GENERIC, HEAD, fitted

from sim.calibration.own_curves import NINETY, behind, curve_in_light
from sim.calibration.own_paper import light_behind
from sim.calibration.readings_csv import Wedge, read_readings
from sim.refusals import OutsideError, Refused

ROWS = {
    "seconds": "seconds,,20,{}", "unexposed": "unexposed,,0.06,{}", "step": "3,0.25,1.9,{}", "wet": "wet 1,,2.0,{}",
    "wedge": "3,{},1.9,1.9",
}  # fmt: skip
BESIDE = {"seconds": "seconds,,20,40", "unexposed": "unexposed,,0.06,0.06", "step": "", "wet": "", "wedge": ""}
OF_EYE = "row,wedge,00,5\nseconds,,20,40\nfirst tone,,17,11\nmatch {}%,,12.5,9\nblack,,3,6\n"


def _table(kind: str, written: str) -> str:
    rows = [ROWS[row].format(written) if row == kind else BESIDE[row] for row in ROWS]
    return "\n".join(["row,wedge,00,5", *filter(None, (*rows[:2], "1,0.05,2.2,2.2", "2,0.15,2.1,2.0", *rows[2:]))]) + "\n"


@pytest.mark.parametrize(
    ("kind", "taken", "refused"),
    [("seconds", "0.06", "0.04"), ("seconds", "3500", "3700"), ("unexposed", "-0.04", "-0.06"), ("unexposed", "0.9", "1.1"),
     ("step", "-0.04", "-0.06"), ("step", "3.9", "4.1"), ("wet", "-0.04", "-0.06"), ("wet", "3.9", "4.1"),
     ("wedge", "5.9", "6.1")],
)  # fmt: skip
def test_a_number_that_no_strip_can_have_is_refused_with_its_line(kind: str, taken: str, refused: str, tmp_path: Path) -> None:
    file = tmp_path / "read.csv"
    file.write_text(_table(kind, taken))
    assert len(read_readings(file).strips) == 2
    file.write_text(_table(kind, refused))
    line = 1 + next(k for k, row in enumerate(file.read_text().splitlines()) if refused in row)
    with pytest.raises(OutsideError, match=f"line {line}: .*{refused}"):
        read_readings(file)


@pytest.mark.parametrize(("taken", "refused"), [("0.85", "0.7"), ("88", "92")])
def test_a_card_sends_back_more_than_black_and_less_than_all_light(taken: str, refused: str, tmp_path: Path) -> None:
    file, wedge = tmp_path / "eye.csv", Wedge.even(21, 0.05, 0.15)
    file.write_text(OF_EYE.format(taken))
    assert len(read_readings(file, None, wedge).strips) == 2
    file.write_text(OF_EYE.format(refused))
    with pytest.raises(OutsideError, match="line 4: match: must be a card"):
        read_readings(file, None, wedge)


@pytest.mark.parametrize(
    ("taken", "refused"),
    [((5, 0.05, 0.15), (4, 0.05, 0.15)), ((21, 0.05, 0.022), (21, 0.05, 0.018)), ((9, 0.05, 0.58), (9, 0.05, 0.62)),
     ((21, 0.95, 0.15), (21, 1.05, 0.15))],
)  # fmt: skip
def test_a_wedge_is_one_that_there_is(taken: tuple[int, float, float], refused: tuple[int, float, float]) -> None:
    assert len(Wedge.even(*taken).densities) == taken[0]
    with pytest.raises(Refused, match="a wedge"):
        Wedge.even(*refused)


def _called(row: str, net: float, file: Path) -> tuple[float, float, float]:
    """Return net density, printed interval and slope where step 16 of a fine wedge was called, as the generic paper has it."""
    curve = curve_in_light(GENERIC.stock, *light_behind(GENERIC.stock, HEAD, "2"))
    wedge = Wedge.even(31, 0.05, 0.02)
    at = curve.log_exposure_at_net(net)
    white = f"unexposed,,{curve.base_plus_fog:.4f}\n" * 40  # read so often that white is known to three thousandths
    file.write_text(f"row,wedge,2\nseconds,,10\n{white}{row},,16\n")
    found = behind(fitted(read_readings(file, 10.0 ** (at + wedge.at(16.0) - 1.0), wedge)), "2")
    density = np.interp([at, at - 0.02, at + 0.02], found.curve.log_exposure, found.curve.density)
    error = float(np.interp(at, found.curve.log_exposure, found.density_error))
    return float(density[0]) - found.curve.base_plus_fog, NINETY * error, float(density[2] - density[1]) / 0.04


def _nine_of_ten(density_error: float, slope: float) -> float:
    """Return the interval: of the density called, the half step of 0.02, the wedge's own 0.012 and the form's 0.006."""
    return 1.645 * float(np.hypot(density_error, slope * np.sqrt(0.02**2 / 12.0 + 0.012**2 + 0.006**2)))


def test_a_grey_called_beside_a_card_is_known_to_three_hundredths(tmp_path: Path) -> None:
    """A light grey, where the step's own error weighs little: nothing else narrows the curve there."""
    curve = curve_in_light(GENERIC.stock, *light_behind(GENERIC.stock, HEAD, "2"))
    net = -np.log10(0.5) - curve.base_plus_fog
    _, printed, slope = _called("match 50%", net, tmp_path / "eye.csv")
    assert printed == pytest.approx(_nine_of_ten(0.03, slope), rel=0.1)


def test_the_first_tone_called_is_four_hundredths_over_white_and_known_to_one(tmp_path: Path) -> None:
    net, printed, slope = _called("first tone", 0.04, tmp_path / "eye.csv")
    assert net == pytest.approx(0.04, abs=0.004)
    assert printed == pytest.approx(_nine_of_ten(0.01, slope), rel=0.1)
