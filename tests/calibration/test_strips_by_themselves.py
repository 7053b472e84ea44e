"""What one strip tells by itself: ISO R, strips changed over, a step passed over, whatever form the paper's curve has."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from laws.secret_papers import GENERIC, HEAD
from numpy.typing import NDArray

from sim.calibration.contradictions import Doubted, sound_fit
from sim.calibration.strip_alone import NINETY, changed_over, strip_alone, strips_alone
from sim.calibration.wedge_strips import DoubledReading, PaperReadings, StepReading, Strip
from sim.command.main import main

Floats = NDArray[np.float64]
NOISE, BASE, NET = 0.02, 0.07, 2.02
WEDGE = 0.05 + 0.15 * np.arange(21)
STEEP = {"00": 1.0, "2": 1.3, "5": 2.3}  # of each form, a log unit of light
MIDDLE = {"00": 1.45, "2": 1.42, "5": 1.40}  # wedge density where the form has its middle


def _logistic(z: Floats) -> Floats:
    return 1.0 / (1.0 + np.exp(-z))


def _normal(z: Floats) -> Floats:
    return np.array([0.5 * (1.0 + math.erf(float(one) / math.sqrt(2.0))) for one in np.atleast_1d(z)])


FORMS: dict[str, Callable[[Floats], Floats]] = {  # share of net black over log exposure: none is the program's
    "logistic": lambda z: _logistic(4.0 * z),
    "normal": lambda z: _normal(2.5 * z),
    "exponential": lambda z: 1.0 - np.exp(-np.exp(2.7 * z - 0.37)),
    "two layers": lambda z: 0.55 * _logistic(5.5 * (z + 0.12)) + 0.45 * _logistic(3.8 * (z - 0.14)),
    "long toe": lambda z: _logistic(4.0 * z) ** 1.35,
}


def _iso_range(form: str, setting: str) -> float:
    """Return ISO R by its definition: from net 0.04 to 0.9 of the net maximum."""
    z = np.linspace(-6.0, 6.0, 24001)
    ends = np.interp([0.04 / NET, 0.9], FORMS[form](z), z)
    return float(100.0 * (ends[1] - ends[0]) / STEEP[setting])


def _read(form: str, seed: int, steps: Floats = WEDGE, harder: float = 1.0) -> PaperReadings:
    rng, strips = np.random.Generator(np.random.PCG64(seed)), []
    for setting, steep in STEEP.items():
        density = BASE + NET * FORMS[form](harder * steep * (MIDDLE[setting] - steps)) + NOISE * rng.standard_normal(len(steps))
        said = (StepReading(k + 1, 0.05 + 0.15 * k, round(float(d), 2)) for k, d in enumerate(density))
        strips.append(Strip(setting, 2.6, tuple(said)))
    return PaperReadings(tuple(strips), (BASE,))


def _tables() -> Iterator[tuple[str, PaperReadings]]:
    for k, form in enumerate(FORMS):
        for seed in (1, 2):
            yield form, _read(form, 10 * k + seed)


def _exchanged(readings: PaperReadings, one: int, other: int) -> PaperReadings:
    strips = list(readings.strips)
    strips[one], strips[other] = (
        replace(strips[a], readings=strips[b].readings) for a, b in ((one, other), (other, one))
    )
    return replace(readings, strips=tuple(strips))


def _skipped(readings: PaperReadings, strip: int, place: int) -> PaperReadings:
    """Return readings of which one step of a strip was passed over, and white read in the last cell."""
    densities = [one.density for one in readings.strips[strip].readings]
    slipped = [*densities[: place - 1], *densities[place:], BASE]
    there = [replace(one, density=d) for one, d in zip(readings.strips[strip].readings, slipped, strict=True)]
    strips = list(readings.strips)
    strips[strip] = replace(strips[strip], readings=tuple(there))
    return replace(readings, strips=tuple(strips))


def test_a_strips_own_iso_range_is_true_in_any_form_of_curve() -> None:
    """30 strips: nine in ten inside, so 24 at least (25 to 30 in 19 of 20 sets), and no setting leans by more than 4 %."""
    off: dict[str, list[float]] = {setting: [] for setting in STEEP}
    inside = 0
    for form, readings in _tables():
        for one in strips_alone(readings):
            true = _iso_range(form, one.setting)
            assert one.reaches
            off[one.setting].append(one.iso_range / true - 1.0)
            inside += abs(one.iso_range - true) < NINETY * one.iso_range_error
    assert inside >= 24
    assert max(abs(float(np.mean(one))) for one in off.values()) < 0.04


def test_strips_in_their_order_are_not_accused_and_changed_over_they_are_named() -> None:
    for _, readings in _tables():
        assert changed_over(readings) is None
        for one, other in ((0, 2), (1, 2)):
            assert "look changed over" in str(changed_over(_exchanged(readings, one, other)))


def test_neighbours_changed_over_are_refused_unless_the_printer_insists() -> None:
    wrong = _exchanged(_read("normal", 3), 0, 1)
    with pytest.raises(Doubted, match="strips 00 and 2 look changed over"):
        sound_fit(GENERIC, HEAD, wrong)
    assert sound_fit(GENERIC, HEAD, wrong, as_it_is=True)[0].readings == wrong


def test_a_step_passed_over_in_a_paper_of_another_form_is_refused_by_its_name() -> None:
    with pytest.raises(Doubted, match=r"strip 00, step 1[123]: .* passed over; read the strip again"):
        sound_fit(GENERIC, HEAD, _skipped(_read("normal", 4), 0, 12))


def test_a_wedge_said_too_coarse_is_not_called_a_doubled_reading_alone() -> None:
    """A wedge of 0.10 and 31 steps said as 0.15: whatever is refused names the wedge."""
    with pytest.raises(Doubted, match=r"wedge('s steps are not 0\.15 apart|'s steps must be as far apart)"):
        sound_fit(GENERIC, HEAD, _read("logistic", 2, 0.05 + 0.10 * np.arange(31), 0.65))


def test_a_doubled_strip_one_step_off_names_the_count_beside_the_wedge() -> None:
    readings = _read("normal", 5)
    doubled = [DoubledReading("2", k + 1, one.density or 0.0) for k, one in enumerate(readings.strips[1].readings)]
    moved = [replace(one, step=one.step + 3) for one in doubled if one.step <= 18]  # 0.45 further: a stop and a step
    with pytest.raises(Doubted, match="or one of the two strips was counted off by a whole step"):
        sound_fit(GENERIC, HEAD, replace(readings, doubled=tuple(moved)))


def test_strips_by_eye_or_too_short_have_no_curve_of_their_own() -> None:
    strip = _read("normal", 1).strips[0]
    assert strip_alone(replace(strip, readings=strip.readings[:6])) is None


def test_a_table_that_is_none_is_refused_with_the_word_that_nothing_was_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    (tmp_path / "none.csv").write_text("")
    for kind in ("paper", "enlarger"):
        assert main(["calibrate", kind, str(tmp_path / "none.csv"), "--name", "my-own"]) == 2
        assert "Nothing was written" in capsys.readouterr().err
