"""Readings of one's own paper: what is taken, what is refused with its strip and step, and that nothing is written then."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from laws.secret_papers import GENERIC, HEAD, WEDGE, Secret, read_by_hand, secret_paper

from sim.calibration.contradictions import sound_fit
from sim.calibration.own_curves import behind
from sim.calibration.readings_csv import Wedge, read_readings
from sim.calibration.wedge_strips import PaperReadings
from sim.command.main import main
from sim.refusals import Refused


@cache
def secret() -> Secret:
    return secret_paper(np.random.Generator(np.random.PCG64(3)))


@cache
def readings() -> PaperReadings:
    return read_by_hand(secret(), np.random.Generator(np.random.PCG64(31)))


def _with(number: int, change: Callable[[list[float]], list[float]]) -> PaperReadings:
    """Return the readings with one strip's densities changed."""
    strip = readings().strips[number]
    read = change([float(one.density or 0.0) for one in strip.readings])
    steps = tuple(replace(one, density=density) for one, density in zip(strip.readings, read, strict=True))
    strips = (*readings().strips[:number], replace(strip, readings=steps), *readings().strips[number + 1 :])
    return replace(readings(), strips=strips)


def _steep(number: int) -> int:
    """Return where a strip falls through middle grey."""
    read = np.array([one.density for one in readings().strips[number].readings])
    return int(np.argmin(np.abs(read - 1.3)))


def _refused(read: PaperReadings) -> str:
    with pytest.raises(Refused) as refusal:
        sound_fit(GENERIC, HEAD, read)
    return str(refusal.value)


def test_sound_readings_are_taken_and_find_the_paper() -> None:
    own, left_out = sound_fit(GENERIC, HEAD, readings())
    assert left_out == ()
    for setting in ("00", "2", "5"):
        found = behind(own, setting)
        assert found.iso_range == pytest.approx(
            secret().curve(setting).iso_range(), abs=3.0 * found.iso_range_error + 1.0
        )


def test_a_slipped_step_is_refused_with_strip_and_step() -> None:
    at = _steep(1)
    said = _refused(_with(1, lambda read: [*read[:at], *read[at + 1 :], read[-1]]))
    assert said.startswith("strip 2, step")
    assert abs(int(said.split("step ")[1].split(":")[0]) - (at + 1)) <= 1


def test_strips_changed_over_are_refused_by_their_filters() -> None:
    soft, middle, hard = readings().strips
    changed = (replace(soft, readings=hard.readings), middle, replace(hard, readings=soft.readings))
    assert "strips 00 and 5 look changed over" in _refused(replace(readings(), strips=changed))


def test_a_sheet_that_lay_curved_is_refused() -> None:
    assert "curved" in _refused(replace(readings(), unexposed=(0.06, 0.14)))


def test_an_instrument_at_its_end_is_refused_with_its_steps() -> None:
    said = _refused(_with(0, lambda read: [min(density, 1.52) for density in read]))
    assert said.startswith("strip 00")
    assert "run full" in said


def test_a_darker_step_under_more_density_is_refused() -> None:
    at = _steep(0)
    assert f"step {at + 2}" in _refused(_with(0, lambda read: [*read[: at + 1], read[at] + 0.3, *read[at + 2 :]]))


def test_a_variable_contrast_paper_wants_two_settings() -> None:
    assert "2 settings" in _refused(replace(readings(), strips=readings().strips[:1]))


def test_one_wrong_step_of_the_wedge_is_left_out_and_named() -> None:
    rng = np.random.Generator(np.random.PCG64(77))
    read = read_by_hand(secret(), rng, wrong_step=_steep(1) + 1)
    _, left_out = sound_fit(GENERIC, HEAD, read)
    assert _steep(1) + 1 in [one.step for one in left_out if one.setting is None]


def test_steps_called_by_eye_are_read_as_tones(tmp_path: Path) -> None:
    file = tmp_path / "eye.csv"
    file.write_text("row,wedge,00,5\nseconds,,20,40\nfirst tone,,17,11\nmatch 18%,,12.5,9\nblack,,3,6\n")
    first, match, black = read_readings(file, 2.0, Wedge.even(21, 0.05, 0.15)).strips[0].readings
    assert (first.wedge_density, match.wedge_density) == pytest.approx((2.45, 1.775))
    assert match.density == pytest.approx(0.745, abs=0.001)
    assert black.of_net_max == 0.9
    assert black.log_error == pytest.approx(0.15 / 12**0.5)


def test_refused_readings_write_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    rows = [f"{k + 1},{under:.2f},2.0,2.0" for k, under in enumerate(WEDGE)]
    (tmp_path / "read.csv").write_text("\n".join(["row,wedge,00,5", "seconds,,20,40", *rows]) + "\n")
    assert main(["calibrate", "paper", "read.csv", "--name", "flat"]) == 2
    assert [file.name for file in tmp_path.rglob("*") if file.is_file()] == ["read.csv"]
